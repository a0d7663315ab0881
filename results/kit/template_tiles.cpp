#include <algorithm>
#include <cmath>

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
  std::vector<int>
      page_of;  ///< number of the page that shows a tile, by rows; 0: nothing of the part on it
  int tiles = 0;
  Vec2 origin;  ///< of the part on the whole
};

constexpr double tile_left = 15, tile_right = 8, tile_top = 8, tile_bottom = 20;

Tiling make_tiling(const TemplateDrawing& drawing, const Vec2& paper, double overlap_mm) {
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
  for (int k = 0; k < tiling.columns * tiling.rows; ++k) {
    const Vec2 low((k % tiling.columns) * tiling.step.x(), (k / tiling.columns) * tiling.step.y()),
        high = low + tiling.window;
    if (measure_set_area(make_intersection({{low, {high.x(), low.y()}, high, {low.x(), high.y()}}},
                                           {on_whole})) > 1)
      tiling.page_of[at(k)] = ++tiling.tiles + 1;
  }
  return tiling;
}

}  // namespace

std::vector<Page> make_tiled_pages(const TemplateDrawing& given, const TemplateOptions& options) {
  const Vec2 upright = measure_paper(options.paper);
  // Turned so that it takes the fewest pages; of equal ones the first, which is across.
  TemplateDrawing drawing = lay_across(given);
  Tiling grid = make_tiling(drawing, upright, options.overlap_mm);
  for (int k = 0; k < 12; ++k)
    for (const Vec2& paper : {upright, Vec2(upright.y(), upright.x())}) {
      const TemplateDrawing turned = turn_drawing(lay_across(given), k * pi / 12);
      const Tiling other = make_tiling(turned, paper, options.overlap_mm);
      if (other.tiles < grid.tiles) grid = other, drawing = turned;
    }
  const double left = tile_left, right = tile_right, top = tile_top, bottom = tile_bottom;
  const Vec2 step = grid.step, whole = grid.whole;
  const std::vector<int>& page_of = grid.page_of;
  const int tiles = grid.tiles, count = tiles + 1;
  // The part drawn once; every tile shows its window of it.
  Page content(whole.x(), whole.y());
  draw_part(content, drawing, {grid.origin, 1});

  std::vector<Page> pages;
  PageText small;
  small.size_mm = 2.8;
  const PageStyle hair{"#777777", 0.2, "", ""};

  Page first(grid.paper.x(), grid.paper.y());
  PageText title;
  title.size_mm = 7;
  title.bold = true;
  first.add_text({left, 20}, drawing.name, title);
  PageText text;
  text.size_mm = 3.6;
  double y = 24;
  y = first.add_paragraph({left, y},
                          "Template at true size on " + std::to_string(tiles) +
                              (tiles == 1 ? " page" : " pages") + "; " + drawing.note +
                              ". Design " + drawing.hash + ".",
                          grid.paper.x() - left - right, text);
  y = first.add_paragraph(
      {left, y + 1.5},
      "Print at 100 %, not fitted to the page, and measure both 100 mm bars on every page before "
      "gluing. Lay the pages by rows; neighbours overlap by " +
          format("%.0f", options.overlap_mm) + " mm: bring their crosses together, then glue.",
      grid.paper.x() - left - right, text);
  for (const std::string& sentence : find_reading_lines(drawing))
    y = first.add_paragraph({left, y + 1}, sentence, grid.paper.x() - left - right, text);
  text.colour = "#8a1c14";
  y = first.add_paragraph({left, y + 1}, knife_caution, grid.paper.x() - left - right, text);
  // The map: the part and the windows, small.
  const Box room{{left, y + 6}, {grid.paper.x() - right, grid.paper.y() - bottom - 4}};
  const double scale = std::min({room.size().x() / whole.x(), room.size().y() / whole.y(), 0.5});
  const Vec2 corner((room.low.x() + room.high.x() - scale * whole.x()) / 2, room.low.y());
  std::vector<Polygon> borders;
  for (const Polygon& ring : drawing.cut_mm) {
    borders.emplace_back();
    for (const Vec2& p : PartPlace{grid.origin, 1}(ring))
      borders.back().push_back(corner + scale * p);
  }
  first.add_region(borders, {"#000000", 0.3, "#eee8d8", ""});
  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column) {
      const Vec2 low = corner + scale * Vec2(column * step.x(), row * step.y()),
                 high = low + scale * grid.window;
      first.add_polygon({low, {high.x(), low.y()}, high, {low.x(), high.y()}},
                        {"#1f4fa3", 0.3, "", "2 1"});
      PageText number;
      number.size_mm = 5;
      number.at = TextAt::middle;
      number.colour = "#1f4fa3";
      const int shown = page_of[at(row * grid.columns + column)];
      first.add_text((low + high) / 2 + Vec2(0, 2), shown ? std::to_string(shown) : "blank",
                     number);
    }
  add_check_bars(first, {left, grid.paper.y() - 14}, {5, top});
  small.at = TextAt::end;
  first.add_text({grid.paper.x() - right, grid.paper.y() - 8}, "page 1 of " + std::to_string(count),
                 small);
  pages.push_back(first);

  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column) {
      const int shown = page_of[at(row * grid.columns + column)];
      if (shown == 0) continue;
      Page page(grid.paper.x(), grid.paper.y());
      const Vec2 low(left, top), high = low + grid.window;
      const Vec2 shift = low - Vec2(column * step.x(), row * step.y());
      page.add_window(content, shift, {low, high});
      page.add_polygon({low, {high.x(), low.y()}, high, {low.x(), high.y()}}, hair);
      // Register crosses in the middle of the overlaps, at the same places of the part on both
      // tiles.
      const double half = options.overlap_mm / 2;
      for (const double x : {low.x() + half, high.x() - half})
        for (const double yy : {low.y() + half, high.y() - half}) {
          page.add_line({x - 3, yy}, {x + 3, yy}, {"#000000", 0.2, "", ""});
          page.add_line({x, yy - 3}, {x, yy + 3}, {"#000000", 0.2, "", ""});
          page.add_circle({x, yy}, 1.5, {"#000000", 0.2, "", ""});
        }
      const double foot = grid.paper.y() - 14;
      add_check_bars(page, {left, foot}, {5, top});
      // Which page comes next to each side.
      const auto neighbour = [&](int r, int c) {
        return r < 0 || r >= grid.rows || c < 0 || c >= grid.columns
                   ? 0
                   : page_of[at(r * grid.columns + c)];
      };
      const auto name_side = [&](int page_number, const Vec2& where, double turned) {
        if (page_number > 0)
          page.add_text(where, "page " + std::to_string(page_number),
                        {3, TextAt::middle, "#1f4fa3", false, turned});
      };
      const Vec2 middle = (low + high) / 2;
      name_side(neighbour(row - 1, column), {middle.x(), low.y() + half + 1}, 0);
      name_side(neighbour(row + 1, column), {middle.x(), high.y() - half + 1}, 0);
      name_side(neighbour(row, column - 1), {low.x() + half + 1, middle.y()}, -90);
      name_side(neighbour(row, column + 1), {high.x() - half + 1, middle.y()}, -90);
      // Where this tile is: a small map.
      const double cell = std::min(4.0, 9.0 / grid.rows);
      for (int r = 0; r < grid.rows; ++r)
        for (int c = 0; c < grid.columns; ++c) {
          const Vec2 a(left + 106 + cell * 1.4 * c, foot + cell * r);
          page.add_polygon(
              {a, a + Vec2(cell * 1.4, 0), a + Vec2(cell * 1.4, cell), a + Vec2(0, cell)},
              {"#555555", 0.2, r == row && c == column ? "#555555" : "#ffffff", ""});
        }
      small.at = TextAt::end;
      page.add_text({grid.paper.x() - right, foot + 2.5},
                    "row " + std::to_string(row + 1) + ", column " + std::to_string(column + 1),
                    small);
      page.add_text({grid.paper.x() - right, foot + 6.5},
                    "page " + std::to_string(shown) + " of " + std::to_string(count), small);
      page.add_text({grid.paper.x() - right, foot + 10.5}, drawing.name + " \u00b7 " + drawing.hash,
                    small);
      pages.push_back(page);
    }
  return pages;
}

}  // namespace sixtyfold
