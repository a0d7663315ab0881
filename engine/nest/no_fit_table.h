#pragma once
// No-fit regions of a part with itself in every pair of attitudes, each found once.

#include <deque>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// How a part may lie: turned over first, then turned by an angle.
struct Attitude {
  double rotation_rad = 0;
  bool turned_over = false;

  Vec2 apply(const Vec2& p) const {
    const Vec2 q{turned_over ? -p.x() : p.x(), p.y()};
    return Eigen::Rotation2Dd(rotation_rad) * q;
  }
};

/// `other` as seen by a part that lies in the attitude `base`.
Attitude make_relative(const Attitude& base, const Attitude& other);

class NoFitTable {
 public:
  /// What no other part may enter, about the part's origin.
  explicit NoFitTable(Polygon spaced) : spaced_(std::move(spaced)) {}

  const Polygon& spaced() const { return spaced_; }

  /// The region (engine/nest/no_fit.h) in which the origin of a part in the attitude `moved` may
  /// not lie because of one in the attitude `fixed` at the origin. Turning both turns the region,
  /// so the attitude of one as seen by the other is all that has to be looked up.
  std::vector<Polygon> find(const Attitude& fixed, const Attitude& moved);

  /// That of a part in the attitude `relative` because of one as it is. Stays where it is.
  const std::vector<Polygon>& find(const Attitude& relative);

 private:
  struct Entry {
    Attitude relative;
    std::vector<Polygon> region;
  };

  Polygon spaced_;
  std::deque<Entry> entries_;
};

}  // namespace sixtyfold
