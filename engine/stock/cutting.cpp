#include "engine/stock/cutting.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "engine/allowed.h"
#include "engine/shape/boolean.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

std::string number(double value) { return format("%g", value); }

/// A saw cuts towards the sawyer, so its column stands opposite to the direction of cutting, the
/// throat's distance behind the blade. How far the blank reaches there within the column's width;
/// the outline may be cut either way round, so the better of the two.
double measure_reach(const Vec2& point, const Vec2& direction, const Polygon& blank,
                     double column_mm) {
  const double half = column_mm / 2;
  double ahead = 0, behind = 0;
  for (std::size_t i = 0; i < blank.size(); ++i) {
    const Vec2 p = blank[i] - point, q = blank[(i + 1) % blank.size()] - point;
    const double side_p = cross(direction, p), side_q = cross(direction, q);
    if (std::max(side_p, side_q) < -half || std::min(side_p, side_q) > half) continue;
    // The edge's part inside the strip that the column sweeps.
    for (const double side : {std::clamp(side_p, -half, half), std::clamp(side_q, -half, half)}) {
      const double share = side_p == side_q ? 0 : (side - side_p) / (side_q - side_p);
      const double along = direction.dot(p + share * (q - p));
      ahead = std::max(ahead, along);
      behind = std::max(behind, -along);
      if (side_p == side_q) {
        ahead = std::max(ahead, direction.dot(q));
        behind = std::max(behind, -direction.dot(q));
      }
    }
  }
  return std::min(ahead, behind);
}

ThroatReach measure_throat(const Polygon& outline, const Polygon& blank,
                           const CuttingOptions& options) {
  ThroatReach reach;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2& p = outline[i];
    const Vec2& q = outline[i + 1 == outline.size() ? 0 : i + 1];
    const double length = (q - p).norm();
    if (!(length > 0)) continue;
    const Vec2 direction = (q - p) / length;
    const int steps = std::clamp(static_cast<int>(length / 5), 1, 2000);
    for (int k = 0; k < steps; ++k) {
      const Vec2 at = p + (k + 0.5) / steps * (q - p);
      const double needed = measure_reach(at, direction, blank, options.column_mm);
      if (needed > reach.needed_mm) {
        reach.needed_mm = needed;
        reach.worst_mm = {at};
      }
      if (needed > options.throat_mm) reach.unreachable_mm += length / steps;
    }
  }
  reach.all = reach.needed_mm <= options.throat_mm;
  return reach;
}

}  // namespace

std::string CuttingOptions::find_fault() const {
  for (const std::string& fault :
       {allowed::thickness.find_fault(thickness_mm),
        allowed::cutting_height.find_fault(cutting_height_mm),
        allowed::throat.find_fault(throat_mm), allowed::feed.find_fault(feed_mm_per_min)})
    if (!fault.empty()) return fault;
  struct Check {
    const char* what;
    double value, low, high;
  };
  for (const Check& check : {Check{"column", column_mm, 0, 1000},
                             Check{"time for a corner in seconds", corner_s, 0, 3600},
                             Check{"time to start a hole in seconds", hole_s, 0, 3600},
                             Check{"time for a stack in seconds", stack_s, 0, 86400},
                             Check{"angle of a sharp turn in degrees", sharp_turn_deg, 0, 180},
                             Check{"border of a blank", blank_border_mm, 0, 1000}})
    if (!(check.low <= check.value && check.value <= check.high))
      return std::string("the ") + check.what + " is " + number(check.value) +
             "; it must lie between " + number(check.low) + " and " + number(check.high);
  return {};
}

CuttingOptions make_knife_options(double thickness_mm) {
  CuttingOptions options;
  options.tool = CutTool::knife;
  options.thickness_mm = thickness_mm;
  options.cutting_height_mm = thickness_mm;
  options.feed_mm_per_min = 1500;  // from memory: two or three passes along a rule
  options.corner_s = 2;
  options.hole_s = 5;
  options.stack_s = 60;
  return options;
}

CuttingOptions make_cutting_options(const Limits& limits, double thickness_mm) {
  CuttingOptions options;
  if (limits.tool == CutTool::knife) {
    options = make_knife_options(thickness_mm);
  } else {
    options.thickness_mm = thickness_mm;
    options.cutting_height_mm = limits.cutting_height_mm;
    options.throat_mm = limits.throat_mm;
  }
  options.feed_mm_per_min = limits.feed_mm_per_min;
  return options;
}

int count_blanks_per_stack(const CuttingOptions& options) {
  // A stack exactly as high as allowed is allowed, in spite of rounding.
  return static_cast<int>(std::floor(options.cutting_height_mm / options.thickness_mm + 1e-9));
}

double measure_stack_min(double cut_length_mm, int sharp_turns, const CuttingOptions& options,
                         int holes) {
  return cut_length_mm / options.feed_mm_per_min +
         (sharp_turns * options.corner_s + holes * options.hole_s + options.stack_s) / 60;
}

int count_sharp_turns(const Polygon& polygon, const CuttingOptions& options) {
  const double least_cosine = std::cos(to_radians(options.sharp_turn_deg));
  int sharp = 0;
  const std::size_t count = polygon.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Vec2 in = polygon[i] - polygon[i == 0 ? count - 1 : i - 1];
    const Vec2 out = polygon[i + 1 == count ? 0 : i + 1] - polygon[i];
    // |turn| > limit, without an inverse function: this stands inside the search.
    if (in.dot(out) < least_cosine * std::sqrt(in.squaredNorm() * out.squaredNorm())) ++sharp;
  }
  return sharp;
}

CuttingPlan plan_cutting(const Polygon& outline, const std::vector<Polygon>& holes, int copies,
                         const CuttingOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (copies < 1)
    throw std::invalid_argument("the number of copies is " + std::to_string(copies) +
                                "; it must be at least 1");
  CuttingPlan plan;
  plan.blanks_per_stack = count_blanks_per_stack(options);
  plan.cut_length_mm = measure_perimeter(outline);
  plan.sharp_turns = count_sharp_turns(outline, options);
  plan.holes = static_cast<int>(holes.size());
  for (const Polygon& hole : holes) {
    plan.cut_length_mm += measure_perimeter(hole);
    plan.sharp_turns += count_sharp_turns(hole, options);
  }
  if (plan.blanks_per_stack == 0) {
    plan.warnings.push_back("the board is " + number(options.thickness_mm) +
                            " mm thick, more than the cutting height of " +
                            number(options.cutting_height_mm) + " mm");
  } else {
    plan.stacks = (copies - 1) / plan.blanks_per_stack + 1;
    plan.time_per_stack_min =
        measure_stack_min(plan.cut_length_mm, plan.sharp_turns, options, plan.holes);
    plan.total_time_min = plan.stacks * plan.time_per_stack_min;
  }
  const Rectangle least = measure_least_rectangle(outline);
  plan.blank_mm = Vec2{least.long_mm, least.short_mm} + Vec2::Constant(2 * options.blank_border_mm);
  if (options.tool == CutTool::knife) return plan;

  const Box box = measure_box_along(outline, least.direction_rad);
  const Vec2 low = box.low - Vec2::Constant(options.blank_border_mm);
  const Vec2 high = box.high + Vec2::Constant(options.blank_border_mm);
  Polygon blank;
  const Eigen::Rotation2Dd turn(least.direction_rad);
  for (const Vec2& corner : {low, Vec2{high.x(), low.y()}, high, Vec2{low.x(), high.y()}})
    blank.push_back(turn * corner);
  const auto reach_of = [&](const Polygon& board) {
    ThroatReach reach = measure_throat(outline, board, options);
    for (const Polygon& hole : holes) {
      const ThroatReach other = measure_throat(hole, board, options);
      reach.unreachable_mm += other.unreachable_mm;
      if (other.needed_mm > reach.needed_mm) {
        reach.needed_mm = other.needed_mm;
        reach.worst_mm = other.worst_mm;
      }
      reach.all = reach.all && other.all;
    }
    return reach;
  };
  plan.reach = reach_of(blank);
  if (!plan.reach.all) {
    double others = 0;
    const Polygon trimmed = take_largest(make_offset({outline}, 3), others);
    const ThroatReach reach = trimmed.size() >= 3 ? reach_of(trimmed) : plan.reach;
    if (reach.all) plan.reach = reach, plan.trim_blanks = true;
  }
  if (!plan.reach.all)
    plan.warnings.push_back(
        "the blank hits the saw's arm along " + format("%.0f", plan.reach.unreachable_mm) +
        " mm of the cut: a throat of " + format("%.0f", std::ceil(plan.reach.needed_mm)) +
        " mm is needed, " + number(options.throat_mm) +
        " mm is there; use a knife or another saw there");
  if (plan.holes > 0)
    plan.warnings.push_back(std::to_string(plan.holes) +
                            (plan.holes == 1 ? " hole needs" : " holes need") +
                            " a drilled start and the blade threaded through");
  return plan;
}

std::vector<std::string> find_cutting_cautions(CutTool tool) {
  std::vector<std::string> cautions;
  if (tool == CutTool::scroll_saw)
    cautions = {
        "Power saws injure: an adult trained on this saw runs it, by its maker's manual, which "
        "comes "
        "before anything written here.",
        "Wear eye protection, tie back hair and sleeves, take off gloves, keep the hold-down and "
        "the "
        "guard in place, and unplug before changing the blade.",
        "Use dust extraction or a mask; board dust burns, and some boards must not be breathed.",
        "Clamp or tape the stack so that no layer can shift or lift."};
  else
    cautions = {
        "Knives cut: cut away from the hand along a steel rule with a finger guard, on a cutting "
        "mat, "
        "with a fresh blade, several light passes rather than one.",
        "Adults change and store the blades; used blades go into a closed box."};
  cautions.emplace_back(
      "Follow the house rules and the local law on who may use which tool; times are estimates "
      "from "
      "stated feed rates, not a promise.");
  return cautions;
}

}  // namespace sixtyfold
