#include "results/drawings/part_drawing.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "engine/shape/arcs.h"
#include "results/drawings/number_text.h"
#include "results/drawings/page.h"
#include "results/drawings/palette.h"

namespace sixtyfold {
namespace {

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

Polygon make_arrow(const Vec2& tip, const Vec2& along) {
  const Vec2 across(-along.y(), along.x());
  return {tip, tip - 1.8 * along + 0.5 * across, tip - 1.8 * along - 0.5 * across};
}

// A dimension line with arrows at both ends and the length beside it.
void draw_dimension(Page& page, const Vec2& from, const Vec2& to, const std::string& label) {
  const Vec2 along = (to - from).normalized(), middle = (from + to) / 2;
  const bool upright = std::abs(along.y()) > 0.5;
  page.add_line(from, to, {quiet_ink, 0.2});
  page.add_region({make_arrow(to, along), make_arrow(from, -along)}, {"", 0, quiet_ink});
  page.add_text(middle - (upright ? Vec2(1.2, 0) : Vec2(0, 1.2)), label,
                {3.4, TextAt::middle, ink_colour, false, upright ? -90.0 : 0.0});
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
  Page page({options.width_mm, options.height_mm}, title,
            "flat part, " + length + " by " + breadth);
  // Curves as the cut follows them, to a fiftieth of a millimetre of the part.
  const auto curved = [](const Polygon& ring) {
    return make_flattened(ring, find_bulges(ring, most_sagitta_mm), 0.02);
  };
  std::vector<Polygon> rings{place(curved(cut))};
  for (const Polygon& hole : panel.holes_mm) rings.push_back(place(curved(hole)));
  page.add_fine(rings, {ink_colour, 0.3, board_colour});
  if (has_tabs) page.add_fine({place(curved(panel.outline_mm))}, {quiet_ink, 0.2, "", "1.2 0.8"});
  if (!options.title.empty())
    page.add_text({5, 8}, options.title, {5, TextAt::start, ink_colour, true});
  const double below = middle.y() + half.y() + 6, beside = middle.x() - half.x() - 4;
  draw_dimension(page, {middle.x() - half.x(), below}, {middle.x() + half.x(), below}, length);
  draw_dimension(page, {beside, middle.y() + half.y()}, {beside, middle.y() - half.y()}, breadth);
  const PartCaption& caption = options.caption;
  const PageText quiet{3, TextAt::start, quiet_ink};
  page.add_text({5, options.height_mm - 7.5}, has_tabs ? caption.flat_pattern : caption.outline,
                quiet);
  page.add_text({5, options.height_mm - 3.5},
                caption.scale + " " + name_scale(scale) + "; " + caption.area + " " +
                    write_number(std::round(measure_area(cut) / 100)) + " cm\u00b2",
                quiet);
  return page.to_svg();
}

}  // namespace sixtyfold
