#pragma once
// Ctrl-C and SIGTERM end a search in order: what was found is kept.

#include <atomic>

namespace sixtyfold {

/// Catches Ctrl-C and SIGTERM while it lives and sets the switch; a second one ends the program at
/// once. One at a time.
class StopOnSignal {
 public:
  explicit StopOnSignal(std::atomic<bool>& stop);
  ~StopOnSignal();
  StopOnSignal(const StopOnSignal&) = delete;
  StopOnSignal& operator=(const StopOnSignal&) = delete;
};

}  // namespace sixtyfold
