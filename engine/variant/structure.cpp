#include "engine/variant/structure.h"

#include <algorithm>
#include <cmath>

namespace sixtyfold {

void make_symmetric_structure(const OrbitScheme& scheme, const Variant& variant,
                              const Polygon& outline_mm, SymmetricStructure& structure) {
  const double scale = variant.scale_mm;
  Frame frame = variant.frame;
  frame.origin *= scale;
  structure.body = measure_body(frame, outline_mm);
  double squared = 0;
  for (const Vec2& p : outline_mm) squared = std::max(squared, p.squaredNorm());
  structure.radius_mm = std::sqrt(squared + frame.origin.squaredNorm());
  structure.pieces = variant.score.pieces;
  structure.joints.clear();
  for (const PairJoint& joint : variant.joints) {
    if (joint.contact.length() * scale < least_joint_mm) continue;
    const MeetingLine& line = variant.lines[static_cast<std::size_t>(joint.element)];
    // Each of `pairs` pairs of copies has this joint; where a class is self-paired the mirror image
    // of a lopsided contact is listed as a contact of its own.
    structure.joints.push_back({joint.element,
                                scale * variant.frame.to_space(line.point_at(joint.contact.from)),
                                scale * variant.frame.to_space(line.point_at(joint.contact.to)),
                                static_cast<double>(joint.pairs) / scheme.panels()});
  }
}

}  // namespace sixtyfold
