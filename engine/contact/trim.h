#pragma once
// Grow, then trim: a drawn outline is cut back along meeting lines until no two copies collide.
//
// Promises: only parts of the outline are removed, never the hub; edges made by a cut carry the
// number of their meeting line; when the result is `clean` no two copies pass through each other,
// but where a halved slot joins them, and coplanar copies do not overlap.

#include <utility>
#include <vector>

#include "engine/contact/contact.h"
#include "engine/contact/meeting_line.h"
#include "engine/limits.h"
#include "engine/symmetry/orbit_scheme.h"

namespace sixtyfold {

/// Meeting lines of one placing, one for each element of the group (own and parallel planes have
/// none).
void find_meeting_lines(const OrbitScheme& scheme, const Frame& frame,
                        std::vector<MeetingLine>& lines);

enum class TrimStatus { clean, hub_lost, not_ended };

/// Buffers that are reused from variant to variant, so that nothing is allocated in the steady
/// state.
struct TrimWorkspace {
  SideSpans first, second, third;
  std::vector<Contact> contacts, crossings;
  std::vector<Vec2> ways;       ///< in which the panel slides out of the slots kept so far
  std::vector<Contact> chords;  ///< cuts made for the identity, to be made for its own symmetries
  LabelledOutline candidate, best, scratch;
  std::vector<std::pair<double, int>> order;  ///< offset of the line, number of the pair
};

/// lean: of two colliding copies one is cut back and its edge leans on the other's face.
/// meet: both are cut back and meet edge to edge.
enum class TrimStyle { lean, meet };

struct TrimOptions {
  TrimStyle style = TrimStyle::lean;
  Vec2 hub = Vec2::Zero();
  /// Coplanar copies are kept this far apart, in the outline's units.
  double coplanar_gap = 0;
  /// Crossings not longer than this are touches of corners, in the outline's units.
  double least_crossing = 1e-9;
  /// Copies that can be slid into each other (engine/contact/slot.h) are left to cross over at
  /// least `least_slot`, where the sine of their planes' angle is `least_slot_sine` or more.
  bool keep_slots = false;
  double least_slot = 0, least_slot_sine = 0;
  /// And only where the panel slides out of all its slots the same way: the cosine between any two
  /// of these directions is this or more. A panel held both ways along a line never comes free, and
  /// neither do its images; by straight pushes of rigid boards all directions must be one.
  double least_way_cosine = -1;
  /// Above 0: edges that lie on a copy are pulled back until they are this far from its plane.
  double edge_clearance = 0;
};

/// Of a placed part at true size: crossings stay where the limits join by slots.
void leave_slots(const Limits& limits, TrimOptions& options);

/// Trims `outline` in place.
TrimStatus trim(const OrbitScheme& scheme, const Frame& frame,
                const std::vector<MeetingLine>& lines, const TrimOptions& options,
                LabelledOutline& outline, TrimWorkspace& work);

/// Contacts of the pair class's representatives P and gP.
void find_pair_contacts(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines,
                        const PairClass& pair, const LabelledOutline& outline, double least_length,
                        TrimWorkspace& work);  // result in work.contacts

}  // namespace sixtyfold
