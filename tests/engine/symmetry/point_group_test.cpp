#include "engine/symmetry/point_group.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <set>

using namespace sixtyfold;

namespace {

std::vector<std::string> make_every_kind(int largest_fold) {
  std::vector<std::string> symbols = {"C1", "Ci", "Cs", "T", "O", "I", "Th", "Td", "Oh", "Ih"};
  for (int n = 2; n <= largest_fold; ++n) {
    const std::string fold = std::to_string(n);
    for (const char* suffix : {"", "h", "v"})
      symbols.push_back(std::string("C").append(fold).append(suffix));
    for (const char* suffix : {"", "h", "d"})
      symbols.push_back(std::string("D").append(fold).append(suffix));
    symbols.push_back(std::string("S").append(std::to_string(2 * n)));
  }
  return symbols;
}

int expected_order(const std::string& symbol) {
  static const std::map<std::string, int> fixed = {{"C1", 1},  {"Ci", 2},  {"Cs", 2},  {"T", 12},
                                                   {"O", 24},  {"I", 60},  {"Th", 24}, {"Td", 24},
                                                   {"Oh", 48}, {"Ih", 120}};
  if (const auto found = fixed.find(symbol); found != fixed.end()) return found->second;
  const int n = std::stoi(symbol.substr(1));
  int order = symbol[0] == 'D' ? 2 * n : n;
  if (symbol.back() == 'h' || symbol.back() == 'v' || symbol.back() == 'd') order *= 2;
  return order;
}

/// Class sizes by element order, the proper elements alone where the group is one of rotations.
std::multiset<std::pair<int, std::size_t>> find_class_sizes(const PointGroup& group) {
  std::multiset<std::pair<int, std::size_t>> sizes;
  for (const auto& members : find_classes(group))
    sizes.insert({find_element_order(group, members[0]), members.size()});
  return sizes;
}

/// Number of rotation axes (both ends together) of each order, counted from the elements.
std::map<int, int> count_axes(const PointGroup& group) {
  std::map<int, int> axes;
  for (const Axis& axis : find_axes(group)) {
    std::set<std::array<long, 3>> ends;
    for (const Mat3& g : group.elements)
      for (const double end : {1.0, -1.0}) {
        const Vec3 image = end * (g * axis.direction);
        ends.insert({std::lround(image.x() * 1e6), std::lround(image.y() * 1e6),
                     std::lround(image.z() * 1e6)});
      }
    // An axis listed twice, end by end, is one line.
    bool first = true;
    for (const Axis& other : find_axes(group)) {
      if (other.direction == axis.direction) break;
      for (const Mat3& g : group.elements)
        if ((g * other.direction + axis.direction).norm() < 1e-9) first = false;
    }
    if (first) axes[axis.order] += static_cast<int>(ends.size() / 2);
  }
  return axes;
}

}  // namespace

// Orders: Coxeter, Regular Polytopes (1973) ch. III; Weyl, Symmetry (1952); Schoenflies' own
// definitions for the groups with reflections.
TEST_CASE("every group of every kind has its order and is a group", "[symmetry]") {
  for (const auto& symbol : make_every_kind(60)) {
    INFO(symbol);
    const PointGroup group = make_point_group(symbol);
    const int n = group.order();
    REQUIRE(n == expected_order(symbol));
    REQUIRE(group.elements[0] == Mat3::Identity());
    int improper = 0;
    for (int a = 0; a < n; ++a) {
      const Mat3& m = group.elements[static_cast<std::size_t>(a)];
      REQUIRE((m * m.transpose() - Mat3::Identity()).cwiseAbs().maxCoeff() < 4e-16);
      REQUIRE(std::abs(std::abs(m.determinant()) - 1) < 1e-15);
      improper += m.determinant() < 0;
      REQUIRE(group.multiply(a, group.invert(a)) == 0);
      REQUIRE(group.multiply(a, 0) == a);
    }
    const std::set<char> reflecting = {'h', 'v', 'd', 'i', 's'};
    const bool has_reflections = symbol[0] == 'S' || reflecting.count(symbol.back()) > 0;
    CHECK(improper == (has_reflections ? n / 2 : 0));
    for (int a = 0; a < n; a += 1 + n / 20)
      for (int b = 0; b < n; ++b) {
        const Mat3 product = group.elements[static_cast<std::size_t>(a)] *
                             group.elements[static_cast<std::size_t>(b)];
        REQUIRE((product - group.elements[static_cast<std::size_t>(group.multiply(a, b))])
                    .cwiseAbs()
                    .maxCoeff() < 1e-15);
        // Transposition is exact, not only close.
        const Mat3& inverse = group.elements[static_cast<std::size_t>(group.invert(b))];
        REQUIRE(inverse == group.elements[static_cast<std::size_t>(b)].transpose());
      }
  }
}

TEST_CASE("entries that have a simple value have it to the last bit", "[symmetry]") {
  const std::set<double> whole = {-1, 0, 1};
  for (const char* symbol : {"T", "Th", "Td", "O", "Oh", "D4h", "S4", "D2d"})
    for (const Mat3& m : make_point_group(symbol).elements)
      for (const double x : m.reshaped()) CHECK(whole.count(x) == 1);
  const double tau = (1 + std::sqrt(5.0)) / 2;
  for (const Mat3& m : make_point_group("Ih").elements)
    for (const double x : m.reshaped()) {
      const double a = std::abs(x);
      CHECK((a == 0 || a == 1 || a == 0.5 || a == tau / 2 || a == (std::sqrt(5.0) - 1) / 4));
    }
  for (const Mat3& m : make_point_group("D6").elements)
    for (const double x : m.reshaped()) {
      const double a = std::abs(x);
      CHECK((a == 0 || a == 1 || a == 0.5 || std::abs(a - std::sqrt(3.0) / 2) < 2e-16));
    }
}

TEST_CASE("the same symbol gives the same elements in the same order", "[symmetry]") {
  for (const auto& symbol : {"I", "D17d", "S22"})
    CHECK(make_point_group(symbol).elements == make_point_group(symbol).elements);
  // Rotations come first, and T comes first in O and I.
  const PointGroup t = make_point_group("T");
  for (const auto& symbol : {"O", "I", "Th", "Oh", "Ih", "Td"}) {
    const PointGroup larger = make_point_group(symbol);
    for (std::size_t i = 0; i < 12; ++i) CHECK(larger.elements[i] == t.elements[i]);
  }
}

// Class sizes: Cotton, Chemical Applications of Group Theory, app. IIA (from memory); GAP 4.12.
// Numbers of classes of Cn and Dn: any representation theory text, e.g. Serre 1977, 5.3.
TEST_CASE("conjugacy classes have their sizes", "[symmetry]") {
  using Sizes = std::multiset<std::pair<int, std::size_t>>;
  CHECK(find_class_sizes(make_point_group("T")) == Sizes{{1, 1}, {2, 3}, {3, 4}, {3, 4}});
  CHECK(find_class_sizes(make_point_group("O")) == Sizes{{1, 1}, {2, 3}, {2, 6}, {4, 6}, {3, 8}});
  CHECK(find_class_sizes(make_point_group("I")) ==
        Sizes{{1, 1}, {5, 12}, {5, 12}, {2, 15}, {3, 20}});
  for (int n = 2; n <= 60; ++n) {
    const std::string fold = std::to_string(n);
    CHECK(find_classes(make_point_group(std::string("C").append(fold))).size() ==
          static_cast<std::size_t>(n));
    CHECK(find_classes(make_point_group(std::string("D").append(fold))).size() ==
          static_cast<std::size_t>(n % 2 ? (n + 3) / 2 : (n + 6) / 2));
  }
  // Character tables of the full groups (Cotton): Td 5, Th 8, Oh 10, Ih 10 classes.
  CHECK(find_classes(make_point_group("Td")).size() == 5);
  CHECK(find_classes(make_point_group("Th")).size() == 8);
  CHECK(find_classes(make_point_group("Oh")).size() == 10);
  CHECK(find_classes(make_point_group("Ih")).size() == 10);
}

// Coxeter, Regular Polytopes (1973) 3.5 and 3.6.
TEST_CASE("axes are counted as Coxeter counts them", "[symmetry]") {
  using Axes = std::map<int, int>;
  CHECK(count_axes(make_point_group("T")) == Axes{{2, 3}, {3, 4}});
  CHECK(count_axes(make_point_group("O")) == Axes{{2, 6}, {3, 4}, {4, 3}});
  CHECK(count_axes(make_point_group("I")) == Axes{{2, 15}, {3, 10}, {5, 6}});
  CHECK(count_axes(make_point_group("D2")) == Axes{{2, 3}});
  for (int n = 3; n <= 7; ++n)
    CHECK(count_axes(make_point_group(std::string("D").append(std::to_string(n)))) ==
          Axes{{2, n}, {n, 1}});
}

TEST_CASE("axes stand where the header says, both ends where they differ", "[symmetry]") {
  CHECK(find_axes(make_point_group("T")).size() == 3);  // threefold both ends, twofold
  CHECK(find_axes(make_point_group("O")).size() == 3);
  CHECK(find_axes(make_point_group("I")).size() == 3);
  CHECK(find_axes(make_point_group("Th")).size() == 2);  // inversion swaps the ends
  CHECK(find_axes(make_point_group("D5")).size() == 3);
  CHECK(find_axes(make_point_group("D6")).size() == 3);
  CHECK(find_axes(make_point_group("C5")).size() == 2);
  CHECK(find_axes(make_point_group("C1")).empty());
  for (const auto& symbol : {"C7", "D7", "D8d", "S10"}) {
    const auto axes = find_axes(make_point_group(symbol));
    CHECK(axes[0].direction == Vec3::UnitZ());
  }
  const auto dihedral = find_axes(make_point_group("D5"));
  CHECK(dihedral[0].order == 5);
  CHECK(dihedral[1].direction == Vec3::UnitX());
  CHECK((dihedral[2].direction - Vec3(std::cos(pi / 5), std::sin(pi / 5), 0)).norm() < 1e-15);
  for (const auto& symbol : {"T", "O", "I"}) {
    const PointGroup group = make_point_group(symbol);
    for (const Axis& axis : find_axes(group)) {
      CHECK(axis.direction.norm() == Approx(1).epsilon(1e-15));
      CHECK(find_stabiliser(group, axis.direction).size() == static_cast<std::size_t>(axis.order));
    }
    for (const Vec3& v : {Vec3(1, 0, 0), Vec3(0, 1, 0), Vec3(0, 0, 1)})
      CHECK(find_stabiliser(group, v).size() == (std::string(symbol) == "O" ? 4u : 2u));
  }
}

// Orbit sizes of planes, Lagrange: tests/sources.md 1.
TEST_CASE("a generic vector has no stabiliser, one on an axis has its rotations", "[symmetry]") {
  CHECK(find_stabiliser(make_point_group("I"), Vec3(0.31, 0.52, 1.07)).size() == 1);
  const double tau = (1 + std::sqrt(5.0)) / 2;
  CHECK(find_stabiliser(make_point_group("I"), Vec3(0, 1, tau)).size() == 5);
  CHECK(find_stabiliser(make_point_group("Ih"), Vec3(0, 1, tau)).size() == 10);
  CHECK(find_stabiliser(make_point_group("I"), Vec3(1, 1, 1)).size() == 3);
}

TEST_CASE("a symbol that is not one is refused with a sentence", "[symmetry]") {
  for (const std::string symbol :
       {"",   "X",   "C0", "C61", "D1", "C1h", "C1v",  "S2",   "S5", "S122",         "D3v", "C05",
        "I5", "Ihh", "Od", "Id",  "T ", "C-3", "D3hh", "C3.5", "i",  "C99999999999", "Cd",  "D"}) {
    INFO(symbol);
    CHECK_FALSE(is_point_group(symbol));
    CHECK_THROWS_WITH(make_point_group(symbol), Catch::Contains("'" + symbol + std::string("'")) &&
                                                    Catch::Contains("allowed are"));
  }
  CHECK_THROWS_AS(make_point_group(std::string(1000000, 'C')), std::invalid_argument);
}
