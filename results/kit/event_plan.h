#pragma once
// The plan of the day as numbers: stations, schedule, shopping, carrying, hanging, standing.

#include <string>
#include <vector>

#include "engine/building/day_plan.h"
#include "engine/building/rigging.h"
#include "engine/building/schedule.h"
#include "engine/structure/load.h"

namespace sixtyfold {

struct EventOptions {
  ScheduleOptions schedule;
  DayOptions day;
  RiggingOptions rigging;
  double door_width_mm = 900, door_height_mm = 2000;
  GlueLine glue;  ///< strength of the joints, for the reserve
  std::string glue_source = "common practice, no published source";

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
};

/// What the pages are made from.
struct EventPlan {
  EventWork work;
  DayPlan day;
  Savings savings;              ///< of the stations alone, for what holds them up
  std::vector<Saving> helpful;  ///< of the day
  double mass_kg = 0, diameter_mm = 0;
  Vec3 module_passage_mm = Vec3::Zero(), whole_passage_mm = Vec3::Zero();  ///< see measure_passage
  bool module_passes_door = false, whole_passes_door = false;
  FloorStanding drawn, best;
  Rigging rigging;
  double glue_g = 0;
  int clips = 0;  ///< for each team
};

/// Holes and lines for the points that are asked for, or for a few more where so few leave it
/// askew.
Rigging find_rigging(const Design& design, const Finished& finished, const EventOptions& options);

EventPlan make_event_plan(const Design& design, const Finished& finished, const AssemblyPlan& plan,
                          const Purchase& purchase, const PurchaseOptions& ordering,
                          const Rigging& rigging, const EventOptions& options);

}  // namespace sixtyfold
