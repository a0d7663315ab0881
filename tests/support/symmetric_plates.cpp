#include "tests/support/symmetric_plates.h"

#include <algorithm>

namespace sixtyfold {

Structure make_whole(const PointGroup& group, const Subgroup& stabiliser,
                     SymmetricStructure& symmetric) {
  Structure whole;
  whole.radius_mm = symmetric.radius_mm;
  whole.fold_length_mm = symmetric.fold_length_mm;
  const std::vector<int> copy_of = find_left_cosets(group, stabiliser);
  const int panels = group.order() / static_cast<int>(stabiliser.size());
  whole.bodies.resize(static_cast<std::size_t>(panels));
  for (int g = 0; g < group.order(); ++g)
    whole.bodies[static_cast<std::size_t>(copy_of[static_cast<std::size_t>(g)])] =
        make_image(symmetric.body, group.elements[static_cast<std::size_t>(g)]);
  for (JointOrbit& orbit : symmetric.joints) {
    const std::size_t first = whole.joints.size();
    for (int h = 0; h < group.order(); ++h) {
      const Mat3& map = group.elements[static_cast<std::size_t>(h)];
      Joint joint;
      joint.panels[0] = copy_of[static_cast<std::size_t>(h)];
      joint.panels[1] = copy_of[static_cast<std::size_t>(group.multiply(h, orbit.element))];
      joint.from_mm = map * orbit.from_mm, joint.to_mm = map * orbit.to_mm;
      const auto is_same = [&joint](const Joint& other) {
        const bool panels_agree = std::minmax(joint.panels[0], joint.panels[1]) ==
                                  std::minmax(other.panels[0], other.panels[1]);
        const double straight =
            (joint.from_mm - other.from_mm).norm() + (joint.to_mm - other.to_mm).norm();
        const double crossed =
            (joint.from_mm - other.to_mm).norm() + (joint.to_mm - other.from_mm).norm();
        return panels_agree && std::min(straight, crossed) < 1e-9;
      };
      if (std::none_of(whole.joints.begin() + static_cast<long>(first), whole.joints.end(),
                       is_same))
        whole.joints.push_back(joint);
    }
    orbit.joints_per_panel = static_cast<double>(whole.joints.size() - first) / panels;
  }
  return whole;
}

SymmetricStructure make_random_symmetric(const PointGroup& group, const Subgroup& stabiliser,
                                         int orbits, RandomStream& random) {
  const auto vector = [&random] { return Vec3(random.normal(), random.normal(), random.normal()); };
  SymmetricStructure result;
  result.radius_mm = 2;
  // The normal and the centroid lie where the stabiliser leaves them; the moments are its mean.
  const Vec3 drawn = vector();
  Vec3 fixed = Vec3::Zero();
  for (const int h : stabiliser) fixed += group.elements[static_cast<std::size_t>(h)] * drawn;
  const bool on_axis = stabiliser.size() > 1 && fixed.norm() > 1e-9;
  const Frame frame = make_frame(on_axis ? fixed : drawn, 1);
  Polygon outline;
  const Vec2 centre = stabiliser.size() > 1 ? Vec2(0, 0) : Vec2(random.normal(), random.normal());
  for (int k = 0; k < 5; ++k) {
    const double angle = 2 * pi * k / 5 + 0.3 * random.uniform(),
                 radius = 0.3 + 0.7 * random.uniform();
    outline.push_back(centre + radius * Vec2(std::cos(angle), std::sin(angle)));
  }
  const PanelBody drawn_body = measure_body(frame, outline);
  result.body = drawn_body;
  result.body.centroid_mm = Vec3::Zero();
  result.body.second_moments_mm4 = Mat3::Zero();
  for (const int h : stabiliser) {
    const PanelBody image = make_image(drawn_body, group.elements[static_cast<std::size_t>(h)]);
    result.body.centroid_mm += image.centroid_mm / static_cast<double>(stabiliser.size());
    result.body.second_moments_mm4 +=
        image.second_moments_mm4 / static_cast<double>(stabiliser.size());
  }
  for (int k = 0; k < orbits; ++k) {
    JointOrbit joint;
    do joint.element = random.below(static_cast<std::uint32_t>(group.order()));
    while (std::binary_search(stabiliser.begin(), stabiliser.end(), joint.element));
    joint.from_mm = 0.8 * vector(), joint.to_mm = joint.from_mm + 0.5 * vector();
    if (group.is_involution(joint.element) && random.below(4) > 0)
      joint.to_mm = group.elements[static_cast<std::size_t>(joint.element)] * joint.from_mm;
    if ((joint.to_mm - joint.from_mm).norm() < 1e-6) joint.to_mm += Vec3(0.1, 0.2, 0.3);
    result.joints.push_back(joint);
  }
  return result;
}

}  // namespace sixtyfold
