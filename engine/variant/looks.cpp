#include "engine/variant/looks.h"

namespace sixtyfold {

void complete_looks(const OrbitScheme& scheme, const Taste& taste, SightWorkspace& work,
                    Variant& variant) {
  std::vector<Mat3> copies;
  for (const int element : scheme.copies)
    copies.push_back(scheme.group->elements[static_cast<std::size_t>(element)]);
  const Polygon outline = variant.outline.to_polygon();
  std::vector<Polygon> windows = variant.windows_mm;
  for (Polygon& window : windows)
    for (Vec2& p : window) p /= variant.scale_mm;
  const ShadeOrbit orbit{copies, {variant.frame, outline, windows}};  // in the drawn unit: ratios
  const Sight sight = measure_sight(std::span(&orbit, 1), work);
  variant.score.see_through = sight.see_through;
  variant.score.legibility = sight.legibility;
  variant.score.appeal = measure_appeal(variant.score, taste);
}

}  // namespace sixtyfold
