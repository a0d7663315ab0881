#include "engine/variant_structure.h"

#include <algorithm>
#include <cmath>

namespace sixtyfold {

SymmetryBlocks make_symmetry_blocks(const OrbitScheme& scheme) {
  return make_symmetry_blocks(*scheme.group, scheme.outline_stabiliser);
}

void make_symmetric_structure(const OrbitScheme& scheme, const Variant& variant,
                              SymmetricStructure& structure) {
  const Polygon outline = variant.outline.to_polygon();
  structure.body = measure_body(variant.frame, outline);
  double squared = 0;
  for (const Vec2& p : outline)
    squared = std::max(squared, variant.frame.to_space(p).squaredNorm());
  structure.radius_mm = std::sqrt(squared);
  structure.joints.clear();
  for (const PairJoint& joint : variant.joints) {
    if (joint.contact.length() * variant.scale_mm < least_joint_mm) continue;
    const MeetingLine& line = variant.lines[static_cast<std::size_t>(joint.element)];
    // Each of `pairs` pairs of copies has this joint; where a class is self-paired the mirror image
    // of a lopsided contact is listed as a contact of its own.
    structure.joints.push_back({joint.element,
                                variant.frame.to_space(line.point_at(joint.contact.from)),
                                variant.frame.to_space(line.point_at(joint.contact.to)),
                                static_cast<double>(joint.pairs) / scheme.panels()});
  }
}

}  // namespace sixtyfold
