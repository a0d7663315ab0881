#include "tests/support/test_functions.h"

#include <cmath>
#include <numbers>
#include <numeric>

namespace sixtyfold::testing {

namespace {

constexpr double pi = std::numbers::pi;
using Vector = std::vector<double>;

double rosenbrock(const Vector& x) {
  double sum = 0;
  for (std::size_t i = 0; i + 1 < x.size(); ++i)
    sum += 100 * std::pow(x[i + 1] - x[i] * x[i], 2) + std::pow(1 - x[i], 2);
  return sum;
}

double ackley(const Vector& x) {
  double squares = 0, cosines = 0;
  const auto n = static_cast<double>(x.size());
  for (const double v : x) {
    squares += v * v;
    cosines += std::cos(2 * pi * v);
  }
  return -20 * std::exp(-0.2 * std::sqrt(squares / n)) - std::exp(cosines / n) + 20 +
         std::numbers::e;
}

double griewank(const Vector& x) {
  double sum = 0, product = 1;
  for (std::size_t i = 0; i < x.size(); ++i) {
    sum += x[i] * x[i] / 4000;
    product *= std::cos(x[i] / std::sqrt(static_cast<double>(i + 1)));
  }
  return sum - product + 1;
}

double rastrigin(const Vector& x) {
  double sum = 0;
  for (const double v : x) sum += v * v - 10 * std::cos(2 * pi * v) + 10;
  return sum;
}

double sphere(const Vector& x) { return std::inner_product(x.begin(), x.end(), x.begin(), 0.0); }

double branin(const Vector& x) {
  return std::pow(x[1] - 5.1 / (4 * pi * pi) * x[0] * x[0] + 5 / pi * x[0] - 6, 2) +
         10 * (1 - 1 / (8 * pi)) * std::cos(x[0]) + 10;
}

double camel(const Vector& x) {
  const double a = x[0] * x[0], b = x[1] * x[1];
  return (4 - 2.1 * a + a * a / 3) * a + x[0] * x[1] + (-4 + 4 * b) * b;
}

double goldstein_price(const Vector& v) {
  const double x = v[0], y = v[1];
  return (1 + std::pow(x + y + 1, 2) * (19 - 14 * x + 3 * x * x - 14 * y + 6 * x * y + 3 * y * y)) *
         (30 + std::pow(2 * x - 3 * y, 2) *
                   (18 - 32 * x + 12 * x * x + 48 * y - 36 * x * y + 27 * y * y));
}

double hartmann(const Vector& x, const double (*a)[6], const double (*p)[6]) {
  const double c[4] = {1, 1.2, 3, 3.2};
  double sum = 0;
  for (int i = 0; i < 4; ++i) {
    double exponent = 0;
    for (std::size_t j = 0; j < x.size(); ++j) exponent += a[i][j] * std::pow(x[j] - p[i][j], 2);
    sum -= c[i] * std::exp(-exponent);
  }
  return sum;
}

double hartmann_3(const Vector& x) {
  const double a[4][6] = {{3, 10, 30}, {0.1, 10, 35}, {3, 10, 30}, {0.1, 10, 35}};
  const double p[4][6] = {{0.3689, 0.1170, 0.2673},
                          {0.4699, 0.4387, 0.7470},
                          {0.1091, 0.8732, 0.5547},
                          {0.0381, 0.5743, 0.8828}};
  return hartmann(x, a, p);
}

double hartmann_6(const Vector& x) {
  const double a[4][6] = {{10, 3, 17, 3.5, 1.7, 8},
                          {0.05, 10, 17, 0.1, 8, 14},
                          {3, 3.5, 1.7, 10, 17, 8},
                          {17, 8, 0.05, 10, 0.1, 14}};
  const double p[4][6] = {{0.1312, 0.1696, 0.5569, 0.0124, 0.8283, 0.5886},
                          {0.2329, 0.4135, 0.8307, 0.3736, 0.1004, 0.9991},
                          {0.2348, 0.1451, 0.3522, 0.2883, 0.3047, 0.6650},
                          {0.4047, 0.8828, 0.8732, 0.5743, 0.1091, 0.0381}};
  return hartmann(x, a, p);
}

double himmelblau(const Vector& x) {
  return std::pow(x[0] * x[0] + x[1] - 11, 2) + std::pow(x[0] + x[1] * x[1] - 7, 2);
}

double schwefel(const Vector& x) {
  double sum = 0;
  for (const double v : x) sum += 418.9828872724339 - v * std::sin(std::sqrt(std::fabs(v)));
  return sum;
}

double styblinski_tang(const Vector& x) {
  double sum = 0;
  for (const double v : x) sum += (v * v * v * v - 16 * v * v + 5 * v) / 2;
  return sum;
}

double shekel_5(const Vector& x) {
  const double a[5] = {4, 1, 8, 6, 3}, second[5] = {4, 1, 8, 6, 7}, c[5] = {.1, .2, .2, .4, .4};
  double sum = 0;
  for (int i = 0; i < 5; ++i) {
    double distance = c[i];
    for (std::size_t j = 0; j < 4; ++j)
      distance += std::pow(x[j] - (j % 2 == 0 ? a[i] : second[i]), 2);
    sum -= 1 / distance;
  }
  return sum;
}

double eggholder(const Vector& x) {
  return -(x[1] + 47) * std::sin(std::sqrt(std::fabs(x[0] / 2 + x[1] + 47))) -
         x[0] * std::sin(std::sqrt(std::fabs(x[0] - x[1] - 47)));
}

}  // namespace

double GlobalFunction::operator()(const UnitPoint& unit) const {
  Vector x(unit.size());
  for (std::size_t k = 0; k < x.size(); ++k)
    x[k] =
        k == 1 ? second_low + (second_high - second_low) * unit[k] : low + (high - low) * unit[k];
  return value(x);
}

const std::vector<GlobalFunction>& global_functions() {
  static const std::vector<GlobalFunction> functions = {
      {"sphere", 10, -5.12, 6, -5.12, 6, 0, sphere},
      {"Rosenbrock", 5, -5, 10, -5, 10, 0, rosenbrock},
      {"Ackley", 10, -32, 40, -32, 40, 0, ackley},
      {"Griewank", 5, -600, 500, -600, 500, 0, griewank},
      {"Rastrigin", 5, -5.12, 6, -5.12, 6, 0, rastrigin},
      {"Branin", 2, -5, 10, 0, 15, 0.39788735772973816, branin},
      {"six-hump camel", 2, -3, 3, -2, 2, -1.0316284535, camel},
      {"Goldstein-Price", 2, -2, 2, -2, 2, 3, goldstein_price},
      {"Hartmann 3", 3, 0, 1, 0, 1, -3.8627797873, hartmann_3},
      {"Hartmann 6", 6, 0, 1, 0, 1, -3.3223680114, hartmann_6},
      {"Himmelblau", 2, -5, 5, -5, 5, 0, himmelblau},
      {"Schwefel", 5, -500, 500, -500, 500, 0, schwefel},
      {"Styblinski-Tang", 5, -5, 5, -5, 5, 5 * -39.1661657038, styblinski_tang},
      {"Shekel 5", 4, 0, 10, 0, 10, -10.1531996791, shekel_5},
      {"Eggholder", 2, -512, 512, -512, 512, -959.6406627, eggholder},
  };
  return functions;
}

Objectives zdt(int number, const UnitPoint& unit) {
  double sum = 0;
  for (std::size_t k = 1; k < unit.size(); ++k) sum += unit[k];
  const double f1 = unit[0], g = 1 + 9 * sum / static_cast<double>(unit.size() - 1);
  if (number == 2) return {f1, g * (1 - std::pow(f1 / g, 2))};
  const double wave = number == 3 ? f1 / g * std::sin(10 * pi * f1) : 0;
  return {f1, g * (1 - std::sqrt(f1 / g) - wave)};
}

double zdt_hypervolume(int number) {
  return number == 1 ? 0.876667 : number == 2 ? 0.543333 : 1.331762;
}

}  // namespace sixtyfold::testing
