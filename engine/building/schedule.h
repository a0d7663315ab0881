#pragma once
// How long the day takes: stations, people, saws, a schedule by discrete simulation.

#include <string>
#include <vector>

#include "engine/building/assembly.h"
#include "engine/building/purchase.h"

namespace sixtyfold {

/// Every time is a stated assumption that its user edits; time one of each and correct them. Saw
/// times are those of engine/stock/cutting.h.
struct ScheduleOptions {
  int people = 20;
  int saws = 2;
  double fold_min = 0.7;   ///< a tab: score, fold, check; from memory
  double joint_min = 2.5;  ///< to fit, glue and clamp one joint; from memory
  double dry_min = 20;     ///< glue of a module before it is handled; from memory, ask the label
  int module_people = 3, assembly_people = 6;  ///< at one module, at the construction

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
};

/// What is to be done, counted from a design.
struct EventWork {
  struct Stack {
    int parts = 1;
    double trace_min = 0;  ///< to stack, mark and clamp it, and to take it apart
    double saw_min = 0;
  };
  std::vector<Stack> stacks;
  int parts = 0;  ///< that the construction needs, without spares
  int modules = 0;
  double tabs_per_part = 0;
  int joints_in_module = 0;
  std::vector<int> joints_at_step;  ///< of the final assembly
};

enum class Station { trace, cut, fold, module, assembly, count_ };
std::string name_of(Station station);

struct Schedule {
  double minutes = 0;  ///< from the first stroke to the last joint
  struct Span {
    double from = 0, to = 0, work_min = 0;  ///< first start, last end, person-minutes
    int most_people = 0;
  } stations[static_cast<int>(Station::count_)];
  double saw_use = 0,
         people_use =
             0;  ///< busy share of the saws until the last cut; of the people until the end
};

EventWork measure_work(const Design& design, const Finished& finished, const AssemblyPlan& plan,
                       const Purchase& purchase, const CuttingOptions& cutting);

/// Discrete simulation: a stack is traced, cut at a saw, its parts folded one by one, modules glued
/// from folded parts and dried, then joined one after another. Free people take the latest station
/// that has work. Same input, same schedule.
Schedule simulate(const EventWork& work, const ScheduleOptions& options);

/// The day with more of something: for advice.
struct Savings {
  double saw_min = 0, people_min = 0,
         both_min = 0;  ///< saved by one more saw, five more people, both
};
Savings measure_savings(const EventWork& work, const ScheduleOptions& options);

/// What holds the day up, one sentence.
std::string name_bottleneck(const Schedule& schedule, const Savings& savings,
                            const ScheduleOptions& options, bool has_modules);

/// "1 h 05 min".
std::string write_hours(double minutes);

}  // namespace sixtyfold
