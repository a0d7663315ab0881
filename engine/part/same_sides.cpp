#include "engine/part/same_sides.h"

#include <algorithm>
#include <cmath>

#include "engine/part/panel_joints.h"

namespace sixtyfold {

SameSides find_same_sides(const FinishedPart& part) {
  constexpr double near_mm = 0.5;
  const FlatPattern& pattern = part.pattern;
  const std::optional<double> line = find_mirror_line(pattern.outline_mm, near_mm);
  if (!line) return SameSides::no;
  const Vec2 along(std::cos(*line), std::sin(*line));
  for (const Polygon& hole : pattern.holes_mm)
    for (const Vec2& p : hole) {
      const Vec2 image = 2 * along.dot(p) * along - p;
      if (std::none_of(pattern.holes_mm.begin(), pattern.holes_mm.end(), [&](const Polygon& other) {
            return distance_to_boundary(other, image) <= near_mm;
          }))
        return SameSides::no;
    }
  bool all_turn = true;  // without tabs nothing is folded
  for (const Tab& tab : pattern.tabs) {
    const Vec2 middle = measure_centroid(tab.outline_mm);
    const Vec2 image = 2 * along.dot(middle) * along - middle;
    all_turn = all_turn && std::any_of(pattern.tabs.begin(), pattern.tabs.end(), [&](const Tab& t) {
                 return t.fold_side != tab.fold_side &&
                        (measure_centroid(t.outline_mm) - image).norm() < 2 * near_mm;
               });
  }
  return all_turn ? SameSides::part : SameSides::blank;
}

}  // namespace sixtyfold
