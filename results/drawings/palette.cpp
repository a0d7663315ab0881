#include "results/drawings/palette.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <stdexcept>

namespace sixtyfold {
namespace {

double to_linear(double coded) {  // IEC 61966-2-1
  return coded <= 0.04045 ? coded / 12.92 : std::pow((coded + 0.055) / 1.055, 2.4);
}

double to_coded(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
}

}  // namespace

Colour make_colour(const std::string& hex) {
  if (hex.size() != 7 || hex[0] != '#' ||
      hex.find_first_not_of("0123456789abcdefABCDEF", 1) != std::string::npos)
    throw std::invalid_argument("the colour is '" + hex.substr(0, 20) +
                                "'; allowed is # and six hexadecimal digits");
  const auto part = [&](std::size_t at) {
    return to_linear(std::stoi(hex.substr(at, 2), nullptr, 16) / 255.0);
  };
  const double red = part(1), green = part(3), blue = part(5);
  const double l = std::cbrt(0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue);
  const double m = std::cbrt(0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue);
  const double s = std::cbrt(0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue);
  return {0.2104542553 * l + 0.7936177850 * m - 0.0040720468 * s,
          1.9779984951 * l - 2.4285922050 * m + 0.4505937099 * s,
          0.0259040371 * l + 0.7827717662 * m - 0.8086757660 * s};
}

std::string to_hex(const Colour& colour) {
  const auto cube = [](double x) { return x * x * x; };
  const double l = cube(colour.lightness + 0.3963377774 * colour.a + 0.2158037573 * colour.b);
  const double m = cube(colour.lightness - 0.1055613458 * colour.a - 0.0638541728 * colour.b);
  const double s = cube(colour.lightness - 0.0894841775 * colour.a - 1.2914855480 * colour.b);
  const auto part = [](double linear) {
    return static_cast<int>(std::lround(255 * to_coded(std::clamp(linear, 0.0, 1.0))));
  };
  char hex[8];
  std::snprintf(hex, sizeof hex, "#%02x%02x%02x",
                part(4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s) & 255,
                part(-1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s) & 255,
                part(-0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s) & 255);
  return hex;
}

Colour mix(const Colour& from, const Colour& to, double share) {
  const auto between = [share](double x, double y) { return x + share * (y - x); };
  return {between(from.lightness, to.lightness), between(from.a, to.a), between(from.b, to.b)};
}

double measure_difference(const Colour& a, const Colour& b) {
  return std::hypot(a.lightness - b.lightness, a.a - b.a, a.b - b.b);
}

}  // namespace sixtyfold
