#pragma once
// The stages that a variant is taken through, from cheap to dear.

#include <string>

namespace sixtyfold {

/// What a variant is taken through, one after the other, until one turns it down.
enum class Stage {
  place,
  trim,
  blunt,
  join,
  scale,
  openness,
  clearance,
  width,
  stock,
  stiffness,
  count_
};
std::string name_of(Stage stage);

/// Told when each stage begins and when a variant is done; for measuring.
struct StageWatch {
  virtual ~StageWatch() = default;
  virtual void begin(Stage stage) = 0;
  /// The variant is done; the stage begun last turned it down, or not.
  virtual void end(bool turned_down) = 0;
};

}  // namespace sixtyfold
