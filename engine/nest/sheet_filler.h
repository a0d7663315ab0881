#pragma once
// Fills what is left of a sheet with parts in given attitudes, each where it lies lowest or most to
// the left, at a corner of the region that is still free for it.

#include <clipper.hpp>
#include <vector>

#include "engine/nest/no_fit_table.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

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
  /// `outline` is the part itself, which stays inside `room`. The table is that of the same part,
  /// and outlives the filler.
  SheetFiller(const Polygon& outline, NoFitTable& table, std::vector<Attitude> attitudes,
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

  NoFitTable& table_;
  std::vector<Attitude> attitudes_;
  std::vector<Box> boxes_;     ///< of the part itself, by attitude
  std::vector<Paths> no_fit_;  ///< [fixed * attitudes + moved]; empty until needed
  std::vector<Paths> free_;    ///< positions still free, by attitude
  std::vector<FilledPart> parts_;
  Box room_;
};

}  // namespace sixtyfold
