#pragma once
// How two copies meet along their meeting line, told from where each lies beside it.

#include <vector>

#include "engine/contact/span.h"

namespace sixtyfold {

enum class ContactKind {
  crossing,     ///< both sides of both: they pass through each other
  edge_first,   ///< an edge of the first on the face of the second
  edge_second,  ///< an edge of the second on the face of the first
  edges         ///< an edge on an edge
};

/// One common segment, in positions along the first copy's meeting line.
struct Contact {
  ContactKind kind;
  double from, to;            ///< from < to
  bool first_above = false;   ///< edge_first, edges: the first's material lies towards `side`
  bool second_above = false;  ///< edge_second, edges: the same for the second, on its own line

  double length() const { return to - from; }
};

/// Segments longer than `least_length` where `first` (spans on the line of g) and `second` (spans
/// on the line of g^-1) meet. `reversed`: positions of the second are -s (g proper) or s.
void find_contacts(const SideSpans& first, const SideSpans& second, bool reversed,
                   double least_length, std::vector<Contact>& contacts);

/// Angle of a contact between planes whose normals enclose theta: for edges the interior angle of
/// the two half-planes, in (0, pi); otherwise the acute angle between the planes.
double measure_contact_angle(const Contact& contact, double theta_rad);

}  // namespace sixtyfold
