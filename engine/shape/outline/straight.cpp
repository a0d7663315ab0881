// Straight-edged polygons of three to eight corners, star-shaped about the hub or not.

#include "engine/shape/outline/families.h"
#include "engine/shape/outline/polar.h"

namespace sixtyfold {
namespace {

constexpr int most_corners = 8;

// Corners in order of angle make a star-shaped polygon; a twist that grows with the radius carries
// far corners over near ones. A twist too strong for straight edges is halved until they do not
// cross; without a twist they never do.
void trace_straight(std::span<const double> values, int fold, Polygon& outline) {
  const int sector = per_sector(whole(values[0], most_corners), fold, 3);
  const double* radius = &values[2];
  const double* gap = radius + most_corners;
  double sum = 0;
  for (int i = 0; i < sector; ++i) sum += gap[i];
  for (double twist = gap[most_corners];; twist = std::abs(twist) > 0.05 ? twist / 2 : 0) {
    outline.clear();
    for (int k = 0; k < fold; ++k) {
      double angle = values[1] + 2 * pi * k / fold;
      for (int i = 0; i < sector; ++i) {
        outline.emplace_back(radius[i], angle + twist * radius[i]);
        angle += 2 * pi / fold * gap[i] / sum;
      }
    }
    turn_into_points(outline);
    if (twist == 0) return;
    if (measure_area(outline) > 0 && is_simple(outline) && contains(outline, Vec2::Zero()) &&
        distance_to_boundary(outline, Vec2::Zero()) > 0.04)
      return;
  }
}

}  // namespace

OutlineFamily make_straight_family() {
  OutlineFamily family;
  family.name = "straight";
  family.description = "straight edges, three to eight corners, some hooked about the hub";
  family.parameters = {{"corners", 3, most_corners + 1}, {"turn", 0, 2 * pi}};
  add_parameters(family.parameters, "radius", most_corners, 0.22, 1);
  // The widest gap of three corners is 1.25 / 2.75 of a circle, 164 degrees: the hub stays inside.
  add_parameters(family.parameters, "gap", most_corners, 0.75, 1.25);
  family.parameters.push_back({"twist", -2.8, 2.8});
  family.trace = trace_straight;
  return family;
}

}  // namespace sixtyfold
