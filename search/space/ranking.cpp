#include "search/space/ranking.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <numeric>
#include <stdexcept>
#include <string>

namespace sixtyfold {

namespace {

std::vector<int> sort_lexicographically(const std::vector<Objectives>& candidates) {
  std::vector<int> order(candidates.size());
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
    return candidates[static_cast<std::size_t>(a)] < candidates[static_cast<std::size_t>(b)];
  });
  return order;
}

/// Volume in the first `dimensions` coordinates of points sorted into a staircase.
double measure_slices(std::vector<Objectives>& points, const Objectives& reference,
                      std::size_t dimensions) {
  if (points.empty()) return 0;
  if (dimensions == 1) {
    double least = reference[0];
    for (const Objectives& point : points) least = std::min(least, point[0]);
    return reference[0] - least;
  }
  if (dimensions == 2) {
    std::sort(points.begin(), points.end());
    double area = 0, height = reference[1];
    for (const Objectives& point : points) {
      if (!(point[1] < height)) continue;
      area += (reference[0] - point[0]) * (height - point[1]);
      height = point[1];
    }
    return area;
  }
  const std::size_t last = dimensions - 1;
  std::stable_sort(points.begin(), points.end(),
                   [&](const Objectives& a, const Objectives& b) { return a[last] < b[last]; });
  double volume = 0;
  std::vector<Objectives> slice;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double top = i + 1 < points.size() ? points[i + 1][last] : reference[last];
    slice.emplace_back(points[i].begin(), points[i].begin() + static_cast<std::ptrdiff_t>(last));
    if (!(top > points[i][last])) continue;
    std::vector<Objectives> front;
    for (const int k : find_front(slice)) front.push_back(slice[static_cast<std::size_t>(k)]);
    slice = front;
    volume += (top - points[i][last]) * measure_slices(front, reference, last);
  }
  return volume;
}

}  // namespace

bool dominates(const Objectives& a, const Objectives& b) {
  assert(a.size() == b.size());
  bool better = false;
  for (std::size_t k = 0; k < a.size(); ++k) {
    if (a[k] > b[k]) return false;
    better = better || a[k] < b[k];
  }
  return better;
}

std::vector<int> find_front_ranks(const std::vector<Objectives>& candidates) {
  std::vector<int> ranks(candidates.size(), -1);
  // In lexicographic order nothing later dominates anything earlier, so each candidate goes to the
  // first front none of whose members dominates it (Zhang, Tian, Cheng and Jin 2015).
  std::vector<std::vector<int>> fronts;
  for (const int i : sort_lexicographically(candidates)) {
    const Objectives& candidate = candidates[static_cast<std::size_t>(i)];
    std::size_t rank = 0;
    for (; rank < fronts.size(); ++rank) {
      const auto is_dominating = [&](int k) {
        return dominates(candidates[static_cast<std::size_t>(k)], candidate);
      };
      if (std::none_of(fronts[rank].rbegin(), fronts[rank].rend(), is_dominating)) break;
    }
    if (rank == fronts.size()) fronts.emplace_back();
    fronts[rank].push_back(i);
    ranks[static_cast<std::size_t>(i)] = static_cast<int>(rank);
  }
  return ranks;
}

std::vector<int> find_front(const std::vector<Objectives>& candidates) {
  std::vector<int> front;
  for (const int i : sort_lexicographically(candidates)) {
    const Objectives& candidate = candidates[static_cast<std::size_t>(i)];
    const auto covers = [&](int k) {
      const Objectives& other = candidates[static_cast<std::size_t>(k)];
      return other == candidate || dominates(other, candidate);
    };
    // In two dimensions the last one kept has the least second objective so far.
    const bool covered = candidate.size() <= 2 ? !front.empty() && covers(front.back())
                                               : std::any_of(front.begin(), front.end(), covers);
    if (!covered) front.push_back(i);
  }
  std::sort(front.begin(), front.end());
  return front;
}

std::vector<int> sort_by_crowding(const std::vector<Objectives>& front) {
  std::vector<int> removed;
  if (front.empty()) return removed;
  const std::size_t count = front.size(), width = front[0].size();
  // Neighbours along each objective as linked lists; -1 past the ends.
  std::vector<int> before(count * width, -1), after(count * width, -1), order(count);
  std::vector<double> range(width);
  for (std::size_t k = 0; k < width; ++k) {
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
      return front[static_cast<std::size_t>(a)][k] < front[static_cast<std::size_t>(b)][k];
    });
    range[k] = front[static_cast<std::size_t>(order.back())][k] -
               front[static_cast<std::size_t>(order.front())][k];
    for (std::size_t i = 0; i + 1 < count; ++i) {
      after[static_cast<std::size_t>(order[i]) * width + k] = order[i + 1];
      before[static_cast<std::size_t>(order[i + 1]) * width + k] = order[i];
    }
  }
  const auto measure = [&](std::size_t i) {
    double distance = 0;
    for (std::size_t k = 0; k < width; ++k) {
      const int low = before[i * width + k], high = after[i * width + k];
      if (low < 0 || high < 0) return std::numeric_limits<double>::infinity();
      if (range[k] > 0)
        distance +=
            (front[static_cast<std::size_t>(high)][k] - front[static_cast<std::size_t>(low)][k]) /
            range[k];
    }
    return distance;
  };
  std::vector<double> distances(count);
  for (std::size_t i = 0; i < count; ++i) distances[i] = measure(i);
  std::vector<bool> gone(count, false);
  while (removed.size() < count) {
    std::size_t next = count;
    for (std::size_t i = 0; i < count; ++i)
      if (!gone[i] && (next == count || distances[i] < distances[next])) next = i;
    gone[next] = true;
    removed.push_back(static_cast<int>(next));
    for (std::size_t k = 0; k < width; ++k) {
      const int low = before[next * width + k], high = after[next * width + k];
      if (low >= 0) after[static_cast<std::size_t>(low) * width + k] = high;
      if (high >= 0) before[static_cast<std::size_t>(high) * width + k] = low;
    }
    for (std::size_t k = 0; k < width; ++k)
      for (const int i : {before[next * width + k], after[next * width + k]})
        if (i >= 0) distances[static_cast<std::size_t>(i)] = measure(static_cast<std::size_t>(i));
  }
  return removed;
}

double measure_hypervolume(std::vector<Objectives> candidates, const Objectives& reference) {
  for (const Objectives& candidate : candidates) {
    if (candidate.size() != reference.size())
      throw std::invalid_argument("a candidate has " + std::to_string(candidate.size()) +
                                  " objectives, the reference point has " +
                                  std::to_string(reference.size()));
    for (std::size_t k = 0; k < reference.size(); ++k)
      if (!(candidate[k] <= reference[k]))
        throw std::invalid_argument("objective " + std::to_string(k + 1) + " of a candidate is " +
                                    std::to_string(candidate[k]) +
                                    ", beyond the reference point's " +
                                    std::to_string(reference[k]));
  }
  return measure_slices(candidates, reference, reference.size());
}

std::vector<Objectives> find_within(const std::vector<Objectives>& candidates,
                                    const Objectives& reference) {
  std::vector<Objectives> within;
  for (const Objectives& candidate : candidates) {
    bool inside = candidate.size() == reference.size();
    for (std::size_t k = 0; inside && k < reference.size(); ++k)
      inside = candidate[k] <= reference[k];
    if (inside) within.push_back(candidate);
  }
  return within;
}

double measure_desirability(double value, double worst, double best) {
  assert(worst != best);
  const double share = (value - worst) / (best - worst);
  if (!(share > 0)) return 0;
  return std::min(share, 1.0);
}

}  // namespace sixtyfold
