#pragma once
// Ordering by several objectives, all to be minimised: Pareto fronts, crowding, hypervolume, and
// the weighted ranking by desirabilities.

#include <vector>

namespace sixtyfold {

/// Objective values of one candidate.
using Objectives = std::vector<double>;

/// a is nowhere worse than b and somewhere better.
bool dominates(const Objectives& a, const Objectives& b);

/// Number of the front each candidate lies on, 0 for those that nothing dominates.
/// Non-dominated sorting, O(M N^2), of Deb, Pratap, Agarwal and Meyarivan 2002.
std::vector<int> find_front_ranks(const std::vector<Objectives>& candidates);

/// Those that nothing dominates, in order; of equal ones the first. For two objectives O(N log N).
std::vector<int> find_front(const std::vector<Objectives>& candidates);

/// Numbers of the candidates in the order in which they are removed when always the most crowded
/// goes next and the crowding of its neighbours is measured anew (Kukkonen and Deb 2006); the last
/// ones are spread most evenly. O(N^2 M).
std::vector<int> sort_by_crowding(const std::vector<Objectives>& front);

/// Volume dominated by the candidates and bounded by the reference point; 0 for none. By slicing
/// along the last objective (Knowles 2002; While, Hingston, Barone and Huband 2006), O(N log N) in
/// two dimensions, about O(N^2 log N) in three.
/// Throws std::invalid_argument when a candidate exceeds the reference in any objective or the
/// lengths differ: leave those out first (find_within).
double measure_hypervolume(std::vector<Objectives> candidates, const Objectives& reference);

/// Those candidates that are nowhere beyond the reference point.
std::vector<Objectives> find_within(const std::vector<Objectives>& candidates,
                                    const Objectives& reference);

/// Desirability of one number (Derringer and Suich 1980): 0 at `worst` and beyond, 1 at `best` and
/// beyond, linear between. `best` may lie below `worst`. NaN gives 0.
double measure_desirability(double value, double worst, double best);

}  // namespace sixtyfold
