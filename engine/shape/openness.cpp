#include "engine/shape/openness.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "engine/lanes.h"

namespace sixtyfold {

namespace {

using Blocker = OpennessWorkspace::Blocker;

constexpr int cells = Blocker::cells;

/// Position across the box in cells, kept inside it.
int clamp_cell(double at) { return std::clamp(static_cast<int>(at), 0, cells - 1); }
int find_row(const Blocker& blocker, double y) {
  return clamp_cell((y - blocker.corner.y()) * blocker.cells_per_mm.y());
}

void set_box(Blocker& blocker) {
  Vec2 high = Vec2::Constant(-std::numeric_limits<double>::infinity()), low = -high;
  for (const Blocker::Edge& edge : blocker.edges) {
    const Vec2 end = edge.low + edge.rise;
    low = low.cwiseMin(edge.low).cwiseMin(end);
    high = high.cwiseMax(edge.low).cwiseMax(end);
  }
  blocker.corner = low;
  for (int k = 0; k < 2; ++k)
    blocker.cells_per_mm[k] = high[k] > low[k] ? cells / (high[k] - low[k]) : 0;
}

std::uint64_t make_mask(int from, int to) {
  return (~std::uint64_t{0} >> (cells - 1 - (to - from))) << from;
}

/// Marks the cells an edge passes through, and what lies to the right of it along the rows' middle
/// lines.
void mark_cells(const Blocker::Edge& edge, Blocker& blocker) {
  constexpr double margin = 1e-6;  // of a cell: what rounding may shift
  const Vec2 scale = blocker.cells_per_mm;
  const Vec2 low = (edge.low - blocker.corner).cwiseProduct(scale);
  const double high_y = (edge.high_y - blocker.corner.y()) * scale.y();
  const double end_x = low.x() + edge.rise.x() * scale.x();
  const double slope = high_y > low.y() ? (end_x - low.x()) / (high_y - low.y()) : 0;
  const int first = clamp_cell(low.y() - margin), last = clamp_cell(high_y + margin);
  for (int row = first; row <= last; ++row) {
    const double bottom = std::max(low.y(), row - margin), top = std::min(high_y, row + 1 + margin);
    double from = low.x() + slope * (bottom - low.y()), to = low.x() + slope * (top - low.y());
    if (!(high_y > low.y())) from = low.x(), to = end_x;
    if (from > to) std::swap(from, to);
    blocker.mixed[static_cast<std::size_t>(row)] |=
        make_mask(clamp_cell(from - margin), clamp_cell(to + margin));
    const double middle = row + 0.5;
    if (!(low.y() <= middle && middle < high_y)) continue;
    const int column = clamp_cell(low.x() + slope * (middle - low.y()));
    if (column < cells - 1)
      blocker.inside[static_cast<std::size_t>(row)] ^= make_mask(column + 1, cells - 1);
  }
}

/// Each edge goes into every row it reaches; `sorted` has them row by row.
void sort_into_rows(Blocker& blocker) {
  std::array<int, cells + 1>& start = blocker.row_start;
  start.fill(0);
  for (const Blocker::Edge& edge : blocker.edges)
    for (int row = find_row(blocker, edge.low.y()); row <= find_row(blocker, edge.high_y); ++row)
      ++start[static_cast<std::size_t>(row)];
  int sum = 0;
  for (int& at : start) at = sum += at;
  blocker.sorted.resize(static_cast<std::size_t>(sum));
  for (const Blocker::Edge& edge : blocker.edges)
    for (int row = find_row(blocker, edge.low.y()); row <= find_row(blocker, edge.high_y); ++row)
      blocker.sorted[static_cast<std::size_t>(--start[static_cast<std::size_t>(row)])] = edge;
}

void add_edges(const Polygon& loop, Blocker& blocker) {
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Vec2 &a = loop[i], &b = loop[i + 1 == loop.size() ? 0 : i + 1];
    const Vec2 &low = a.y() < b.y() ? a : b, &high = a.y() < b.y() ? b : a;
    blocker.edges.push_back({low, high - low, high.y()});
  }
}

/// Even-odd over all loops: a hole takes away what the outline adds. As `contains` for a polygon.
bool covers(const Blocker& blocker, const Vec2& point) {
  const Vec2 at = (point - blocker.corner).cwiseProduct(blocker.cells_per_mm);
  if (!(at.x() >= 0 && at.x() < cells && at.y() >= 0 && at.y() < cells)) return false;
  const auto row = static_cast<std::size_t>(at.y());
  const std::uint64_t cell = std::uint64_t{1} << static_cast<int>(at.x());
  if (!(blocker.mixed[row] & cell)) return blocker.inside[row] & cell;
  bool inside = false;
  for (int i = blocker.row_start[row]; i < blocker.row_start[row + 1]; ++i) {
    const Blocker::Edge& edge = blocker.sorted[static_cast<std::size_t>(i)];
    // Crossed by the ray to the right when the point lies left of the edge, seen upwards.
    inside ^= (edge.low.y() <= point.y()) & (edge.high_y > point.y()) &
              (cross(edge.rise, point - edge.low) > 0);
  }
  return inside;
}

void set_blocker(const ShadeOrbit& orbit, Blocker& blocker) {
  const Frame& frame = orbit.panel.frame;
  const double distance = frame.origin.dot(frame.normal);
  blocker.foot = frame.to_plane(distance * frame.normal);
  double farthest = 0;
  for (const Vec2& v : orbit.panel.outline_mm)
    farthest = std::max(farthest, (v - blocker.foot).squaredNorm());
  farthest = std::sqrt(farthest + distance * distance);
  blocker.distance = distance;
  blocker.x.clear(), blocker.y.clear(), blocker.z.clear();
  blocker.across.clear(), blocker.up.clear();
  if (!(distance > 1e-9 * farthest)) return;
  // Only rays within this angle of a copy's normal can meet it.
  blocker.least_cosine = distance / farthest;
  for (const Mat3& copy : orbit.copies) {
    const Vec3 normal = copy * frame.normal;
    blocker.x.push_back(normal.x());
    blocker.y.push_back(normal.y());
    blocker.z.push_back(normal.z());
    blocker.across.push_back(copy * frame.x_axis);
    blocker.up.push_back(copy * frame.y_axis);
  }
  blocker.cosine.resize(blocker.x.size());
  blocker.edges.clear();
  add_edges(orbit.panel.outline_mm, blocker);
  for (const Polygon& hole : orbit.panel.holes_mm) add_edges(hole, blocker);
  set_box(blocker);
  sort_into_rows(blocker);
  blocker.mixed.fill(0);
  blocker.inside.fill(0);
  for (const Blocker::Edge& edge : blocker.edges) mark_cells(edge, blocker);
}

SIXTYFOLD_LANES
void measure_cosines(const double* x, const double* y, const double* z, std::size_t count,
                     const Vec3& ray, double* cosine) {
  const double rx = ray.x(), ry = ray.y(), rz = ray.z();
  for (std::size_t k = 0; k < count; ++k) cosine[k] = x[k] * rx + y[k] * ry + z[k] * rz;
}

bool blocks(Blocker& blocker, const Vec3& ray) {
  const std::size_t count = blocker.x.size();
  const double *x = blocker.x.data(), *y = blocker.y.data(), *z = blocker.z.data();
  double* cosine = blocker.cosine.data();
  measure_cosines(x, y, z, count, ray, cosine);
  for (std::size_t k = 0; k < count; ++k) {
    if (cosine[k] < blocker.least_cosine) continue;
    const double reach = blocker.distance / cosine[k];
    const Vec2 arm(reach * ray.dot(blocker.across[k]), reach * ray.dot(blocker.up[k]));
    if (covers(blocker, blocker.foot + arm)) return true;
  }
  return false;
}

Vec3 make_ray(int i, int directions) {
  static const double golden_angle = pi * (3 - std::sqrt(5.0));
  const double height = 1 - (2 * i + 1.0) / directions, radius = std::sqrt(1 - height * height);
  // Half a step on, so that no ray lies in a mirror plane, where panels may meet edge to edge.
  const double angle = golden_angle * (i + 0.5);
  return {radius * std::cos(angle), radius * std::sin(angle), height};
}

constexpr int usual_directions = 128;

const std::vector<Vec3>& usual_rays() {
  static const std::vector<Vec3> rays = [] {
    std::vector<Vec3> made;
    for (int i = 0; i < usual_directions; ++i) made.push_back(make_ray(i, usual_directions));
    return made;
  }();
  return rays;
}

}  // namespace

double measure_openness(std::span<const ShadeOrbit> orbits, int directions,
                        OpennessWorkspace& work) {
  assert(directions > 0);
  work.blockers.resize(orbits.size());
  for (std::size_t i = 0; i < orbits.size(); ++i) set_blocker(orbits[i], work.blockers[i]);
  int open = 0;
  for (int i = 0; i < directions; ++i) {
    const Vec3 ray = directions == usual_directions ? usual_rays()[static_cast<std::size_t>(i)]
                                                    : make_ray(i, directions);
    open += std::none_of(work.blockers.begin(), work.blockers.end(),
                         [&](Blocker& blocker) { return blocks(blocker, ray); });
  }
  return static_cast<double>(open) / directions;
}

double measure_openness(std::span<const ShadeOrbit> orbits, int directions) {
  OpennessWorkspace work;
  return measure_openness(orbits, directions, work);
}

double measure_openness(std::span<const Mat3> copies, const Shade& panel, int directions) {
  const ShadeOrbit orbit{copies, panel};
  return measure_openness(std::span(&orbit, 1), directions);
}

}  // namespace sixtyfold
