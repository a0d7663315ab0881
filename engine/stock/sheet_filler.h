#pragma once
// Fills what is left of a sheet with parts in given attitudes, each where it lies lowest or most to
// the left, at a corner of the region that is still free for it.

#include <clipper.hpp>
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

struct FilledPart {
  Vec2 position = Vec2::Zero();  ///< of the part's origin
  std::size_t attitude = 0;      ///< number in the list
};

/// Where the next part goes: the free corner with the least value of direction.dot(corner).
struct FillOrder {
  Vec2 direction = Vec2::UnitY();
};

class SheetFiller {
 public:
  /// `outline` is the part itself, which stays inside `room`; `spaced` is what no other may enter.
  SheetFiller(const Polygon& outline, const Polygon& spaced, std::vector<Attitude> attitudes,
              const Box& room);

  /// Starts again from parts that already lie there.
  void start(const std::vector<FilledPart>& parts);
  /// Puts parts until none fits or there are `most`.
  void fill(const FillOrder& order, std::size_t most);
  const std::vector<FilledPart>& parts() const { return parts_; }

 private:
  using Paths = ClipperLib::Paths;

  const Paths& no_fit(std::size_t fixed, std::size_t moved);
  void take(const FilledPart& part);

  std::vector<Polygon> spaced_;      ///< by attitude, about the origin
  std::vector<Box> boxes_;           ///< of the part itself
  std::vector<Paths> no_fit_;        ///< [fixed * attitudes + moved]; empty until needed
  std::vector<Paths> free_;          ///< positions still free, by attitude
  std::vector<FilledPart> parts_;
  Box room_;
};

}  // namespace sixtyfold
