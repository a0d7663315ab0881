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

/// Distance between the boards of the two copies of a class, in millimetres, to half a millimetre
/// or so; 0 where they touch.
double measure_board_gap(const TuneJob& job, const Placed& placed, const PairClass& pair);

}  // namespace sixtyfold
