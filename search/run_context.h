#pragma once
// One run's switch, clock and counters, shared by the loop and whoever watches it.

#include <atomic>
#include <chrono>
#include <cstdint>
#include <string>

namespace sixtyfold {

/// Why a run ended.
enum class EndReason { running, budget_spent, time_up, stopped };

/// One sentence for people.
inline std::string describe(EndReason reason) {
  switch (reason) {
    case EndReason::running: return "the run has not ended";
    case EndReason::budget_spent: return "the budget of variants was spent";
    case EndReason::time_up: return "the time was up";
    case EndReason::stopped: return "it was stopped from outside (Ctrl-C or SIGTERM)";
  }
  return "";
}

/// Promises: `stop` may be set from a signal handler or another thread at any moment; counters are
/// only ever advanced by the loop; the clock decides when to stop and nothing else.
struct RunContext {
  std::atomic<bool> stop{false};
  std::atomic<std::uint64_t> evaluated{0}, feasible{0};

  std::uint64_t budget = 0;    ///< variants to score; 0: no bound
  double time_limit_s = 0;     ///< 0: no bound
  std::chrono::steady_clock::time_point start = std::chrono::steady_clock::now();

  double elapsed_s() const {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  }
  /// Asked between batches.
  EndReason find_end() const {
    if (stop.load()) return EndReason::stopped;
    if (budget > 0 && evaluated.load() >= budget) return EndReason::budget_spent;
    if (time_limit_s > 0 && elapsed_s() >= time_limit_s) return EndReason::time_up;
    return EndReason::running;
  }
};

static_assert(std::atomic<bool>::is_always_lock_free, "a signal handler sets the switch");

}  // namespace sixtyfold
