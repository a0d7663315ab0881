// Stiffness by symmetry blocks against general dense solvers on the full matrix, same designs, one
// run: 60 panels under I with 90 to 300 joints. Wanted: at least 50 times faster, under 100 us.

#include <benchmark/benchmark.h>

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <cmath>

#include "engine/structure/block_stiffness.h"
#include "engine/structure/hinge.h"

using namespace sixtyfold;

namespace {

/// Panels at a generic normal, joined by one involution and as many other elements as it takes.
SymmetricStructure make_structure_with(const PointGroup& group, int joints) {
  SymmetricStructure structure;
  structure.radius_mm = 1.5;
  const Vec3 normal = Vec3(0.31, 0.52, 1.07).normalized();
  structure.body =
      measure_body(make_frame(normal, 1), {{-0.3, -0.2}, {0.4, -0.3}, {0.5, 0.3}, {-0.1, 0.4}});
  int have = 0;
  for (int g = 1; g < group.order() && have < joints; ++g) {
    const bool involution = group.is_involution(g);
    if (involution ? have > 0 : group.invert(g) < g) continue;
    const Vec3 other = group.elements[static_cast<std::size_t>(g)] * normal;
    const Vec3 along = normal.cross(other).normalized();
    const Vec3 nearest = (normal + other) / (1 + normal.dot(other));
    if (nearest.norm() > 3) continue;
    const double low = involution ? 0.2 : 0.15;
    structure.joints.push_back(
        {g, nearest - low * along, nearest + 0.2 * along, involution ? 0.5 : 1.0});
    have += involution ? 30 : 60;
  }
  return structure;
}

Eigen::MatrixXd make_full_matrix(const PointGroup& group, const SymmetricStructure& structure) {
  std::vector<PanelBody> bodies;
  for (const Mat3& g : group.elements) bodies.push_back(make_image(structure.body, g));
  std::vector<Joint> joints;
  for (const JointOrbit& orbit : structure.joints)
    for (int h = 0; h < group.order(); ++h) {
      const int mate = group.multiply(h, orbit.element);
      if (orbit.joints_per_panel < 1 && mate < h) continue;
      Joint joint;
      joint.panels[0] = h, joint.panels[1] = mate;
      joint.from_mm = group.elements[static_cast<std::size_t>(h)] * orbit.from_mm;
      joint.to_mm = group.elements[static_cast<std::size_t>(h)] * orbit.to_mm;
      joints.push_back(joint);
    }
  return make_joint_matrix(make_body_scales(bodies), joints, 0);
}

void run_blocks(benchmark::State& state) {
  const PointGroup group = make_point_group("I");
  const SymmetryBlocks blocks = make_symmetry_blocks(group);
  const SymmetricStructure structure = make_structure_with(group, static_cast<int>(state.range(0)));
  StiffnessWorkspace work;
  for (auto _ : state)
    benchmark::DoNotOptimize(
        find_stiffness(blocks, structure, work, [](double) { return true; })->value);
  state.counters["stiffness"] =
      find_stiffness(blocks, structure, work, [](double) { return true; })->value;
}

void run_full_eigenvalues(benchmark::State& state) {
  const PointGroup group = make_point_group("I");
  const SymmetricStructure structure = make_structure_with(group, static_cast<int>(state.range(0)));
  const Eigen::MatrixXd matrix = make_full_matrix(group, structure);
  Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(360);
  for (auto _ : state) {
    solver.compute(matrix, Eigen::EigenvaluesOnly);
    benchmark::DoNotOptimize(solver.eigenvalues()[6]);
  }
  state.counters["stiffness"] =
      solver.eigenvalues()[6] * structure.body.area_mm2 / structure.radius_mm;
}

/// The rank alone, the cheapest general way on the full matrix.
void run_full_ldlt(benchmark::State& state) {
  const PointGroup group = make_point_group("I");
  const Eigen::MatrixXd matrix =
      make_full_matrix(group, make_structure_with(group, static_cast<int>(state.range(0))));
  Eigen::LDLT<Eigen::MatrixXd> solver(360);
  for (auto _ : state) {
    solver.compute(matrix);
    benchmark::DoNotOptimize(solver.vectorD()[359]);
  }
}

}  // namespace

BENCHMARK(run_blocks)
    ->Name("stiffness/blocks")
    ->Arg(90)
    ->Arg(150)
    ->Arg(210)
    ->Arg(300)
    ->Unit(benchmark::kMicrosecond);
BENCHMARK(run_full_eigenvalues)
    ->Name("stiffness/full_eigenvalues")
    ->Arg(90)
    ->Arg(300)
    ->Unit(benchmark::kMicrosecond);
BENCHMARK(run_full_ldlt)
    ->Name("stiffness/full_ldlt")
    ->Arg(90)
    ->Arg(300)
    ->Unit(benchmark::kMicrosecond);
