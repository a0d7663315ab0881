#include <algorithm>
#include <cmath>

#include "results/drawings/palette.h"
#include "results/drawings/svg_text.h"
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

std::string draw_line(double x1, double y1, double x2, double y2, const std::string& stroke,
                      double width) {
  return "<line x1=\"" + write_number(x1) + "\" y1=\"" + write_number(y1) + "\" x2=\"" +
         write_number(x2) + "\" y2=\"" + write_number(y2) + "\" stroke=\"" + stroke +
         "\" stroke-width=\"" + write_number(width) + "\"/>\n";
}

}  // namespace

std::string make_curve_svg(const std::vector<ScalePoint>& curve, const std::string& title) {
  const std::string heading = title.empty() ? "Sheets for a size" : title + ": sheets for a size";
  std::string svg = write_svg_head({width_mm, height_mm}, heading,
                                   "Fewest sheets found for every diameter, as steps");
  svg += std::string("<rect width=\"100%\" height=\"100%\" fill=\"") + paper_colour + "\"/>\n";
  svg += std::string("<g font-family=\"") + drawing_fonts + "\" fill=\"" + ink_colour + "\">\n";
  svg += write_text({left - 8, 13}, 5.6, "font-weight=\"bold\"", heading);
  const std::string quiet = std::string("fill=\"") + quiet_ink + "\"";
  if (curve.empty())
    return svg +
           write_text({left - 8, 30}, 4, quiet,
                      "The part does not fit a sheet at any size looked at.") +
           "</g>\n</svg>\n";
  const double low_x = 0.94 * curve.front().diameter_mm, high_x = 1.03 * curve.back().diameter_mm;
  const double high_y = 1.12 * curve.back().sheets;
  const auto x_of = [&](double diameter) {
    return left + (right - left) * (diameter - low_x) / (high_x - low_x);
  };
  const auto y_of = [&](double sheets) { return bottom - (bottom - top) * sheets / high_y; };
  const double step_y = std::max(1.0, find_step(high_y, 6));
  for (double sheets = 0; sheets <= high_y; sheets += step_y) {
    svg += draw_line(left, y_of(sheets), right, y_of(sheets), "#dcd5c6", sheets == 0 ? 0.35 : 0.2);
    svg += write_text({left - 2, y_of(sheets) + 1.1}, 3.1, "text-anchor=\"end\" " + quiet,
                      whole(sheets));
  }
  const double step_x = find_step(high_x - low_x, 7);
  for (double x = std::ceil(low_x / step_x) * step_x; x <= high_x; x += step_x) {
    svg += draw_line(x_of(x), bottom, x_of(x), bottom + 1.4, quiet_ink, 0.25);
    svg += write_text({x_of(x), bottom + 5.4}, 3.1, "text-anchor=\"middle\" " + quiet, whole(x));
  }
  svg += write_text({left - 8, 20.5}, 3.4, quiet, "sheets");
  svg += write_text({right, bottom + 11}, 3.4, "text-anchor=\"end\" " + quiet, "diameter, mm");
  // Each point is the largest for its sheets: the step runs to it from the left.
  std::string path = "M";
  double from = low_x;
  for (const ScalePoint& point : curve) {
    path += write_number(x_of(from)) + " " + write_number(y_of(point.sheets)) + "L" +
            write_number(x_of(point.diameter_mm)) + " " + write_number(y_of(point.sheets)) + "L";
    from = point.diameter_mm;
  }
  path.pop_back();
  svg += "<path fill=\"none\" stroke=\"" + std::string(panel_colours[0]) +
         "\" stroke-width=\"0.9\" stroke-linejoin=\"round\" d=\"" + path + "\"/>\n";
  double last_label = -1e9;
  for (const ScalePoint& point : curve) {
    const double x = x_of(point.diameter_mm), y = y_of(point.sheets);
    svg += "<circle cx=\"" + write_number(x) + "\" cy=\"" + write_number(y) +
           "\" r=\"1.1\" fill=\"" + panel_colours[2] + "\"/>\n";
    if (x - last_label < 9) continue;  // labels would run into each other
    last_label = x;
    svg += write_text({x - 1, y - 2}, 2.8, "text-anchor=\"end\"", whole(point.diameter_mm));
  }
  svg += write_text({left - 8, height_mm - 5}, 2.9, quiet,
                    "Dots: the largest diameter found for so many sheets. Tabs and board thickness "
                    "stay; the rest scales.");
  return svg + "</g>\n</svg>\n";
}

}  // namespace sixtyfold
