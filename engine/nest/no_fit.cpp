#include "engine/nest/no_fit.h"

#include <cmath>
#include <cstdint>

#include "engine/shape/clipper_paths.h"

namespace sixtyfold {

namespace {

using ClipperLib::IntPoint;
using ClipperLib::Path;
using ClipperLib::Paths;

/// On the grid, mirrored in the origin where asked for, without points that come twice.
Path to_distinct(const Polygon& polygon, double sign) {
  Path path;
  for (const Vec2& p : polygon) {
    const IntPoint point = to_grid(sign * p, no_fit_units_per_mm);
    if (path.empty() || path.back() != point) path.push_back(point);
  }
  while (path.size() > 1 && path.front() == path.back()) path.pop_back();
  return path;
}

struct Edge {
  std::int64_t x = 0, y = 0;
};

Edge edge_of(const Path& path, std::size_t i) {
  const IntPoint &p = path[i], &q = path[(i + 1) % path.size()];
  return {q.X - p.X, q.Y - p.Y};
}

/// Sign of a x b: coordinates stay below 2^29, so products fit.
int turn(const Edge& a, const Edge& b) {
  const std::int64_t value = a.x * b.y - a.y * b.x;
  return (value > 0) - (value < 0);
}

bool same_direction(const Edge& a, const Edge& b) {
  return turn(a, b) == 0 && a.x * b.x + a.y * b.y > 0;
}

/// Does direction d lie in the angle swept counter-clockwise from a to b, less than half a turn?
/// One end belongs to it, the other does not.
bool is_swept(const Edge& a, const Edge& b, const Edge& d, bool with_start) {
  if (same_direction(a, d)) return with_start;
  if (same_direction(b, d)) return !with_start;
  return turn(a, d) > 0 && turn(d, b) > 0;
}

/// +1: the tracing turns left through d at the corner between the two edges; -1: right; 0: not.
int passes(const Edge& in, const Edge& out, const Edge& d, bool with_start) {
  const int bend = turn(in, out);
  if (bend > 0) return is_swept(in, out, d, with_start) ? 1 : 0;
  if (bend < 0) return is_swept(out, in, d, with_start) ? -1 : 0;
  return 0;
}

/// The convolution as closed walks over the pairs (corner of a, corner of b).
Paths make_convolution(const Path& a, const Path& b) {
  const std::size_t rows = a.size(), columns = b.size();
  std::vector<std::vector<std::uint32_t>> next(rows * columns);
  const auto node = [&](std::size_t i, std::size_t j) {
    return static_cast<std::uint32_t>((i % rows) * columns + j % columns);
  };
  std::vector<Edge> edges_a, edges_b;
  for (std::size_t i = 0; i < rows; ++i) edges_a.push_back(edge_of(a, i));
  for (std::size_t j = 0; j < columns; ++j) edges_b.push_back(edge_of(b, j));
  for (std::size_t i = 0; i < rows; ++i)
    for (std::size_t j = 0; j < columns; ++j) {
      // Equal directions are told apart as if a were turned left by an infinitesimal angle.
      const int along_a =
          passes(edges_b[(j + columns - 1) % columns], edges_b[j], edges_a[i], true);
      if (along_a > 0) next[node(i, j)].push_back(node(i + 1, j));
      if (along_a < 0) next[node(i + 1, j)].push_back(node(i, j));
      const int along_b = passes(edges_a[(i + rows - 1) % rows], edges_a[i], edges_b[j], false);
      if (along_b > 0) next[node(i, j)].push_back(node(i, j + 1));
      if (along_b < 0) next[node(i, j + 1)].push_back(node(i, j));
    }
  Paths walks;
  for (std::uint32_t start = 0; start < next.size(); ++start)
    while (!next[start].empty()) {
      Path walk;
      std::uint32_t at = start;
      do {
        const IntPoint &p = a[at / columns], &q = b[at % columns];
        walk.emplace_back(p.X + q.X, p.Y + q.Y);
        if (next[at].empty()) break;
        const std::uint32_t to = next[at].back();
        next[at].pop_back();
        at = to;
      } while (at != start);
      walks.push_back(std::move(walk));
    }
  return walks;
}

/// Corners between edges that turn back on themselves or run straight on are dropped: a tracing has
/// no defined turn there.
Path without_straight_corners(Path path) {
  for (bool changed = true; changed && path.size() >= 3;) {
    changed = false;
    for (std::size_t i = 0; i < path.size() && path.size() >= 3;) {
      const std::size_t before = (i + path.size() - 1) % path.size();
      if (turn(edge_of(path, before), edge_of(path, i)) == 0) {
        path.erase(path.begin() + static_cast<std::ptrdiff_t>(i));
        changed = true;
      } else {
        ++i;
      }
    }
  }
  return path;
}

}  // namespace

std::vector<Polygon> make_no_fit(const Polygon& fixed, const Polygon& moved) {
  const Path a = without_straight_corners(to_distinct(fixed, 1));
  const Path b = without_straight_corners(to_distinct(moved, -1));
  if (a.size() < 3 || b.size() < 3) return {};
  ClipperLib::Clipper clipper;
  clipper.AddPaths(make_convolution(a, b), ClipperLib::ptSubject, true);
  Paths region;
  clipper.Execute(ClipperLib::ctUnion, region, ClipperLib::pftPositive, ClipperLib::pftPositive);
  std::vector<Polygon> result;
  for (const Path& path : region)
    if (path.size() >= 3) result.push_back(from_path(path, no_fit_units_per_mm));
  return result;
}

}  // namespace sixtyfold
