#include "tools/workshop/cards.h"

#include <nlohmann/json.hpp>

#include "engine/text.h"
#include "results/drawings/drawing_svg.h"
#include "results/files/design_hash.h"
#include "results/files/design_json.h"
#include "results/files/file.h"
#include "results/files/run_folder.h"
#include "results/gallery/page_shape.h"
#include "results/gallery/page_text.h"

namespace sixtyfold {

namespace fs = std::filesystem;
using nlohmann::ordered_json;

namespace {

Design read_design(const fs::path& file) {
  return read_design_json(read_file(file), file.string());
}

}  // namespace

SoFarFile read_designs(const fs::path& folder) {
  if (const fs::path live = folder / "so-far.json"; fs::exists(live))
    return read_so_far_json(read_file(live), live.string());
  SoFarFile list;
  if (!fs::exists(folder / "ranking.json")) return list;
  const RunFolder run = read_run_folder(folder);
  for (std::size_t i = 0; i < run.ranking.size(); ++i) {
    const RankedFile& entry = run.ranking[i];
    list.designs.push_back({make_design_hash(run.designs[i]), entry.file, entry.name,
                            entry.symmetry, entry.reasons, entry.score});
  }
  list.state.is_over = true;
  return list;
}

std::vector<std::pair<std::string, std::string>> find_facts(const Score& score,
                                                            const std::string& symmetry,
                                                            const GalleryWords& words) {
  std::vector<std::pair<std::string, std::string>> facts = {
      {"panels", std::to_string(score.panels)}, {"joints", std::to_string(score.joints)}};
  const double across_mm = score.diameter_mm;
  facts.push_back({"across", across_mm >= 1000 ? words.write_number(across_mm / 1000, 2) + " m"
                                               : words.write_number(across_mm, 0) + " mm"});
  if (score.sheets > 0) facts.push_back({"sheets", std::to_string(score.sheets)});
  if (score.cost > 0) facts.push_back({"cost", words.write_number(score.cost, 2)});
  if (score.hours > 0) facts.push_back({"hours", words.write_number(score.hours, 1) + " h"});
  if (score.mass_kg > 0)
    facts.push_back(
        {"mass", words.write_number(score.mass_kg, score.mass_kg < 10 ? 1 : 0) + " kg"});
  facts.push_back({"stiffness", words.write_number(score.stiffness, 3)});
  facts.push_back({"symmetry", describe_symmetry(symmetry, words)});
  return facts;
}

ordered_json write_cards(const SoFarFile& designs, const GalleryWords& words) {
  ordered_json list = ordered_json::array();
  for (const SoFarDesign& design : designs.designs) {
    ordered_json facts = ordered_json::array();
    for (const auto& [word, text] : find_facts(design.score, design.symmetry, words))
      facts.push_back({word, text});
    list.push_back({{"key", design.key},
                    {"file", design.file},
                    {"name", design.name},
                    {"facts", facts},
                    {"looks", explain_looks(design.score, {}, words)},
                    {"why", design.why},
                    {"flexible", design.score.internal_dof}});
  }
  return list;
}

std::string make_card_picture(const fs::path& design_file) {
  DrawingOptions drawing;
  drawing.setting = Setting::plain;
  drawing.width_mm = 120;
  drawing.height_mm = 108;
  return make_drawing_svg(read_design(design_file), drawing);
}

std::string make_card_shape(const fs::path& design_file) {
  return make_page_shape(read_design(design_file), "board").dump();
}

std::vector<std::string> find_documents(const fs::path& folder) {
  std::vector<std::string> found;
  for (const char* const name : {"index.html", "map.html", "guide.html", "guide.pdf", "day.pdf",
                                 "template.pdf", "paper-model.pdf", "coupon.pdf", "gauges.pdf",
                                 "colours.pdf", "cutting-plan.pdf", "rigging.pdf", "trade-off.svg"})
    if (fs::exists(folder / name)) found.emplace_back(name);
  return found;
}

}  // namespace sixtyfold
