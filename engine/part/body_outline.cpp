#include "engine/part/body_outline.h"

#include <algorithm>
#include <array>

namespace sixtyfold {

namespace {

/// An edge and the strip along it that goes.
struct MovedEdge {
  Vec2 along, inwards;  ///< unit
  double setback;
};

/// From the end of the moved edge to the border, and how much of the border goes.
struct Way {
  std::size_t passed = 0;  ///< vertices of the border that go, with the edge's end; 0: that stays
  std::array<Vec2, 3> points;
  std::size_t count = 0;
};

enum class Along { forwards, backwards };

/// What lies nearer to the edge's line than this lies on it.
constexpr double on_line_mm = 1e-6;
/// Past an obtuse corner the moved edge runs on for so many setbacks at most.
constexpr double most_ahead = 4;

/// Follows the border from an end of the edge until it leaves the strip: at its top, which is the
/// moved edge, at its far end, or through its bottom, which is the edge's line.
Way find_way(const Polygon& outline, std::size_t start, Along direction, const MovedEdge& edge) {
  const std::size_t n = outline.size();
  const Vec2 ahead = direction == Along::forwards ? edge.along : Vec2(-edge.along);
  const auto point_at = [&](double x, double height) {
    return Vec2(outline[start] + x * ahead + height * edge.inwards);
  };
  std::size_t at = start;
  double x = 0, height = 0, end = 0;
  for (std::size_t passed = 1; passed < n; ++passed) {
    const std::size_t next =
        direction == Along::forwards ? (at + 1 < n ? at + 1 : 0) : (at > 0 ? at : n) - 1;
    const Vec2 offset = outline[next] - outline[start];
    const double next_x = ahead.dot(offset), next_height = edge.inwards.dot(offset);
    if (passed == 1 && next_x > 0 && next_height > 0)
      end = std::min(edge.setback * next_x / next_height, most_ahead * edge.setback);
    const auto share_at = [](double from, double to, double wall) {
      return std::max(0.0, (wall - from) / (to - from));
    };
    const double top =
        next_height >= edge.setback ? share_at(height, next_height, edge.setback) : 2;
    const double bottom = next_height < -on_line_mm ? share_at(height, next_height, 0) : 2;
    const double far = next_x > end + on_line_mm ? share_at(x, next_x, end) : 2;
    if (top <= 1 && top <= far + 1e-9)
      return {passed, {point_at(x + top * (next_x - x), edge.setback)}, 1};
    if (std::min(bottom, far) <= 1) {
      if (passed == 1 && end == 0) return {0, {point_at(0, edge.setback)}, 1};
      const double out = bottom <= far ? x + bottom * (next_x - x) : end;
      const double out_height = bottom <= far ? 0 : height + far * (next_height - height);
      if (out >= end) return {passed, {point_at(out, edge.setback), point_at(out, out_height)}, 2};
      return {passed, {point_at(end, edge.setback), point_at(end, 0), point_at(out, 0)}, 3};
    }
    at = next;
    x = next_x;
    height = next_height;
  }
  return {n, {outline[start]}, 1};
}

/// An edge stays where moving it would leave nothing.
void move_edge(BodyOutline& body, std::size_t i) {
  Polygon& outline = body.outline_mm;
  std::vector<double>& setbacks = body.setbacks_mm;
  const std::size_t n = outline.size(), after = i + 1 < n ? i + 1 : 0;
  const Vec2 along = outline[after] - outline[i];
  const double length = along.norm(), setback = setbacks[i];
  setbacks[i] = 0;
  if (!(length > 0)) return;
  const MovedEdge edge{along / length, Vec2(-along.y(), along.x()) / length, setback};
  const Way back = find_way(outline, i, Along::backwards, edge);
  const Way on = find_way(outline, after, Along::forwards, edge);
  if (back.passed + on.passed >= n) return;
  body.next_outline.clear();
  body.next_setbacks.clear();
  const auto push = [&](const Vec2& p, double its_setback) {
    body.next_outline.push_back(p);
    body.next_setbacks.push_back(its_setback);
  };
  // From the end of the way on, round the rest of the border, to the end of the way back.
  const std::size_t first = (after + on.passed) % n;  // to keep
  for (std::size_t k = 0; k < on.count; ++k)
    push(on.points[k], k + 1 == on.count && on.passed > 0 ? setbacks[(first + n - 1) % n] : 0);
  for (std::size_t left = n - on.passed - back.passed, k = first; left > 0; --left) {
    push(outline[k], setbacks[k]);
    k = k + 1 < n ? k + 1 : 0;
  }
  // The last edge kept runs to the border's last point.
  for (std::size_t k = back.count; k-- > 0;) push(back.points[k], 0);
  outline.swap(body.next_outline);
  setbacks.swap(body.next_setbacks);
}

}  // namespace

void set_back(BodyOutline& body) {
  for (;;) {
    const auto next = std::find_if(body.setbacks_mm.begin(), body.setbacks_mm.end(),
                                   [](double setback) { return setback > 0; });
    if (next == body.setbacks_mm.end()) return;
    move_edge(body, static_cast<std::size_t>(next - body.setbacks_mm.begin()));
  }
}

}  // namespace sixtyfold
