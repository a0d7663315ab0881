#include "engine/variant/body.h"

#include <algorithm>

#include "engine/part/setback.h"
#include "engine/tolerance.h"

namespace sixtyfold {

namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

bool is_glued(const Variant& variant, const PairJoint& joint) {
  return joint.contact.length() * variant.scale_mm >= least_joint_mm;
}

/// A tab is thought to be on every edge that lies on a face. Of two edges one carries it; which is
/// not known yet, so both stop as short as plain ones.
double find_setback(const PairJoint& joint, double thickness_mm) {
  return joint.contact.kind == ContactKind::edges
             ? edge_to_edge_setback(thickness_mm, joint.angle_rad)
             : fold_on_face_setback(thickness_mm, joint.angle_rad);
}

}  // namespace

void make_body_outline(const OrbitScheme& scheme, const Variant& variant, const Polygon& outline_mm,
                       double thickness_mm, BodyOutline& body) {
  body.outline_mm = outline_mm;
  body.setbacks_mm.assign(outline_mm.size(), 0);
  const LabelledOutline& outline = variant.outline;
  for (const PairJoint& joint : variant.joints) {
    if (!is_glued(variant, joint)) continue;
    const double setback = find_setback(joint, thickness_mm);
    visit_own_edges(*scheme.group, joint, [&](const OwnEdge& edge) {
      for (const OwnSymmetry& own : scheme.own_symmetries) {
        const int element = scheme.group->multiply(own.element, edge.element);
        const double from = own.mirrors ? -edge.to : edge.from;
        const double to = own.mirrors ? -edge.from : edge.to;
        const MeetingLine& line = variant.lines[index(element)];
        for (std::size_t i = 0, n = outline.size(); i < n; ++i) {
          if (outline.line[i] != scheme.line_of[index(element)]) continue;
          const double a = line.position_of(outline.vertex(i)),
                       b = line.position_of(outline.vertex(i + 1 < n ? i + 1 : 0));
          if (std::min(std::max(a, b), to) > std::max(std::min(a, b), from))
            body.setbacks_mm[i] = std::max(body.setbacks_mm[i], setback);
        }
      }
    });
  }
  set_back(body);
}

void find_joined_pairs(const OrbitScheme& scheme, const Variant& variant,
                       std::vector<char>& joined) {
  joined.assign(scheme.pairs.size(), false);
  std::size_t pair = 0;
  for (const PairJoint& joint : variant.joints) {  // in the order of the pairs
    while (scheme.pairs[pair].element != joint.element) ++pair;
    if (is_glued(variant, joint)) joined[pair] = true;
  }
}

}  // namespace sixtyfold
