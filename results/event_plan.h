#pragma once
// The day itself: stations, people, a schedule by discrete simulation, shopping, mass and hanging.

#include <string>
#include <vector>

#include "results/assembly.h"
#include "results/page.h"

namespace sixtyfold {

/// Every time is a stated assumption that its user edits; time one part of each and correct them.
struct EventOptions {
  int people = 20;
  int saws = 2;
  double stack_height_mm = 25;      ///< common practice, no published source
  double trace_min = 4;             ///< to stack, trace and clamp one stack; from memory
  double feed_mm_per_min = 400;     ///< along the cut; from memory
  double stack_min = 3;             ///< to take up and put down a stack at the saw; from memory
  double fold_min = 0.7;            ///< a tab: score, fold, check; from memory
  double joint_min = 2.5;           ///< to fit, glue and clamp one joint; from memory
  double dry_min = 20;              ///< glue of a module before it is handled; from memory, ask the label
  int module_people = 3, assembly_people = 4;  ///< at one module, at the construction
  double spare_share = 0.05;        ///< parts cut beyond the number needed
  int hanging_points = 3;
  double door_width_mm = 900, door_height_mm = 2000;

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
};

/// What is to be done, counted from a design.
struct EventWork {
  int parts = 0, spares = 0, modules = 0;
  int parts_per_stack = 1;
  double cut_length_mm = 0;         ///< of one part
  int tabs_per_part = 0;
  int joints_in_module = 0;
  std::vector<int> joints_at_step;  ///< of the final assembly
};

enum class Station { trace, cut, fold, module, assembly, count_ };
std::string name_of(Station station);

struct Schedule {
  double minutes = 0;               ///< from the first stroke to the last joint
  struct Span {
    double from = 0, to = 0, work_min = 0;  ///< first start, last end, person-minutes
    int most_people = 0;
  } stations[static_cast<int>(Station::count_)];
  double saw_use = 0, people_use = 0;  ///< busy share of the saws, and of the people, until the last cut / end
};

EventWork measure_work(const Design& design, const Finished& finished, const AssemblyPlan& plan, const EventOptions& options);

/// Discrete simulation: a stack is traced, cut at a saw, its parts folded one by one, modules glued from
/// folded parts and dried, then joined one after another. Free people take the latest station that has
/// work. Same input, same schedule.
Schedule simulate(const EventWork& work, const EventOptions& options);

/// Facts about the finished thing that hanging and carrying need.
struct Handling {
  double mass_kg = 0, load_per_point_n = 0;
  double diameter_mm = 0;
  Vec3 module_size_mm = Vec3::Zero();  ///< of a module's box, smallest first
  bool module_passes_door = false, whole_passes_door = false;
  double tip_angle_deg = 0;         ///< standing: how far it may lean before it tips; 0: stands on a point
};
Handling measure_handling(const Design& design, const AssemblyPlan& plan, const EventOptions& options);

std::vector<Page> make_event_pages(const Design& design, const Finished& finished, const AssemblyPlan& plan,
                                   const EventOptions& options);

}  // namespace sixtyfold
