#include "engine/building/schedule.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <queue>

#include "engine/allowed.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

std::string ScheduleOptions::find_fault() const {
  for (const std::string& fault :
       {allowed::people.find_fault(people), allowed::saws.find_fault(saws),
        allowed::minutes_each.find_fault(fold_min), allowed::minutes_each.find_fault(joint_min),
        allowed::drying.find_fault(dry_min)})
    if (!fault.empty()) return fault;
  for (const double v : {fold_min, joint_min})
    if (!(0 < v)) return "the time for one joint or tab is 0 minutes, but must be above 0";
  if (!(1 <= module_people && module_people <= 100) ||
      !(1 <= assembly_people && assembly_people <= 100))
    return "people at a module and at the construction must be from 1 to 100";
  return "";
}

std::string name_of(Station station) {
  switch (station) {
    case Station::trace:
      return "trace and stack";
    case Station::cut:
      return "cut";
    case Station::fold:
      return "fold";
    case Station::module:
      return "glue modules";
    case Station::assembly:
      return "assemble";
    case Station::count_:
      break;
  }
  return "";
}

std::string write_hours(double minutes) {
  const long whole = std::lround(minutes);
  return std::to_string(whole / 60) + " h " + (whole % 60 < 10 ? "0" : "") +
         std::to_string(whole % 60) + " min";
}

EventWork measure_work(const Design& design, const Finished& finished, const AssemblyPlan& plan,
                       const Purchase& purchase, const CuttingOptions& cutting) {
  EventWork work;
  work.parts = count_copies(design);
  work.modules = static_cast<int>(plan.steps.size());
  double tabs = 0;
  for (std::size_t o = 0; o < purchase.parts.size(); ++o) {
    const PartPurchase& part = purchase.parts[o];
    tabs += static_cast<double>(finished.parts[o].pattern.tabs.size()) * part.parts;
    const double trace = cutting.stack_s / 60,
                 saw = std::max(0.0, part.cutting.time_per_stack_min - trace);
    for (int left = part.parts + part.spares; left > 0;) {
      const int here = std::min(left, std::max(1, part.cutting.blanks_per_stack));
      work.stacks.push_back({here, trace, saw});
      left -= here;
    }
  }
  work.tabs_per_part = tabs / std::max(1, work.parts);
  work.joints_in_module = plan.chosen.joints;
  for (const AssemblyStep& step : plan.steps)
    work.joints_at_step.push_back(static_cast<int>(step.joints.size()));
  return work;
}

namespace {

/// The day by discrete simulation: tasks begin where people, saws and work are free, and the clock
/// goes from the end of one to the end of the next.
class DaySimulation {
 public:
  DaySimulation(const EventWork& work, const ScheduleOptions& options)
      : work_(work), options_(options), people_(options.people), saws_(options.saws) {}
  Schedule simulate();

 private:
  struct Task {
    double end;
    int number;  // ties end in the order they began
    Station station;
    int people;
    EventWork::Stack stack;
    bool dries;
    bool operator>(const Task& other) const {
      return end != other.end ? end > other.end : number > other.number;
    }
  };

  bool begin_something();
  bool begin_assembly();
  bool begin_module();
  bool begin_fold();
  bool begin_cut();
  bool begin_trace();
  void begin(Station station, int crew, double minutes, const EventWork::Stack& stack = {});
  void end(const Task& task);
  /// Half the crew holds while the other half glues.
  double measure_gluing(int joints, int crew) const {
    return options_.joint_min * joints / std::max(1.0, crew / 2.0);
  }

  const EventWork& work_;
  const ScheduleOptions& options_;
  Schedule schedule_;
  std::priority_queue<Task, std::vector<Task>, std::greater<>> running_;
  double now_ = 0;
  int people_, saws_;  // that are free
  // What waits for a station, and how far each has come.
  std::queue<EventWork::Stack> traced_;
  std::size_t next_stack_ = 0;
  int being_traced_ = 0, cut_parts_ = 0, folded_ = 0, modules_begun_ = 0, modules_dry_ = 0;
  int step_ = 0, tasks_ = 0;
  bool assembling_ = false;
  double saw_busy_ = 0, people_busy_ = 0, last_cut_ = 0;
  int busy_[static_cast<int>(Station::count_)] = {};
};

void DaySimulation::begin(Station station, int crew, double minutes,
                          const EventWork::Stack& stack) {
  auto& span = schedule_.stations[static_cast<int>(station)];
  if (span.work_min == 0) span.from = now_;
  span.to = std::max(span.to, now_ + minutes);
  span.work_min += crew * minutes;
  people_ -= crew;
  people_busy_ += crew * minutes;
  span.most_people = std::max(span.most_people, busy_[static_cast<int>(station)] += crew);
  running_.push({now_ + minutes, tasks_++, station, crew, stack, false});
}

bool DaySimulation::begin_assembly() {
  const int crew = std::min(options_.assembly_people, options_.people);
  if (assembling_ || step_ >= work_.modules || modules_dry_ < 1 || people_ < crew) return false;
  const int joints = work_.joints_at_step.empty() ? 1 : work_.joints_at_step[at(step_)];
  --modules_dry_;
  assembling_ = true;
  begin(Station::assembly, crew, measure_gluing(std::max(1, joints), crew));
  return true;
}

bool DaySimulation::begin_module() {
  const int panels = std::max(1, work_.parts / std::max(1, work_.modules));
  const int crew = std::min(options_.module_people, options_.people);
  if (modules_begun_ >= work_.modules || folded_ < panels || people_ < crew) return false;
  folded_ -= panels;
  ++modules_begun_;
  if (work_.joints_in_module > 0)
    begin(Station::module, crew, measure_gluing(work_.joints_in_module, crew));
  else
    ++modules_dry_;
  return true;
}

bool DaySimulation::begin_fold() {
  if (cut_parts_ < 1 || people_ < 1) return false;
  --cut_parts_;
  begin(Station::fold, 1, options_.fold_min * std::max(1.0, work_.tabs_per_part));
  return true;
}

bool DaySimulation::begin_cut() {
  if (traced_.empty() || saws_ < 1 || people_ < 1) return false;
  const EventWork::Stack stack = traced_.front();
  traced_.pop();
  --saws_;
  saw_busy_ += stack.saw_min;
  last_cut_ = std::max(last_cut_, now_ + stack.saw_min);
  begin(Station::cut, 1, stack.saw_min, stack);
  return true;
}

bool DaySimulation::begin_trace() {
  if (next_stack_ >= work_.stacks.size() || people_ < 1 ||
      static_cast<int>(traced_.size()) + being_traced_ >= 2 * options_.saws)
    return false;
  const EventWork::Stack stack = work_.stacks[next_stack_++];
  ++being_traced_;
  begin(Station::trace, 1, stack.trace_min, stack);
  return true;
}

/// The latest station first, so that work flows out rather than piling up.
bool DaySimulation::begin_something() {
  return begin_assembly() || begin_module() || begin_fold() || begin_cut() || begin_trace();
}

void DaySimulation::end(const Task& task) {
  now_ = task.end;
  if (task.dries) {
    ++modules_dry_;
    return;
  }
  people_ += task.people;
  busy_[static_cast<int>(task.station)] -= task.people;
  switch (task.station) {
    case Station::trace:
      --being_traced_;
      traced_.push(task.stack);
      break;
    case Station::cut:
      ++saws_;
      cut_parts_ += task.stack.parts;
      break;
    case Station::fold:
      ++folded_;
      break;
    case Station::module:
      running_.push({now_ + options_.dry_min, tasks_++, Station::module, 0, {}, true});
      break;
    case Station::assembly:
      assembling_ = false;
      ++step_;
      schedule_.minutes = now_;
      break;
    case Station::count_:
      break;
  }
}

Schedule DaySimulation::simulate() {
  while (true) {
    while (begin_something()) {
    }
    if (running_.empty()) break;
    const Task task = running_.top();
    running_.pop();
    end(task);
  }
  schedule_.saw_use = last_cut_ > 0 ? saw_busy_ / (options_.saws * last_cut_) : 0;
  schedule_.people_use = schedule_.minutes > 0
                             ? people_busy_ / (options_.people * std::max(schedule_.minutes, now_))
                             : 0;
  return schedule_;
}

}  // namespace

Schedule simulate(const EventWork& work, const ScheduleOptions& options) {
  return DaySimulation(work, options).simulate();
}

Savings measure_savings(const EventWork& work, const ScheduleOptions& options) {
  const double planned = simulate(work, options).minutes;
  ScheduleOptions saw = options, people = options, both = options;
  saw.saws += 1, people.people += 5, both.saws += 1, both.people += 5;
  const auto saved = [&](const ScheduleOptions& other) {
    return std::max(0.0, planned - simulate(work, other).minutes);
  };
  return {saved(saw), saved(people), saved(both)};
}

std::string name_bottleneck(const Schedule& schedule, const Savings& savings,
                            const ScheduleOptions& options, bool has_modules) {
  const std::string use = format(
      " The saws are busy %.0f %% of the time until the last cut, the people %.0f %% of the day.",
      100 * schedule.saw_use, 100 * schedule.people_use);
  if (savings.saw_min > std::max(5.0, savings.people_min))
    return "The saws are the bottleneck: the other stations wait for parts." + use;
  if (savings.people_min > 5)
    return "People are the bottleneck: there are stations with work and nobody free." + use;
  if (savings.both_min > 5)
    return "Saws and people hold it up together: only more of both would help." + use;
  const auto& modules = schedule.stations[static_cast<int>(Station::module)];
  const auto& assembly = schedule.stations[static_cast<int>(Station::assembly)];
  const double alone = assembly.to - std::max(modules.to + options.dry_min, assembly.from);
  return std::string(
             alone > 0.5 * (assembly.to - assembly.from)
                 ? format("The assembly is the bottleneck: the %s are joined one after "
                          "another, whoever waits.",
                          has_modules ? "modules" : "panels")
                 : std::string("Neither saws nor people hold it up: one piece is joined after "
                               "another, and glue must dry.")) +
         use;
}

}  // namespace sixtyfold
