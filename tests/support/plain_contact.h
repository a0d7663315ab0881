#pragma once
// The slow reference of engine/contact/span.h and contact.h: vertex by vertex, nothing left out.

#include <vector>

#include "engine/contact/contact.h"
#include "engine/symmetry/orbit_scheme.h"

namespace sixtyfold::plain {

/// Where the outline lies beside the line: scratch members stay empty.
SideSpans find_spans(const LabelledOutline& outline, const MeetingLine& line, int line_number);

/// Contacts of the pair class's representatives P and gP, longer than `least_length`.
std::vector<Contact> find_pair_contacts(const OrbitScheme& scheme,
                                        const std::vector<MeetingLine>& lines,
                                        const PairClass& pair, const LabelledOutline& outline,
                                        double least_length);

/// Pieces the construction falls into when copies that lie against each other over `least_length`
/// or more are glued: every copy is visited. Copies that cross are not glued.
int count_pieces(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines,
                 const LabelledOutline& outline, double least_length);

}  // namespace sixtyfold::plain
