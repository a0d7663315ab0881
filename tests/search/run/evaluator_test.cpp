#include "search/run/evaluator.h"

#include <atomic>
#include <catch2/catch.hpp>
#include <chrono>
#include <cmath>
#include <stdexcept>
#include <thread>
#include <vector>

using namespace sixtyfold;

TEST_CASE("every task runs once and gives the same bytes at any number of threads",
          "[search][evaluator]") {
  std::vector<double> expected;
  for (const int threads : {1, 2, 3, 8}) {
    Evaluator evaluator(threads);
    CHECK(evaluator.threads() == threads);
    std::vector<double> results(5000, -1);
    std::vector<std::atomic<int>> runs(results.size());
    std::vector<std::vector<double>> workspaces(static_cast<std::size_t>(threads));
    evaluator.run(static_cast<int>(results.size()), [&](int task, int worker) {
      REQUIRE((0 <= worker && worker < threads));
      // A workspace shared by two running tasks would give wrong sums.
      std::vector<double>& workspace = workspaces[static_cast<std::size_t>(worker)];
      workspace.assign(50, task);
      double sum = 0;
      for (const double value : workspace) sum += std::sin(value);
      results[static_cast<std::size_t>(task)] = sum;
      ++runs[static_cast<std::size_t>(task)];
    });
    for (const std::atomic<int>& count : runs) REQUIRE(count == 1);
    if (expected.empty()) expected = results;
    CHECK(results == expected);
  }
}

TEST_CASE("an exception in a task reaches the caller", "[search][evaluator]") {
  for (const int threads : {1, 2}) {
    Evaluator evaluator(threads);
    CHECK_THROWS_AS(evaluator.run(100,
                                  [](int task, int) {
                                    if (task == 57) throw std::runtime_error("task 57");
                                  }),
                    std::runtime_error);
  }
  CHECK_THROWS_AS(Evaluator(-1), std::invalid_argument);
  CHECK_THROWS_AS(Evaluator(5000), std::invalid_argument);
}

TEST_CASE("one thread does not hold back the threads of another", "[search][evaluator]") {
  Evaluator one(1), two(2);
  std::atomic<int> begun{0};
  std::atomic<int> met{0};
  two.run(2, [&](int, int) {
    ++begun;
    const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(20);
    while (begun.load() < 2 && std::chrono::steady_clock::now() < end) std::this_thread::yield();
    met += begun.load() == 2;
  });
  CHECK(met.load() == 2);
}
