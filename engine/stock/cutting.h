#pragma once
// Cutting the parts: stacks, length of the cut, corners, time, and what a saw's throat can reach.
// Every speed is a stated assumption that its user edits; nothing here is a safety rule.

#include <string>
#include <vector>

#include "engine/limits.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

struct CuttingOptions {
  CutTool tool = CutTool::scroll_saw;
  double thickness_mm = 4;
  double cutting_height_mm = 25;  ///< of a stack; common practice, no published source
  double throat_mm = 400;  ///< blade to arm; from memory: scroll saws are sold with 400 to 760
  double column_mm = 80;   ///< width of the arm's column behind the throat; from memory
  double feed_mm_per_min =
      400;               ///< along the cut; from memory, depends on blade and board: time one
  double corner_s = 4;   ///< extra time at a sharp corner; from memory
  double hole_s = 90;    ///< to start a hole: drill, thread the blade, thread it out; from memory
  double stack_s = 180;  ///< to stack, mark, clamp and take apart; from memory
  double sharp_turn_deg = 45;   ///< a corner turning by more counts as sharp
  double blank_border_mm = 10;  ///< board left around the part's least rectangle on its blank

  /// Empty when the options make sense, else one sentence: the value, and what is allowed.
  std::string find_fault() const;
};

/// Suitable options for cutting one layer at a time with a knife.
CuttingOptions make_knife_options(double thickness_mm);

/// Tool, feed, cutting height and throat of the limits; the rest as usual for the tool.
CuttingOptions make_cutting_options(const Limits& limits, double thickness_mm);

/// Blanks in one stack; 0: the board is thicker than the cutting height.
int count_blanks_per_stack(const CuttingOptions& options);
/// Minutes to cut one stack along so much outline with so many sharp turns and holes.
double measure_stack_min(double cut_length_mm, int sharp_turns, const CuttingOptions& options,
                         int holes = 0);
/// Corners that turn by more than options.sharp_turn_deg.
int count_sharp_turns(const Polygon& polygon, const CuttingOptions& options);

/// Whether a saw can cut the whole outline of a rectangular blank: at every point, the column
/// stands opposite to the direction of cutting, and the blank must not reach it. Either way round
/// counts.
struct ThroatReach {
  bool all = true;             ///< every point of the outline can be cut
  double needed_mm = 0;        ///< least throat with which all can
  double unreachable_mm = 0;   ///< length of outline that can not
  std::vector<Vec2> worst_mm;  ///< at most one: the point of the outline that needs the most
};

struct CuttingPlan {
  int blanks_per_stack = 0, stacks = 0;  ///< 0 blanks: the board is thicker than the cutting height
  double cut_length_mm = 0;              ///< of one stack: outline and holes
  int sharp_turns = 0;                   ///< of one stack
  int holes = 0;                         ///< a hole must be drilled and the blade threaded
  double time_per_stack_min = 0, total_time_min = 0;
  Vec2 blank_mm = Vec2::Zero();  ///< long side first
  ThroatReach reach;
  /// The rectangular blank would hit the arm, one trimmed to 3 mm round the part does not; `reach`
  /// is then that of the trimmed one.
  bool trim_blanks = false;
  std::vector<std::string> warnings;  ///< one sentence each
};

/// The part's outline with its holes, so many copies. Throws std::invalid_argument for options with
/// a fault or fewer than one copy.
CuttingPlan plan_cutting(const Polygon& outline, const std::vector<Polygon>& holes, int copies,
                         const CuttingOptions& options);

/// The usual cautions for the tool, one sentence each; they defer to the maker's manual, the house
/// rules and the law of the place.
std::vector<std::string> find_cutting_cautions(CutTool tool);

}  // namespace sixtyfold
