#pragma once
// The whole day round the work at the stations: setting up, painting, breaks, the last glue,
// hanging, clearing up. About three hours for sixty parts with a group of twenty, cutting the
// longest, is common practice (no published source); a test holds the plan against it.

#include <string>
#include <vector>

#include "engine/building/schedule.h"

namespace sixtyfold {

/// All from memory: time one of each and put in your own.
struct DayOptions {
  double set_up_min = 20;  ///< tables, tools, who does what, the cautions read aloud
  double break_after_min = 75, break_min = 15;
  bool painted = false;       ///< the parts are coloured flat, before they are folded
  double paint_min = 2;       ///< a part, by one of half of the people
  double paint_dry_min = 30;  ///< of the last part
  double last_dry_min = 30;   ///< of the last joints, before the whole is moved
  double hang_min = 30;       ///< or to stand it up; the riggers alone
  double clear_min = 20;      ///< while the last joints dry

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
};

struct DaySpan {
  std::string name;
  double from = 0, to = 0;
  std::string who;
};

struct DayPlan {
  double minutes = 0;
  Schedule schedule;           ///< of the stations, from their own beginning
  std::vector<DaySpan> spans;  ///< in order of their beginning; breaks have rows of their own
};

/// Breaks fall between the spans of the clock: whatever runs at that time is as much longer.
/// `has_tabs`, `has_modules`: what the stations are called.
DayPlan make_day_plan(const EventWork& work, const ScheduleOptions& stations,
                      const DayOptions& options, bool has_tabs, bool has_modules);

/// What would make the day shorter, with what it saves; only what saves three minutes or more, the
/// most first.
struct Saving {
  std::string what;
  double minutes = 0;
};
std::vector<Saving> find_savings(const EventWork& work, const ScheduleOptions& stations,
                                 const DayOptions& options);

}  // namespace sixtyfold
