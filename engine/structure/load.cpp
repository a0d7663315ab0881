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

namespace {

/// One construction under its weight: rigid panels on springs along their joints.
class LoadedConstruction {
 public:
  LoadedConstruction(const Design& design, const LoadCase& load_case,
                     const std::vector<PanelBody>& bodies)
      : design_(design),
        load_case_(load_case),
        bodies_(bodies),
        scales_(make_body_scales(bodies)) {}

  LoadResult measure();

 private:
  bool is_hung() const { return load_case_.hold == Hold::hung; }
  double spring() const { return load_case_.glue.stiffness_n_per_mm2; }
  Vec3 move(int panel, const Vec3& point) const {
    return make_displacement(scales_[static_cast<std::size_t>(panel)], point) *
           motion_.segment<6>(6 * static_cast<Eigen::Index>(panel));
  }
  Eigen::VectorXd add_weights();
  std::string find_imbalance() const;
  void add_supports(Eigen::MatrixXd& matrix) const;
  bool find_motion(const Eigen::VectorXd& force);
  void add_reactions();
  void add_deflection();
  void add_joint_forces();

  const Design& design_;
  const LoadCase& load_case_;
  const std::vector<PanelBody>& bodies_;
  const std::vector<BodyScale> scales_;
  double support_spring_ = 0;
  Eigen::VectorXd motion_;  ///< six scaled coordinates a copy
  LoadResult result_;
};

/// The weight of all, and its force on the coordinates of every copy.
Eigen::VectorXd LoadedConstruction::add_weights() {
  Eigen::VectorXd force = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(6 * bodies_.size()));
  for (std::size_t i = 0; i < bodies_.size(); ++i) {
    const double weight = load_case_.mass_kg_per_m2 * 1e-6 * bodies_[i].area_mm2 * gravity_m_per_s2;
    result_.weight_n += weight;
    force.segment<3>(static_cast<Eigen::Index>(6 * i)) =
        -weight * scales_[i].velocity * load_case_.up;
  }
  return force;
}

/// What a rigid body so held would do; empty: it stays.
std::string LoadedConstruction::find_imbalance() const {
  const Vec3 centre = find_centre_of_gravity(bodies_);
  if (!is_hung())
    return is_inside_footprint(load_case_, centre)
               ? ""
               : "it tips over: its centre of gravity is not above the corners it stands on";
  double lift = 0;
  for (const Support& support : load_case_.supports)
    lift += load_case_.up.dot(support.point_mm - centre);
  return lift > 0 ? "" : "it turns over: it is hung from below its centre of gravity";
}

void LoadedConstruction::add_supports(Eigen::MatrixXd& matrix) const {
  for (const Support& support : load_case_.supports) {
    const auto at = 6 * support.panel;
    const auto map =
        make_displacement(scales_[static_cast<std::size_t>(support.panel)], support.point_mm);
    if (is_hung())
      matrix.block<6, 6>(at, at) +=
          support_spring_ * (map.transpose() * load_case_.up) * (load_case_.up.transpose() * map);
    else
      matrix.block<6, 6>(at, at) += support_spring_ * map.transpose() * map;
  }
}

/// Supports are stiff springs, a thousand times the joints; what is left free (sway and spin of
/// what hangs) is held by springs a thousand million times softer, which must not carry anything:
/// false if they do.
bool LoadedConstruction::find_motion(const Eigen::VectorXd& force) {
  Eigen::MatrixXd matrix =
      spring() * make_joint_matrix(scales_, design_.joints,
                                   std::sqrt(load_case_.glue.fold_nmm_per_mm_rad / spring()));
  const double joints_mean = matrix.trace() / static_cast<double>(force.size());
  const double mean = joints_mean > 0 ? joints_mean : 1, soft = 1e-9 * mean;
  support_spring_ = 1e3 * mean / (scales_[0].velocity * scales_[0].velocity);
  add_supports(matrix);
  matrix.diagonal().array() += soft;
  const Eigen::LDLT<Eigen::MatrixXd> solver(matrix);
  motion_ = solver.solve(force);
  motion_ += solver.solve(force - matrix * motion_);  // one refinement: the springs' range is wide
  return motion_.allFinite() && !(soft * motion_.norm() > 1e-2 * force.norm());
}

void LoadedConstruction::add_reactions() {
  for (const Support& support : load_case_.supports) {
    const double up = load_case_.up.dot(move(support.panel, support.point_mm));
    const double reaction_n = -support_spring_ * up;
    result_.reactions_n.push_back(reaction_n);
    if (reaction_n < -1e-3 * result_.weight_n && result_.fault.empty())
      result_.fault = (is_hung() ? "the string at copy " : "a corner of copy ") +
                      std::to_string(support.panel) +
                      (is_hung() ? " would go slack" : " would lift off the floor");
  }
}

void LoadedConstruction::add_deflection() {
  const auto corners = find_corners(design_);
  for (std::size_t i = 0; i < corners.size(); ++i)
    for (const Vec3& corner : corners[i]) {
      // Hung things sway without strain: what counts there is the drop.
      const Vec3 moved = move(static_cast<int>(i), corner);
      const double distance = is_hung() ? std::abs(load_case_.up.dot(moved)) : moved.norm();
      if (distance > result_.deflection_mm)
        result_.deflection_mm = distance, result_.deflected_panel = static_cast<int>(i);
    }
}

void LoadedConstruction::add_joint_forces() {
  double worst = 0;
  for (std::size_t j = 0; j < design_.joints.size(); ++j) {
    const Joint& joint = design_.joints[j];
    const auto force_at = [&](const Vec3& point) {
      return Vec3(spring() * (move(joint.panels[1], point) - move(joint.panels[0], point)));
    };
    const Vec3 from = force_at(joint.from_mm), to = force_at(joint.to_mm);
    JointForce found;
    found.joint = static_cast<int>(j);
    found.peak_n_per_mm =
        std::max(from.norm(), to.norm());  // linear along the line: largest at an end
    found.total_n = joint.length_mm() / 2 * (from + to);
    if (found.peak_n_per_mm > worst) worst = found.peak_n_per_mm, result_.worst_joint = found.joint;
    result_.joints.push_back(found);
  }
  if (worst > 0) result_.reserve = load_case_.glue.strength_n_per_mm / worst;
}

LoadResult LoadedConstruction::measure() {
  const Eigen::VectorXd force = add_weights();
  result_.fault = find_imbalance();
  if (!result_.fault.empty()) return result_;
  if (!find_motion(force)) {
    result_.fault =
        "it is not held: under its weight it turns or folds without resistance; hold it at more "
        "copies or add joints";
    return result_;
  }
  add_reactions();
  add_deflection();
  add_joint_forces();
  return result_;
}

}  // namespace

LoadResult measure_load(const Design& design, const LoadCase& load_case) {
  const auto bodies = find_bodies(design);
  check_load_case(load_case, bodies.size());
  return LoadedConstruction(design, load_case, bodies).measure();
}

}  // namespace sixtyfold
