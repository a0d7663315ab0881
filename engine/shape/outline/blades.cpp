// Blades that leave a round hub: commas, boomerangs, three- and four-armed whirls.

#include <algorithm>

#include "engine/shape/outline/families.h"
#include "engine/shape/outline/polar.h"

namespace sixtyfold {
namespace {

constexpr int most_blades = 4;
constexpr int most_steps = 16;  // along each side of a blade

// At every radius each blade owns an interval of angles inside its own sector, filleted into the
// valley circle at its root and rounded at its tip; then the circles about the hub are turned by an
// angle that grows with their radius. Nothing can cross.
void trace_blades(std::span<const double> values, int fold, Polygon& outline) {
  const int sector = per_sector(whole(values[0], most_blades), fold, 1);
  const double* length = &values[2];
  const double* gap = length + most_blades;
  const double valley = gap[most_blades], root = gap[most_blades + 1], tip = gap[most_blades + 2];
  const double round = gap[most_blades + 3], fillet = gap[most_blades + 4];
  const double twist = gap[most_blades + 5], sweep = gap[most_blades + 6];
  const int blades = fold * sector;
  double sum = 0;
  for (int i = 0; i < sector; ++i) sum += gap[i];

  const int steps = std::clamp(36 / blades, 5, most_steps);
  const auto put = [&](double r, double angle) {
    outline.emplace_back(r, angle + twist * r * (sweep + (1 - sweep) * r));
  };
  double share[most_steps];  // dense where the outline curves most: at the root and the tip
  for (int step = 0; step < steps; ++step)
    share[step] = 0.5 - from_polar(0.5, pi * step / steps).x();
  for (int k = 0; k < fold; ++k) {
    double start = values[1] + 2 * pi * k / fold;
    for (int i = 0; i < sector; ++i) {
      const double half = pi / fold * gap[i] / sum;  // of this blade's own sector
      const double middle = start + half, reach = length[i] - valley;
      const double limit = 0.8 * std::min(half, 1.2);  // of the cover, before the fillet
      const double cap = std::min(round, 0.6 * reach), width = std::min(fillet, 0.6 * reach);
      double radius[most_steps], cover[most_steps];  // cover: half of the angle the blade takes
      for (int step = 0; step < steps; ++step) {
        const double rise = reach * share[step], r = valley + rise;
        double angle = limit * (1 - std::exp(-(root + (tip - root) * share[step]) / (r * limit)));
        const double past = 1 - (reach - rise) / cap, near = 1 - rise / width;
        if (past > 0) angle *= std::sqrt(1 - past * past);
        if (near > 0)
          angle += std::min(half - angle, width / valley) * (1 - std::sqrt(1 - near * near));
        radius[step] = r;
        cover[step] = angle;
      }
      // The valley circle, where the fillets leave any of it, is drawn up to the foot of the blade
      // and from it to the border of the sector, which is the next blade's first point.
      const double floor = half - cover[0];
      const int arc = floor < 1e-9 ? 0 : std::clamp(static_cast<int>(floor / 0.25), 1, 12);
      for (int step = 0; step < arc; ++step) put(valley, start + floor * step / arc);
      for (int step = 0; step < steps; ++step) put(radius[step], middle - cover[step]);
      put(length[i], middle);
      for (int step = steps - 1; step > 0; --step) put(radius[step], middle + cover[step]);
      for (int step = 0; step < arc; ++step) put(valley, middle + cover[0] + floor * step / arc);
      start += 2 * half;
    }
  }
  turn_into_points(outline);
}

}  // namespace

OutlineFamily make_blades_family() {
  OutlineFamily family;
  family.name = "blades";
  family.description = "one to four swept blades on a round hub: commas, boomerangs, whirls";
  family.parameters = {{"blades", 1, most_blades + 1}, {"turn", 0, 2 * pi}};
  add_parameters(family.parameters, "length", most_blades, 0.65, 1);
  add_parameters(family.parameters, "gap", most_blades, 0.7, 1.3);
  family.parameters.insert(family.parameters.end(), {{"valley", 0.22, 0.42},
                                                     {"root", 0.12, 0.3},
                                                     {"tip", 0.1, 0.3},
                                                     {"round", 0.1, 0.35},
                                                     {"fillet", 0.08, 0.4},
                                                     {"twist", -1.8, 1.8},
                                                     {"sweep", 0, 1.6}});
  family.trace = trace_blades;
  return family;
}

}  // namespace sixtyfold
