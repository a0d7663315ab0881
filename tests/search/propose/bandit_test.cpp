#include "search/propose/bandit.h"

#include <catch2/catch.hpp>
#include <vector>

#include "engine/random.h"

using namespace sixtyfold;

namespace {

/// Plays with success chances that change half way.
std::vector<long long> play(const std::vector<double>& first, const std::vector<double>& second,
                            int rounds) {
  Bandit bandit(static_cast<int>(first.size()));
  RandomStream stream(5, Purpose::test, 1);
  for (int round = 0; round < rounds; ++round) {
    const int choice = bandit.choose();
    const double chance = (round < rounds / 2 ? first : second)[static_cast<std::size_t>(choice)];
    bandit.reward(choice, stream.uniform() < chance ? 1 : 0);
  }
  std::vector<long long> times;
  for (std::size_t i = 0; i < first.size(); ++i)
    times.push_back(bandit.times_chosen(static_cast<int>(i)));
  return times;
}

}  // namespace

TEST_CASE("a bandit tries everything once before anything twice", "[search][bandit]") {
  Bandit bandit(5);
  for (int i = 0; i < 5; ++i) CHECK(bandit.choose() == i);
  for (int i = 0; i < 5; ++i) bandit.reward(i, 0);
}

TEST_CASE("a bandit gives most of the budget to the best choice", "[search][bandit]") {
  const std::vector<long long> times = play({0.2, 0.8, 0.3}, {0.2, 0.8, 0.3}, 3000);
  CHECK(times[1] > 2000);
  CHECK(times[0] > 20);
}

TEST_CASE("a bandit follows when a choice wears out", "[search][bandit]") {
  // The point of discounting (Garivier and Moulines 2011).
  const std::vector<long long> times = play({0.9, 0.5}, {0.05, 0.5}, 4000);
  CHECK(times[0] > 1200);
  CHECK(times[1] > 1500);
}

TEST_CASE("choices made before rewards arrive are spread", "[search][bandit]") {
  Bandit bandit(3);
  for (int i = 0; i < 3; ++i) bandit.reward(bandit.choose(), 0.5);
  std::vector<int> seen(3);
  for (int i = 0; i < 30; ++i) ++seen[static_cast<std::size_t>(bandit.choose())];
  for (const int count : seen) CHECK(count == 10);
}
