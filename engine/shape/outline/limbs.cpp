// A strip along a bent spine through the hub: S-shapes, crescents, hooks.

#include <algorithm>
#include <array>

#include "engine/shape/outline/families.h"
#include "engine/shape/outline/polar.h"

namespace sixtyfold {
namespace {

constexpr std::size_t samples = 15;  // along each half of the spine
constexpr int cap_samples = 5;       // inside each rounded end

struct Half {
  double length, bend, onset,
      tip;  // bend: angle turned; onset: its share near the hub; tip: of the hub
};

// Half-width along one half: level at the hub, a belly on the way, down to a share of it at the
// tip.
double half_width(double u, double hub, double tip, double belly) {
  const double v = 1 - u;
  return hub * (1 - (1 - tip) * u * u) + belly * 16 * u * u * v * v;
}

void add_cap(const Vec2& end, double heading, double tip, double roundness, Polygon& outline) {
  const Vec2 along = from_polar(tip * roundness, heading),
             across = from_polar(tip, heading + pi / 2);
  for (int i = 1; i <= cap_samples; ++i) {
    const double angle = pi * i / (cap_samples + 1);
    outline.push_back(end + std::sin(angle) * along - std::cos(angle) * across);
  }
}

// One half of the strip: out along its right side, round the tip and back along the left.
void trace_half(const Half& half, double hub, double belly, double roundness, double heading,
                Polygon& outline) {
  Vec2 spine = Vec2::Zero();
  std::array<Vec2, samples> left;
  const auto heading_at = [&](double u) {
    return heading + half.bend * (half.onset * u + (1 - half.onset) * u * u);
  };
  outline.push_back(from_polar(hub, heading - pi / 2));
  for (std::size_t i = 1; i <= samples; ++i) {
    spine +=
        from_polar(half.length / samples, heading_at((static_cast<double>(i) - 0.5) / samples));
    const double u = static_cast<double>(i) / samples;
    const Vec2 across = from_polar(half_width(u, hub, half.tip, belly), heading_at(u) + pi / 2);
    outline.push_back(spine - across);
    left[i - 1] = spine + across;
  }
  add_cap(spine, heading_at(1), hub * half.tip, roundness, outline);
  outline.insert(outline.end(), left.rbegin(), left.rend());
}

void trace_limbs(std::span<const double> values, int fold, Polygon& outline) {
  const double turn = values[0], hub = values[8], belly = values[9], roundness = values[10];
  Half a{1, values[2], values[4], values[6]}, b{values[1], values[3], values[5], values[7]};
  if (fold == 2) b = a;
  // The strip is nowhere wider than its bend allows: curvature times half-width stays below 0.75.
  for (Half* half : {&a, &b}) {
    const double widest = hub + belly;
    const double sharpest = std::max(half->onset, 2 - half->onset);
    const double most = 0.75 * half->length / (sharpest * widest);
    half->bend = std::clamp(half->bend, -most, most);
  }
  thread_local Polygon right_a, left_a, right_b, left_b;  // scratch memory only
  // Only the ends of a crescent can run into each other: then it is opened a little at a time.
  for (;;) {
    outline.clear();
    trace_half(a, hub, belly, roundness, turn, outline);
    trace_half(b, hub, belly, roundness, turn + pi, outline);
    if (std::abs(a.bend - b.bend) < 2.2 || is_simple(outline)) return;
    a.bend *= 0.9;
    b.bend *= 0.9;
  }
}

}  // namespace

OutlineFamily make_limbs_family() {
  OutlineFamily family;
  family.name = "limbs";
  family.description = "a strip along a bent spine through the hub: S-shapes, crescents, hooks";
  family.parameters = {{"turn", 0, 2 * pi},   {"length_2", 0.55, 1}, {"bend_1", -2.3, 2.3},
                       {"bend_2", -2.3, 2.3}, {"onset_1", 0.5, 1.6}, {"onset_2", 0.5, 1.6},
                       {"tip_1", 0.35, 1},    {"tip_2", 0.35, 1},    {"hub", 0.14, 0.36},
                       {"belly", 0, 0.06},    {"roundness", 0.5, 1}};
  family.most_fold = 2;
  family.trace = trace_limbs;
  return family;
}

}  // namespace sixtyfold
