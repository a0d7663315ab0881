#pragma once
// Points from polar coordinates.

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// What is left of an angle when quarter turns are taken away (Cody and Waite 1980).
template <typename Real>
inline __attribute__((always_inline)) Real take_quarters(const Real& angle, const Real& quarters) {
  return (angle - quarters * 1.57079632673412561417) - quarters * 6.07710050650619224932e-11;
}

/// Sine and cosine of x, |x| <= pi / 4, by Taylor's series to x^17. Real: double or several at
/// once.
template <typename Real>
inline __attribute__((always_inline)) void find_sine_cosine(const Real& x, Real& sine,
                                                            Real& cosine) {
  const Real z = x * x;
  sine =
      x + x * z *
              (-1.0 / 6 +
               z * (1.0 / 120 + z * (-1.0 / 5040 +
                                     z * (1.0 / 362880 + z * (-1.0 / 39916800 +
                                                              z * (1.0 / 6227020800 +
                                                                   z * (-1.0 / 1307674368000)))))));
  cosine =
      1 + z * (-0.5 +
               z * (1.0 / 24 +
                    z * (-1.0 / 720 + z * (1.0 / 40320 + z * (-1.0 / 3628800 +
                                                              z * (1.0 / 479001600 +
                                                                   z * (-1.0 / 87178291200 +
                                                                        z / 20922789888000.0)))))));
}

/// radius (cos angle, sin angle), for |angle| below 1e5, to about 1e-15. Polynomials of our own:
/// inlined they take a quarter of the library's time, and they give
/// the same bytes with every mathematics library.
inline Vec2 from_polar(double radius, double angle) {
  const double turns = angle * (2 / pi);
  const double quarter = static_cast<double>(static_cast<int>(turns + (turns < 0 ? -0.5 : 0.5)));
  double s = 0, c = 0;
  find_sine_cosine(take_quarters(angle, quarter), s, c);
  const int turn = static_cast<int>(quarter) & 3;
  const double cosine = turn & 1 ? s : c, sine = turn & 1 ? c : s;
  return {turn == 1 || turn == 2 ? -radius * cosine : radius * cosine,
          turn >= 2 ? -radius * sine : radius * sine};
}

/// from_polar of each vertex (radius, angle), in its place: the same bytes, four at a time.
void turn_into_points(Polygon& polar);

}  // namespace sixtyfold
