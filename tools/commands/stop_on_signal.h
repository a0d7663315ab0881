#pragma once
// Ctrl-C, SIGTERM and a window that is closed end a search in order: what was found is kept.
// SIGUSR1 asks for a list now.

#include <atomic>

namespace sixtyfold {

/// Catches Ctrl-C, SIGTERM and SIGHUP (which stays ignored under nohup) while it lives and sets the
/// switch; a second Ctrl-C or SIGTERM ends the program at once. One at a time.
class StopOnSignal {
 public:
  explicit StopOnSignal(std::atomic<bool>& stop);
  ~StopOnSignal();
  StopOnSignal(const StopOnSignal&) = delete;
  StopOnSignal& operator=(const StopOnSignal&) = delete;
};

/// Sets the switch each time SIGUSR1 comes while it lives; before and after, that signal is passed
/// over. One at a time.
class AskOnSignal {
 public:
  explicit AskOnSignal(std::atomic<bool>& asked);
  ~AskOnSignal();
  AskOnSignal(const AskOnSignal&) = delete;
  AskOnSignal& operator=(const AskOnSignal&) = delete;
};

}  // namespace sixtyfold
