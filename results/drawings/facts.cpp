#include <cmath>

#include "engine/text.h"
#include "results/drawings/drawing_svg.h"

namespace sixtyfold {

std::vector<std::string> find_facts(const Design& design) {
  const Score& score = design.score;
  std::vector<std::string> facts;
  int copies = 0;
  for (const Orbit& orbit : design.orbits) copies += static_cast<int>(orbit.copies.size());
  facts.push_back(count_of(copies, "panel", "panels"));
  if (score.joints > 0) facts.push_back(count_of(score.joints, "joint", "joints"));
  if (score.diameter_mm > 0)
    facts.push_back(score.diameter_mm >= 1000 ? format("%.2f m across", score.diameter_mm / 1000)
                                              : format("%.0f mm across", score.diameter_mm));
  if (score.sheets > 0)
    facts.push_back(count_of(score.sheets, "sheet", "sheets") +
                    format(" of %.0f", design.limits.sheet_width_mm) +
                    format(" \u00d7 %.0f", design.limits.sheet_height_mm) +
                    format(" \u00d7 %g mm", design.thickness_mm));
  if (score.parts_per_sheet > 0)
    facts.push_back(count_of(score.parts_per_sheet, "part", "parts") + " a sheet");
  if (score.mass_kg > 0)
    facts.push_back(format(score.mass_kg < 10 ? "%.1f kg" : "%.0f kg", score.mass_kg));
  if (score.pieces > 1) facts.push_back(std::to_string(score.pieces) + " separate pieces");
  if (score.internal_dof > 0)
    facts.push_back("flexible, " + count_of(score.internal_dof, "degree", "degrees") +
                    " of freedom");
  if (score.collisions > 0)
    facts.push_back("not buildable: " + count_of(score.collisions, "collision", "collisions"));
  return facts;
}

}  // namespace sixtyfold
