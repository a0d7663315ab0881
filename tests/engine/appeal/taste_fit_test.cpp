#include "engine/appeal/taste_fit.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "tests/support/liked_designs.h"

using namespace sixtyfold;

namespace {

std::vector<Score> find_options() {
  std::vector<Score> options;
  for (const LikedDesign& design : liked_designs) options.push_back(design.score);
  return options;
}

std::vector<int> order_by(const std::vector<Score>& options, const Taste& taste) {
  std::vector<int> order(options.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = static_cast<int>(i);
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
    return measure_appeal(options[static_cast<std::size_t>(a)], taste) >
           measure_appeal(options[static_cast<std::size_t>(b)], taste);
  });
  return order;
}

/// People who like what is closed and heavy, each with a head of their own, approve three of the
/// twelve designs on their slip.
std::vector<TasteChoice> ask_for_heavy(const std::vector<Score>& options, int ballots,
                                       std::uint64_t seed) {
  RandomStream random(seed, Purpose::test, 0);
  std::vector<int> slip;
  while (slip.size() < 12) {
    const int one = static_cast<int>(random.uniform() * static_cast<double>(options.size()));
    if (std::find(slip.begin(), slip.end(), one) == slip.end()) slip.push_back(one);
  }
  std::vector<TasteChoice> choices;
  for (int ballot = 0; ballot < ballots; ++ballot) {
    std::vector<std::pair<double, int>> liking;
    for (const int i : slip) {
      const Score& s = options[static_cast<std::size_t>(i)];
      liking.push_back({-(2 * std::log(s.layers) - 20 * s.see_through + 0.5 * random.normal()), i});
    }
    std::sort(liking.begin(), liking.end());
    TasteChoice& choice = choices.emplace_back();
    for (std::size_t a = 0; a < 3; ++a)
      for (std::size_t b = 3; b < liking.size(); ++b)
        choice.better_worse.push_back({liking[a].second, liking[b].second});
  }
  return choices;
}

}  // namespace

TEST_CASE("without choices the taste is the prior", "[appeal][taste_fit]") {
  const std::vector<Score> options = find_options();
  CHECK(fit_taste(options, {}) == Taste{});
  const Taste own = make_taste({0.1, 0.2, 0.3, 0.4, 0.5, 0.6}, {0.1, 0, 0, 0, 0, -0.1});
  CHECK(fit_taste(options, {}, own) == own);
}

TEST_CASE("thirty ballots for heavy and closed turn the list round, three do not",
          "[appeal][taste_fit]") {
  const std::vector<Score> options = find_options();
  const std::vector<int> shipped = order_by(options, {});
  double kept_by_three = 0, kept_by_thirty = 0;
  double layers_before = 0, layers_after = 0;
  constexpr int groups = 8, first = 24;
  for (int group = 0; group < groups; ++group) {
    const auto count_kept = [&](const std::vector<int>& order) {
      int kept = 0;
      for (int i = 0; i < first; ++i)
        kept += std::find(shipped.begin(), shipped.begin() + first,
                          order[static_cast<std::size_t>(i)]) != shipped.begin() + first;
      return double(kept) / first / groups;
    };
    const auto seed = static_cast<std::uint64_t>(group);
    kept_by_three +=
        count_kept(order_by(options, fit_taste(options, ask_for_heavy(options, 3, seed))));
    const auto after = order_by(options, fit_taste(options, ask_for_heavy(options, 30, seed)));
    kept_by_thirty += count_kept(after);
    for (int i = 0; i < 12; ++i) {
      const auto at = static_cast<std::size_t>(i);
      layers_before += options[static_cast<std::size_t>(shipped[at])].layers / 12 / groups;
      layers_after += options[static_cast<std::size_t>(after[at])].layers / 12 / groups;
    }
  }
  CHECK(kept_by_three > 0.8);
  CHECK(kept_by_thirty < 0.25);
  CHECK(layers_before < 1.5);
  CHECK(layers_after > 2);
}

TEST_CASE("a ballot counts as one, however many it approves", "[appeal][taste_fit]") {
  const std::vector<Score> options = find_options();
  const TasteChoice short_one{{{0, 1}}};
  TasteChoice long_one;
  for (int i = 0; i < 50; ++i) long_one.better_worse.push_back({0, 1});
  const Taste a = fit_taste(options, std::vector<TasteChoice>{short_one});
  const Taste b = fit_taste(options, std::vector<TasteChoice>{long_one});
  for (std::size_t i = 0; i < appeal_term_count; ++i) {
    CHECK(a.weights[i] == Approx(b.weights[i]).margin(1e-6));
    CHECK(a.slopes[i] == Approx(b.slopes[i]).margin(1e-6));
  }
}

TEST_CASE("no small step from the fitted taste is likelier", "[appeal][taste_fit]") {
  const std::vector<Score> options = find_options();
  const std::vector<TasteChoice> choices = ask_for_heavy(options, 20, 3);
  // The logarithm of the posterior, written down a second time from its definition in the header.
  const auto measure_posterior = [&](const Taste& taste) {
    const Taste prior;
    double sum = 0;
    for (std::size_t i = 0; i < appeal_term_count; ++i)
      sum -= std::pow((taste.weights[i] - prior.weights[i]) / 0.15, 2) / 2 +
             std::pow((taste.slopes[i] - prior.slopes[i]) / 0.05, 2) / 2;
    const auto like = [&](int option) {
      const Score& score = options[static_cast<std::size_t>(option)];
      double liking = 0;
      for (std::size_t i = 0; i < appeal_term_count; ++i) {
        const double place = appeal_terms()[i].place(score);
        liking +=
            taste.weights[i] * std::log(appeal_terms()[i].rate(place)) + taste.slopes[i] * place;
      }
      return 3 * liking;
    };
    for (const TasteChoice& choice : choices)
      for (const auto& [better, worse] : choice.better_worse)
        sum -= std::log1p(std::exp(like(worse) - like(better))) /
               static_cast<double>(choice.better_worse.size());
    return sum;
  };
  const Taste best = fit_taste(options, choices);
  const double top = measure_posterior(best);
  CHECK(top > measure_posterior(Taste{}));
  for (std::size_t i = 0; i < appeal_term_count; ++i)
    for (const double step : {-0.003, 0.003}) {
      Taste other = best;
      other.weights[i] = std::max(0.0, other.weights[i] + step);
      CHECK(measure_posterior(other) <= top + 1e-9);
      other = best;
      other.slopes[i] += step;
      CHECK(measure_posterior(other) <= top + 1e-9);
    }
}
