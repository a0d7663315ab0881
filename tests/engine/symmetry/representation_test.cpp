#include "engine/symmetry/representation.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <map>

using namespace sixtyfold;

namespace {

using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

Eigen::Map<const Matrix> matrix_of(const Irrep& irrep, int g) {
  return {irrep.matrix(g), irrep.dimension, irrep.dimension};
}

std::string join_names(const std::vector<Irrep>& irreps) {
  std::string names;
  for (const Irrep& irrep : irreps) names += (names.empty() ? "" : " ") + irrep.name;
  return names;
}

/// Characters at the classes of rotations named by order and angle in degrees (as 5, 72).
std::vector<double> find_row(const PointGroup& group, const Irrep& irrep,
                             const std::vector<double>& angles_deg) {
  std::vector<double> row;
  for (const double angle : angles_deg)
    for (int g = 0; g < group.order(); ++g) {
      const Mat3& m = group.elements[static_cast<std::size_t>(g)];
      if (m.determinant() < 0 || std::abs(m.trace() - 1 - 2 * std::cos(to_radians(angle))) > 1e-9)
        continue;
      row.push_back(irrep.character(g));
      break;
    }
  return row;
}

void check_row(const std::vector<double>& found, const std::vector<double>& expected) {
  REQUIRE(found.size() == expected.size());
  for (std::size_t i = 0; i < found.size(); ++i)
    CHECK(found[i] == Approx(expected[i]).margin(1e-13));
}

}  // namespace

TEST_CASE("irreps are orthogonal homomorphisms, irreducible, different and complete",
          "[symmetry]") {
  for (const auto& symbol :
       {"C1",  "C2",  "C3",  "C4",  "C7",  "C12", "C60",  "D2", "D3", "D4",  "D5",  "D10",
        "D17", "D60", "T",   "O",   "I",   "Ci",  "Cs",   "S4", "S6", "S16", "C3h", "C4h",
        "C5v", "C6v", "D3h", "D4h", "D2d", "D3d", "D10d", "Th", "Td", "Oh",  "Ih"}) {
    INFO(symbol);
    const PointGroup group = make_point_group(symbol);
    const auto irreps = make_irreps(group);
    const int n = group.order();
    int sum = 0;
    for (const Irrep& irrep : irreps) {
      INFO(irrep.name);
      const int d = irrep.dimension;
      sum += d * d / irrep.type;
      REQUIRE(d * d % irrep.type == 0);
      double worst = 0;
      for (int a = 0; a < n; ++a) {
        const auto m = matrix_of(irrep, a);
        worst = std::max(worst, (m * m.transpose() - Matrix::Identity(d, d)).cwiseAbs().maxCoeff());
        for (int b = 0; b < n; b += 1 + n / 30)
          worst = std::max(worst, (m * matrix_of(irrep, b) - matrix_of(irrep, group.multiply(a, b)))
                                      .cwiseAbs()
                                      .maxCoeff());
      }
      CHECK(worst < 1e-14);
      // Character orthogonality over the reals: <chi, chi'> = m or 0 (Serre 1977, 2.3 and 13.2).
      for (const Irrep& other : irreps) {
        double product = 0;
        for (int g = 0; g < n; ++g) product += irrep.character(g) * other.character(g) / n;
        CHECK(product == Approx(&other == &irrep ? irrep.type : 0).margin(1e-12));
      }
      // Schur: the mean of rho(g) S rho(g)^-1 is a multiple of the identity for symmetric S.
      Matrix s = Matrix::Zero(d, d);
      s(0, 0) = 1;
      Matrix mean = Matrix::Zero(d, d);
      for (int g = 0; g < n; ++g)
        mean += matrix_of(irrep, g) * s * matrix_of(irrep, g).transpose() / n;
      CHECK((mean - Matrix::Identity(d, d) / d).cwiseAbs().maxCoeff() < 1e-13);
    }
    CHECK(sum == n);
    for (int g = 0; g < n; ++g) CHECK(irreps[0].character(g) == Approx(1).epsilon(1e-14));
  }
}

TEST_CASE("the largest groups have their irreps too", "[symmetry]") {
  for (const auto& symbol : {"D60d"}) {
    const PointGroup group = make_point_group(symbol);
    int sum = 0;
    for (const Irrep& irrep : make_irreps(group))
      sum += irrep.dimension * irrep.dimension / irrep.type;
    CHECK(sum == group.order());
  }
}

// Cotton, Chemical Applications of Group Theory, app. IIA (from memory); GAP's tables of A4, S4,
// A5.
TEST_CASE("characters of T, O and I are those of the published tables", "[symmetry]") {
  const double tau = (1 + std::sqrt(5.0)) / 2, other = (1 - std::sqrt(5.0)) / 2;
  {
    const PointGroup group = make_point_group("T");
    const auto irreps = make_irreps(group);
    CHECK(join_names(irreps) == "A E T");
    CHECK(irreps[1].type == 2);  // omega and its conjugate read as one
    check_row(find_row(group, irreps[1], {0, 180, 120}), {2, 2, -1});
    check_row(find_row(group, irreps[2], {0, 180, 120}), {3, -1, 0});
  }
  {
    const PointGroup group = make_point_group("O");
    const auto irreps = make_irreps(group);
    CHECK(join_names(irreps) == "A1 A2 E T1 T2");
    // 1, 8 C3, 6 C4; then the two classes of half-turns told apart: a C4 squared, and not.
    const double rows[5][5] = {
        {1, 1, 1, 1, 1}, {1, 1, -1, 1, -1}, {2, -1, 0, 2, 0}, {3, 0, 1, -1, -1}, {3, 0, -1, -1, 1}};
    for (std::size_t i = 0; i < 5; ++i) {
      auto row = find_row(group, irreps[i], {0, 120, 90});
      int quarter = 0;
      while (find_element_order(group, quarter) != 4) ++quarter;
      row.push_back(irreps[i].character(group.multiply(quarter, quarter)));
      for (int g = 1; g < 24; ++g)
        if (group.is_involution(g) &&
            std::abs(group.elements[static_cast<std::size_t>(g)].diagonal().maxCoeff()) < 1e-9) {
          row.push_back(irreps[i].character(g));
          break;
        }
      check_row(row, {rows[i], rows[i] + 5});
    }
  }
  {
    const PointGroup group = make_point_group("I");
    const auto irreps = make_irreps(group);
    CHECK(join_names(irreps) == "A T1 T2 G H");
    const std::vector<std::vector<double>> rows = {{1, 1, 1, 1, 1},
                                                   {3, tau, other, 0, -1},
                                                   {3, other, tau, 0, -1},
                                                   {4, -1, -1, 1, 0},
                                                   {5, 0, 0, -1, 1}};
    for (std::size_t i = 0; i < 5; ++i) {
      check_row(find_row(group, irreps[i], {0, 72, 144, 120, 180}), rows[i]);
      CHECK(irreps[i].type == 1);
    }
  }
}

// Any representation theory text, e.g. Serre 1977, 5.1 and 5.3.
TEST_CASE("characters of Cn and Dn are cosines", "[symmetry]") {
  for (const int n : {3, 4, 5, 6, 7, 12, 15}) {
    INFO(n);
    const std::string fold = std::to_string(n);
    const PointGroup cyclic = make_point_group(std::string("C").append(fold));
    const PointGroup dihedral = make_point_group(std::string("D").append(fold));
    for (const PointGroup* group : {&cyclic, &dihedral}) {
      const auto irreps = make_irreps(*group);
      int planar = 0;
      for (const Irrep& irrep : irreps) {
        if (irrep.dimension == 1) continue;
        ++planar;
        CHECK(irrep.dimension == 2);
        CHECK(irrep.type == (group == &cyclic ? 2 : 1));
        CHECK(irrep.name ==
              (n < 5 ? std::string("E") : std::string("E").append(std::to_string(planar))));
        for (int j = 0; j < n; ++j)
          CHECK(irrep.character(j) == Approx(2 * std::cos(2 * pi * j * planar / n)).margin(1e-13));
        for (int j = n; j < group->order(); ++j) CHECK(std::abs(irrep.character(j)) < 1e-13);
      }
      CHECK(planar == (n - 1) / 2);
      CHECK(irreps.size() - static_cast<std::size_t>(planar) ==
            static_cast<std::size_t>((n % 2 ? 1 : 2) * (group == &cyclic ? 1 : 2)));
    }
  }
}

// Mulliken symbols as in Cotton's tables (from memory).
TEST_CASE("irreps carry Mulliken's names", "[symmetry]") {
  const std::map<std::string, std::string> names = {{"C1", "A"},
                                                    {"C2", "A B"},
                                                    {"C4", "A B E"},
                                                    {"C5", "A E1 E2"},
                                                    {"D2", "A B1 B2 B3"},
                                                    {"D3", "A1 A2 E"},
                                                    {"D4", "A1 A2 B1 B2 E"},
                                                    {"D5", "A1 A2 E1 E2"},
                                                    {"D6", "A1 A2 B1 B2 E1 E2"},
                                                    {"Ci", "Ag Au"},
                                                    {"Cs", "A' A''"},
                                                    {"S4", "A B E"},
                                                    {"S6", "Ag Au Eg Eu"},
                                                    {"C2v", "A1 A2 B1 B2"},
                                                    {"C3v", "A1 A2 E"},
                                                    {"C2h", "Ag Bg Au Bu"},
                                                    {"C3h", "A' A'' E' E''"},
                                                    {"D3h", "A1' A2' A1'' A2'' E' E''"},
                                                    {"D2h", "Ag B1g B2g B3g Au B1u B2u B3u"},
                                                    {"D2d", "A1 A2 B1 B2 E"},
                                                    {"D3d", "A1g A2g A1u A2u Eg Eu"},
                                                    {"Th", "Ag Au Eg Eu Tg Tu"},
                                                    {"Td", "A1 A2 E T1 T2"},
                                                    {"Oh", "A1g A2g A1u A2u Eg Eu T1g T2g T1u T2u"},
                                                    {"Ih", "Ag Au T1g T2g T1u T2u Gg Gu Hg Hu"}};
  for (const auto& [symbol, expected] : names) {
    INFO(symbol);
    CHECK(join_names(make_irreps(make_point_group(symbol))) == expected);
  }
}

TEST_CASE("irreps are the same bytes every time", "[symmetry]") {
  const PointGroup group = make_point_group("Td");
  const auto a = make_irreps(group), b = make_irreps(group);
  REQUIRE(a.size() == b.size());
  for (std::size_t i = 0; i < a.size(); ++i) CHECK(a[i].matrices == b[i].matrices);
}
