#pragma once
// A design by the afternoon and the door: the hours of the day, the opening a module is carried
// through, and how far the last joint misses, as numbers to compare designs by. The kit's plan of
// the day and its guide tell more.

#include <string>
#include <vector>

#include "engine/building/assembly.h"
#include "engine/building/closure.h"
#include "engine/building/schedule.h"

namespace sixtyfold {

struct Day {
  double hours = 0;  ///< of the whole day: setting up, breaks, drying, clearing, hanging
  double module_opening_mm = 0;  ///< short side of the least box about a module, see below
  /// Miss of the last joint: 95 of 100 builds stay below. At most the construction's diameter,
  /// which means that it does not come together without evening out.
  double closure_mm = 0;

  void put_into(Score& score) const;
};

/// Hours of the day's plan (day_plan.h, parts not painted), with the people, the saws, the board
/// and the tool of the design's limits and the usual times. Opening: a module, or a single panel
/// where there are none, carried upright or lying through a door 2 m high (measure_passage).
/// Closure: every fold off by up to a degree by itself, cuts exact, each step glued for good before
/// the next (closure.h). The same numbers as the kit's for the same options.
Day measure_day(const Design& design, const Finished& finished, const AssemblyPlan& plan);

/// hard_steps and spring_steps of the order, put into the design's score; -1 for what collides or
/// is not joined, since no such thing is put together. `with_day`: and those of its Day, unless
/// more than `most_hard_steps` steps are hard, which is enough to turn it down.
void measure_building(Design& design, int most_hard_steps, bool with_day);

/// Whether the design's own limits bound a number of its Day.
bool limits_day(const Limits& limits);

/// Limits on hard steps and on the Day that the design's score does not keep, one sentence each.
/// What was not looked at breaks none.
std::vector<std::string> find_building_faults(const Design& design);

/// No day is shorter: every panel is folded and every joint glued by somebody, and all people do
/// nothing else.
double find_least_hours(int panels, int joints, const Limits& limits);

}  // namespace sixtyfold
