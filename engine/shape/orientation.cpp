#include "engine/shape/orientation.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace sixtyfold {
namespace {

struct Sum {
  double high, low;
};

// high + low = a + b exactly (Knuth 1969).
Sum add(double a, double b) {
  const double high = a + b, b_part = high - a, a_part = high - b_part;
  return {high, (a - a_part) + (b - b_part)};
}

// high + low = a * b exactly (Dekker 1971): no dependence on a fused multiply-add.
Sum multiply(double a, double b) {
  const auto split = [](double x) {
    const double scaled = 134217729.0 * x, high = scaled - (scaled - x);
    return Sum{high, x - high};
  };
  const double high = a * b;
  const Sum p = split(a), q = split(b);
  return {high, ((p.high * q.high - high) + p.high * q.low + p.low * q.high) + p.low * q.low};
}

// c is known to lie on the line ab.
bool lies_within(const Vec2& a, const Vec2& b, const Vec2& c) {
  return std::min(a.x(), b.x()) <= c.x() && c.x() <= std::max(a.x(), b.x()) &&
         std::min(a.y(), b.y()) <= c.y() && c.y() <= std::max(a.y(), b.y());
}

}  // namespace

// Sign of a_x b_y - a_y b_x + b_x c_y - b_y c_x + c_x a_y - c_y a_x, summed without any rounding.
int find_exact_orientation(const Vec2& a, const Vec2& b, const Vec2& c) {
  const std::array<Sum, 6> products{multiply(a.x(), b.y()), multiply(-a.y(), b.x()),
                                    multiply(b.x(), c.y()), multiply(-b.y(), c.x()),
                                    multiply(c.x(), a.y()), multiply(-c.y(), a.x())};
  std::array<double, 12> expansion{};
  std::size_t count = 0;
  const auto grow = [&](double term) {
    for (std::size_t i = 0; i < count; ++i) {
      const Sum sum = add(term, expansion[i]);
      expansion[i] = sum.low;
      term = sum.high;
    }
    expansion[count++] = term;
  };
  for (const Sum& product : products) {
    grow(product.low);
    grow(product.high);
  }
  // The components do not overlap and grow in magnitude: the last one that is not 0 has the sign.
  for (std::size_t i = count; i-- > 0;)
    if (expansion[i] != 0) return expansion[i] > 0 ? 1 : -1;
  return 0;
}

bool segments_meet(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d) {
  const int abc = find_orientation(a, b, c), abd = find_orientation(a, b, d);
  const int cda = find_orientation(c, d, a), cdb = find_orientation(c, d, b);
  if (abc * abd < 0 && cda * cdb < 0) return true;
  return (abc == 0 && lies_within(a, b, c)) || (abd == 0 && lies_within(a, b, d)) ||
         (cda == 0 && lies_within(c, d, a)) || (cdb == 0 && lies_within(c, d, b));
}

}  // namespace sixtyfold
