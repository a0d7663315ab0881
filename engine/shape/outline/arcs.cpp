// A few corners joined by sweeping sides: leaves, kites with hollow sides, pinwheels.

#include <algorithm>

#include "engine/shape/outline/families.h"
#include "engine/shape/outline/polar.h"

namespace sixtyfold {
namespace {

constexpr int most_corners = 5;

// Between corners log r falls from both to a dent (or rises to a bulge). The slope at the corners
// is bounded, so tips stay blunt. The twist turns each circle about the hub by an angle of its own:
// a homeomorphism of the plane, so nothing can cross.
void trace_arcs(std::span<const double> values, int fold, Polygon& outline) {
  const int sector = per_sector(whole(values[0], most_corners), fold, 2);
  const double* radius = &values[2];
  const double* gap = radius + most_corners;
  const double* dent = gap + most_corners;
  const double twist = dent[most_corners];
  double sum = 0, log_radius[most_corners];
  for (int i = 0; i < sector; ++i) {
    sum += gap[i];
    log_radius[i] = std::log(radius[i]);
  }
  const int steps = std::max(6, 84 / (fold * sector));
  for (int k = 0; k < fold; ++k) {
    double angle = values[1] + 2 * pi * k / fold;
    for (int i = 0; i < sector; ++i) {
      const double width = 2 * pi / fold * gap[i] / sum;
      const double from = log_radius[i], to = log_radius[(i + 1) % sector];
      for (int step = 0; step < steps; ++step) {
        const double u = static_cast<double>(step) / steps;
        const double r =
            std::exp(from + (to - from) * u * u * (3 - 2 * u) - dent[i] * width * u * (1 - u));
        outline.emplace_back(r, angle + width * u + twist * r);
      }
      angle += width;
    }
  }
  turn_into_points(outline);
}

}  // namespace

OutlineFamily make_arcs_family() {
  OutlineFamily family;
  family.name = "arcs";
  family.description =
      "two to five corners joined by hollow or bulging sweeps, twisted about the hub";
  family.parameters = {{"corners", 2, most_corners + 1}, {"turn", 0, 2 * pi}};
  add_parameters(family.parameters, "radius", most_corners, 0.45, 1);
  add_parameters(family.parameters, "gap", most_corners, 0.7, 1.3);
  add_parameters(family.parameters, "dent", most_corners, -0.25, 1.9);
  family.parameters.push_back({"twist", -1.4, 1.4});
  family.trace = trace_arcs;
  return family;
}

}  // namespace sixtyfold
