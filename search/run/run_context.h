#pragma once
// One run's switch and clock, shared by the loop and whoever watches it.

#include <atomic>
#include <chrono>
#include <string>

namespace sixtyfold {

/// Why a run ended.
enum class EndReason { running, budget_spent, time_up, stopped };

/// One sentence for people.
inline std::string describe(EndReason reason) {
  switch (reason) {
    case EndReason::running:
      return "the run has not ended";
    case EndReason::budget_spent:
      return "the budget of variants was spent";
    case EndReason::time_up:
      return "the time was up";
    case EndReason::stopped:
      return "it was stopped from outside (Ctrl-C or SIGTERM)";
  }
  return "";
}

/// Promises: `stop` may be set from a signal handler or another thread at any moment; the clock
/// decides when to end and nothing else.
struct RunContext {
  std::atomic<bool> stop{false};
  double earlier_s = 0;  ///< spent before the run was resumed
  std::chrono::steady_clock::time_point start = std::chrono::steady_clock::now();

  double elapsed_s() const {
    return earlier_s +
           std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  }
};

static_assert(std::atomic<bool>::is_always_lock_free, "a signal handler sets the switch");

}  // namespace sixtyfold
