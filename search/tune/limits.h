#pragma once
// Limits in tuning: what the original breaks already is not made worse, and named.

#include <optional>
#include <string>
#include <vector>

#include "engine/variant/inspection.h"
#include "search/tune/job.h"

namespace sixtyfold {

/// Eases every limit that the original breaks to what it has, with a sentence for each.
void ease_limits(const Score& original, Limits& limits, std::vector<std::string>& notes);

/// Whether a changed design is faultless, or breaks under the eased limits only what the original
/// breaks too, and no more of it.
bool is_no_worse(const Inspection& changed, const Inspection& original);

/// By what share each of the limits that are cheap to look at is missed; 0 where it is met.
struct Shortfalls {
  double joint_length = 0, angle = 0, width = 0, diameter = 0;
  double total() const { return joint_length + angle + width + diameter; }
};

/// Nothing when it is no construction at all: no joints, several pieces, copies that pass through
/// each other, too few joints to be rigid where that is wanted, a limit missed by far.
std::optional<Shortfalls> measure_shortfalls(const TuneJob& job, const Placed& placed);

}  // namespace sixtyfold
