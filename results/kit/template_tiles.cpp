#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "engine/shape/boolean.h"
#include "engine/text.h"
#include "results/kit/template_parts.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Tiles of one paper size over one placing of the part.
struct Tiling {
  Vec2 paper, window, step, whole;
  int columns = 1, rows = 1;
  /// Number of the page that shows a tile, by rows; 0: nothing of the part on it. The first page is
  /// the map.
  std::vector<int> page_of;
  int tiles = 0;
  Vec2 origin;  ///< of the part on the whole

  int pages() const { return tiles + 1; }
  /// 0 outside as well.
  int page_at(int row, int column) const {
    return row < 0 || row >= rows || column < 0 || column >= columns
               ? 0
               : page_of[at(row * columns + column)];
  }
  /// A tile's corner on the whole.
  Vec2 corner_of(int row, int column) const { return {column * step.x(), row * step.y()}; }
};

Polygon make_box(const Box& box) {
  return {box.low, {box.high.x(), box.low.y()}, box.high, {box.low.x(), box.high.y()}};
}

constexpr double tile_left = 15, tile_right = 8, tile_top = 8, tile_bottom = 20;

/// No further than to `most` tiles.
Tiling make_tiling(const TemplateDrawing& drawing, const Vec2& paper, double overlap_mm,
                   int most = std::numeric_limits<int>::max()) {
  Tiling tiling;
  const Box box = measure_drawing_box(drawing);
  tiling.paper = paper;
  tiling.window = paper - Vec2(tile_left + tile_right, tile_top + tile_bottom);
  tiling.step = tiling.window - Vec2(overlap_mm, overlap_mm);
  const auto count = [&](double size, double window) {
    return size <= window
               ? 1
               : 1 + static_cast<int>(std::ceil((size - window) / (window - overlap_mm) - 1e-9));
  };
  tiling.columns = count(box.size().x() + 4, tiling.window.x());
  tiling.rows = count(box.size().y() + 4, tiling.window.y());
  tiling.whole = tiling.window +
                 Vec2((tiling.columns - 1) * tiling.step.x(), (tiling.rows - 1) * tiling.step.y());
  tiling.origin = {(tiling.whole.x() - box.size().x()) / 2 - box.low.x(),
                   (tiling.whole.y() + box.size().y()) / 2 + box.low.y()};
  // Tiles that show nothing of the part are not printed.
  const Polygon on_whole = PartPlace{tiling.origin, 1}(drawing.cut_mm.front());
  tiling.page_of.assign(at(tiling.columns * tiling.rows), 0);
  for (int k = 0; k < tiling.columns * tiling.rows && tiling.tiles < most; ++k) {
    const Vec2 low = tiling.corner_of(k / tiling.columns, k % tiling.columns);
    if (measure_set_area(make_intersection({make_box({low, low + tiling.window})}, {on_whole})) > 1)
      tiling.page_of[at(k)] = ++tiling.tiles + 1;
  }
  return tiling;
}

/// Turned so that it takes the fewest pages; of equal ones the first, which is across.
std::pair<TemplateDrawing, Tiling> find_fewest_pages(const TemplateDrawing& given,
                                                     const TemplateOptions& options) {
  const Vec2 upright = measure_paper(options.paper);
  TemplateDrawing drawing = lay_across(given);
  Tiling tiling = make_tiling(drawing, upright, options.overlap_mm);
  for (int k = 0; k < 12; ++k)
    for (const Vec2& paper : {upright, Vec2(upright.y(), upright.x())}) {
      const TemplateDrawing turned = turn_drawing(lay_across(given), k * pi / 12);
      const Tiling other = make_tiling(turned, paper, options.overlap_mm, tiling.tiles);
      if (other.tiles < tiling.tiles) tiling = other, drawing = turned;
    }
  return {drawing, tiling};
}

constexpr const char* page_number_colour = "#1f4fa3";
const PageText foot_text{2.8, TextAt::end};

/// What the pages are for and how they are put together; returns the y below it.
double add_instructions(Page& page, const TemplateDrawing& drawing, const Tiling& tiling,
                        double overlap_mm) {
  page.add_text({tile_left, 20}, drawing.name, {7, TextAt::start, "#000000", true});
  const double width = page.width_mm() - tile_left - tile_right;
  PageText text{3.6};
  double y = page.add_paragraph({tile_left, 24},
                                "Template at true size on " + std::to_string(tiling.tiles) +
                                    (tiling.tiles == 1 ? " page" : " pages") + "; " + drawing.note +
                                    ". Design " + drawing.hash + ".",
                                width, text);
  y = page.add_paragraph(
      {tile_left, y + 1.5},
      "Print at 100 %, not fitted to the page, and measure both 100 mm bars on every page before "
      "gluing. Lay the pages by rows; neighbours overlap by " +
          format("%.0f", overlap_mm) + " mm: bring their crosses together, then glue.",
      width, text);
  for (const std::string& sentence : find_reading_lines(drawing))
    y = page.add_paragraph({tile_left, y + 1}, sentence, width, text);
  text.colour = "#8a1c14";
  return page.add_paragraph({tile_left, y + 1}, knife_caution, width, text);
}

/// The part and the windows over it, small, as large as the room allows.
void add_map(Page& page, const TemplateDrawing& drawing, const Tiling& tiling, const Box& room) {
  const double scale =
      std::min({room.size().x() / tiling.whole.x(), room.size().y() / tiling.whole.y(), 0.5});
  const Vec2 corner((room.low.x() + room.high.x() - scale * tiling.whole.x()) / 2, room.low.y());
  std::vector<Polygon> borders;
  for (const Polygon& ring : drawing.cut_mm) {
    borders.emplace_back();
    for (const Vec2& p : PartPlace{tiling.origin, 1}(ring))
      borders.back().push_back(corner + scale * p);
  }
  page.add_region(borders, {"#000000", 0.3, "#eee8d8", ""});
  for (int row = 0; row < tiling.rows; ++row)
    for (int column = 0; column < tiling.columns; ++column) {
      const Vec2 low = corner + scale * tiling.corner_of(row, column),
                 high = low + scale * tiling.window;
      page.add_polygon(make_box({low, high}), {page_number_colour, 0.3, "", "2 1"});
      const int shown = tiling.page_at(row, column);
      page.add_text((low + high) / 2 + Vec2(0, 2), shown ? std::to_string(shown) : "blank",
                    {5, TextAt::middle, page_number_colour});
    }
}

Page make_map_page(const TemplateDrawing& drawing, const Tiling& tiling, double overlap_mm) {
  Page page(tiling.paper.x(), tiling.paper.y());
  const double right = page.width_mm() - tile_right, bottom = page.height_mm() - tile_bottom;
  const double y = add_instructions(page, drawing, tiling, overlap_mm);
  add_map(page, drawing, tiling, {{tile_left, y + 6}, {right, bottom - 4}});
  add_check_bars(page, {tile_left, page.height_mm() - 14}, {5, tile_top});
  page.add_text({right, page.height_mm() - 8}, "page 1 of " + std::to_string(tiling.pages()),
                foot_text);
  return page;
}

struct Tile {
  int row, column;
  Box window;  ///< on its page
};

/// Crosses in the middle of the overlaps, at the same places of the part on both tiles.
void add_register_crosses(Page& page, const Box& window, double half_overlap_mm) {
  const PageStyle thin{"#000000", 0.2, "", ""};
  for (const double x : {window.low.x() + half_overlap_mm, window.high.x() - half_overlap_mm})
    for (const double y : {window.low.y() + half_overlap_mm, window.high.y() - half_overlap_mm}) {
      page.add_line({x - 3, y}, {x + 3, y}, thin);
      page.add_line({x, y - 3}, {x, y + 3}, thin);
      page.add_circle({x, y}, 1.5, thin);
    }
}

/// Which page comes next to each side.
void add_neighbours(Page& page, const Tiling& tiling, const Tile& tile, double half_overlap_mm) {
  const auto name_side = [&](int number, const Vec2& where, double turned_deg) {
    if (number > 0)
      page.add_text(where, "page " + std::to_string(number),
                    {3, TextAt::middle, page_number_colour, false, turned_deg});
  };
  const auto& [row, column, window] = tile;
  const Vec2 &low = window.low, &high = window.high, middle = (low + high) / 2;
  name_side(tiling.page_at(row - 1, column), {middle.x(), low.y() + half_overlap_mm + 1}, 0);
  name_side(tiling.page_at(row + 1, column), {middle.x(), high.y() - half_overlap_mm + 1}, 0);
  name_side(tiling.page_at(row, column - 1), {low.x() + half_overlap_mm + 1, middle.y()}, -90);
  name_side(tiling.page_at(row, column + 1), {high.x() - half_overlap_mm + 1, middle.y()}, -90);
}

/// Where this tile is: a small map.
void add_small_map(Page& page, const Tiling& tiling, const Tile& tile, const Vec2& corner) {
  const double cell = std::min(4.0, 9.0 / tiling.rows);
  for (int r = 0; r < tiling.rows; ++r)
    for (int c = 0; c < tiling.columns; ++c) {
      const Vec2 low = corner + Vec2(cell * 1.4 * c, cell * r);
      page.add_polygon(
          make_box({low, low + Vec2(cell * 1.4, cell)}),
          {"#555555", 0.2, r == tile.row && c == tile.column ? "#555555" : "#ffffff", ""});
    }
}

/// `content`: the part drawn once; every tile shows its window of it.
Page make_tile_page(const TemplateDrawing& drawing, const Tiling& tiling, const Tile& tile,
                    const Page& content, double overlap_mm) {
  Page page(tiling.paper.x(), tiling.paper.y());
  const auto& [row, column, window] = tile;
  page.add_window(content, window.low - tiling.corner_of(row, column), window);
  page.add_polygon(make_box(window), {"#777777", 0.2, "", ""});
  add_register_crosses(page, window, overlap_mm / 2);
  const double foot = page.height_mm() - 14, right = page.width_mm() - tile_right;
  add_check_bars(page, {tile_left, foot}, {5, tile_top});
  add_neighbours(page, tiling, tile, overlap_mm / 2);
  add_small_map(page, tiling, tile, {tile_left + 106, foot});
  page.add_text({right, foot + 2.5},
                "row " + std::to_string(row + 1) + ", column " + std::to_string(column + 1),
                foot_text);
  page.add_text({right, foot + 6.5},
                "page " + std::to_string(tiling.page_at(row, column)) + " of " +
                    std::to_string(tiling.pages()),
                foot_text);
  page.add_text({right, foot + 10.5}, drawing.name + " \u00b7 " + drawing.hash, foot_text);
  return page;
}

}  // namespace

std::vector<Page> make_tiled_pages(const TemplateDrawing& given, const TemplateOptions& options) {
  const auto [drawing, tiling] = find_fewest_pages(given, options);
  Page content(tiling.whole.x(), tiling.whole.y());
  draw_part(content, drawing, {tiling.origin, 1});
  const Vec2 low(tile_left, tile_top);
  std::vector<Page> pages{make_map_page(drawing, tiling, options.overlap_mm)};
  for (int row = 0; row < tiling.rows; ++row)
    for (int column = 0; column < tiling.columns; ++column)
      if (tiling.page_at(row, column) > 0)
        pages.push_back(make_tile_page(drawing, tiling, {row, column, {low, low + tiling.window}},
                                       content, options.overlap_mm));
  return pages;
}

}  // namespace sixtyfold
