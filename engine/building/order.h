#pragma once
// In which order blocks (panels or modules) go together one by one, each by a straight push.

#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <vector>

#include "engine/building/spring_in.h"
#include "engine/building/way_out.h"

namespace sixtyfold {

/// How a block comes in.
enum class ComingIn {
  straight,   ///< a straight push with its tabs folded
  tabs_open,  ///< a straight push while the tabs of this step's joints are held open
  sprung,     ///< boards bend out of the way, within what the material bears
  hard        ///< none of these: a hard step
};

struct OrderStep {
  int block = 0;
  ComingIn coming_in = ComingIn::straight;
  Vec3 push =
      Vec3::Zero();  ///< unit; the block moves along -push to its place. Zero: the first, or hard
  SpringIn spring;   ///< of a sprung step
};

struct Order {
  std::vector<OrderStep> steps;  ///< one for each block; the first stands on the floor
  int hard_steps = 0, spring_steps = 0;
  /// Where there are hard steps: 0 when it is proved that no order without one exists for straight
  /// pushes of these blocks, one at a time; else the width of the ways that may have been
  /// overlooked.
  double doubt_deg = 0;
};

struct OrderTask {
  const StandingCopies* copies = nullptr;
  std::vector<std::vector<int>>
      blocks;  ///< of copies; may leave some out, which then are not there
  std::vector<std::vector<int>> neighbours;  ///< of each block: blocks it is joined to
  std::vector<std::vector<Vec3>> hints;      ///< see WaysOut
  /// Of these copies, blocks and hints, with what was worked out before; empty: made anew.
  std::shared_ptr<WaysOut> ways;
  /// How a block can be sprung out of what stands; empty: never.
  std::function<std::optional<SpringIn>(int block, const std::vector<bool>& standing_copies)>
      spring;
  /// Of several that can leave, the one to take; at most `most_weighed` are offered. Empty: the
  /// first.
  std::function<std::size_t(const std::vector<OrderStep>& able,
                            const std::vector<bool>& standing_blocks)>
      choose;
  std::size_t most_weighed = 1;
  /// With more the order is left unfinished: without steps, its hard_steps one more than this.
  int most_hard_steps = std::numeric_limits<int>::max();
};

/// Found by taking apart. What can leave now can leave later too, since there is ever less in its
/// way and fewer tabs are glued; so whichever free block is taken, no order is missed, and which
/// are left when none is free does not depend on the choice. Of the free ones the highest goes
/// first, those that leave the rest in one piece before others, tabs folded before tabs open, the
/// lowest block of all last. Where none is free all directions are searched. Then the block that
/// springs with the least strain goes, else the highest, as a hard step. So without hard steps the
/// order is a proof that one exists, and with them that none does (see doubt_deg); their number is
/// that of this order.
Order find_order(const OrderTask& task);

}  // namespace sixtyfold
