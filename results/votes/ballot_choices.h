#pragma once
// Ballots as choices between designs, from which a taste is learnt.

#include <vector>

#include "engine/appeal/taste_fit.h"
#include "results/votes/ballot.h"

namespace sixtyfold {

/// One choice a voter: each option of a place is preferred to every option of later places and to
/// all that are not named. Ballots that prefer nothing to nothing give none. A line that counts for
/// more than `most_alike` voters gives so many.
std::vector<TasteChoice> make_choices(const BallotBox& box);
inline constexpr int most_alike = 1000;

/// One choice: all of the picks are preferred to all of the rejects, or, without rejects, to all
/// other options. Numbers from 0. Throws std::invalid_argument, the rest of a sentence: an option
/// that is both, or that there is not.
TasteChoice make_choice(const std::vector<int>& picks, const std::vector<int>& rejects,
                        int options);

}  // namespace sixtyfold
