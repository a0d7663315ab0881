#include "results/drawings/part_drawing.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "engine/shape/arcs.h"
#include "results/drawings/palette.h"
#include "results/drawings/svg_text.h"

namespace sixtyfold {
namespace {

constexpr double unit_mm = 0.01;

// Scales that drawings use: ISO 5455, reduction scales, with 1:1 and the next enlargements.
double find_scale(double room) {
  double best = 0;
  for (double decade = 1e-6; decade < 1e3; decade *= 10)
    for (const double step : {1.0, 2.0, 5.0})
      if (decade * step <= room * (1 + 1e-9)) best = decade * step;
  return best;
}

std::string name_scale(double scale) {
  return scale >= 1 ? write_number(std::round(scale)) + " : 1"
                    : "1 : " + write_number(std::round(1 / scale));
}

std::string draw_arrow(const Vec2& tip, const Vec2& along) {
  const Vec2 across(-along.y(), along.x());
  const Vec2 left = tip - 1.8 * along + 0.5 * across, right = tip - 1.8 * along - 0.5 * across;
  return "M" + write_number(tip.x()) + " " + write_number(tip.y()) + "L" + write_number(left.x()) +
         " " + write_number(left.y()) + "L" + write_number(right.x()) + " " +
         write_number(right.y()) + "z";
}

// A dimension line with arrows at both ends and the length beside it.
std::string draw_dimension(const Vec2& from, const Vec2& to, const std::string& label) {
  const Vec2 along = (to - from).normalized();
  const Vec2 middle = (from + to) / 2;
  const bool upright = std::abs(along.y()) > 0.5;
  const Vec2 at = upright ? Vec2(middle.x() - 1.2, middle.y()) : Vec2(middle.x(), middle.y() - 1.2);
  const std::string turn = upright ? " transform=\"rotate(-90 " + write_number(at.x()) + " " +
                                         write_number(at.y()) + ")\""
                                   : "";
  return "<path d=\"M" + write_number(from.x()) + " " + write_number(from.y()) + "L" +
         write_number(to.x()) + " " + write_number(to.y()) + "\" fill=\"none\" stroke=\"" +
         quiet_ink + "\" stroke-width=\"0.2\"/>\n<path d=\"" + draw_arrow(to, along) +
         draw_arrow(from, -along) + "\" fill=\"" + quiet_ink + "\"/>\n" +
         write_text(at, 3.4,
                    "text-anchor=\"middle\" fill=\"" + std::string(ink_colour) + "\"" + turn,
                    label);
}

}  // namespace

std::string PartDrawingOptions::find_fault() const {
  if (!(40 <= width_mm && width_mm <= 2000) || !(40 <= height_mm && height_mm <= 2000))
    return "the part's drawing is to be 40 to 2000 mm a side";
  return "";
}

std::string make_part_drawing_svg(const Panel& panel, const PartDrawingOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (panel.outline_mm.size() < 3)
    throw std::invalid_argument("the panel has no outline; nothing can be drawn");
  const Polygon& cut = panel.flat_pattern_mm.size() >= 3 ? panel.flat_pattern_mm : panel.outline_mm;
  const bool has_tabs = &cut != &panel.outline_mm;
  const double turn = measure_least_rectangle(cut).direction_rad;
  const Box box = measure_box_along(cut, turn);
  const double top = options.title.empty() ? 5 : 12;
  const Vec2 low(15, top), high(options.width_mm - 5, options.height_mm - 17);
  const Vec2 size = box.size().cwiseMax(1e-6);
  const double scale =
      find_scale(std::min((high.x() - low.x()) / size.x(), (high.y() - low.y()) / size.y()));
  const Vec2 middle = (low + high) / 2, half = scale * size / 2;
  const auto place = [&](const Polygon& ring) {  // y down on the page, the face up
    Polygon placed;
    for (const Vec2& p : ring) {
      const Vec2 turned(std::cos(turn) * p.x() + std::sin(turn) * p.y(),
                        -std::sin(turn) * p.x() + std::cos(turn) * p.y());
      const Vec2 from_middle = scale * (turned - (box.low + box.high) / 2);
      placed.emplace_back(middle.x() + from_middle.x(), middle.y() - from_middle.y());
    }
    return placed;
  };

  const std::string title = options.title.empty() ? "Part" : options.title;
  const std::string length = write_number(std::round(size.x() * 10) / 10) + " mm";
  const std::string breadth = write_number(std::round(size.y() * 10) / 10) + " mm";
  std::string svg = write_svg_head({options.width_mm, options.height_mm}, title,
                                   "flat part, " + length + " by " + breadth);
  // Curves as the cut follows them, to a fiftieth of a millimetre of the part.
  const auto curved = [](const Polygon& ring) {
    return make_flattened(ring, find_bulges(ring, most_sagitta_mm), 0.02);
  };
  std::vector<Polygon> rings{place(curved(cut))};
  for (const Polygon& hole : panel.holes_mm) rings.push_back(place(curved(hole)));
  svg += "<g transform=\"scale(0.01)\" stroke-linejoin=\"round\">\n<path d=\"" +
         write_path_data(rings, unit_mm) + "\" fill=\"" + board_colour +
         "\" fill-rule=\"evenodd\" stroke=\"" + ink_colour + "\" stroke-width=\"30\"/>\n";
  if (has_tabs)
    svg += "<path d=\"" + write_path_data({place(curved(panel.outline_mm))}, unit_mm) +
           "\" fill=\"none\" stroke=\"" + quiet_ink +
           "\" stroke-width=\"20\" stroke-dasharray=\"120 80\"/>\n";
  svg += std::string("</g>\n<g font-family=\"") + drawing_fonts + "\">\n";
  if (!options.title.empty())
    svg += write_text({5, 8}, 5, std::string("font-weight=\"bold\" fill=\"") + ink_colour + "\"",
                      options.title);
  const double below = middle.y() + half.y() + 6, beside = middle.x() - half.x() - 4;
  svg += draw_dimension({middle.x() - half.x(), below}, {middle.x() + half.x(), below}, length);
  svg += draw_dimension({beside, middle.y() + half.y()}, {beside, middle.y() - half.y()}, breadth);
  const PartCaption& caption = options.caption;
  const std::string quiet = std::string("fill=\"") + quiet_ink + "\"";
  svg += write_text({5, options.height_mm - 7.5}, 3, quiet,
                    has_tabs ? caption.flat_pattern : caption.outline);
  svg += write_text({5, options.height_mm - 3.5}, 3, quiet,
                    caption.scale + " " + name_scale(scale) + "; " + caption.area + " " +
                        write_number(std::round(measure_area(cut) / 100)) + " cm\u00b2");
  return svg + "</g>\n</svg>\n";
}

}  // namespace sixtyfold
