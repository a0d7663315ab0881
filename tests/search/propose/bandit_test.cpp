#include "search/propose/bandit.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "engine/random.h"

using namespace sixtyfold;

namespace {

/// Plays with success chances that change half way.
std::vector<long long> play(const std::vector<double>& first, const std::vector<double>& second,
                            int rounds) {
  Bandit bandit(static_cast<int>(first.size()));
  RandomStream stream(5, Purpose::test, 1);
  std::vector<long long> times(first.size());
  for (int round = 0; round < rounds; ++round) {
    const int choice = bandit.choose();
    ++times[static_cast<std::size_t>(choice)];
    const double chance = (round < rounds / 2 ? first : second)[static_cast<std::size_t>(choice)];
    bandit.reward(choice, stream.uniform() < chance ? 1 : 0);
  }
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

TEST_CASE("a bandit chooses as the formula says, shortcuts or not", "[search][bandit]") {
  struct Arm {
    double weight = 0, sum = 0;
    int pending = 0;
  };
  constexpr double discount = 0.99, exploration = 0.3;
  constexpr std::size_t count = 40;
  std::vector<Arm> arms(count);
  Bandit bandit(count, {discount, exploration});
  RandomStream random(6, Purpose::test, 1);
  for (int batch = 0; batch < 200; ++batch) {
    std::vector<int> asked;
    for (int i = 0; i < 16; ++i) {
      double total = 0;
      for (const Arm& arm : arms) total += arm.weight + arm.pending;
      int best = 0;
      double most = -1;
      for (std::size_t k = 0; k < count; ++k) {
        const double weight = arms[k].weight + arms[k].pending;
        const double bound = weight == 0
                                 ? HUGE_VAL
                                 : (arms[k].weight > 0 ? arms[k].sum / arms[k].weight : 0) +
                                       exploration * std::sqrt(std::log(1 + total) / weight);
        if (bound > most) best = static_cast<int>(k), most = bound;
      }
      REQUIRE(bandit.choose() == best);
      ++arms[static_cast<std::size_t>(best)].pending;
      asked.push_back(best);
    }
    for (const int choice : asked) {
      // Most arms never yield anything, one in ten does.
      const double reward = choice % 10 == 3 ? random.uniform() : 0;
      bandit.reward(choice, reward);
      for (Arm& arm : arms) arm.weight *= discount, arm.sum *= discount;
      Arm& arm = arms[static_cast<std::size_t>(choice)];
      --arm.pending, arm.weight += 1, arm.sum += reward;
    }
  }
}
