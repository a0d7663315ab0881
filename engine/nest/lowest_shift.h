#pragma once
// One-dimensional search for the shift at which a row lies lowest on another.

#include <vector>

namespace sixtyfold {

struct ShiftSearch {
  double low = 0, high = 0;
  int samples = 40;
  int refinements = 0;                           ///< halvings of the step about the best sample
  const std::vector<double>* corners = nullptr;  ///< tried too when refining
};

/// The shift in [low, high] with the least height(shift) among those tried; of equal ones the
/// first.
template <class Height>
double find_lowest_shift(const ShiftSearch& search, Height height) {
  double best = search.low, best_height = height(search.low);
  const auto offer = [&](double shift) {
    const double h = height(shift);
    if (h < best_height - 1e-9) best_height = h, best = shift;
  };
  if (search.low < 0 && 0 < search.high) offer(0);
  const double step = (search.high - search.low) / search.samples;
  if (!(step > 0)) return best;
  for (int i = 1; i <= search.samples; ++i) offer(search.low + i * step);
  if (search.refinements == 0) return best;
  if (search.corners)
    for (const double corner : *search.corners)
      if (search.low < corner && corner < search.high) offer(corner);
  double half = step / 2;
  for (int i = 0; i < search.refinements; ++i, half /= 2) {
    const double about = best;
    if (about - half > search.low) offer(about - half);
    if (about + half < search.high) offer(about + half);
  }
  return best;
}

}  // namespace sixtyfold
