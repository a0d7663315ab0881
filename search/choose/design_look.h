#pragma once
// How different two designs look to somebody who stands before them, as a number, and choosing
// designs that look different. Whether two are the same thing in another guise (turned, mirrored,
// renumbered) is search/choose/variant_likeness.h: cheaper, for every find of a run.

#include <vector>

#include "engine/design.h"

namespace sixtyfold {

/// What an eye sees of a design, as numbers of about equal weight: for several directions the
/// share of each ring about the centre that the silhouette covers and how that share varies round
/// the ring; where the board's area lies between centre and rim and how it is tilted; the panel's
/// outline (fullness, elongation, roundness, harmonics of its radius); and the number of panels.
/// Scaling, turning about a view's direction and turning the panel in its plane change nothing.
using Look = std::vector<double>;

/// The design must have a panel with an outline of some extent.
Look find_look(const Design& design);

/// Euclidean; 0 for the same design at any scale. About 0.1 is a small change of a parameter.
double measure_look_difference(const Look& a, const Look& b);

/// Below this difference two designs look alike: nobody wants both on one list.
inline constexpr double looks_alike = 0.3;

/// Numbers of `count` of the looks such that the smallest difference between any two is large:
/// farthest points first (Gonzalez 1985, at least half the optimum), then single exchanges while
/// they help. looks[0], the best by score, is the first point. All if there are no more than
/// `count`. Sorted. Same input, same answer.
std::vector<int> choose_different(const std::vector<Look>& looks, int count);

/// Smallest difference between any two of the chosen; infinity for fewer than two.
double measure_smallest_difference(const std::vector<Look>& looks, const std::vector<int>& chosen);

}  // namespace sixtyfold
