#pragma once
// A ballot as pages send it.

#include "results/files/json_reader.h"
#include "tools/voting/vote.h"

namespace sixtyfold {

/// [[7], [3, 5]]: 7 first, then 3 and 5; [] is blank. Throws std::invalid_argument.
BallotPlaces read_ballot_places(const JsonCursor& sent);

}  // namespace sixtyfold
