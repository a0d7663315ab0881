#pragma once
// Which panel, or module, can be taken off what stands by one straight push. Taking apart backwards
// is putting together.

#include <map>
#include <optional>
#include <unordered_map>
#include <vector>

#include "engine/building/blocking_cone.h"
#include "engine/building/plate_runs.h"
#include "engine/building/reach.h"

namespace sixtyfold {

/// Everything that stands, copy by copy. Copies of one kind are alike: turn[i] carries the first of
/// its kind onto copy i, about the origin.
struct StandingCopies {
  std::vector<std::vector<StandingPlate>> plates;
  std::vector<int> kind;
  std::vector<Mat3> turn;
};

/// The copies of a design, its kinds being its orbits.
StandingCopies make_standing_copies(const Design& design, const Finished& finished,
                                    const JointSides& sides);

/// How tabs behave while a block moves: all folded; or those that it and its new neighbours glue to
/// each other held open, which takes them out of the way.
enum class Tabs { folded, open };

/// Ways out for blocks: each a panel or a module, moved as one rigid body while the rest stands
/// still, in a straight line to infinity, every board thinned by the slab tolerance. What is alike
/// by symmetry is worked out once and judged alike.
class WaysOut {
 public:
  /// `hints[b]`: directions worth a try for block b, unit; those of the first of a kind count for
  /// all.
  WaysOut(const StandingCopies& copies, std::vector<std::vector<int>> blocks,
          const std::vector<std::vector<Vec3>>& hints = {});

  /// The first free one of a fan about `outward` and of the hints; those from below, where the
  /// floor is, last. `standing` has a place for each copy; the block's own count for nothing.
  std::optional<Vec3> find_way(int block, const std::vector<bool>& standing, Tabs tabs);

  /// Of all directions: a free one, or that there is none.
  DirectionSearch search_ways(int block, const std::vector<bool>& standing, Tabs tabs);

  /// Whether nothing stands in the way along this direction.
  bool is_free(int block, const Vec3& direction, const std::vector<bool>& standing, Tabs tabs);

  const std::vector<std::vector<int>>& blocks() const { return blocks_; }

 private:
  /// What one copy has in the way of a block along one direction; the same for all that are alike.
  struct Meeting {
    bool knows_folded = false, any = false;   ///< any: with all tabs folded
    bool knows_open = false, bodies = false;  ///< bodies: apart from open tabs
    std::vector<int>
        glued;  ///< plates of the copy that are tabs and stay when glued to what stands
  };
  struct Pair {
    bool asked = false;
    std::optional<BlockingCone> cone;
  };
  /// A block and a copy, plate by plate, under cones of all the copy's bodies together, which are
  /// asked first.
  struct Pairs {
    std::vector<Pair>
        of_own;  ///< own plate against the hull of the copy's bodies; empty without a hull
    /// [own plate * plates of the copy + its plate]: whether asked before. The cone is dearer than
    /// one swept distance, so it is made at the second question. Ragged outlines make tens of
    /// millions of pairs, of which few need a cone.
    std::vector<bool> asked;
    std::unordered_map<std::size_t, BlockingCone> cones;
  };
  /// Blocks that are alike, seen from the first of them.
  struct Kind {
    int first = 0;
    std::vector<Vec3> directions;
    std::map<std::vector<int>, int> relation_of;  ///< a copy's kind and turn, as the block sees it
    std::vector<std::vector<Meeting>> meetings;   ///< [relation][direction]
    std::vector<Pairs> pairs;                     ///< [relation], empty until asked
    struct Useful {
      int own = 0, relation = 0, plate = 0;
    };
    std::vector<Useful> useful;  ///< whose cones searches have met: known ones first
    std::map<std::pair<Tabs, std::vector<bool>>, DirectionSearch>
        searched;  ///< by the relations that stand; as the kind sees it
  };
  struct Hit {
    int own = 0, copy = 0, plate = 0;
  };
  void find_kinds(const std::vector<std::vector<Vec3>>& hints);
  bool stays_folded(int block, const StandingPlate& plate) const;
  bool counts(int block, const StandingPlate& own, const StandingPlate& still,
              const std::vector<bool>& standing, Tabs tabs) const;
  Pairs& pairs_of(int block, int copy);
  /// As the block's kind sees it.
  BlockingCone make_cone(int block, const ConvexPlate& own, const ConvexPlate& still) const;
  const BlockingCone& find_cone(int block, int copy, std::size_t own, std::size_t still);
  /// Whether two plates meet along the direction, not seen as the kind sees it.
  bool meets_plate(int block, int copy, std::size_t own, std::size_t still, const Vec3& way);
  /// Calls `meets(own plate, plate of the copy)` for each two that meet along the direction, until
  /// it says true. The direction as the kind sees it.
  template <typename Wanted, typename Meets>
  bool find_meeting_plates(int block, int copy, const Vec3& seen, const Wanted& wanted,
                           const Meets& meets);
  const Meeting& find_meeting(int block, std::size_t direction, int copy, Tabs tabs);
  /// What stands in the way, looked for in this order.
  std::optional<Hit> find_hit(int block, const Vec3& seen, const std::vector<bool>& standing,
                              Tabs tabs, const std::vector<int>& copies);

  const StandingCopies& copies_;
  std::vector<std::vector<int>> blocks_;
  std::vector<int> block_of_;                              ///< of a copy; -1: of none
  std::vector<std::vector<const StandingPlate*>> plates_;  ///< of a block
  std::vector<Mat3> turn_;  ///< carries the first of its kind onto the block
  std::vector<int> kind_of_;
  std::vector<std::vector<int>> relation_;  ///< [block][copy]
  std::vector<EnclosingBall> block_ball_, copy_ball_;
  std::vector<std::vector<PlateRun>> runs_;  ///< of a copy's plates
  std::vector<std::vector<int>> nearest_;    ///< of a block: all copies, the nearest first
  std::vector<std::optional<ConvexPlate>>
      hulls_;  ///< of a copy's bodies, where they lie in one plane
  std::vector<Kind> kinds_;
  double length_mm_ = 0;  ///< a push so long clears everything
};

}  // namespace sixtyfold
