#include "engine/symmetry/point_group.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <optional>
#include <stdexcept>

namespace sixtyfold {
namespace {

constexpr int largest_fold = 60;

/// A symbol taken apart: family letter, fold (0 for Ci, Cs, T, O, I), suffix (0 for none).
struct Symbol {
  char family = 0;
  int fold = 0;
  char suffix = 0;
};

std::optional<Symbol> find_symbol(const std::string& text) {
  if (text.empty() || text.size() > 5) return std::nullopt;
  const char family = text[0];
  if (family == 'T' || family == 'O' || family == 'I') {
    if (text.size() == 1) return Symbol{family, 0, 0};
    const char suffix = text[1];
    const bool known = suffix == 'h' || (family == 'T' && suffix == 'd');
    if (text.size() == 2 && known) return Symbol{family, 0, suffix};
    return std::nullopt;
  }
  if (family != 'C' && family != 'D' && family != 'S') return std::nullopt;
  if (text == "Ci" || text == "Cs") return Symbol{'C', 0, text[1]};
  std::size_t at = 1;
  int fold = 0;
  while (at < text.size() && '0' <= text[at] && text[at] <= '9')
    fold = 10 * fold + (text[at++] - '0');
  if (at == 1 || text[1] == '0' || text.size() - at > 1) return std::nullopt;
  const char suffix = at < text.size() ? text[at] : char(0);
  if (family == 'S') {
    const bool known = suffix == 0 && fold % 2 == 0 && 4 <= fold && fold <= 2 * largest_fold;
    return known ? std::optional(Symbol{family, fold, 0}) : std::nullopt;
  }
  const int least = family == 'C' && suffix == 0 ? 1 : 2;
  const bool suffix_known =
      suffix == 0 || suffix == 'h' || (family == 'C' ? suffix == 'v' : suffix == 'd');
  if (!suffix_known || !(least <= fold && fold <= largest_fold)) return std::nullopt;
  return Symbol{family, fold, suffix};
}

/// sin of j/m of a full turn for 0 <= 8 j <= m; exact where the value is 1/2.
double sin_in_first_octant(int j, int m) { return 12 * j == m ? 0.5 : std::sin(2 * pi * j / m); }
double cos_in_first_octant(int j, int m) { return std::cos(2 * pi * j / m); }

/// cos of j/m of a full turn, with the symmetries of the cosine kept to the last bit.
double cos_of_turn(int j, int m) {
  j = ((j % m) + m) % m;
  if (2 * j > m) j = m - j;
  if (4 * j > m) return -cos_of_turn(m - 2 * j, 2 * m);
  if (8 * j <= m) return cos_in_first_octant(j, m);
  return sin_in_first_octant(m - 4 * j, 4 * m);
}
double sin_of_turn(int j, int m) { return cos_of_turn(4 * j - m, 4 * m); }

Mat3 make_turn_about_z(int m) {
  Mat3 turn = Mat3::Identity();
  turn(0, 0) = turn(1, 1) = cos_of_turn(1, m);
  turn(1, 0) = sin_of_turn(1, m);
  turn(0, 1) = -turn(1, 0);
  return turn;
}

Mat3 make_diagonal(double x, double y, double z) { return Vec3(x, y, z).asDiagonal(); }

/// What a group is made from: generators, and every value a matrix entry can take.
struct Source {
  std::vector<Mat3> generators;
  std::vector<double> entries;
};

Source make_source(const Symbol& symbol) {
  const Mat3 inversion = -Mat3::Identity();
  const Mat3 mirror_z = make_diagonal(1, 1, -1);
  Source source;
  source.entries = {0, 1};
  auto& generators = source.generators;
  if (symbol.family == 'T' || symbol.family == 'O' || symbol.family == 'I') {
    Mat3 third;  // a third of a turn about (1, 1, 1)
    third << 0, 0, 1, 1, 0, 0, 0, 1, 0;
    Mat3 quarter;  // a quarter turn about z
    quarter << 0, -1, 0, 1, 0, 0, 0, 0, 1;
    generators = {make_diagonal(-1, -1, 1), make_diagonal(1, -1, -1), third};
    if (symbol.family == 'O') generators.push_back(quarter);
    if (symbol.family == 'I') {
      // A fifth of a turn about (0, 1, tau), vertex of the icosahedron with twofold axes along
      // x, y, z (Coxeter 1973, 3.7).
      const double tau = (1 + std::sqrt(5.0)) / 2;
      const double large = tau / 2, small = (std::sqrt(5.0) - 1) / 4;
      source.entries.insert(source.entries.end(), {0.5, large, small});
      Mat3 fifth;
      fifth << small, -large, 0.5, large, 0.5, small, -0.5, small, large;
      generators.push_back(fifth);
    }
    if (symbol.suffix == 'h') generators.push_back(inversion);
    if (symbol.suffix == 'd') generators.push_back(-quarter);
  } else {
    const bool half_steps = symbol.family == 'S' || symbol.suffix == 'd';
    int principal = symbol.family == 'S' ? symbol.fold / 2 : symbol.fold;
    if (symbol.fold > 0) {
      const int steps = half_steps ? 2 * principal : principal;
      for (int j = 0; j < steps; ++j) {
        source.entries.push_back(cos_of_turn(j, steps));
        source.entries.push_back(sin_of_turn(j, steps));
      }
      generators.push_back(make_turn_about_z(principal));
    }
    if (symbol.family == 'D') generators.push_back(make_diagonal(1, -1, -1));
    if (half_steps) generators.push_back(mirror_z * make_turn_about_z(2 * principal));
    if (symbol.suffix == 'h' || symbol.suffix == 's') generators.push_back(mirror_z);
    if (symbol.suffix == 'v') generators.push_back(make_diagonal(1, -1, 1));
    if (symbol.suffix == 'i') generators.push_back(inversion);
  }
  return source;
}

/// Each entry replaced by the allowed value nearest to it, so that no rounding error ever grows.
Mat3 make_clean(const Mat3& matrix, const std::vector<double>& entries) {
  Mat3 clean;
  for (int k = 0; k < 9; ++k) {
    const double value = std::abs(matrix(k));
    double best = 0;
    for (const double entry : entries)
      if (std::abs(value - std::abs(entry)) < std::abs(value - best)) best = std::abs(entry);
    assert(std::abs(value - best) < 1e-12);
    clean(k) = best == 0 ? 0.0 : std::copysign(best, matrix(k));
  }
  return clean;
}

/// No element but the identity fixes it, in any group above.
Vec3 make_generic_vector() { return {0.2718281828, 0.5772156649, 0.7071067811}; }

int find_image(const std::vector<Vec3>& images, const Vec3& wanted) {
  for (std::size_t i = 0; i < images.size(); ++i)
    if ((images[i] - wanted).squaredNorm() < 1e-12) return static_cast<int>(i);
  return -1;
}

/// Closure coset by coset (Dimino 1971): the subgroup of the first generators comes first.
std::vector<Mat3> make_closure(const Source& source) {
  const Vec3 generic = make_generic_vector();
  std::vector<Mat3> elements = {Mat3::Identity()};
  std::vector<Vec3> images = {generic};
  for (std::size_t last = 0; last < source.generators.size(); ++last) {
    const std::size_t block = elements.size();
    for (std::size_t representative = 0; representative < elements.size(); representative += block)
      for (std::size_t s = 0; s <= last; ++s) {
        const Mat3 next = elements[representative] * source.generators[s];
        if (find_image(images, next * generic) >= 0) continue;
        for (std::size_t h = 0; h < block; ++h) {
          elements.push_back(make_clean(elements[h] * next, source.entries));
          images.push_back(elements.back() * generic);
        }
      }
  }
  return elements;
}

/// Axis of a rotation (determinant +1, not the identity), either of its two ends.
Vec3 find_axis(const Mat3& rotation) {
  const Mat3 sum = rotation + rotation.transpose() + (1 - rotation.trace()) * Mat3::Identity();
  int column = 0;  // the sum is (1 - cos) 2 a a^T: take its longest column
  for (int k = 1; k < 3; ++k)
    if (sum.col(k).squaredNorm() > sum.col(column).squaredNorm() + 1e-9) column = k;
  return sum.col(column).normalized();
}

/// Rounding noise in a unit vector's zeros taken away.
Vec3 make_clean_direction(Vec3 direction) {
  for (double& x : direction)
    if (std::abs(x) < 1e-12) x = 0;
  return direction.normalized();
}

/// By z, then x, then y, larger first, differences below rounding ignored.
bool comes_before(const Vec3& a, const Vec3& b) {
  for (const int k : {2, 0, 1})
    if (std::abs(a[k] - b[k]) > 1e-9) return a[k] > b[k];
  return false;
}

}  // namespace

bool is_point_group(const std::string& symbol) { return find_symbol(symbol).has_value(); }

PointGroup make_point_group(const std::string& symbol) {
  const auto parts = find_symbol(symbol);
  if (!parts) {
    const std::string shown = symbol.size() > 20 ? symbol.substr(0, 20) + "..." : symbol;
    throw std::invalid_argument(
        "symmetry '" + shown +
        "' is not a point group known here; allowed are T, O, I, C1 to C60, D2 to D60, and with "
        "reflections Ci, Cs, Th, Td, Oh, Ih, S4 S6 .. S120, C2h to C60h, C2v to C60v, D2h to D60h "
        "and D2d to D60d");
  }
  PointGroup group;
  group.symbol = symbol;
  group.elements = make_closure(make_source(*parts));
  const std::size_t order = group.elements.size();
  const Vec3 generic = make_generic_vector();
  std::vector<Vec3> images(order);
  for (std::size_t a = 0; a < order; ++a) images[a] = group.elements[a] * generic;
  group.product.resize(order * order);
  group.inverse.resize(order);
  for (std::size_t a = 0; a < order; ++a)
    for (std::size_t b = 0; b < order; ++b) {
      const int c = find_image(images, group.elements[a] * images[b]);
      assert(c >= 0);
      group.product[a * order + b] = static_cast<std::uint16_t>(c);
      if (c == 0) group.inverse[a] = static_cast<std::uint16_t>(b);
    }
  return group;
}

int find_element_order(const PointGroup& group, int element) {
  int power = element, k = 1;
  for (; power != 0; ++k) power = group.multiply(power, element);
  return k;
}

std::vector<std::vector<int>> find_classes(const PointGroup& group) {
  std::vector<std::vector<int>> classes;
  std::vector<bool> seen(group.elements.size());
  for (int a = 0; a < group.order(); ++a) {
    if (seen[static_cast<std::size_t>(a)]) continue;
    std::vector<int> members;
    for (int g = 0; g < group.order(); ++g) {
      const int b = group.multiply(group.multiply(g, a), group.invert(g));
      if (seen[static_cast<std::size_t>(b)]) continue;
      seen[static_cast<std::size_t>(b)] = true;
      members.push_back(b);
    }
    std::sort(members.begin(), members.end());
    classes.push_back(members);
  }
  return classes;
}

std::vector<Axis> find_axes(const PointGroup& group) {
  std::vector<Axis> axes;
  std::vector<Vec3> seen;
  const auto is_seen = [&seen](const Vec3& v) {
    return std::any_of(seen.begin(), seen.end(),
                       [&v](const Vec3& w) { return (v - w).squaredNorm() < 1e-12; });
  };
  for (const Mat3& element : group.elements) {
    if (element.determinant() < 0 || element.trace() > 3 - 1e-9) continue;
    for (const double end : {1.0, -1.0}) {
      const Vec3 direction = end * find_axis(element);
      if (is_seen(direction)) continue;
      Vec3 best = direction;
      int rotations = 0;
      for (const Mat3& g : group.elements) {
        const Vec3 image = g * direction;
        if (g.determinant() > 0 && (image - direction).squaredNorm() < 1e-12) ++rotations;
        if (comes_before(image, best)) best = image;
        if (!is_seen(image)) seen.push_back(image);
      }
      axes.push_back({make_clean_direction(best), rotations});
    }
  }
  std::stable_sort(axes.begin(), axes.end(), [](const Axis& a, const Axis& b) {
    return a.order != b.order ? a.order > b.order : comes_before(a.direction, b.direction);
  });
  return axes;
}

std::vector<int> find_stabiliser(const PointGroup& group, const Vec3& vector) {
  std::vector<int> stabiliser;
  const double limit = 1e-9 * vector.norm();
  for (int g = 0; g < group.order(); ++g)
    if ((group.elements[static_cast<std::size_t>(g)] * vector - vector).norm() <= limit)
      stabiliser.push_back(g);
  return stabiliser;
}

}  // namespace sixtyfold
