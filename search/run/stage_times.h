#pragma once
// How long the stages of a variant take, measured while a search runs.

#include <array>
#include <chrono>
#include <cstdint>

#include "engine/variant/stage.h"

namespace sixtyfold {

struct StageTimes {
  static constexpr std::size_t count = static_cast<std::size_t>(Stage::count_);
  std::array<double, count> seconds{};             ///< of all threads together
  std::array<std::uint64_t, count> variants{};     ///< that came to the stage
  std::array<std::uint64_t, count> turned_down{};  ///< of these, by the stage itself

  void add(const StageTimes& other) {
    for (std::size_t i = 0; i < count; ++i) {
      seconds[i] += other.seconds[i];
      variants[i] += other.variants[i];
      turned_down[i] += other.turned_down[i];
    }
  }
};

/// One per worker. Reading the clock takes about 25 ns a stage.
class StageClock : public StageWatch {
 public:
  void begin(Stage stage) override {
    stop();
    stage_ = static_cast<std::size_t>(stage);
    ++times_.variants[stage_];
  }
  void end(bool turned_down) override {
    if (stage_ < StageTimes::count) times_.turned_down[stage_] += turned_down;
    stop();
  }
  const StageTimes& times() const { return times_; }

 private:
  void stop() {
    const auto now = std::chrono::steady_clock::now();
    if (stage_ < StageTimes::count)
      times_.seconds[stage_] += std::chrono::duration<double>(now - since_).count();
    stage_ = StageTimes::count;
    since_ = now;
  }

  StageTimes times_;
  std::size_t stage_ = StageTimes::count;
  std::chrono::steady_clock::time_point since_;
};

}  // namespace sixtyfold
