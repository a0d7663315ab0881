#include "engine/appeal/sight.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

#include "engine/lanes.h"
#include "engine/symmetry/ray_images.h"

namespace sixtyfold {

namespace {

constexpr int cells = 48;  // along a side of the picture; fewer than 64
constexpr int views = 12;
constexpr double detail = 0.15;  // of a cell: what outlines may lose

/// One copy with outlines as fine as the pictures show.
struct PlacedPanel {
  Vec3 origin, normal;
  std::vector<std::vector<Vec3>> rings;
};

/// A direction and the picture's axes, in which the centre of the sphere lies at (cells/2,
/// cells/2).
struct View {
  Vec3 towards_eye, right, up;
  double cells_per_mm;

  Vec2 project(const Vec3& p) const {
    return {p.dot(right) * cells_per_mm + cells / 2.0, p.dot(up) * cells_per_mm + cells / 2.0};
  }
};

/// First cell whose middle lies at or beyond `at`.
int find_first(double at) {
  return static_cast<int>(std::ceil(std::clamp(at, -1.0, cells + 1.0) - 0.5));
}

/// Where the rows' middle lines cross the border of a ring, added to work.crossings. Widens first
/// .. last to the rows that have any.
void cross_rows(const std::vector<Vec3>& ring, const View& view, SightWorkspace& work, int& first,
                int& last) {
  Vec2 from = view.project(ring.back());
  for (const Vec3& corner : ring) {
    const Vec2 to = view.project(corner);
    const Vec2 &low = from.y() < to.y() ? from : to, &high = from.y() < to.y() ? to : from;
    const int begin = std::max(0, find_first(low.y()));
    const int end = std::min(cells, find_first(high.y()));
    if (begin < end) {
      const double slope = (high.x() - low.x()) / (high.y() - low.y());
      for (int row = begin; row < end; ++row)
        work.crossings[static_cast<std::size_t>(row)].push_back(
            static_cast<float>(low.x() + slope * (row + 0.5 - low.y())));
      first = std::min(first, begin);
      last = std::max(last, end - 1);
    }
    from = to;
  }
}

/// Draws one panel over those that lie farther from the eye. Returns the number of cells it
/// projects to.
SIXTYFOLD_LANES int draw_panel(const PlacedPanel& panel, int number, const View& view,
                               SightWorkspace& work) {
  const double facing = panel.normal.dot(view.towards_eye);
  if (!(std::abs(facing) > 1e-6)) return 0;  // seen edge on
  int first = cells, last = -1;
  for (const std::vector<Vec3>& ring : panel.rings) cross_rows(ring, view, work, first, last);
  // Depth of the plane above a point of the picture, in cells.
  const double step_x = -panel.normal.dot(view.right) / facing;
  const double step_y = -panel.normal.dot(view.up) / facing;
  const double middle = panel.normal.dot(panel.origin) / facing * view.cells_per_mm;
  int count = 0;
  for (int row = first; row <= last; ++row) {
    std::vector<float>& crossings = work.crossings[static_cast<std::size_t>(row)];
    std::sort(crossings.begin(), crossings.end());
    const double at_left = middle + step_y * (row + 0.5 - cells / 2.0) - step_x * cells / 2.0;
    for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {
      const int begin = std::max(0, find_first(crossings[i]));
      const int end = std::min(cells, find_first(crossings[i + 1]));
      if (begin >= end) continue;
      const std::uint64_t from_begin = ~std::uint64_t{0} << begin;
      work.covered[static_cast<std::size_t>(row)] |= from_begin & ~(~std::uint64_t{0} << end);
      for (int column = begin; column < end; ++column) {
        const auto cell = static_cast<std::size_t>(row * cells + column);
        const auto depth = static_cast<float>(at_left + step_x * (column + 0.5));
        if (!(depth > work.depth[cell])) continue;
        work.depth[cell] = depth;
        work.owner[cell] = number;
      }
      count += end - begin;
    }
    crossings.clear();
  }
  return count;
}

/// The cells of `open` that are joined to `from` along the row.
std::uint64_t spread(std::uint64_t from, std::uint64_t open) {
  from &= open;
  for (std::uint64_t before = 0; before != from;) {
    before = from;
    from |= (from << 1 | from >> 1) & open;
  }
  return from;
}

/// Marks the empty cells that are joined to the picture's border by empty cells.
void mark_outside(SightWorkspace& work) {
  constexpr std::uint64_t row_of_cells = (std::uint64_t{1} << cells) - 1;
  constexpr std::uint64_t ends = std::uint64_t{1} | std::uint64_t{1} << (cells - 1);
  work.outside.assign(cells, 0);
  bool grows = true;
  const auto visit = [&](int row) {
    const auto r = static_cast<std::size_t>(row);
    const std::uint64_t before = row > 0 ? work.outside[r - 1] : row_of_cells;
    const std::uint64_t after = row + 1 < cells ? work.outside[r + 1] : row_of_cells;
    const std::uint64_t reached =
        spread(work.outside[r] | before | after | ends, ~work.covered[r] & row_of_cells);
    grows = grows || reached != work.outside[r];
    work.outside[r] = reached;
  };
  while (grows) {
    grows = false;
    for (int row = 0; row < cells; ++row) visit(row);
    for (int row = cells; row-- > 0;) visit(row);
  }
}

Sight look_along(const std::vector<PlacedPanel>& panels, const View& view, SightWorkspace& work) {
  constexpr auto all = static_cast<std::size_t>(cells * cells);
  work.owner.resize(all);  // told by `covered`
  work.covered.assign(cells, 0);
  work.depth.assign(all, -std::numeric_limits<float>::infinity());
  work.projected.clear();
  for (const PlacedPanel& panel : panels)
    work.projected.push_back(
        draw_panel(panel, static_cast<int>(work.projected.size()), view, work));
  mark_outside(work);
  work.shown.assign(work.projected.size(), 0);
  int filled = 0, empty = 0;
  for (std::size_t row = 0; row < cells; ++row) {
    const int inside = cells - std::popcount(work.outside[row]);
    filled += inside;
    empty += inside - std::popcount(work.covered[row]);
    const int* const owner = &work.owner[row * cells];
    for (std::uint64_t left = work.covered[row]; left != 0;) {  // runs of one owner
      const int begin = std::countr_zero(left);
      int end = begin + 1;
      while (left >> end & 1 && owner[end] == owner[begin]) ++end;
      work.shown[static_cast<std::size_t>(owner[begin])] += end - begin;
      left &= ~std::uint64_t{0} << end;
    }
  }
  Sight sight;
  sight.see_through = filled > 0 ? static_cast<double>(empty) / filled : 1;
  constexpr int least = 3;  // cells: of what is smaller nothing can be told
  int told = 0;
  for (std::size_t i = 0; i < work.projected.size(); ++i) {
    if (work.projected[i] < least) continue;
    sight.legibility += static_cast<double>(work.shown[i]) / work.projected[i];
    ++told;
  }
  if (told > 0) sight.legibility /= told;
  return sight;
}

}  // namespace

Sight measure_sight(std::span<const ShadeOrbit> orbits, SightWorkspace& work) {
  double radius = 0;
  for (const ShadeOrbit& orbit : orbits)
    for (const Vec2& p : orbit.panel.outline_mm)
      radius = std::max(radius, orbit.panel.frame.to_space(p).norm());
  if (!(radius > 0)) return {1, 0};
  const double cells_per_mm = cells / (2 * radius);
  std::vector<PlacedPanel> panels;
  for (const ShadeOrbit& orbit : orbits) {
    std::vector<Polygon> rings{make_simplified(orbit.panel.outline_mm, detail / cells_per_mm)};
    for (const Polygon& hole : orbit.panel.holes_mm)
      if (Polygon ring = make_simplified(hole, detail / cells_per_mm); ring.size() >= 3)
        rings.push_back(std::move(ring));
    for (const Mat3& copy : orbit.copies) {
      Frame placed = orbit.panel.frame;
      placed.origin = copy * placed.origin;
      placed.normal = copy * placed.normal;
      placed.x_axis = copy * placed.x_axis;
      placed.y_axis = copy * placed.y_axis;
      PlacedPanel& one = panels.emplace_back(PlacedPanel{placed.origin, placed.normal, {}});
      for (const Polygon& ring : rings) {
        one.rings.emplace_back();
        for (const Vec2& corner : ring) one.rings.back().push_back(placed.to_space(corner));
      }
    }
  }
  work.crossings.resize(cells);
  Sight mean;
  std::vector<double> see_through;
  for (const Vec3& direction : make_spiral_rays(views)) {
    const Vec3 right = direction.unitOrthogonal();
    const Sight sight =
        look_along(panels, {direction, right, direction.cross(right), cells_per_mm}, work);
    see_through.push_back(sight.see_through);
    mean.legibility += sight.legibility / views;
  }
  std::sort(see_through.begin(), see_through.end());
  constexpr int darker = views / 2;
  for (std::size_t i = 0; i < darker; ++i) mean.see_through += see_through[i] / darker;
  return mean;
}

Sight measure_sight(std::span<const ShadeOrbit> orbits) {
  SightWorkspace work;
  return measure_sight(orbits, work);
}

}  // namespace sixtyfold
