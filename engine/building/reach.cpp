#include "engine/building/reach.h"

#include <algorithm>
#include <cmath>

#include "engine/allowed.h"
#include "engine/building/plate_runs.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

constexpr double finger_width_mm = 25, finger_height_mm = 20, finger_length_mm = 90;
constexpr double shoulder_width_mm = 450, shoulder_height_mm = 280;  // from memory
constexpr double jaw_width_mm = 15;

/// A straight bar from `from` along the unit vector `along`, `side` across it.
ConvexPlate make_bar(const Vec3& from, const Vec3& along, double length, const Vec3& side,
                     double width, double height) {
  ConvexPlate bar;
  const Vec3 half = side * (width / 2), to = from + length * along;
  bar.middle = {from - half, from + half, to + half, to - half};
  bar.half = along.cross(side) * (height / 2);
  return bar;
}

/// Whether the plane across `axis`, a unit vector, keeps a plate from a bar whose middle lies at
/// `middle` along it and that reaches `half` to both sides.
bool is_apart(const Vec3& axis, double middle, double half, const ConvexPlate& plate) {
  const double more = std::abs(axis.dot(plate.half)) + half;
  double low = 1e300, high = -1e300;
  for (const Vec3& p : plate.middle) {
    const double at = axis.dot(p) - middle;
    low = std::min(low, at), high = std::max(high, at);
  }
  return low > more || high < -more;
}

double distance_to_segment(const Vec3& p, const Vec3& from, const Vec3& along, double length) {
  const double s = std::clamp(along.dot(p - from), 0.0, length);
  return (p - from - s * along).norm();
}

class Scene {
 public:
  explicit Scene(std::vector<const StandingPlate*> plates)
      : plates_(std::move(plates)), runs_(make_plate_runs(plates_)) {}

  const std::vector<const StandingPlate*>& plates() const { return plates_; }

  bool is_free(const Vec3& from, const Vec3& along, double length, const Vec3& side, double width,
               double height) const {
    const ConvexPlate bar = make_bar(from, along, length, side, width, height);
    const double around = 0.5 * std::hypot(width, height);
    const Vec3 up = along.cross(side), middle = from + (length / 2) * along;
    const auto may_touch = [&](const Vec3& centre, double radius) {
      return !(distance_to_segment(centre, from, along, length) > radius + around);
    };
    for (const PlateRun& run : runs_) {
      if (!may_touch(run.ball.centre, (1 + 1e-9) * run.ball.radius_mm)) continue;
      for (std::size_t i = run.begin; i < run.end; ++i) {
        const StandingPlate* plate = plates_[i];
        if (!may_touch(plate->centre, plate->radius_mm)) continue;
        // Most are kept apart by the plane of the plate or a face of the bar (Gottschalk 1996).
        const Vec3 normal = plate->plate.half.normalized();
        const double reach = std::abs(normal.dot(along)) * length / 2 +
                             std::abs(normal.dot(side)) * width / 2 +
                             std::abs(normal.dot(up)) * height / 2;
        if (is_apart(normal, normal.dot(middle), reach, plate->plate) ||
            is_apart(side, side.dot(middle), width / 2, plate->plate) ||
            is_apart(up, up.dot(middle), height / 2, plate->plate) ||
            is_apart(along, along.dot(middle), length / 2, plate->plate))
          continue;
        if (do_meet(bar, plate->plate)) return false;
      }
    }
    return true;
  }

  double find_end(const Vec3& along) const {
    double end = -1e300;
    for (const PlateRun& run : runs_) {
      if (along.dot(run.ball.centre) + (1 + 1e-9) * run.ball.radius_mm <= end) continue;
      for (std::size_t i = run.begin; i < run.end; ++i)
        for (const Vec3& p : plates_[i]->plate.middle) end = std::max(end, along.dot(p));
    }
    return end;
  }

 private:
  std::vector<const StandingPlate*> plates_;
  std::vector<PlateRun> runs_;
};

/// Directions evenly over the sphere (the golden spiral).
const std::vector<Vec3>& find_directions() {
  static const std::vector<Vec3> directions = [] {
    std::vector<Vec3> list;
    const int count = 120;
    for (int k = 0; k < count; ++k) {
      const double z = 1 - (2 * k + 1.0) / count, r = std::sqrt(1 - z * z),
                   a = pi * (3 - std::sqrt(5.0)) * k;
      list.emplace_back(r * std::cos(a), r * std::sin(a), z);
    }
    return list;
  }();
  return directions;
}

bool reaches_by_hand(const Scene& scene, const Vec3& touch, const Vec3& along_joint,
                     const std::vector<Vec3>& faces, const ReachOptions& options) {
  for (const Vec3& face : faces)
    for (const Vec3& arm : find_directions()) {
      if (arm.dot(face) < 0.1) continue;
      const Vec3 from = touch + face * (0.6 * finger_height_mm);
      const double length = scene.find_end(arm) - arm.dot(from);
      const Vec3 flat = along_joint - along_joint.dot(arm) * arm;
      const Vec3 side = flat.norm() > 0.1 ? Vec3(flat.normalized()) : Vec3(arm.unitOrthogonal());
      for (const Vec3& across : {side, Vec3(arm.cross(side))}) {
        if (!scene.is_free(from, arm, std::max(1.0, std::min(length, finger_length_mm)), across,
                           finger_width_mm, finger_height_mm))
          continue;
        if (length <= finger_length_mm) return true;
        if (!scene.is_free(from + finger_length_mm * arm, arm,
                           std::min(length, options.arm_mm) - finger_length_mm, across,
                           options.hand_mm, 0.6 * options.hand_mm))
          continue;
        // Farther in, somebody leans in.
        if (length <= options.arm_mm ||
            scene.is_free(from + options.arm_mm * arm, arm, length - options.arm_mm, across,
                          shoulder_width_mm, shoulder_height_mm))
          return true;
      }
    }
  return false;
}

}  // namespace

std::string ReachOptions::find_fault() const {
  for (const std::string& fault :
       {allowed::hand.find_fault(hand_mm), allowed::arm.find_fault(arm_mm),
        allowed::clamp_opening.find_fault(clamp_opening_mm),
        allowed::clamp_depth.find_fault(clamp_depth_mm)})
    if (!fault.empty()) return fault;
  return "";
}

std::vector<std::vector<StandingPlate>> make_standing_plates(const Design& design,
                                                             const Finished& finished,
                                                             const JointSides& sides) {
  std::vector<std::vector<StandingPlate>> all;
  for (int copy = 0; copy < count_copies(design); ++copy) {
    const Frame frame = make_copy_frame(design, copy);
    const FinishedPart& part = finished.parts[at(find_copy(design, copy).orbit)];
    const auto turn = [&](const Vec3& v) {
      return Vec3(v.x() * frame.x_axis + v.y() * frame.y_axis + v.z() * frame.normal);
    };
    std::vector<StandingPlate> plates;
    for (std::size_t i = 0; i < part.plates.size(); ++i) {
      StandingPlate standing;
      standing.copy = copy;
      standing.tab = part.tab_of[i];
      for (const Vec3& p : part.plates[i].middle)
        standing.plate.middle.push_back(frame.origin + turn(p));
      const Vec3 half = turn(part.plates[i].half);
      standing.plate.half = half - slab_tolerance_mm * half.normalized();
      for (const Vec3& p : standing.plate.middle)
        standing.centre += p / static_cast<double>(standing.plate.middle.size());
      for (const Vec3& p : standing.plate.middle)
        standing.radius_mm = std::max(standing.radius_mm, (p - standing.centre).norm());
      standing.radius_mm += half.norm();
      if (standing.tab >= 0) {
        standing.tab_joint = sides.joint[at(copy)][at(part.pattern.tabs[at(standing.tab)].joint)];
        if (standing.tab_joint >= 0) {
          const Joint& joint = design.joints[at(standing.tab_joint)];
          standing.tab_mate = joint.panels[joint.panels[0] == copy ? 1 : 0];
        }
      }
      plates.push_back(std::move(standing));
    }
    all.push_back(std::move(plates));
  }
  return all;
}

namespace {

/// A joint among what is placed, and where it is pressed.
struct Spot {
  const Joint* line = nullptr;
  Vec3 along = Vec3::Zero();
  const StandingPlate* tab = nullptr;  ///< null: the bare edge is glued and backed
  int mate = -1;                       ///< the copy the tab is glued to
  Frame frame;                         ///< the mate's
  bool on_face = false;                ///< else two tabs glued to each other
  Scene scene{{}};                     ///< what is in the way of a hand
};

Spot find_spot(const Design& design, const Finished& finished, const JointSides& sides,
               const std::vector<std::vector<StandingPlate>>& plates,
               const std::vector<int>& placed, int joint) {
  Spot spot;
  const Joint& line = design.joints[at(joint)];
  spot.line = &line;
  spot.along = (line.to_mm - line.from_mm).normalized();
  const TabOfJoint found = find_tab(design, finished, sides, joint);
  if (found.side >= 0) {
    for (const StandingPlate& plate : plates[at(line.panels[found.side])])
      if (plate.tab == found.tab) spot.tab = &plate;
    spot.mate = line.panels[1 - found.side];
    spot.frame = make_copy_frame(design, spot.mate);
  }
  if (spot.tab)
    spot.on_face = std::abs(spot.tab->plate.half.normalized().dot(spot.frame.normal)) > 1 - 1e-6;
  std::vector<const StandingPlate*> in_the_way;
  for (const int copy : placed) {
    if (!spot.tab && (copy == line.panels[0] || copy == line.panels[1])) continue;
    for (const StandingPlate& plate : plates[at(copy)])
      if (&plate != spot.tab) in_the_way.push_back(&plate);
  }
  spot.scene = Scene(std::move(in_the_way));
  return spot;
}

bool reaches_by_hand(const Spot& spot, double thickness_mm, const ReachOptions& options) {
  if (!spot.tab) {
    // Fingers anywhere along its middle.
    const Vec3 side = spot.along.unitOrthogonal(), other = spot.along.cross(side);
    return reaches_by_hand(spot.scene, (spot.line->from_mm + spot.line->to_mm) / 2, spot.along,
                           {side, Vec3(-side), other, Vec3(-other)}, options);
  }
  const Vec3 normal = spot.tab->plate.half.normalized();
  std::vector<Vec3> faces;
  if (spot.on_face)
    faces.push_back(spot.frame.height_of(spot.tab->centre) > 0 ? spot.frame.normal
                                                               : Vec3(-spot.frame.normal));
  else
    faces = {normal, Vec3(-normal)};  // two tabs glued to each other: pressed between fingers
  return reaches_by_hand(spot.scene, spot.tab->centre + faces.front() * (thickness_mm / 2),
                         spot.along, faces, options);
}

/// The clamp comes from an edge of the board the tab is glued to, its jaws on both faces.
bool reaches_by_clamp(const Spot& spot, const Design& design, const Finished& finished, int joint,
                      const ReachOptions& options) {
  std::vector<const StandingPlate*> in_the_way;
  const StandingPlate* pressed = nullptr;  // the mate's own tab of a pair glued to each other
  for (const StandingPlate* plate : spot.scene.plates()) {
    if (!spot.on_face && plate->tab_joint == joint)
      pressed = plate;
    else if (!(spot.on_face && plate->copy == spot.mate))
      in_the_way.push_back(plate);
  }
  const Scene others(std::move(in_the_way));
  const Vec3 normal = spot.tab->plate.half.normalized();
  const Vec3 centre =
      spot.on_face ? Vec3(spot.frame.to_space(spot.frame.to_plane(spot.tab->centre)))
                   : (pressed ? Vec3((spot.tab->centre + pressed->centre) / 2) : spot.tab->centre);
  std::vector<Vec3> ends;
  if (spot.on_face) {
    const FlatPattern& pattern = finished.parts[at(find_copy(design, spot.mate).orbit)].pattern;
    const Polygon& body = pattern.body_mm.size() >= 3 ? pattern.body_mm : pattern.outline_mm;
    for (std::size_t i = 0; i < body.size(); ++i) {
      const Vec2 a = body[i], b = body[(i + 1) % body.size()];
      const int steps = std::max(1, static_cast<int>((b - a).norm() / 15));
      for (int k = 0; k < steps; ++k)
        ends.push_back(spot.frame.to_space(a + (b - a) * (k + 0.5) / steps));
    }
  } else {
    // Past the outer edge of the two tabs, away from the joint.
    Vec3 out = centre - (spot.line->from_mm + spot.line->to_mm) / 2;
    out -= out.dot(spot.along) * spot.along;
    if (out.norm() > 1e-6) ends.push_back(centre + out * 2);
  }
  for (const Vec3& end : ends) {
    const double length = (end - centre).norm();
    if (!(1e-6 < length && length <= options.clamp_depth_mm)) continue;
    const Vec3 way = (end - centre) / length;
    const Vec3 across = (spot.on_face ? spot.frame.normal : normal).cross(way);
    // The back of the clamp stands past the edge.
    if (others.is_free(centre, way, options.clamp_depth_mm + 10, across, jaw_width_mm,
                       options.clamp_opening_mm))
      return true;
  }
  return false;
}

}  // namespace

bool is_in_hand_reach(const Design& design, const Finished& finished, const JointSides& sides,
                      const std::vector<std::vector<StandingPlate>>& plates,
                      const std::vector<int>& placed, int joint, const ReachOptions& options) {
  return reaches_by_hand(find_spot(design, finished, sides, plates, placed, joint),
                         design.thickness_mm, options);
}

Reach measure_reach(const Design& design, const Finished& finished, const JointSides& sides,
                    const std::vector<std::vector<StandingPlate>>& plates,
                    const std::vector<int>& placed, int joint, const ReachOptions& options) {
  const Spot spot = find_spot(design, finished, sides, plates, placed, joint);
  Reach reach;
  reach.hand = reaches_by_hand(spot, design.thickness_mm, options);
  reach.clamp = spot.tab ? reaches_by_clamp(spot, design, finished, joint, options) : reach.hand;
  return reach;
}

}  // namespace sixtyfold
