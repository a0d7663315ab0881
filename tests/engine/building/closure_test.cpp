// Errors of cuts and folds carried through the assembly, against a slow reference and laws.
#include "engine/building/closure.h"

#include <Eigen/QR>
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/part/part_joints.h"
#include "engine/random.h"
#include "engine/structure/body.h"
#include "tests/support/polyhedra.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

AssemblyPlan plan(const Design& design, int most_in_module = 12) {
  AssemblyOptions options;
  options.most_in_module = most_in_module;
  return plan_assembly(design, make_finished(design, FlatOptions{}), options);
}

/// Everything fitted dry, by points along the lines and a dense least-squares solver: panels move
/// as v + w x (p - centre); two Gauss points a line integrate what is linear along it exactly.
double find_evened_miss(const Design& design, const ClosureOptions& options, RandomStream& random) {
  const auto bodies = find_bodies(design);
  const int joints = static_cast<int>(design.joints.size()),
            columns = 6 * static_cast<int>(bodies.size());
  Eigen::MatrixXd rows = Eigen::MatrixXd::Zero(7 * joints, columns);
  Eigen::VectorXd off = Eigen::VectorXd::Zero(7 * joints);
  std::vector<Vec3> error_from, error_to;
  const auto set = [&](Eigen::MatrixXd& matrix, int row, int body, double sign, const Vec3& p,
                       double weight) {
    const Vec3 r = p - bodies[static_cast<std::size_t>(body)].centroid_mm;
    for (int axis = 0; axis < 3; ++axis) matrix(row + axis, 6 * body + axis) += sign * weight;
    // (w x r)_x = w_y r_z - w_z r_y, and so on; w in radians over 100 mm, for even columns.
    const double s = sign * weight / 100;
    matrix(row, 6 * body + 4) += s * r.z(), matrix(row, 6 * body + 5) -= s * r.y();
    matrix(row + 1, 6 * body + 5) += s * r.x(), matrix(row + 1, 6 * body + 3) -= s * r.z();
    matrix(row + 2, 6 * body + 3) += s * r.y(), matrix(row + 2, 6 * body + 4) -= s * r.x();
  };
  for (int n = 0; n < joints; ++n) {
    const Joint& joint = design.joints[static_cast<std::size_t>(n)];
    const Vec3 along = (joint.to_mm - joint.from_mm).normalized();
    Vec3 from = Vec3::Zero(), to = Vec3::Zero();
    for (const int s : {0, 1}) {
      const Vec3 across = make_copy_frame(design, joint.panels[s]).normal.cross(along);
      from += random.uniform(-options.cut_mm, options.cut_mm) * across;
      to += random.uniform(-options.cut_mm, options.cut_mm) * across;
      const double slip = random.uniform(-options.cut_mm, options.cut_mm);
      from += slip * along, to += slip * along;
    }
    error_from.push_back(from), error_to.push_back(to);
    const double length = joint.length_mm();
    for (const int g : {0, 1}) {
      const double u = 0.5 + (g ? 0.5 : -0.5) / std::sqrt(3.0), weight = std::sqrt(length / 2);
      const Vec3 p = (1 - u) * joint.from_mm + u * joint.to_mm;
      set(rows, 7 * n + 3 * g, joint.panels[0], 1, p, weight);
      set(rows, 7 * n + 3 * g, joint.panels[1], -1, p, weight);
      off.segment<3>(7 * n + 3 * g) = weight * ((1 - u) * from + u * to);
    }
    const double weight = options.fold_length_mm * std::sqrt(length);
    for (int axis = 0; axis < 3; ++axis) {
      rows(7 * n + 6, 6 * joint.panels[0] + 3 + axis) += weight * along[axis] / 100;
      rows(7 * n + 6, 6 * joint.panels[1] + 3 + axis) -= weight * along[axis] / 100;
    }
    off[7 * n + 6] = weight * random.uniform(-1.0, 1.0) * to_radians(options.fold_deg);
  }
  const Eigen::VectorXd motion = rows.completeOrthogonalDecomposition().solve(-off);
  double most = 0;
  for (int n = 0; n < joints; ++n) {
    const Joint& joint = design.joints[static_cast<std::size_t>(n)];
    for (const bool end : {false, true}) {
      Eigen::MatrixXd here = Eigen::MatrixXd::Zero(3, columns);
      const Vec3 p = end ? joint.to_mm : joint.from_mm;
      set(here, 0, joint.panels[0], 1, p, 1);
      set(here, 0, joint.panels[1], -1, p, 1);
      most = std::max(
          most,
          Vec3(here * motion + (end ? error_to : error_from)[static_cast<std::size_t>(n)]).norm());
    }
  }
  return most;
}

}  // namespace

TEST_CASE("the miss is linear in the errors and the same for the same seed", "[closure]") {
  const Design design = make_dodecahedron(300, 4);
  const AssemblyPlan assembly = plan(design);
  ClosureOptions options;
  const Closure once = measure_closure(design, assembly, options);
  CHECK(once.last.median_mm > 0.1);
  CHECK(once.last.median_mm <= once.last.most_mm);
  const Closure same = measure_closure(design, assembly, options);
  CHECK(same.last.most_mm == once.last.most_mm);
  ClosureOptions twice = options;
  twice.cut_mm *= 2, twice.fold_deg *= 2;
  const Closure doubled = measure_closure(design, assembly, twice);
  CHECK(doubled.last.most_mm == Approx(2 * once.last.most_mm));
  CHECK(doubled.evened.median_mm == Approx(2 * once.evened.median_mm));
  options.cut_mm = options.fold_deg = 0;
  const Closure perfect = measure_closure(design, assembly, options);
  CHECK(perfect.last.most_mm == Approx(0).margin(1e-9));
  CHECK(perfect.evened.most_mm == Approx(0).margin(1e-9));
}

TEST_CASE("panels that hang on one joint each have nothing to miss", "[closure]") {
  // A tree: every new panel goes where its one joint puts it.
  const Design design = make_plate_on_plate(70, 4);
  const Closure closure = measure_closure(design, plan(design));
  CHECK(closure.last.most_mm < 1e-6);
  CHECK(closure.evened.most_mm < 1e-3);
}

TEST_CASE("a construction evened out misses as a dense reference says", "[closure]") {
  for (const Design& design : {make_cube(300, 4), make_dodecahedron(300, 4)}) {
    ClosureOptions options;
    options.trials = 600;
    const Closure closure = measure_closure(design, plan(design, 1), options);
    std::vector<double> misses;
    for (std::uint64_t k = 0; k < 300; ++k) {
      RandomStream random(77, Purpose::test, k);
      misses.push_back(find_evened_miss(design, options, random));
    }
    std::sort(misses.begin(), misses.end());
    CHECK(closure.evened.median_mm == Approx(misses[150]).epsilon(0.06));
    CHECK(closure.evened.most_mm == Approx(misses[285]).epsilon(0.12));
    // What is glued step by step can not be evened out any more.
    double worst = 0;
    for (const Miss& miss : closure.steps) worst = std::max(worst, miss.median_mm);
    CHECK(worst > closure.evened.median_mm);
  }
}
