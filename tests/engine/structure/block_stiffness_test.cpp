#include "engine/structure/block_stiffness.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <catch2/catch.hpp>
#include <numeric>

#include "tests/support/symmetric_plates.h"

using namespace sixtyfold;

namespace {

/// Block eigenvalues, each as often as it counts, ascending.
std::vector<double> make_joined(const std::vector<BlockSpectrum>& spectra) {
  std::vector<double> joined;
  for (const BlockSpectrum& spectrum : spectra)
    for (const double value : spectrum.eigenvalues)
      joined.insert(joined.end(), static_cast<std::size_t>(spectrum.multiplicity), value);
  std::sort(joined.begin(), joined.end());
  return joined;
}

void check_agreement(const PointGroup& group, const Subgroup& stabiliser,
                     SymmetricStructure symmetric) {
  const Structure whole = make_whole(group, stabiliser, symmetric);
  const SymmetryBlocks blocks = make_symmetry_blocks(group, stabiliser);
  const auto expected = find_stiffness_spectrum(whole);
  const auto found = make_joined(find_block_spectra(blocks, symmetric));
  REQUIRE(found.size() == expected.size());
  double worst = 0;
  for (std::size_t i = 0; i < found.size(); ++i)
    worst = std::max(worst, std::abs(found[i] - expected[i]));
  CHECK(worst < 1e-9 * expected.back());
  StiffnessWorkspace work;
  const Stiffness slow = measure_stiffness(whole),
                  fast = measure_stiffness(blocks, symmetric, work);
  CHECK(fast.pieces == slow.pieces);
  CHECK(fast.rank == slow.rank);
  CHECK(fast.internal_dof == slow.internal_dof);
  CHECK(fast.self_stresses == slow.self_stresses);
  // Rounding is relative to the largest eigenvalue.
  CHECK(fast.value == Approx(slow.value).epsilon(1e-9).margin(1e-13 * expected.back()));
  CHECK((slow.value > 0) == (fast.value > 0));
  CHECK(fast.smallest_held == Approx(slow.smallest_held).epsilon(1e-6).margin(1e-13));
  CHECK(slow.largest_free <= fast.largest_free + 1e-13);
  double bound = std::numeric_limits<double>::infinity();
  const Stiffness searched = *find_stiffness(blocks, symmetric, work, [&](double at_most) {
    bound = at_most;
    return true;
  });
  CHECK(searched.value <= bound);
  if (bound < std::numeric_limits<double>::infinity())
    CHECK(!find_stiffness(blocks, symmetric, work, [](double) { return false; }));
  CHECK(searched.pieces == slow.pieces);
  CHECK(searched.rank == slow.rank);
  CHECK(searched.internal_dof == slow.internal_dof);
  CHECK(searched.self_stresses == slow.self_stresses);
  CHECK(searched.value == Approx(fast.value).epsilon(1e-11).margin(1e-13 * expected.back()));
  int rigid = 0;
  for (const SymmetryBlock& block : blocks.blocks) rigid += block.rigid * block.multiplicity;
  CHECK(rigid == 6);
  int motions = 0;
  for (const FreeMotionType& type : find_free_motion_types(blocks, symmetric))
    motions += type.dimension * type.copies;
  CHECK(motions == slow.internal_dof);
}

}  // namespace

TEST_CASE("block eigenvalues are those of the full matrix, for every kind of group",
          "[structure]") {
  RandomStream random(21, Purpose::test, 0);
  for (const auto& symbol :
       {"C2", "C3", "C5",  "C8",  "D2",  "D3",  "D5",  "D6",  "T",   "O",   "I",  "Ci", "Cs",
        "S4", "S6", "C3h", "C4h", "C3v", "C4v", "D3h", "D4h", "D2d", "D3d", "Th", "Td", "Oh"}) {
    const PointGroup group = make_point_group(symbol);
    for (int orbits = 1; orbits <= (group.order() > 30 ? 2 : 4); ++orbits) {
      INFO(symbol << " with " << orbits << " orbits of joints");
      SymmetricStructure symmetric = make_random_symmetric(group, {0}, orbits, random);
      if (orbits == 2) symmetric.fold_length_mm = 0.1;
      check_agreement(group, {0}, symmetric);
    }
  }
}

TEST_CASE("block eigenvalues are those of the full matrix for panels on an axis", "[structure]") {
  RandomStream random(22, Purpose::test, 0);
  for (const auto& symbol :
       {"C6", "D5", "D6", "T", "O", "I", "D4h", "C3v", "D2d", "Td", "Th", "Oh"}) {
    const PointGroup group = make_point_group(symbol);
    for (const Axis& axis : find_axes(group)) {
      // The rotations about the axis, and with them the mirrors through it.
      const Subgroup fixing = find_stabiliser(group, axis.direction);
      Subgroup turning;
      for (const int g : fixing)
        if (group.elements[static_cast<std::size_t>(g)].determinant() > 0) turning.push_back(g);
      for (const Subgroup& stabiliser : {turning, fixing}) {
        INFO(symbol << " order " << stabiliser.size());
        if (group.order() == static_cast<int>(stabiliser.size())) continue;
        check_agreement(group, stabiliser, make_random_symmetric(group, stabiliser, 2, random));
      }
    }
  }
}

// Kangwai and Guest 2000 (Comput. Struct. 71), Schulze 2010: 60 free bodies under I.
TEST_CASE("blocks have the sizes of the theory", "[structure]") {
  const SymmetryBlocks blocks = make_symmetry_blocks(make_point_group("I"));
  std::vector<int> sizes, counts;
  for (const SymmetryBlock& block : blocks.blocks)
    sizes.push_back(block.size), counts.push_back(block.multiplicity);
  CHECK(sizes == std::vector<int>{6, 18, 18, 24, 30});
  CHECK(counts == std::vector<int>{1, 3, 3, 4, 5});
  const SymmetryBlocks tetrahedral = make_symmetry_blocks(make_point_group("T"));
  CHECK(tetrahedral.blocks[1].size == 12);  // counted once: complex type
  CHECK(tetrahedral.blocks[1].multiplicity == 1);
  const PointGroup group = make_point_group("I");
  for (const Axis& axis : find_axes(group)) {
    const SymmetryBlocks on_axis =
        make_symmetry_blocks(group, find_stabiliser(group, axis.direction));
    int sum = 0;
    for (const SymmetryBlock& block : on_axis.blocks) sum += block.size * block.multiplicity;
    CHECK(sum == 6 * 60 / axis.order);
  }
}

TEST_CASE("ten panels in one ring have four freedoms", "[structure]") {
  // A dihedral ring of ten hinges has 10 - 6 = 4.
  RandomStream random(24, Purpose::test, 0);
  const PointGroup group = make_point_group("D5");
  const SymmetryBlocks blocks = make_symmetry_blocks(group);
  SymmetricStructure symmetric = make_random_symmetric(group, {0}, 2, random);
  for (int k = 0; k < 2; ++k) {
    symmetric.joints[static_cast<std::size_t>(k)].element = 5 + k;  // two flips that generate D5
    symmetric.joints[static_cast<std::size_t>(k)].to_mm =
        group.elements[static_cast<std::size_t>(5 + k)] *
        symmetric.joints[static_cast<std::size_t>(k)].from_mm;
  }
  const Structure whole = make_whole(group, {0}, symmetric);
  REQUIRE(whole.joints.size() == 10);
  StiffnessWorkspace work;
  const Stiffness found = measure_stiffness(blocks, symmetric, work);
  CHECK(found.pieces == 1);
  CHECK(found.internal_dof == 4);
  CHECK(found.value == 0);
}

TEST_CASE("moving the panel by a group element changes no number", "[structure]") {
  RandomStream random(25, Purpose::test, 0);
  const PointGroup group = make_point_group("I");
  const SymmetryBlocks blocks = make_symmetry_blocks(group);
  SymmetricStructure symmetric = make_random_symmetric(group, {0}, 3, random);
  make_whole(group, {0}, symmetric);
  StiffnessWorkspace work;
  const double value = measure_stiffness(blocks, symmetric, work).value;
  REQUIRE(value > 0);
  for (const int h : {1, 7, 33}) {
    SymmetricStructure moved = symmetric;
    const Mat3& map = group.elements[static_cast<std::size_t>(h)];
    moved.body = make_image(symmetric.body, map);
    for (JointOrbit& joint : moved.joints) {
      joint.element = group.multiply(group.multiply(h, joint.element), group.invert(h));
      joint.from_mm = map * joint.from_mm, joint.to_mm = map * joint.to_mm;
    }
    CHECK(measure_stiffness(blocks, moved, work).value == Approx(value).epsilon(1e-10));
  }
  // Naming a joint by its other panel: P and gP become P and g^-1 P.
  SymmetricStructure other = symmetric;
  JointOrbit& joint = other.joints[0];
  const Mat3 back = group.elements[static_cast<std::size_t>(joint.element)].transpose();
  joint.element = group.invert(joint.element);
  joint.from_mm = back * joint.from_mm, joint.to_mm = back * joint.to_mm;
  CHECK(measure_stiffness(blocks, other, work).value == Approx(value).epsilon(1e-10));
}

TEST_CASE("small eigenvalues agree with a general solver", "[structure]") {
  RandomStream random(26, Purpose::test, 0);
  for (int size = 1; size <= largest_block; ++size) {
    Eigen::MatrixXd a(size, size);
    for (double& x : a.reshaped()) x = random.normal();
    a = (a + a.transpose()).eval();
    if (size % 3 == 0) a.row(size / 2).setZero(), a.col(size / 2).setZero();
    double rows[block_stride * block_stride];
    for (int i = 0; i < size; ++i)
      for (int j = 0; j < size; ++j) rows[i * block_stride + j] = a(i, j);
    Tridiagonal tridiagonal;
    reduce_to_tridiagonal(rows, size, tridiagonal);
    const auto expected = Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(a).eigenvalues();
    for (int i = 0; i < size; ++i) {
      CHECK(find_eigenvalue(tridiagonal, i, -100, 100) ==
            Approx(expected[i]).epsilon(1e-12).margin(1e-12));
      CHECK(count_eigenvalues_below(tridiagonal, expected[i] - 1e-9) <= i);
      CHECK(count_eigenvalues_below(tridiagonal, expected[i] + 1e-9) >= i + 1);
    }
  }
}

// A ring of n bodies and n hinges that turning by 1/n carries into itself. The hinges' freedoms are
// one of each irreducible representation of Cn (each dimension of it once), rigid motion takes
// A + E1 twice (for n = 4 E is E1), so mobility less self-stress is +1 on all others and -1 on A
// and E1: the symmetry-extended mobility rule of Guest and Fowler 2005 (Mech. Mach. Theory 40).
// Plain counting gives n - 6: it sees no motion of the rings of four to six.
TEST_CASE("rings of hinged bodies move in the symmetry types that theory tells", "[structure]") {
  RandomStream random(23, Purpose::test, 0);
  const auto make_point = [&] {
    return Vec3(random.uniform(-100, 100), random.uniform(-100, 100), random.uniform(-100, 100));
  };
  for (int n = 4; n <= 9; ++n) {
    const PointGroup group = make_point_group("C" + std::to_string(n));
    const SymmetryBlocks blocks = make_symmetry_blocks(group);
    SymmetricStructure ring;
    ring.body = measure_body(make_frame(make_point().normalized(), 60),
                             {{-30, -20}, {40, -30}, {50, 30}, {-10, 40}});
    ring.radius_mm = 150;
    int step = 0;
    for (int g = 1; g < n; ++g)
      if (std::abs(group.elements[static_cast<std::size_t>(g)].trace() - 1 -
                   2 * std::cos(2 * pi / n)) < 1e-9)
        step = g;
    ring.joints.push_back({step, make_point(), make_point(), 1.0});
    int motions = 0;
    std::vector<std::string> seen;
    for (const FreeMotionType& type : find_free_motion_types(blocks, ring)) {
      INFO(n << " " << type.irrep);
      CHECK(type.copies == 1);
      motions += type.dimension * type.copies;
      seen.push_back(type.irrep);
    }
    std::vector<std::string> expected;
    for (const SymmetryBlock& block : blocks.blocks)
      if (block.irrep != "A" && block.irrep != "E" && block.irrep != "E1")
        expected.push_back(block.irrep);
    CHECK(seen == expected);
    CHECK(motions == n - 3);
    StiffnessWorkspace work;
    const Stiffness stiffness = measure_stiffness(blocks, ring, work);
    CHECK(stiffness.internal_dof == n - 3);
    CHECK(stiffness.self_stresses == 3);
  }
}
