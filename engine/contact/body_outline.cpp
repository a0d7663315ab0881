#include "engine/contact/body_outline.h"

#include <algorithm>

namespace sixtyfold {

namespace {

/// The line of an edge, and its parallel that far inwards.
struct MovedEdge {
  Vec2 base, inwards;
  double setback;
};

/// From an end of the edge along the border to its parallel.
struct Way {
  std::size_t passed = 0;  ///< vertices on the way, with the edge's end; 0 at a reflex corner
  Vec2 end;
};

enum class Along { forwards, backwards };

/// What lies nearer to the edge's line than this lies on it.
constexpr double on_line_mm = 1e-6;

Way find_way(const Polygon& outline, std::size_t start, Along along, const MovedEdge& edge) {
  const std::size_t n = outline.size();
  std::size_t at = start;
  double height = 0;
  bool is_convex = false;
  for (std::size_t passed = 1; passed < n; ++passed) {
    const std::size_t next = along == Along::forwards ? (at + 1 < n ? at + 1 : 0) : (at > 0 ? at : n) - 1;
    const double next_height = edge.inwards.dot(outline[next] - edge.base);
    if (next_height >= edge.setback) {
      const double share = (edge.setback - height) / (next_height - height);
      return {passed, outline[at] + share * (outline[next] - outline[at])};
    }
    is_convex = is_convex || next_height > on_line_mm;
    if (!is_convex && next_height < -on_line_mm) return {0, outline[start] + edge.setback * edge.inwards};
    at = next;
    height = next_height;
  }
  return {n, outline[start]};
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
  const Vec2 inwards = Vec2(-along.y(), along.x()) / length;
  const Way back = find_way(outline, i, Along::backwards, {outline[i], inwards, setback});
  const Way on = find_way(outline, after, Along::forwards, {outline[i], inwards, setback});
  if (back.passed + on.passed >= n) return;
  body.next_outline.clear();
  body.next_setbacks.clear();
  const auto push = [&](const Vec2& p, double its_setback) {
    body.next_outline.push_back(p);
    body.next_setbacks.push_back(its_setback);
  };
  // From the end of the way on, round the rest of the border, to the end of the way back.
  const std::size_t first = (after + on.passed) % n;  // to keep
  push(on.end, on.passed > 0 ? setbacks[(first + n - 1) % n] : 0);
  for (std::size_t left = n - on.passed - back.passed, k = first; left > 0; --left) {
    push(outline[k], setbacks[k]);
    k = k + 1 < n ? k + 1 : 0;
  }
  push(back.end, 0);
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
