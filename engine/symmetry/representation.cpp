#include "engine/symmetry/representation.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <map>

namespace sixtyfold {
namespace {

/// A fixed number in (0, 1) that shows no pattern in its arguments (the finaliser of
/// SplitMix64, Steele 2014): nothing is drawn at random here.
double make_generic_number(std::uint64_t salt, std::uint64_t index) {
  std::uint64_t x = (salt << 32) + index + 1;
  x *= 0x9e3779b97f4a7c15ull;
  x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9ull;
  x = (x ^ (x >> 27)) * 0x94d049bb133111ebull;
  return static_cast<double>((x ^ (x >> 31)) >> 11) * 0x1p-53;
}

/// Orthonormal bases (columns) of invariant subspaces of the regular representation, split as far
/// as one symmetric element of its commutant can.
std::vector<Eigen::MatrixXd> find_invariant_subspaces(const PointGroup& group, std::uint64_t salt) {
  const int n = group.order();
  std::vector<double> weight(group.elements.size());
  for (int g = 0; g < n; ++g)
    weight[static_cast<std::size_t>(g)] =
        make_generic_number(salt, static_cast<std::uint64_t>(std::min(g, group.invert(g))));
  Eigen::MatrixXd commuting(n, n);
  for (int a = 0; a < n; ++a)
    for (int b = 0; b < n; ++b)
      commuting(a, b) = weight[static_cast<std::size_t>(group.multiply(group.invert(a), b))];
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(commuting);
  const auto& values = solver.eigenvalues();
  std::vector<Eigen::MatrixXd> spaces;
  for (int from = 0, to = 1; from < n; from = to++) {
    while (to < n && values[to] - values[to - 1] < 1e-9 * n) ++to;
    spaces.push_back(solver.eigenvectors().middleCols(from, to - from));
  }
  return spaces;
}

/// No irreducible representation of a point group is larger than 5 x 5.
using SmallMatrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::ColMajor, 5, 5>;
using Matrices = std::vector<SmallMatrix>;

/// rho(g) on an invariant subspace: g carries the function f to h -> f(g^-1 h).
Matrices make_matrices(const PointGroup& group, const Eigen::MatrixXd& basis) {
  Matrices matrices;
  Eigen::MatrixXd moved(basis.rows(), basis.cols());
  for (int g = 0; g < group.order(); ++g) {
    for (int h = 0; h < group.order(); ++h)
      moved.row(h) = basis.row(group.multiply(group.invert(g), h));
    matrices.push_back(basis.transpose() * moved);
  }
  return matrices;
}

/// One step towards an exact homomorphism: the mean of rho(g h) rho(h)^-1 over h, made orthogonal
/// by a Newton step. Errors square with each step.
void polish(const PointGroup& group, Matrices& matrices) {
  const int n = group.order();
  const auto d = matrices[0].rows();
  Matrices next;
  for (int g = 0; g < n; ++g) {
    SmallMatrix mean = SmallMatrix::Zero(d, d);
    for (int h = 0; h < n; ++h)
      mean.noalias() += matrices[static_cast<std::size_t>(group.multiply(g, h))].lazyProduct(
          matrices[static_cast<std::size_t>(h)].transpose());
    mean /= n;
    for (int step = 0; step < 2; ++step) {
      const SmallMatrix square = mean.transpose().lazyProduct(mean);
      mean = (0.5 * mean).lazyProduct(3 * SmallMatrix::Identity(d, d) - square).eval();
    }
    next.push_back(mean);
  }
  matrices = std::move(next);
  matrices[0].setIdentity();
}

std::vector<double> find_characters(const PointGroup& group, const Eigen::MatrixXd& basis) {
  std::vector<double> characters;
  for (int g = 0; g < group.order(); ++g) {
    double sum = 0;
    for (int h = 0; h < group.order(); ++h)
      sum += basis.row(h).dot(basis.row(group.multiply(group.invert(g), h)));
    characters.push_back(sum);
  }
  return characters;
}

/// m of an irreducible representation, 0 for a reducible one: the mean of character(g)^2 is m or
/// the sum over the parts, and the mean of character(g^2) tells the complex type (0) from two real
/// representations that fell together (2). (Frobenius and Schur 1906; Serre 1977, 13.2.)
int find_type(const PointGroup& group, const std::vector<double>& characters) {
  double norm = 0, indicator = 0;
  for (int g = 0; g < group.order(); ++g) {
    const double x = characters[static_cast<std::size_t>(g)];
    norm += x * x / group.order();
    indicator += characters[static_cast<std::size_t>(group.multiply(g, g))] / group.order();
  }
  if (std::lround(norm) == 1 && std::lround(indicator) == 1) return 1;
  if (std::lround(norm) == 2 && std::lround(indicator) == 0) return 2;
  return 0;
}

bool is_same(const std::vector<double>& a, const std::vector<double>& b) {
  for (std::size_t g = 0; g < a.size(); ++g)
    if (std::abs(a[g] - b[g]) > 1e-6) return false;
  return true;
}

int find_element(const PointGroup& group, const Mat3& wanted) {
  for (int g = 0; g < group.order(); ++g)
    if (group.elements[static_cast<std::size_t>(g)].isApprox(wanted, 1e-9)) return g;
  return -1;
}

/// What Mulliken's letters look at.
struct Naming {
  bool cubic = false;
  bool three_twofold_axes = false;  ///< D2, D2h: every rotation must agree for an A
  int principal = 0;                ///< the element whose character tells A from B, E1 from E2
  int inversion = -1, mirror = -1;  ///< what tells g from u, ' from ''; -1 for none
};

Naming make_naming(const PointGroup& group) {
  Naming naming;
  const char family = group.symbol[0];
  naming.cubic = family == 'T' || family == 'O' || family == 'I';
  naming.three_twofold_axes = group.symbol == "D2" || group.symbol == "D2h";
  naming.inversion = find_element(group, -Mat3::Identity());
  if (naming.inversion < 0 && !naming.cubic)
    naming.mirror = find_element(group, Vec3(1, 1, -1).asDiagonal().toDenseMatrix());
  // The turn of highest order by the smallest angle, about z in axial groups; where there is
  // neither inversion nor horizontal mirror, turns with reflection count too (S4 of Td and D2d).
  int best_order = 1;
  double best_trace = 0;
  for (int g = 1; g < group.order(); ++g) {
    const Mat3& m = group.elements[static_cast<std::size_t>(g)];
    const bool proper = m.determinant() > 0;
    if (!proper && (naming.inversion >= 0 || naming.mirror >= 0)) continue;
    if (!naming.cubic && std::abs(m(2, 2) - (proper ? 1 : -1)) > 1e-9) continue;
    const int order = find_element_order(group, g);
    const double trace = m.trace();
    if (order < best_order || (order == best_order && trace <= best_trace + 1e-9)) continue;
    best_order = order, best_trace = trace;
    naming.principal = g;
  }
  return naming;
}

std::string find_letter(const PointGroup& group, const Naming& naming, const Irrep& irrep) {
  static const char* const letters[] = {"", "A", "E", "T", "G", "H"};
  if (irrep.dimension > 1 || naming.cubic) return letters[irrep.dimension];
  bool even = irrep.character(naming.principal) > 0;
  if (naming.three_twofold_axes)
    for (int g = 0; g < group.order(); ++g)
      if (group.elements[static_cast<std::size_t>(g)].determinant() > 0 && irrep.character(g) < 0)
        even = false;
  return even ? "A" : "B";
}

/// True for g and ', or where the group has neither.
bool is_even(const Naming& naming, const Irrep& irrep) {
  const int g = naming.inversion >= 0 ? naming.inversion : naming.mirror;
  return g < 0 || irrep.character(g) > 0;
}

void sort_and_name(const PointGroup& group, std::vector<Irrep>& irreps) {
  const Naming naming = make_naming(group);
  std::sort(irreps.begin(), irreps.end(), [&](const Irrep& a, const Irrep& b) {
    if (a.dimension != b.dimension) return a.dimension < b.dimension;
    if (is_even(naming, a) != is_even(naming, b)) return is_even(naming, a);
    const auto larger_at = [&](int g) { return a.character(g) > b.character(g) + 1e-6; };
    const auto smaller_at = [&](int g) { return a.character(g) < b.character(g) - 1e-6; };
    if (larger_at(naming.principal) || smaller_at(naming.principal))
      return larger_at(naming.principal);
    for (int g = 0; g < group.order(); ++g)
      if (larger_at(g) || smaller_at(g)) return larger_at(g);
    return false;
  });
  const auto stem_of = [&](const Irrep& irrep) {
    return std::pair(find_letter(group, naming, irrep), is_even(naming, irrep));
  };
  std::map<std::pair<std::string, bool>, int> total, used;
  for (const Irrep& irrep : irreps) ++total[stem_of(irrep)];
  for (Irrep& irrep : irreps) {
    const auto stem = stem_of(irrep);
    irrep.name = stem.first;
    if (total[stem] > 1) irrep.name += std::to_string(++used[stem]);
    if (naming.inversion >= 0) irrep.name += stem.second ? "g" : "u";
    if (naming.mirror >= 0) irrep.name += stem.second ? "'" : "''";
  }
}

}  // namespace

double Irrep::character(int element) const {
  double sum = 0;
  for (int i = 0; i < dimension; ++i) sum += entry(element, i, i);
  return sum;
}

std::vector<Irrep> make_irreps(const PointGroup& group) {
  for (std::uint64_t salt = 1; salt < 100; ++salt) {
    std::vector<Eigen::MatrixXd> bases;
    std::vector<std::vector<double>> characters;
    std::vector<int> types;
    bool split = true;
    for (Eigen::MatrixXd& basis : find_invariant_subspaces(group, salt)) {
      std::vector<double> found = find_characters(group, basis);
      const int type = find_type(group, found);
      if (type == 0) split = false;
      if (std::any_of(characters.begin(), characters.end(),
                      [&](const auto& known) { return is_same(known, found); }))
        continue;
      bases.push_back(std::move(basis));
      characters.push_back(std::move(found));
      types.push_back(type);
    }
    std::size_t sum = 0;
    for (std::size_t i = 0; split && i < bases.size(); ++i)
      sum += static_cast<std::size_t>(bases[i].cols() * bases[i].cols() / types[i]);
    if (!split || sum != group.elements.size()) continue;  // an unlucky coincidence: other weights
    std::vector<Irrep> irreps;
    for (std::size_t i = 0; i < bases.size(); ++i) {
      Matrices matrices = make_matrices(group, bases[i]);
      for (int step = 0; step < 3; ++step) polish(group, matrices);
      Irrep irrep;
      irrep.dimension = static_cast<int>(bases[i].cols());
      irrep.type = types[i];
      for (const SmallMatrix& m : matrices)
        for (Eigen::Index r = 0; r < m.rows(); ++r)
          for (Eigen::Index c = 0; c < m.cols(); ++c) irrep.matrices.push_back(m(r, c));
      irreps.push_back(std::move(irrep));
    }
    sort_and_name(group, irreps);
    return irreps;
  }
  assert(false && "no generic weights split the regular representation");
  return {};
}

}  // namespace sixtyfold
