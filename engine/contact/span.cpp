#include "engine/contact/span.h"

#include <algorithm>

namespace sixtyfold {

void LabelledOutline::assign(const Polygon& polygon) {
  clear();
  for (const Vec2& p : polygon) push(p, drawn);
}

void LabelledOutline::push(const Vec2& p, std::int16_t edge_line) {
  x.push_back(p.x());
  y.push_back(p.y());
  line.push_back(edge_line);
}

void LabelledOutline::clear() {
  x.clear();
  y.clear();
  line.clear();
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
  Polygon polygon(size());
  for (std::size_t i = 0; i < size(); ++i) polygon[i] = vertex(i);
  return polygon;
}

namespace {

void sort_crossings(std::vector<Crossing>& crossings) {
  std::sort(crossings.begin(), crossings.end(),
            [](const Crossing& a, const Crossing& b) { return a.at < b.at; });
}

/// Adds the crossings of edge a -> b; heights of exactly 0 lie on the line.
inline void add_crossing(double height_a, double height_b, double at_a, double at_b,
                         std::int32_t edge, SideSpans& spans) {
  const bool above_changes = (height_a > 0) != (height_b > 0);
  const bool below_changes = (height_a < 0) != (height_b < 0);
  if (!above_changes && !below_changes) return;
  double at;
  if (height_a == 0)
    at = at_a;
  else if (height_b == 0)
    at = at_b;
  else
    at = at_a + (at_b - at_a) * (height_a / (height_a - height_b));
  if (above_changes) spans.above.push_back({at, edge});
  if (below_changes) spans.below.push_back({at, edge});
}

}  // namespace

void find_spans(const LabelledOutline& outline, const MeetingLine& line, int line_number,
                SideSpans& spans) {
  spans.clear();
  const std::size_t n = outline.size();
  const double side_x = line.side.x(), side_y = line.side.y(), offset = line.offset;
  const auto height_of = [&](std::size_t i) {
    const std::size_t before = i == 0 ? n - 1 : i - 1;
    if (outline.line[i] == line_number || outline.line[before] == line_number) return 0.0;
    return side_x * outline.x[i] + side_y * outline.y[i] - offset;
  };
  const auto position_of = [&](std::size_t i) {
    return side_x * outline.y[i] - side_y * outline.x[i];
  };
  double height = height_of(0);
  const double first_height = height;
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t next = i + 1 == n ? 0 : i + 1;
    const double next_height = next == 0 ? first_height : height_of(next);
    if (!((height > 0 && next_height > 0) || (height < 0 && next_height < 0)))
      add_crossing(height, next_height, position_of(i), position_of(next),
                   static_cast<std::int32_t>(i), spans);
    height = next_height;
  }
  sort_crossings(spans.above);
  sort_crossings(spans.below);
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
