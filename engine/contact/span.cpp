#include "engine/contact/span.h"

#include <algorithm>
#include <bit>
#include <cmath>

#include "engine/lanes.h"

namespace sixtyfold {

void LabelledOutline::assign(const Polygon& polygon) {
  x.resize(polygon.size()), y.resize(polygon.size());
  line.assign(polygon.size(), drawn);
  line_bits = {};
  for (std::size_t i = 0; i < polygon.size(); ++i) x[i] = polygon[i].x(), y[i] = polygon[i].y();
}

void LabelledOutline::append(const LabelledOutline& other, std::size_t from, std::size_t to) {
  const auto copy = [from, to](const auto& source, auto& target) {
    const auto begin = source.begin();
    target.insert(target.end(), begin + static_cast<std::ptrdiff_t>(from),
                  begin + static_cast<std::ptrdiff_t>(to));
  };
  copy(other.x, x);
  copy(other.y, y);
  copy(other.line, line);
  for (std::size_t k = 0; k < line_bits.size(); ++k) line_bits[k] |= other.line_bits[k];
}

void LabelledOutline::push(const Vec2& p, std::int16_t edge_line) {
  x.push_back(p.x());
  y.push_back(p.y());
  line.push_back(edge_line);
  note(edge_line);
}

void LabelledOutline::relabel_last(std::int16_t edge_line) {
  line.back() = edge_line;
  note(edge_line);
}

void LabelledOutline::clear() {
  x.clear();
  y.clear();
  line.clear();
  line_bits = {};
}

void LabelledOutline::drop_short_edges(double least) {
  const auto is_short = [least](double dx, double dy) {
    return std::abs(dx) <= least && std::abs(dy) <= least && std::hypot(dx, dy) <= least;
  };
  std::size_t kept = 0;
  for (std::size_t i = 0; i < size(); ++i) {
    if (kept > 0 && is_short(x[i] - x[kept - 1], y[i] - y[kept - 1])) {
      line[kept - 1] = line[i];
      continue;
    }
    x[kept] = x[i], y[kept] = y[i], line[kept] = line[i];
    ++kept;
  }
  while (kept > 1 && is_short(x[0] - x[kept - 1], y[0] - y[kept - 1])) --kept;
  x.resize(kept), y.resize(kept), line.resize(kept);
}

double LabelledOutline::area() const {
  double twice = 0;
  for (std::size_t i = 0, n = size(); i < n; ++i) {
    const std::size_t j = i + 1 == n ? 0 : i + 1;
    twice += x[i] * y[j] - x[j] * y[i];
  }
  return twice / 2;
}

Polygon LabelledOutline::to_polygon() const {
  Polygon polygon;
  copy_to(polygon);
  return polygon;
}

void LabelledOutline::copy_to(Polygon& polygon) const {
  polygon.resize(size());
  for (std::size_t i = 0; i < size(); ++i) polygon[i] = vertex(i);
}

namespace {

/// Insertion sort: there are rarely more than six crossings.
void sort_crossings(std::vector<Crossing>& crossings) {
  for (std::size_t i = 1; i < crossings.size(); ++i) {
    const Crossing moved = crossings[i];
    std::size_t j = i;
    for (; j > 0 && moved.at < crossings[j - 1].at; --j) crossings[j] = crossings[j - 1];
    crossings[j] = moved;
  }
}

/// heights[i] = side . (x[i], y[i]) - offset.
SIXTYFOLD_LANES
void measure_heights(const double* x, const double* y, std::size_t count, double side_x,
                     double side_y, double offset, double* heights) {
  for (std::size_t i = 0; i < count; ++i) heights[i] = side_x * x[i] + side_y * y[i] - offset;
}

SIXTYFOLD_LANES
bool has_label(const std::int16_t* labels, std::size_t count, std::int16_t wanted) {
  int any = 0;
  for (std::size_t i = 0; i < count; ++i) any |= labels[i] == wanted;
  return any;
}

/// Adds the edges of eight whose bit is set, those from `count` on left out.
inline __attribute__((always_inline)) std::size_t add_edges(unsigned changes, std::size_t first,
                                                            std::size_t count, std::int32_t* edges,
                                                            std::size_t found) {
  if (count - first < 8) changes &= (1u << (count - first)) - 1;
  for (; changes; changes &= changes - 1)
    edges[found++] = static_cast<std::int32_t>(first) + std::countr_zero(changes);
  return found;
}

/// Edges whose ends do not lie strictly on one side: heights[i] * heights[i + 1] <= 0, in order.
/// Heights must run on to a multiple of eight beyond count. Returns how many.
std::size_t find_crossing_edges_plainly(const double* heights, std::size_t count,
                                        std::int32_t* edges) {
  std::size_t found = 0;
  for (std::size_t first = 0; first < count; first += 8)
    found = add_edges(mark_changes(heights + first), first, count, edges, found);
  return found;
}

#ifdef SIXTYFOLD_WIDE
SIXTYFOLD_WIDE std::size_t find_crossing_edges_wide(const double* heights, std::size_t count,
                                                    std::int32_t* edges) {
  std::size_t found = 0;
  for (std::size_t first = 0; first < count; first += 8)
    found = add_edges(mark_changes_wide(heights + first), first, count, edges, found);
  return found;
}
#endif

std::size_t find_crossing_edges(const double* heights, std::size_t count, std::int32_t* edges) {
#ifdef SIXTYFOLD_WIDE
  if (has_wide_lanes()) return find_crossing_edges_wide(heights, count, edges);
#endif
  return find_crossing_edges_plainly(heights, count, edges);
}

/// Where an edge from height a to height b crosses; heights of exactly 0 lie on the line.
inline double find_position(double height_a, double height_b, double at_a, double at_b) {
  if (height_a == 0) return at_a;
  if (height_b == 0) return at_b;
  return at_a + (at_b - at_a) * (height_a / (height_a - height_b));
}

/// Adds the crossings of edge a -> b.
inline void add_crossing(double height_a, double height_b, double at_a, double at_b,
                         std::int32_t edge, SideSpans& spans) {
  const bool above_changes = (height_a > 0) != (height_b > 0);
  const bool below_changes = (height_a < 0) != (height_b < 0);
  if (!above_changes && !below_changes) return;
  const double at = find_position(height_a, height_b, at_a, at_b);
  if (above_changes) spans.above.push_back({at, edge});
  if (below_changes) spans.below.push_back({at, edge});
}

}  // namespace

void find_spans(const LabelledOutline& outline, const MeetingLine& line, int line_number,
                SideSpans& spans) {
  spans.clear();
  const std::size_t n = outline.size();
  const double side_x = line.side.x(), side_y = line.side.y();
  // Eight more heights than vertices, all that of the first vertex, let the scan run in eights.
  spans.heights.resize(n + 9);
  double* heights = spans.heights.data();
  measure_heights(outline.x.data(), outline.y.data(), n, side_x, side_y, line.offset, heights);
  const bool on_line = outline.may_have_line(line_number) &&
                       has_label(outline.line.data(), n, static_cast<std::int16_t>(line_number));
  if (on_line)
    for (std::size_t i = 0; i < n; ++i)
      if (outline.line[i] == line_number) heights[i] = heights[i + 1 == n ? 0 : i + 1] = 0;
  for (std::size_t i = n; i < n + 9; ++i) heights[i] = heights[0];
  const auto position_of = [&](std::size_t i) {
    const std::size_t k = i == n ? 0 : i;
    return side_x * outline.y[k] - side_y * outline.x[k];
  };
  spans.edges.resize(n + 1);
  const std::size_t crossing = find_crossing_edges(heights, n, spans.edges.data());
  if (on_line) {
    for (std::size_t k = 0; k < crossing; ++k) {
      const auto i = static_cast<std::size_t>(spans.edges[k]);
      add_crossing(heights[i], heights[i + 1], position_of(i), position_of(i + 1), spans.edges[k],
                   spans);
    }
    sort_crossings(spans.above);
    sort_crossings(spans.below);
    return;
  }
  spans.above.resize(crossing);
  Crossing* next = spans.above.data();
  for (std::size_t k = 0; k < crossing; ++k) {
    const auto i = static_cast<std::size_t>(spans.edges[k]);
    if ((heights[i] > 0) == (heights[i + 1] > 0)) continue;
    *next++ = {find_position(heights[i], heights[i + 1], position_of(i), position_of(i + 1)),
               spans.edges[k]};
  }
  spans.above.resize(static_cast<std::size_t>(next - spans.above.data()));
  sort_crossings(spans.above);
  spans.below = spans.above;  // the order of equal positions must be the same in both
}

void find_spans(const std::vector<Polygon>& loops, const MeetingLine& line, double band_mm,
                SideSpans& spans) {
  spans.clear();
  std::int32_t edge = 0;
  for (const Polygon& loop : loops) {
    const auto height_of = [&](const Vec2& p) {
      const double height = line.height_of(p);
      return std::abs(height) <= band_mm ? 0.0 : height;
    };
    for (std::size_t i = 0; i < loop.size(); ++i, ++edge) {
      const Vec2 &a = loop[i], &b = loop[i + 1 == loop.size() ? 0 : i + 1];
      add_crossing(height_of(a), height_of(b), line.position_of(a), line.position_of(b), edge,
                   spans);
    }
  }
  sort_crossings(spans.above);
  sort_crossings(spans.below);
}

}  // namespace sixtyfold
