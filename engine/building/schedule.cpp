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

Schedule simulate(const EventWork& work, const ScheduleOptions& options) {
  Schedule schedule;
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
  std::priority_queue<Task, std::vector<Task>, std::greater<>> running;
  std::queue<EventWork::Stack> traced;  // waiting for a saw
  std::size_t next_stack = 0;
  int being_traced = 0, cut_parts = 0, folded = 0, modules_begun = 0, modules_dry = 0, step = 0;
  int people = options.people, saws = options.saws, number = 0;
  const int panels = std::max(1, work.parts / std::max(1, work.modules));
  bool assembling = false;
  double now = 0, saw_busy = 0, people_busy = 0, last_cut = 0;
  int busy[static_cast<int>(Station::count_)] = {};
  const auto begin = [&](Station station, int crew, double minutes,
                         const EventWork::Stack& stack = {}) {
    auto& span = schedule.stations[static_cast<int>(station)];
    if (span.work_min == 0) span.from = now;
    span.to = std::max(span.to, now + minutes);
    span.work_min += crew * minutes;
    people -= crew;
    people_busy += crew * minutes;
    span.most_people = std::max(span.most_people, busy[static_cast<int>(station)] += crew);
    running.push({now + minutes, number++, station, crew, stack, false});
  };
  const int assembly_crew = std::min(options.assembly_people, options.people);
  const int module_crew = std::min(options.module_people, options.people);
  while (true) {
    // The latest station first, so that work flows out rather than piling up.
    for (bool began = true; began;) {
      began = true;
      if (!assembling && step < work.modules && modules_dry > 0 && people >= assembly_crew) {
        const int joints =
            std::max(1, work.joints_at_step.empty() ? 1 : work.joints_at_step[at(step)]);
        --modules_dry;
        assembling = true;
        // Half the crew holds while the other half glues.
        begin(Station::assembly, assembly_crew,
              options.joint_min * joints / std::max(1.0, assembly_crew / 2.0));
      } else if (modules_begun < work.modules && folded >= panels && people >= module_crew) {
        folded -= panels;
        ++modules_begun;
        if (work.joints_in_module > 0)
          begin(Station::module, module_crew,
                options.joint_min * work.joints_in_module / std::max(1.0, module_crew / 2.0));
        else
          ++modules_dry;
      } else if (cut_parts > 0 && people >= 1) {
        --cut_parts;
        begin(Station::fold, 1, options.fold_min * std::max(1.0, work.tabs_per_part));
      } else if (!traced.empty() && saws > 0 && people >= 1) {
        const EventWork::Stack stack = traced.front();
        traced.pop();
        --saws;
        saw_busy += stack.saw_min;
        last_cut = std::max(last_cut, now + stack.saw_min);
        begin(Station::cut, 1, stack.saw_min, stack);
      } else if (next_stack < work.stacks.size() && people >= 1 &&
                 static_cast<int>(traced.size()) + being_traced < 2 * options.saws) {
        const EventWork::Stack stack = work.stacks[next_stack++];
        ++being_traced;
        begin(Station::trace, 1, stack.trace_min, stack);
      } else {
        began = false;
      }
    }
    if (running.empty()) break;
    const Task task = running.top();
    running.pop();
    now = task.end;
    if (task.dries) {
      ++modules_dry;
      continue;
    }
    people += task.people;
    busy[static_cast<int>(task.station)] -= task.people;
    switch (task.station) {
      case Station::trace:
        --being_traced;
        traced.push(task.stack);
        break;
      case Station::cut:
        ++saws;
        cut_parts += task.stack.parts;
        break;
      case Station::fold:
        ++folded;
        break;
      case Station::module:
        running.push({now + options.dry_min, number++, Station::module, 0, {}, true});
        break;
      case Station::assembly:
        assembling = false;
        ++step;
        schedule.minutes = now;
        break;
      case Station::count_:
        break;
    }
  }
  schedule.saw_use = last_cut > 0 ? saw_busy / (options.saws * last_cut) : 0;
  schedule.people_use =
      schedule.minutes > 0 ? people_busy / (options.people * std::max(schedule.minutes, now)) : 0;
  return schedule;
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
