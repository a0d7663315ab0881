#include "engine/structure/load.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "engine/design.h"
#include "engine/structure/hinge.h"

namespace sixtyfold {
namespace {

Vec3 find_centre_of_gravity(const std::vector<PanelBody>& bodies) {
  Vec3 sum = Vec3::Zero();
  double area = 0;
  for (const PanelBody& body : bodies)
    sum += body.area_mm2 * body.centroid_mm, area += body.area_mm2;
  return sum / area;
}

void check_load_case(const LoadCase& load_case, std::size_t panels) {
  const auto refuse = [](const std::string& sentence) { throw std::invalid_argument(sentence); };
  if (load_case.supports.empty()) refuse("the load case has no support; at least one is needed");
  for (const Support& support : load_case.supports)
    if (!(0 <= support.panel && static_cast<std::size_t>(support.panel) < panels) ||
        !support.point_mm.allFinite())
      refuse("support on copy " + std::to_string(support.panel) +
             " is not in the design; copies 0 to " + std::to_string(static_cast<long>(panels) - 1) +
             " are allowed");
  if (!(std::abs(load_case.up.norm() - 1) < 1e-6))
    refuse("the direction up of the load case must be a unit vector");
  if (!(0 < load_case.mass_kg_per_m2 && load_case.mass_kg_per_m2 < 1e4))
    refuse("mass_kg_per_m2 of the load case must be above 0 and below 10000");
  if (const std::string fault = load_case.glue.find_fault(); !fault.empty()) refuse(fault);
}

/// True if a weight above this foot print does not tip: the centre lies inside the hull.
bool is_inside_footprint(const LoadCase& load_case, const Vec3& centre) {
  const Frame floor = make_frame(load_case.up, 0);
  Polygon feet;
  for (const Support& support : load_case.supports)
    feet.push_back(floor.to_plane(support.point_mm));
  const Polygon hull = make_convex_hull(feet);
  return hull.size() >= 3 && contains(hull, floor.to_plane(centre));
}

}  // namespace

std::string GlueLine::find_fault() const {
  if (!(0 < stiffness_n_per_mm2 && stiffness_n_per_mm2 <= 1e6))
    return "stiffness_n_per_mm2 of the glue line must be above 0 and at most 1000000";
  if (!(0 <= fold_nmm_per_mm_rad && fold_nmm_per_mm_rad <= 1e6))
    return "fold_nmm_per_mm_rad of the glue line must be from 0 to 1000000";
  if (!(0 < strength_n_per_mm && strength_n_per_mm <= 1e6))
    return "strength_n_per_mm of the glue line must be above 0 and at most 1000000";
  return {};
}

LoadCase make_load_case(const Design& design, Hold hold, const std::vector<int>& copies) {
  const auto bodies = find_bodies(design);
  const auto corners = find_corners(design);
  if (copies.empty())
    throw std::invalid_argument("no copy is named to hang from or stand on; name at least one");
  const Vec3 centre = find_centre_of_gravity(bodies);
  Vec3 towards = Vec3::Zero();
  double size = 0;
  for (const int copy : copies) {
    if (!(0 <= copy && static_cast<std::size_t>(copy) < bodies.size()))
      throw std::invalid_argument("copy " + std::to_string(copy) + " is not in the design; 0 to " +
                                  std::to_string(static_cast<long>(bodies.size()) - 1) +
                                  " are allowed");
    towards += bodies[static_cast<std::size_t>(copy)].centroid_mm - centre;
    for (const Vec3& corner : corners[static_cast<std::size_t>(copy)])
      size = std::max(size, (corner - centre).norm());
  }
  if (!(towards.norm() > 1e-3 * size))
    throw std::invalid_argument(
        "the named copies lie evenly round the centre of gravity, so that none is at the top or "
        "the bottom; "
        "name copies on one side");
  LoadCase load_case;
  load_case.hold = hold;
  load_case.mass_kg_per_m2 = design.limits.mass_kg_per_m2;
  load_case.up = (hold == Hold::hung ? towards : Vec3(-towards)).normalized();
  const double side = hold == Hold::hung ? 1 : -1;  // hung: highest corners; standing: lowest
  const auto reach_of = [&](const Vec3& corner) {
    return side * load_case.up.dot(corner - centre);
  };
  if (hold == Hold::hung) {
    Vec3 mean = Vec3::Zero();
    for (const int copy : copies) {
      const auto& own = corners[static_cast<std::size_t>(copy)];
      const Vec3 top = *std::max_element(own.begin(), own.end(), [&](const Vec3& a, const Vec3& b) {
        return reach_of(a) < reach_of(b);
      });
      load_case.supports.push_back({copy, top});
      mean += (top - centre) / static_cast<double>(copies.size());
    }
    load_case.up = mean.normalized();  // it turns until the mean is above the centre of gravity
    return load_case;
  }
  double floor = 0;
  for (const int copy : copies)
    for (const Vec3& corner : corners[static_cast<std::size_t>(copy)])
      floor = std::max(floor, reach_of(corner));
  for (const int copy : copies)
    for (const Vec3& corner : corners[static_cast<std::size_t>(copy)])
      if (reach_of(corner) > floor - 1) load_case.supports.push_back({copy, corner});
  return load_case;
}

LoadResult measure_load(const Design& design, const LoadCase& load_case) {
  const auto bodies = find_bodies(design);
  check_load_case(load_case, bodies.size());
  const auto scales = make_body_scales(bodies);
  const auto size = static_cast<Eigen::Index>(6 * bodies.size());
  const double k = load_case.glue.stiffness_n_per_mm2;

  LoadResult result;
  Eigen::VectorXd force = Eigen::VectorXd::Zero(size);
  for (std::size_t i = 0; i < bodies.size(); ++i) {
    const double weight = load_case.mass_kg_per_m2 * 1e-6 * bodies[i].area_mm2 * gravity_m_per_s2;
    result.weight_n += weight;
    force.segment<3>(static_cast<Eigen::Index>(6 * i)) =
        -weight * scales[i].velocity * load_case.up;
  }
  const Vec3 centre = find_centre_of_gravity(bodies);
  if (load_case.hold == Hold::standing && !is_inside_footprint(load_case, centre)) {
    result.fault = "it tips over: its centre of gravity is not above the corners it stands on";
    return result;
  }
  double lift = 0;
  for (const Support& support : load_case.supports)
    lift += load_case.up.dot(support.point_mm - centre);
  if (load_case.hold == Hold::hung && !(lift > 0)) {
    result.fault = "it turns over: it is hung from below its centre of gravity";
    return result;
  }

  // Supports are stiff springs, a thousand times the joints; what is left free (sway and spin of
  // what hangs) is held by springs a thousand million times softer, which must not carry anything.
  Eigen::MatrixXd matrix = k * make_joint_matrix(scales, design.joints,
                                                 std::sqrt(load_case.glue.fold_nmm_per_mm_rad / k));
  const double joints_mean = matrix.trace() / static_cast<double>(size);
  const double mean = joints_mean > 0 ? joints_mean : 1;
  const double stiff = 1e3 * mean / (scales[0].velocity * scales[0].velocity), soft = 1e-9 * mean;
  for (const Support& support : load_case.supports) {
    const auto at = 6 * support.panel;
    const auto map =
        make_displacement(scales[static_cast<std::size_t>(support.panel)], support.point_mm);
    if (load_case.hold == Hold::hung)
      matrix.block<6, 6>(at, at) +=
          stiff * (map.transpose() * load_case.up) * (load_case.up.transpose() * map);
    else
      matrix.block<6, 6>(at, at) += stiff * map.transpose() * map;
  }
  matrix.diagonal().array() += soft;
  const Eigen::LDLT<Eigen::MatrixXd> solver(matrix);
  Eigen::VectorXd motion = solver.solve(force);
  motion += solver.solve(force - matrix * motion);  // one refinement: the springs' range is wide
  if (!motion.allFinite() || soft * motion.norm() > 1e-2 * force.norm()) {
    result.fault =
        "it is not held: under its weight it turns or folds without resistance; hold it at more "
        "copies or "
        "add joints";
    return result;
  }

  const auto displacement_of = [&](std::size_t panel, const Vec3& point) {
    return Vec3(make_displacement(scales[panel], point) *
                motion.segment<6>(static_cast<Eigen::Index>(6 * panel)));
  };
  for (const Support& support : load_case.supports) {
    const double up = load_case.up.dot(
        displacement_of(static_cast<std::size_t>(support.panel), support.point_mm));
    result.reactions_n.push_back(-stiff * up);
    if (-stiff * up < -1e-3 * result.weight_n && result.fault.empty())
      result.fault =
          (load_case.hold == Hold::hung ? "the string at copy " : "a corner of copy ") +
          std::to_string(support.panel) +
          (load_case.hold == Hold::hung ? " would go slack" : " would lift off the floor");
  }
  const auto corners = find_corners(design);
  for (std::size_t i = 0; i < corners.size(); ++i)
    for (const Vec3& corner : corners[i]) {
      // Hung things sway without strain: what counts there is the drop.
      const Vec3 moved = displacement_of(i, corner);
      const double distance =
          load_case.hold == Hold::hung ? std::abs(load_case.up.dot(moved)) : moved.norm();
      if (distance > result.deflection_mm)
        result.deflection_mm = distance, result.deflected_panel = static_cast<int>(i);
    }
  double worst = 0;
  for (std::size_t j = 0; j < design.joints.size(); ++j) {
    const Joint& joint = design.joints[j];
    const auto force_at = [&](const Vec3& point) {
      return Vec3(k * (displacement_of(static_cast<std::size_t>(joint.panels[1]), point) -
                       displacement_of(static_cast<std::size_t>(joint.panels[0]), point)));
    };
    const Vec3 from = force_at(joint.from_mm), to = force_at(joint.to_mm);
    JointForce found;
    found.joint = static_cast<int>(j);
    found.peak_n_per_mm =
        std::max(from.norm(), to.norm());  // linear along the line: largest at an end
    found.total_n = joint.length_mm() / 2 * (from + to);
    if (found.peak_n_per_mm > worst) worst = found.peak_n_per_mm, result.worst_joint = found.joint;
    result.joints.push_back(found);
  }
  if (worst > 0) result.reserve = load_case.glue.strength_n_per_mm / worst;
  return result;
}

}  // namespace sixtyfold
