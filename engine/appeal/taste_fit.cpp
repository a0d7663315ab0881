#include "engine/appeal/taste_fit.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace sixtyfold {

namespace {

constexpr std::size_t count = 2 * appeal_term_count;  // weights, then slopes
constexpr double sharpness = 3;
constexpr double weight_deviation = 0.15, slope_deviation = 0.05;
using Numbers = std::array<double, count>;

/// What the logarithm of the appeal is linear in.
Numbers find_features(const Score& score) {
  Numbers features{};
  for (std::size_t i = 0; i < appeal_term_count; ++i) {
    const AppealTerm& term = appeal_terms()[i];
    const double place = term.place(score);
    features[i] = std::log(term.rate(place));
    features[appeal_term_count + i] = place;
  }
  return features;
}

struct Pair {
  Numbers difference;  // better less worse, times sharpness
  double share;        // of its ballot
};

std::vector<Pair> find_pairs(std::span<const Score> options, std::span<const TasteChoice> choices) {
  std::vector<Numbers> features;
  for (const Score& option : options) features.push_back(find_features(option));
  std::vector<Pair> pairs;
  for (const TasteChoice& choice : choices)
    for (const auto& [better, worse] : choice.better_worse) {
      assert(0 <= better && better < static_cast<int>(options.size()));
      assert(0 <= worse && worse < static_cast<int>(options.size()));
      Pair pair{{}, 1.0 / static_cast<double>(choice.better_worse.size())};
      for (std::size_t i = 0; i < count; ++i)
        pair.difference[i] = sharpness * (features[static_cast<std::size_t>(better)][i] -
                                          features[static_cast<std::size_t>(worse)][i]);
      pairs.push_back(pair);
    }
  return pairs;
}

}  // namespace

Taste fit_taste(std::span<const Score> options, std::span<const TasteChoice> choices,
                const Taste& prior) {
  const std::vector<Pair> pairs = find_pairs(options, choices);
  Numbers start{}, at{};
  for (std::size_t i = 0; i < appeal_term_count; ++i) {
    start[i] = prior.weights[i];
    start[appeal_term_count + i] = prior.slopes[i];
  }
  at = start;
  std::vector<double> leads(pairs.size(), 0);  // of the better over the worse, times sharpness
  for (std::size_t p = 0; p < pairs.size(); ++p)
    for (std::size_t i = 0; i < count; ++i) leads[p] += pairs[p].difference[i] * at[i];
  // The posterior is strictly concave: Newton's steps along one number after the other climb to its
  // only top, within the bounds too.
  constexpr int most_sweeps = 400;
  for (int sweep = 0; sweep < most_sweeps; ++sweep) {
    double largest = 0;
    for (std::size_t i = 0; i < count; ++i) {
      const bool is_weight = i < appeal_term_count;
      const double deviation = is_weight ? weight_deviation : slope_deviation;
      double slope = (start[i] - at[i]) / (deviation * deviation);
      double bend = 1 / (deviation * deviation);
      for (std::size_t p = 0; p < pairs.size(); ++p) {
        const double doubt = 1 / (1 + std::exp(leads[p]));
        const double difference = pairs[p].difference[i];
        slope += pairs[p].share * difference * doubt;
        bend += pairs[p].share * difference * difference * 0.25;  // at most: never beyond the top
      }
      double next = at[i] + slope / bend;
      if (is_weight) next = std::max(0.0, next);
      const double step = next - at[i];
      at[i] = next;
      largest = std::max(largest, std::abs(step));
      for (std::size_t p = 0; p < pairs.size(); ++p) leads[p] += step * pairs[p].difference[i];
    }
    if (largest < 1e-9) break;
  }
  // As many digits as a person wants to read in the file.
  const auto round_off = [](double value) { return std::round(value * 1e4) / 1e4; };
  TermNumbers weights{}, slopes{};
  for (std::size_t i = 0; i < appeal_term_count; ++i) {
    weights[i] = round_off(at[i]);
    slopes[i] = round_off(at[appeal_term_count + i]);
  }
  return make_taste(weights, slopes);
}

}  // namespace sixtyfold
