#pragma once
// Ends a variant between two stages once it can no longer better what is known of its like.

#include <functional>
#include <limits>
#include <utility>

#include "engine/variant/variant.h"
#include "search/space/criterion.h"

namespace sixtyfold {

/// For one variant. Asked only when the numbers are known that tell where a variant belongs, that
/// is after the openness.
class QualityGate : public StageGate {
 public:
  /// Quality that a variant with this score must reach; minus infinity: all are wanted.
  using Hurdle = std::function<double(const Score&)>;

  QualityGate(const Goals& goals, const Limits& limits, Hurdle hurdle)
      : goals_(goals), limits_(limits), find_hurdle_(std::move(hurdle)) {}
  bool lets_through(Stage next, const Score& score) override;

 private:
  const Goals& goals_;
  const Limits& limits_;
  Hurdle find_hurdle_;
  double hurdle_ = std::numeric_limits<double>::quiet_NaN();  ///< not asked for yet
};

}  // namespace sixtyfold
