#include "results/files/design_hash.h"

#include "engine/hash.h"
#include "engine/text.h"
#include "results/files/design_json.h"

namespace sixtyfold {

std::string make_design_hash(const Design& design) {
  Design bare;
  bare.symmetry = design.symmetry;
  bare.orbits = design.orbits;
  for (Orbit& orbit : bare.orbits) orbit.panel.flat_pattern_mm.clear();
  const std::uint64_t hash = make_hash(write_design_json(bare));
  return format("%08x", static_cast<unsigned>(hash ^ (hash >> 32)));
}

}  // namespace sixtyfold
