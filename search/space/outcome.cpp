#include "search/space/outcome.h"

#include <algorithm>
#include <cmath>

#include "search/space/ranking.h"

namespace sixtyfold {

bool beats(const Outcome& a, const Outcome& b) {
  if (a.feasible() && b.feasible()) return dominates(a.objectives, b.objectives);
  return a.violation < b.violation;
}

bool is_sound(const Outcome& outcome) {
  if (!(outcome.violation >= 0)) return false;
  if (!outcome.feasible()) return true;
  const auto finite = [](double value) { return std::isfinite(value); };
  return finite(outcome.quality) && !outcome.objectives.empty() &&
         std::all_of(outcome.objectives.begin(), outcome.objectives.end(), finite) &&
         std::all_of(outcome.guides.begin(), outcome.guides.end(), finite) &&
         std::all_of(outcome.measures.begin(), outcome.measures.end(), finite);
}

}  // namespace sixtyfold
