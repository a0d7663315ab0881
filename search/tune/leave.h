#pragma once
// Whether a search may go on, asked by all its workers while they work.

#include <functional>
#include <mutex>

namespace sixtyfold {

/// Asks until the first no and says no from then on. The progress is not to be written to while
/// workers ask: what they are told is then the same at any number of threads.
template <typename Progress>
class Leave {
 public:
  Leave(const std::function<bool(const Progress&)>& go_on, const Progress& progress)
      : go_on_(go_on), progress_(progress) {}

  bool ask() {
    const std::lock_guard<std::mutex> lock(mutex_);
    if (!ended_) ended_ = !go_on_(progress_);
    return !ended_;
  }
  bool is_ended() const { return ended_; }  ///< not while workers ask

 private:
  const std::function<bool(const Progress&)>& go_on_;
  const Progress& progress_;
  std::mutex mutex_;
  bool ended_ = false;
};

}  // namespace sixtyfold
