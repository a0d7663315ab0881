#pragma once
// The upper border of a no-fit region, and how high a row must lie above another because of it.

#include <cstdint>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// y of the highest boundary point as a function of x; -infinity beside the region. Where the
/// border jumps, the higher value counts.
class UpperBorder {
 public:
  explicit UpperBorder(const std::vector<Polygon>& region, const Vec2& shift = Vec2::Zero());

  double operator()(double x) const;
  double low_x() const { return stops_.empty() ? 0 : stops_.front(); }
  double high_x() const { return stops_.empty() ? 0 : stops_.back(); }
  /// Where the border may bend, ascending.
  const std::vector<double>& stops() const { return stops_; }

 private:
  struct Span {
    double left, right;  ///< height at either end
  };

  void raise(Vec2 p, Vec2 q);
  double value(std::size_t i, double x) const;

  std::vector<double> stops_;
  std::vector<Span> spans_;
  std::vector<std::uint32_t> first_span_;  ///< a span at or before x, by equal steps of x
  double per_step_ = 0;
};

/// Two rows, one above the other, both evenly spaced.
struct RowPair {
  double spacing = 0;
  double shift = 0;          ///< the upper row begins this much further right
  int below = 1, above = 1;  ///< parts in either row
};

/// A row so long that its ends do not matter.
inline constexpr int endless_row = 1'000'000;

/// Least height of the upper row above the lower one, at least 0, the border being that of the
/// no-fit region of a part of the lower row.
double measure_row_height(const UpperBorder& border, const RowPair& rows);

/// Which spacings a row of parts along x may have: the section of the part's no-fit region with
/// itself along the x-axis. A hooked part may allow a spacing and forbid a larger one.
class RowSection {
 public:
  explicit RowSection(const std::vector<Polygon>& same);

  /// True when an endless row of this spacing does not overlap itself.
  bool allows(double spacing) const;
  /// The least spacing of every gap in the section that an endless row may have, ascending.
  std::vector<double> find_tight_spacings() const;

 private:
  std::vector<double> crossings_;  ///< entering, leaving, entering ...
};

}  // namespace sixtyfold
