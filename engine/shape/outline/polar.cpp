#include "engine/shape/outline/polar.h"

#include "engine/lanes.h"

namespace sixtyfold {

namespace {

/// `numbers`: radius, angle, radius, angle ... of `count` points, a multiple of four.
SIXTYFOLD_LANES
void turn_fours(double* numbers, std::size_t count) {
  const Four zero{};
  for (std::size_t i = 0; i < count; i += four, numbers += 2 * four) {
    const Four radius = {numbers[0], numbers[2], numbers[4], numbers[6]};
    const Four angle = {numbers[1], numbers[3], numbers[5], numbers[7]};
    const Four turns = angle * (2 / pi);
    const FourInts whole =
        __builtin_convertvector(turns + (turns < zero ? zero - 0.5 : zero + 0.5), FourInts);
    const Four quarter = __builtin_convertvector(whole, Four);
    Four s, c;
    find_sine_cosine(take_quarters(angle, quarter), s, c);
    // Sine and cosine change places in odd quarters; the second and third turn the cosine's sign
    // over, the third and fourth the sine's.
    const Four odd = __builtin_convertvector(whole & 1, Four);
    const Four left = __builtin_convertvector((whole + 1) & 2, Four);
    const Four low = __builtin_convertvector(whole & 2, Four);
    const Four cosine = odd != zero ? s : c, sine = odd != zero ? c : s;
    const Four px = (left != zero ? -radius : radius) * cosine;
    const Four py = (low != zero ? -radius : radius) * sine;
    for (int k = 0; k < four; ++k) numbers[2 * k] = px[k], numbers[2 * k + 1] = py[k];
  }
}

}  // namespace

void turn_into_points(Polygon& polar) {
  const std::size_t count = polar.size();
  polar.resize((count + four - 1) / four * four, Vec2::Zero());
  turn_fours(polar.empty() ? nullptr : polar.data()->data(), polar.size());
  polar.resize(count);
}

}  // namespace sixtyfold
