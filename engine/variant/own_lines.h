#pragma once
// A joint of P and gP as it lies on P: on the meeting lines of g and of its inverse, and on their
// images under P's own symmetries.

#include "engine/variant/variant.h"

namespace sixtyfold {

/// A stretch of the meeting line of an element; `from` may lie beyond `to`.
struct LineStretch {
  int element;
  double from, to;
};

/// Where the joint lies on the line of g^-1, with P as the second of the two copies. Of an
/// involution that is the line of g itself.
inline LineStretch find_stretch_on_inverse(const OrbitScheme& scheme, const PairJoint& joint) {
  const int inverse = scheme.group->invert(joint.element);
  const bool proper = scheme.group->elements[static_cast<std::size_t>(inverse)].determinant() > 0;
  const double sign = proper ? -1 : 1;
  return {inverse, sign * joint.contact.from, sign * joint.contact.to};
}

/// Calls visit(from, to) with the ends of the stretch and of its images, in the plane, at true
/// size.
template <typename Visit>
void visit_own_images(const OrbitScheme& scheme, const Variant& variant, const LineStretch& stretch,
                      Visit visit) {
  for (const OwnSymmetry& own : scheme.own_symmetries) {
    const auto image =
        static_cast<std::size_t>(scheme.group->multiply(own.element, stretch.element));
    const MeetingLine& line = variant.lines[image];
    const double sign = own.mirrors ? -1 : 1;
    visit(Vec2(variant.scale_mm * line.point_at(sign * stretch.from)),
          Vec2(variant.scale_mm * line.point_at(sign * stretch.to)));
  }
}

}  // namespace sixtyfold
