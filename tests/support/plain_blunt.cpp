#include "tests/support/plain_blunt.h"

#include <cmath>
#include <optional>

#include "engine/contact/blunt.h"

namespace sixtyfold::plain {

namespace {

/// A point on an edge of the boundary.
struct Spot {
  Vec2 point;
  std::size_t edge;
};

/// The spot `length` along the boundary from a vertex; nothing when that is nearly all round.
std::optional<Spot> walk(const LabelledOutline& outline, std::size_t vertex, double length,
                         bool forwards) {
  const std::size_t n = outline.size();
  for (std::size_t step = 0; step + 2 < n; ++step) {
    const std::size_t next = (vertex + (forwards ? 1 : n - 1)) % n;
    const Vec2 from = outline.vertex(vertex), to = outline.vertex(next);
    const double edge_length = (to - from).norm();
    if (length < edge_length)
      return Spot{from + (to - from) * (length / edge_length), forwards ? vertex : next};
    length -= edge_length;
    vertex = next;
  }
  return std::nullopt;
}

bool is_sharp(const LabelledOutline& outline, std::size_t i) {
  const std::size_t n = outline.size();
  const Vec2 back = outline.vertex((i + n - 1) % n) - outline.vertex(i);
  const Vec2 forth = outline.vertex((i + 1) % n) - outline.vertex(i);
  const double angle = std::atan2(cross(forth, back), forth.dot(back));
  return 0 < angle && angle < sharp_corner_rad;
}

/// Length of the chord between the spots so far from a tip on both sides.
std::optional<double> measure_chord(const LabelledOutline& outline, std::size_t tip,
                                    double walked) {
  const auto before = walk(outline, tip, walked, false), after = walk(outline, tip, walked, true);
  if (!before || !after) return std::nullopt;
  return (after->point - before->point).norm();
}

/// How far from the tip the chord first is `width` long; nothing within four widths.
std::optional<double> find_chord(const LabelledOutline& outline, std::size_t tip, double width) {
  constexpr int steps = 4000;
  double low = 0, high = 0;
  for (int step = 1; step <= steps; ++step) {
    high = 4 * width * step / steps;
    const auto chord = measure_chord(outline, tip, high);
    if (!chord) return std::nullopt;
    if (*chord >= width) break;
    if (step == steps) return std::nullopt;
    low = high;
  }
  for (int halving = 0; halving < 50; ++halving) {
    const double middle = (low + high) / 2;
    (*measure_chord(outline, tip, middle) < width ? low : high) = middle;
  }
  return high;
}

LabelledOutline cut_tip(const LabelledOutline& outline, const Spot& before, const Spot& after) {
  LabelledOutline blunted;
  blunted.push(after.point, outline.line[after.edge]);
  for (std::size_t i = after.edge; i != before.edge;) {
    i = (i + 1) % outline.size();
    blunted.push(outline.vertex(i), outline.line[i]);
  }
  blunted.push(before.point, LabelledOutline::drawn);
  return blunted;
}

}  // namespace

LabelledOutline drop_short_edges(const LabelledOutline& outline, double least) {
  const auto is_short = [least](const Vec2& a, const Vec2& b) {
    return std::hypot(a.x() - b.x(), a.y() - b.y()) <= least;
  };
  LabelledOutline kept;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    if (kept.size() > 0 && is_short(outline.vertex(i), kept.vertex(kept.size() - 1)))
      kept.relabel_last(outline.line[i]);
    else
      kept.push(outline.vertex(i), outline.line[i]);
  }
  while (kept.size() > 1 && is_short(kept.vertex(0), kept.vertex(kept.size() - 1))) {
    kept.x.pop_back();
    kept.y.pop_back();
    kept.line.pop_back();
  }
  return kept;
}

Blunted blunt_tips(const LabelledOutline& outline, double width) {
  Blunted result{outline, 0};
  // Each cut removes a sharp corner and makes two blunt ones: begin again after it.
  for (std::size_t i = 0; i < result.outline.size() && result.tips < 64;) {
    const auto walked =
        is_sharp(result.outline, i) ? find_chord(result.outline, i, width) : std::nullopt;
    if (!walked) {
      ++i;
      continue;
    }
    result.outline = cut_tip(result.outline, *walk(result.outline, i, *walked, false),
                             *walk(result.outline, i, *walked, true));
    ++result.tips;
    i = 0;
  }
  return result;
}

}  // namespace sixtyfold::plain
