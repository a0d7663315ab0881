#pragma once
// What tuning did, in sentences.

#include <string>
#include <vector>

#include "search/tune/job.h"
#include "search/tune/look_overlap.h"

namespace sixtyfold {

/// One line for each class of contacts.
std::string describe_class(const TuneJob& job, const PairClass& pair,
                           const std::vector<PairJoint>& joints);

/// What came and went, with the gap that is left where joints were given up, and how far plane and
/// outline were moved.
std::vector<std::string> describe_steps(const TuneJob& job, const Placed& before,
                                        const Placed& after, const LookOverlap& look);

/// What could be dropped at all, class by class.
std::vector<std::string> describe_possible_steps(const TuneJob& job, const Placed& original);

/// The opening between the boards of the two copies where a joint of `before` was, but for its
/// ends, where both may meet a third: in millimetres, to half a millimetre or so; 0 where they
/// touch, infinity where neither has a border near there.
double measure_opening(const TuneJob& job, const Placed& before, const Placed& after,
                       const PairJoint& joint);

/// The least of them over all joints of pairs that are no longer joined; infinity without any.
double find_least_opening(const TuneJob& job, const Placed& before, const Placed& after);

}  // namespace sixtyfold
