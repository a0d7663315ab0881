// Soft closed curves, star-shaped about the hub.

#include <complex>

#include "engine/shape/outline/families.h"

namespace sixtyfold {
namespace {

constexpr int harmonics = 5;
constexpr double largest[harmonics] = {0.45, 0.55, 0.42, 0.24, 0.16};
// The steepest slope of log r that harmonic 1, 2, 3 of the fold may add when it is over 1.
constexpr double steepest[3] = {1.1, 0.5, 0.3};

// log r is a sum of harmonics, so r is positive whatever they are.
void trace_radial(std::span<const double> values, int fold, Polygon& outline) {
  // With symmetry only multiples of the fold may appear; high ones would be saw teeth.
  const int used = fold == 1 ? harmonics : fold == 2 ? 3 : 2;
  std::complex<double> coefficient[harmonics];
  for (int k = 0; k < used; ++k) {
    const double amplitude =
        fold == 1 ? values[k] : values[k] / largest[k] * steepest[k] / (fold * (k + 1));
    coefficient[k] = std::polar(amplitude, values[harmonics + k]);
  }
  const int count = fold * ((95 + fold) / fold);  // about 96
  const std::complex<double> step = std::polar(1.0, 2 * pi / count);
  std::complex<double> direction = 1;
  for (int i = 0; i < count; ++i) {
    std::complex<double> base = 1;
    for (int k = 0; k < fold; ++k) base *= direction;
    std::complex<double> power = base;
    double log_radius = 0;
    for (int k = 0; k < used; ++k) {
      log_radius += coefficient[k].real() * power.real() - coefficient[k].imag() * power.imag();
      power *= base;
    }
    const double radius = std::exp(log_radius);
    outline.emplace_back(radius * direction.real(), radius * direction.imag());
    direction *= step;
  }
}

}  // namespace

OutlineFamily make_radial_family() {
  OutlineFamily family;
  family.name = "radial";
  family.description = "soft closed curves, star-shaped about the hub: five harmonics";
  for (int k = 0; k < harmonics; ++k)
    family.parameters.push_back({"amplitude_" + std::to_string(k + 1), 0, largest[k]});
  add_parameters(family.parameters, "phase", harmonics, 0, 2 * pi);
  family.trace = trace_radial;
  return family;
}

}  // namespace sixtyfold
