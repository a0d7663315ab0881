#include "engine/contact/blunt.h"

#include <cmath>

namespace sixtyfold {

namespace {

/// The point `length` along the boundary from vertex `tip`, forwards or backwards.
struct Walked {
  Vec2 point;
  std::size_t edge;  ///< the edge it lies on
  bool reached = false;
};

Walked walk(const LabelledOutline& outline, std::size_t tip, double length, bool forwards) {
  const std::size_t n = outline.size();
  std::size_t at = tip;
  for (std::size_t step = 0; step + 2 < n; ++step) {
    const std::size_t next = forwards ? (at + 1 == n ? 0 : at + 1) : (at == 0 ? n - 1 : at - 1);
    const Vec2 from = outline.vertex(at), to = outline.vertex(next);
    const double edge_length = (to - from).norm();
    if (length < edge_length)
      return {from + (to - from) * (length / edge_length), forwards ? at : next, true};
    length -= edge_length;
    at = next;
  }
  return {};
}

bool is_sharp(const LabelledOutline& outline, std::size_t i) {
  const std::size_t n = outline.size();
  const Vec2 back = outline.vertex(i == 0 ? n - 1 : i - 1) - outline.vertex(i);
  const Vec2 forth = outline.vertex(i + 1 == n ? 0 : i + 1) - outline.vertex(i);
  static const double limit = std::tan(sharp_corner_rad);
  const double turn = cross(forth, back);
  return turn > 0 && turn < limit * forth.dot(back);
}

/// Replaces the boundary between two walked points by the chord.
void cut_tip(const LabelledOutline& outline, const Walked& before, const Walked& after,
             LabelledOutline& blunted) {
  const std::size_t n = outline.size();
  blunted.clear();
  blunted.push(after.point, outline.line[after.edge]);
  for (std::size_t i = after.edge; i != before.edge;) {
    i = i + 1 == n ? 0 : i + 1;
    blunted.push(outline.vertex(i), outline.line[i]);
  }
  blunted.push(before.point, LabelledOutline::drawn);
}

}  // namespace

int blunt_tips(LabelledOutline& outline, double width, LabelledOutline& scratch) {
  if (!(width > 0)) return 0;
  // Each cut removes a sharp corner and makes two blunt ones.
  int cuts = 0;
  for (std::size_t i = 0; i < outline.size() && cuts < 64;) {
    if (!is_sharp(outline, i)) {
      ++i;
      continue;
    }
    double low = 0, high = 4 * width;
    Walked before = walk(outline, i, high, false), after = walk(outline, i, high, true);
    if (!before.reached || !after.reached || (after.point - before.point).norm() < width) {
      ++i;
      continue;
    }
    for (int step = 0; step < 40; ++step) {
      const double middle = (low + high) / 2;
      before = walk(outline, i, middle, false);
      after = walk(outline, i, middle, true);
      ((after.point - before.point).norm() < width ? low : high) = middle;
    }
    before = walk(outline, i, high, false);
    after = walk(outline, i, high, true);
    cut_tip(outline, before, after, scratch);
    std::swap(outline, scratch);
    i = 0;
    ++cuts;
  }
  return cuts;
}

}  // namespace sixtyfold
