#include "results/voting/square_code.h"

#include <array>
#include <cassert>
#include <map>

#include "engine/text.h"
#include "results/drawings/markup_text.h"

namespace sixtyfold {

bool SquareCode::is_dark(int row, int column) const {
  return 0 <= row && row < modules && 0 <= column && column < modules &&
         dark[static_cast<std::size_t>(row * modules + column)] != 0;
}

// The border of the dark modules as directed edges, dark to their right hand on a page with y
// downwards, linked to rings. Where four edges meet, two dark modules touch at a corner: turning
// right there keeps them apart.
std::vector<Polygon> find_dark_areas(const SquareCode& code) {
  using Corner = std::array<int, 2>;  // column, row
  std::map<Corner, std::vector<Corner>> next;
  for (int row = 0; row < code.modules; ++row)
    for (int column = 0; column < code.modules; ++column) {
      if (!code.is_dark(row, column)) continue;
      const Corner a{column, row}, b{column + 1, row}, c{column + 1, row + 1}, d{column, row + 1};
      if (!code.is_dark(row - 1, column)) next[a].push_back(b);
      if (!code.is_dark(row, column + 1)) next[b].push_back(c);
      if (!code.is_dark(row + 1, column)) next[c].push_back(d);
      if (!code.is_dark(row, column - 1)) next[d].push_back(a);
    }
  const auto turn = [](const Corner& from, const Corner& at, const Corner& to) {
    return (at[0] - from[0]) * (to[1] - at[1]) - (at[1] - from[1]) * (to[0] - at[0]);
  };
  std::vector<Polygon> rings;
  while (!next.empty()) {
    const Corner start = next.begin()->first;
    Corner from = start, at = start;
    Polygon ring;
    do {
      auto& choices = next[at];
      std::size_t chosen = 0;
      for (std::size_t i = 1; i < choices.size() && at != start; ++i)
        if (turn(from, at, choices[i]) > turn(from, at, choices[chosen])) chosen = i;
      const Corner to = choices[chosen];
      choices.erase(choices.begin() + static_cast<std::ptrdiff_t>(chosen));
      if (choices.empty()) next.erase(at);
      if (at == start || turn(from, at, to) != 0) ring.emplace_back(at[0], at[1]);
      from = at;
      at = to;
    } while (at != start);
    rings.push_back(std::move(ring));
  }
  return rings;
}

void add_square_code(Page& page, const SquareCode& code, const Vec2& top_left, double side_mm) {
  assert(code.modules > 0);
  const double module_mm = side_mm / (code.modules + 2 * quiet_modules);
  std::vector<Polygon> areas = find_dark_areas(code);
  for (Polygon& area : areas)
    for (Vec2& p : area) p = top_left + module_mm * (p + Vec2(quiet_modules, quiet_modules));
  page.add_region(areas, {"", 0, "#000000"});
}

std::string make_square_code_svg(const SquareCode& code, const std::string& label) {
  const int side = code.modules + 2 * quiet_modules;
  std::string data;
  for (const Polygon& area : find_dark_areas(code)) {
    for (std::size_t i = 0; i < area.size(); ++i)
      data += format("%s%.0f,%.0f", i == 0 ? "M" : "L", area[i].x() + quiet_modules,
                     area[i].y() + quiet_modules);
    data += "Z";
  }
  return format(
             "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" role=\"img\" "
             "aria-label=\"",
             side, side) +
         make_markup_text(label) +
         format(
             "\" shape-rendering=\"crispEdges\"><rect width=\"%d\" "
             "height=\"%d\" fill=\"#ffffff\"/><path fill-rule="
             "\"evenodd\" fill=\"#000000\" d=\"",
             side, side) +
         data + "\"/></svg>\n";
}

}  // namespace sixtyfold
