#include "engine/building/reach.h"

#include <algorithm>
#include <cmath>

#include "engine/allowed.h"
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

double distance_to_segment(const Vec3& p, const Vec3& from, const Vec3& along, double length) {
  const double s = std::clamp(along.dot(p - from), 0.0, length);
  return (p - from - s * along).norm();
}

struct Scene {
  std::vector<const StandingPlate*> plates;

  bool is_free(const Vec3& from, const Vec3& along, double length, const Vec3& side, double width,
               double height) const {
    const ConvexPlate bar = make_bar(from, along, length, side, width, height);
    const double around = 0.5 * std::hypot(width, height);
    for (const StandingPlate* plate : plates)
      if (distance_to_segment(plate->centre, from, along, length) <= plate->radius_mm + around &&
          measure_distance(bar, plate->plate).distance <= 0)
        return false;
    return true;
  }
  double find_end(const Vec3& along) const {
    double end = -1e300;
    for (const StandingPlate* plate : plates)
      for (const Vec3& p : plate->plate.middle) end = std::max(end, along.dot(p));
    return end;
  }
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

Reach measure_reach(const Design& design, const Finished& finished, const JointSides& sides,
                    const std::vector<std::vector<StandingPlate>>& plates,
                    const std::vector<int>& placed, int joint, const ReachOptions& options) {
  const Joint& line = design.joints[at(joint)];
  const TabOfJoint found = find_tab(design, finished, sides, joint);
  const Vec3 along = (line.to_mm - line.from_mm).normalized();
  Reach reach;
  if (found.side < 0) {
    // The bare edge is glued and backed: fingers anywhere along its middle.
    Scene scene;
    for (const int copy : placed)
      if (copy != line.panels[0] && copy != line.panels[1])
        for (const StandingPlate& plate : plates[at(copy)]) scene.plates.push_back(&plate);
    const Vec3 side = along.unitOrthogonal(), other = along.cross(side);
    reach.hand = reaches_by_hand(scene, (line.from_mm + line.to_mm) / 2, along,
                                 {side, Vec3(-side), other, Vec3(-other)}, options);
    reach.clamp = reach.hand;
    return reach;
  }
  const int owner = line.panels[found.side], mate = line.panels[1 - found.side];
  const StandingPlate* tab = nullptr;
  for (const StandingPlate& plate : plates[at(owner)])
    if (plate.tab == found.tab) tab = &plate;
  if (!tab) return reach;
  const Vec3 normal = tab->plate.half.normalized();
  const double thickness = design.thickness_mm;
  const Frame frame = make_copy_frame(design, mate);
  const bool on_face = std::abs(normal.dot(frame.normal)) > 1 - 1e-6;

  Scene all;
  for (const int copy : placed)
    for (const StandingPlate& plate : plates[at(copy)])
      if (&plate != tab) all.plates.push_back(&plate);
  std::vector<Vec3> faces;
  if (on_face)
    faces.push_back(frame.height_of(tab->centre) > 0 ? frame.normal : Vec3(-frame.normal));
  else
    faces = {normal, Vec3(-normal)};  // two tabs glued to each other: pressed between fingers
  reach.hand =
      reaches_by_hand(all, tab->centre + faces.front() * (thickness / 2), along, faces, options);

  // The clamp comes from an edge of the board the tab is glued to, its jaws on both faces.
  Scene others;
  const StandingPlate* pressed = nullptr;  // the mate's own tab of a pair glued to each other
  for (const StandingPlate* plate : all.plates) {
    if (!on_face && plate->tab_joint == joint)
      pressed = plate;
    else if (!(on_face && plate->copy == mate))
      others.plates.push_back(plate);
  }
  const Vec3 centre = on_face ? Vec3(frame.to_space(frame.to_plane(tab->centre)))
                              : (pressed ? Vec3((tab->centre + pressed->centre) / 2) : tab->centre);
  std::vector<Vec3> ends;
  if (on_face) {
    const FlatPattern& pattern = finished.parts[at(find_copy(design, mate).orbit)].pattern;
    const Polygon& body = pattern.body_mm.size() >= 3 ? pattern.body_mm : pattern.outline_mm;
    for (std::size_t i = 0; i < body.size(); ++i) {
      const Vec2 a = body[i], b = body[(i + 1) % body.size()];
      const int steps = std::max(1, static_cast<int>((b - a).norm() / 15));
      for (int k = 0; k < steps; ++k)
        ends.push_back(frame.to_space(a + (b - a) * (k + 0.5) / steps));
    }
  } else {
    // Past the outer edge of the two tabs, away from the joint.
    Vec3 out = centre - (line.from_mm + line.to_mm) / 2;
    out -= out.dot(along) * along;
    if (out.norm() > 1e-6) ends.push_back(centre + out * 2);
  }
  reach.clamp = false;
  for (const Vec3& end : ends) {
    const double length = (end - centre).norm();
    if (!(1e-6 < length && length <= options.clamp_depth_mm)) continue;
    const Vec3 way = (end - centre) / length;
    const Vec3 across = (on_face ? frame.normal : normal).cross(way);
    // The back of the clamp stands past the edge.
    if (others.is_free(centre, way, options.clamp_depth_mm + 10, across, jaw_width_mm,
                       options.clamp_opening_mm)) {
      reach.clamp = true;
      break;
    }
  }
  return reach;
}

}  // namespace sixtyfold
