#pragma once
// A variant's panel as a slab: which of its edges are glued, and what they leave of its outline.

#include "engine/part/body_outline.h"
#include "engine/variant/variant.h"

namespace sixtyfold {

/// An edge of the panel that is glued: where its fold line runs in the panel's plane.
struct OwnEdge {
  int element;
  double from, to;
  bool above;  ///< the material lies towards the meeting line's side
};

/// The panel's own edges in a joint of P and gP: on the line of g, of g^-1, or both.
template <typename Visit>
void visit_own_edges(const PointGroup& group, const PairJoint& joint, Visit visit) {
  const Contact& contact = joint.contact;
  if (contact.kind == ContactKind::edge_first || contact.kind == ContactKind::edges)
    visit(OwnEdge{joint.element, contact.from, contact.to, contact.first_above});
  if (contact.kind == ContactKind::edge_second ||
      (contact.kind == ContactKind::edges && !group.is_involution(joint.element))) {
    const bool proper = group.elements[static_cast<std::size_t>(joint.element)].determinant() > 0;
    visit(OwnEdge{group.invert(joint.element), proper ? -contact.to : contact.from,
                  proper ? -contact.from : contact.to, contact.second_above});
  }
}

/// The outline with its glued edges set back; contacts too short to glue are left out. The variant
/// must have come as far as its scale; `outline_mm` is its outline at that scale.
void make_body_outline(const OrbitScheme& scheme, const Variant& variant, const Polygon& outline_mm,
                       double thickness_mm, BodyOutline& body);

/// By the scheme's pairs, whether the two copies are glued anywhere.
void find_joined_pairs(const OrbitScheme& scheme, const Variant& variant,
                       std::vector<char>& joined);

}  // namespace sixtyfold
