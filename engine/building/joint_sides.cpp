#include "engine/building/joint_sides.h"

#include "engine/part/part_joints.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

Vec3 find_middle(const Design& design, int copy) {
  return make_copy_frame(design, copy)
      .to_space(
          measure_centroid(design.orbits[at(find_copy(design, copy).orbit)].panel.outline_mm));
}

}  // namespace

JointSides find_joint_sides(const Design& design, const PartJoints& joints) {
  JointSides sides;
  sides.index.assign(design.joints.size(), {-1, -1});
  std::vector<int> first_copy;
  int copies = 0;
  for (const Orbit& orbit : design.orbits) {
    first_copy.push_back(copies);
    copies += static_cast<int>(orbit.copies.size());
  }
  for (int copy = 0; copy < copies; ++copy)
    sides.joint.emplace_back(joints.joints[at(find_copy(design, copy).orbit)].size(), -1);
  // Of the first copies: where each mate stands, in the part's own axes and height.
  std::vector<std::vector<Vec3>> mate_of(design.orbits.size());
  const auto seen_from = [](const Frame& frame, const Vec3& p) {
    const Vec2 flat = frame.to_plane(p);
    return Vec3(flat.x(), flat.y(), frame.height_of(p));
  };
  for (std::size_t o = 0; o < design.orbits.size(); ++o)
    for (const PanelJoint& joint : joints.joints[o])
      mate_of[o].push_back(
          seen_from(make_copy_frame(design, first_copy[o]), find_middle(design, joint.mate)));
  for (std::size_t n = 0; n < design.joints.size(); ++n)
    for (const int s : {0, 1}) {
      const Joint& joint = design.joints[n];
      const int copy = joint.panels[s];
      const std::size_t orbit = at(find_copy(design, copy).orbit);
      const Frame frame = make_copy_frame(design, copy);
      const Vec2 middle = frame.to_plane((joint.from_mm + joint.to_mm) / 2);
      const Vec3 mate = seen_from(frame, find_middle(design, joint.panels[1 - s]));
      for (std::size_t i = 0; i < joints.joints[orbit].size(); ++i) {
        const PanelJoint& own = joints.joints[orbit][i];
        if (((own.from_mm + own.to_mm) / 2 - middle).norm() > 0.5 ||
            (mate_of[orbit][i] - mate).norm() > 0.5)
          continue;
        sides.index[n][at(s)] = static_cast<int>(i);
        sides.joint[at(copy)][i] = static_cast<int>(n);
        break;
      }
    }
  return sides;
}

TabOfJoint find_tab(const Design& design, const Finished& finished, const JointSides& sides,
                    int joint) {
  for (const int s : {0, 1}) {
    const auto& tabs =
        finished.parts[at(find_copy(design, design.joints[at(joint)].panels[s]).orbit)]
            .pattern.tabs;
    for (std::size_t t = 0; t < tabs.size(); ++t)
      if (tabs[t].joint == sides.index[at(joint)][at(s)]) return {s, static_cast<int>(t)};
  }
  return {};
}

Design make_glued(const Design& design, const Finished& finished) {
  Design glued = design;
  const JointSides sides = find_joint_sides(design, finished.joints);
  for (std::size_t n = 0; n < glued.joints.size(); ++n) {
    const int side = find_tab(design, finished, sides, static_cast<int>(n)).side;
    if (side < 0) continue;
    Joint& joint = glued.joints[n];
    const int copy = joint.panels[side];
    const std::size_t orbit = at(find_copy(design, copy).orbit),
                      index = at(sides.index[n][at(side)]);
    const PanelJoint& edge = finished.joints.joints[orbit][index];
    const TabShape& shape = finished.shapes[orbit][index];
    const Vec2 along = (edge.to_mm - edge.from_mm).normalized();
    const Frame frame = make_copy_frame(design, copy);
    joint.from_mm =
        frame.to_space(edge.from_mm + (shape.from_inset_mm + shape.from_cut_mm / 2) * along);
    joint.to_mm = frame.to_space(edge.to_mm - (shape.to_inset_mm + shape.to_cut_mm / 2) * along);
  }
  return glued;
}

std::string letter_of(const Design& design, const Finished& finished, const JointSides& sides,
                      int joint) {
  const int index = sides.index[at(joint)][0];
  if (index < 0) return "?";
  return make_letter(
      finished.joints
          .letter[at(find_copy(design, design.joints[at(joint)].panels[0]).orbit)][at(index)]);
}

}  // namespace sixtyfold
