#include "engine/shape/convex_pieces.h"

#include <algorithm>

namespace sixtyfold {

namespace {

/// A piece that grows upwards: its left and right chains from bottom to top.
struct Stack {
  std::vector<Vec2> left, right;
};

constexpr double band_mm = 1e-6;

/// May the chain go on to `next`? A left chain must not turn left, a right chain not right.
bool stays_convex(const std::vector<Vec2>& chain, const Vec2& next, double sign) {
  const std::size_t n = chain.size();
  if (n < 2) return true;
  const Vec2 a = chain[n - 1] - chain[n - 2], b = next - chain[n - 1];
  return sign * cross(a, b) >= -1e-9 * a.norm() * b.norm();
}

void add(std::vector<Vec2>& chain, const Vec2& next) {
  const std::size_t n = chain.size();
  if (n >= 2) {  // straight on: move the end
    const Vec2 a = chain[n - 1] - chain[n - 2], b = next - chain[n - 1];
    if (std::abs(cross(a, b)) <= 1e-12 * a.norm() * b.norm()) {
      chain.back() = next;
      return;
    }
  }
  chain.push_back(next);
}

Polygon close(const Stack& stack) {
  Polygon polygon(stack.right.begin(), stack.right.end());
  polygon.insert(polygon.end(), stack.left.rbegin(), stack.left.rend());
  Polygon clean;
  for (const Vec2& p : polygon)
    if (clean.empty() || (clean.back() - p).norm() > band_mm) clean.push_back(p);
  while (clean.size() > 1 && (clean.front() - clean.back()).norm() <= band_mm) clean.pop_back();
  return clean;
}

}  // namespace

std::vector<Polygon> find_convex_pieces(const std::vector<Polygon>& rings) {
  struct Edge {
    Vec2 low, high;
    double x_at(double y) const {
      return low.x() + (high.x() - low.x()) * ((y - low.y()) / (high.y() - low.y()));
    }
  };
  std::vector<Edge> edges;
  std::vector<double> heights;
  for (const Polygon& ring : rings)
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec2 &a = ring[i], &b = ring[(i + 1) % ring.size()];
      heights.push_back(a.y());
      if (std::abs(a.y() - b.y()) > band_mm)
        edges.push_back(a.y() < b.y() ? Edge{a, b} : Edge{b, a});
    }
  std::sort(heights.begin(), heights.end());
  heights.erase(std::unique(heights.begin(), heights.end(),
                            [](double a, double b) { return b - a <= band_mm; }),
                heights.end());

  std::vector<Polygon> pieces;
  std::vector<Stack> open;
  std::vector<std::pair<double, const Edge*>> across;
  for (std::size_t h = 0; h + 1 < heights.size(); ++h) {
    const double low = heights[h], high = heights[h + 1], middle = (low + high) / 2;
    across.clear();
    for (const Edge& edge : edges)
      if (edge.low.y() < middle && middle < edge.high.y())
        across.emplace_back(edge.x_at(middle), &edge);
    std::sort(across.begin(), across.end(),
              [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<Stack> next;
    for (std::size_t k = 0; k + 1 < across.size(); k += 2) {
      const Edge &l = *across[k].second, &r = *across[k + 1].second;
      const Vec2 bottom_left(l.x_at(low), low), bottom_right(r.x_at(low), low);
      const Vec2 top_left(l.x_at(high), high), top_right(r.x_at(high), high);
      auto below = std::find_if(open.begin(), open.end(), [&](const Stack& stack) {
        return !stack.left.empty() && (stack.left.back() - bottom_left).norm() <= 10 * band_mm &&
               (stack.right.back() - bottom_right).norm() <= 10 * band_mm &&
               stays_convex(stack.left, top_left, -1) && stays_convex(stack.right, top_right, 1);
      });
      Stack stack;
      if (below != open.end()) {
        stack = std::move(*below);
        below->left.clear();
      } else {
        stack.left.push_back(bottom_left);
        stack.right.push_back(bottom_right);
      }
      add(stack.left, top_left);
      add(stack.right, top_right);
      next.push_back(std::move(stack));
    }
    for (const Stack& stack : open)
      if (!stack.left.empty()) pieces.push_back(close(stack));
    open = std::move(next);
  }
  for (const Stack& stack : open) pieces.push_back(close(stack));
  pieces.erase(
      std::remove_if(pieces.begin(), pieces.end(),
                     [](const Polygon& p) { return p.size() < 3 || measure_area(p) < 1e-6; }),
      pieces.end());
  return pieces;
}

}  // namespace sixtyfold
