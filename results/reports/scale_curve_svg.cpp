#include <algorithm>
#include <cmath>

#include "results/drawings/page.h"
#include "results/drawings/palette.h"
#include "results/reports/stock_plan.h"

namespace sixtyfold {

namespace {

constexpr double width_mm = 180, height_mm = 112;
constexpr double left = 20, right = 172, top = 26, bottom = 92;

/// 1, 2 or 5 times a power of ten, so that about `wanted` of them cover the range.
double find_step(double range, double wanted) {
  const double raw = range / wanted, power = std::pow(10, std::floor(std::log10(raw)));
  for (const double factor : {1.0, 2.0, 5.0})
    if (factor * power >= raw) return factor * power;
  return 10 * power;
}

std::string whole(double value) { return std::to_string(std::lround(value)); }

}  // namespace

std::string make_curve_svg(const std::vector<ScalePoint>& curve, const std::string& title) {
  const std::string heading = title.empty() ? "Sheets for a size" : title + ": sheets for a size";
  Page page({width_mm, height_mm}, heading, "Fewest sheets found for every diameter, as steps");
  page.add_ground(paper_colour);
  page.add_text({left - 8, 13}, heading, {5.6, TextAt::start, ink_colour, true});
  if (curve.empty()) {
    page.add_text({left - 8, 30}, "The part does not fit a sheet at any size looked at.",
                  {4, TextAt::start, quiet_ink});
    return page.to_svg();
  }
  const double low_x = 0.94 * curve.front().diameter_mm, high_x = 1.03 * curve.back().diameter_mm;
  const double high_y = 1.12 * curve.back().sheets;
  const auto x_of = [&](double diameter) {
    return left + (right - left) * (diameter - low_x) / (high_x - low_x);
  };
  const auto y_of = [&](double sheets) { return bottom - (bottom - top) * sheets / high_y; };
  const double step_y = std::max(1.0, find_step(high_y, 6));
  for (double sheets = 0; sheets <= high_y; sheets += step_y) {
    const double y = y_of(sheets);
    page.add_line({left, y}, {right, y}, {"#dcd5c6", sheets == 0 ? 0.35 : 0.2});
    page.add_text({left - 2, y + 1.1}, whole(sheets), {3.1, TextAt::end, quiet_ink});
  }
  const double step_x = find_step(high_x - low_x, 7);
  for (double x = std::ceil(low_x / step_x) * step_x; x <= high_x; x += step_x) {
    page.add_line({x_of(x), bottom}, {x_of(x), bottom + 1.4}, {quiet_ink, 0.25});
    page.add_text({x_of(x), bottom + 5.4}, whole(x), {3.1, TextAt::middle, quiet_ink});
  }
  page.add_text({left - 8, 20.5}, "sheets", {3.4, TextAt::start, quiet_ink});
  page.add_text({right, bottom + 11}, "diameter, mm", {3.4, TextAt::end, quiet_ink});
  // Each point is the largest for its sheets: the step runs to it from the left.
  std::vector<Vec2> steps;
  double from = low_x;
  for (const ScalePoint& point : curve) {
    steps.emplace_back(x_of(from), y_of(point.sheets));
    steps.emplace_back(x_of(point.diameter_mm), y_of(point.sheets));
    from = point.diameter_mm;
  }
  page.add_polyline(steps, {panel_colours[0], 0.9});
  double last_label = -1e9;
  for (const ScalePoint& point : curve) {
    const double x = x_of(point.diameter_mm), y = y_of(point.sheets);
    page.add_circle({x, y}, 1.1, {"", 0, panel_colours[2]});
    if (x - last_label < 9) continue;  // labels would run into each other
    last_label = x;
    page.add_text({x - 1, y - 2}, whole(point.diameter_mm), {2.8, TextAt::end, ink_colour});
  }
  page.add_text({left - 8, height_mm - 5},
                "Dots: the largest diameter found for so many sheets. Tabs and board thickness "
                "stay; the rest scales.",
                {2.9, TextAt::start, quiet_ink});
  return page.to_svg();
}

}  // namespace sixtyfold
