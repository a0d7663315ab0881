#pragma once
// A group's choices turned into a taste.

#include <span>
#include <utility>
#include <vector>

#include "engine/appeal/taste.h"

namespace sixtyfold {

/// What one person said: pairs of options, the preferred one first. Counts as one, however many
/// pairs.
struct TasteChoice {
  std::vector<std::pair<int, int>> better_worse;
};

/// The most likely taste given the choices, with `prior` as what was thought before: a
/// paired-comparison model (Bradley and Terry 1952), the chance that a is preferred to b being the
/// logistic function of 3 times the difference of the logarithms of their appeals; normal priors of
/// standard deviation 0.15 on the weights and 0.05 on the slopes, so that three choices move it
/// little and thirty a lot. Weights stay at least 0. No choices: the prior. The options' scores
/// must be complete and the pairs' numbers theirs.
Taste fit_taste(std::span<const Score> options, std::span<const TasteChoice> choices,
                const Taste& prior = {});

}  // namespace sixtyfold
