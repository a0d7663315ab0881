#include "engine/building/day_plan.h"

#include <algorithm>
#include <cmath>

#include "engine/allowed.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

constexpr double least_saving_min = 3;

/// Breaks begun before so much work of the day is done.
double count_breaks(double worked_min, const DayOptions& options) {
  return options.break_min > 0
             ? std::max(0.0, std::ceil(worked_min / options.break_after_min - 1e-9) - 1)
             : 0;
}

}  // namespace

std::string DayOptions::find_fault() const {
  const Allowed span{"a time of the day's plan", 0, 10000, "minutes"};
  for (const double v :
       {set_up_min, break_min, paint_min, paint_dry_min, last_dry_min, hang_min, clear_min})
    if (std::string fault = span.find_fault(v); !fault.empty()) return fault;
  return Allowed{"the time to a break", 10, 10000, "minutes"}.find_fault(break_after_min);
}

DayPlan make_day_plan(const EventWork& work, const ScheduleOptions& stations,
                      const DayOptions& options, bool has_tabs, bool has_modules) {
  DayPlan day;
  day.schedule = simulate(work, stations);
  // Minutes of work to minutes of the clock.
  const auto clock = [&](double worked) {
    return worked + count_breaks(worked, options) * options.break_min;
  };
  const double half = std::max(1.0, std::floor(stations.people / 2.0));
  const double paint = options.painted ? work.parts * options.paint_min / half : 0,
               wait = options.painted ? paint + options.paint_dry_min : 0;
  const auto add = [&](const std::string& name, double from, double to, const std::string& who) {
    if (to > from) day.spans.push_back({name, clock(from), clock(to), who});
  };
  add("set up", 0, options.set_up_min, "all");
  double painting_from = 0;
  for (int s = 0; s < static_cast<int>(Station::count_); ++s) {
    const auto station = static_cast<Station>(s);
    const auto& span = day.schedule.stations[s];
    const bool later = station != Station::trace && station != Station::cut;
    const double shift = options.set_up_min + (later ? wait : 0);
    const std::string name = station == Station::fold && !has_tabs        ? "mark"
                             : station == Station::module && !has_modules ? ""
                                                                          : name_of(station);
    if (station == Station::cut) painting_from = span.from + options.set_up_min;
    if (station == Station::fold && options.painted)
      add("paint, dry", painting_from,
          day.schedule.stations[static_cast<int>(Station::cut)].to + options.set_up_min + wait,
          format("up to %.0f people", half));
    if (!name.empty() && span.work_min > 0)
      add(name, span.from + shift, span.to + shift,
          "up to " + count_of(span.most_people, "person", "people"));
  }
  double now = options.set_up_min + wait + day.schedule.minutes;
  const double dry = std::max(options.last_dry_min, options.clear_min);
  add("last joints dry", now, now + options.last_dry_min, "nobody");
  add("clear up", now, now + options.clear_min, "all");
  now += dry;
  add("hang or stand it up", now, now + options.hang_min, "the competent few");
  now += options.hang_min;
  const int breaks = static_cast<int>(count_breaks(now, options));
  for (int k = 1; k <= breaks; ++k) {
    const double at = k * options.break_after_min + (k - 1) * options.break_min;
    day.spans.push_back({"break", at, at + options.break_min, "all"});
  }
  std::stable_sort(day.spans.begin(), day.spans.end(),
                   [](const DaySpan& a, const DaySpan& b) { return a.from < b.from; });
  day.minutes = clock(now);
  return day;
}

std::vector<Saving> find_savings(const EventWork& work, const ScheduleOptions& stations,
                                 const DayOptions& options) {
  const double planned = make_day_plan(work, stations, options, true, true).minutes;
  std::vector<Saving> savings;
  const auto weigh = [&](const std::string& what, const ScheduleOptions& other,
                         const DayOptions& day) {
    const double saved = planned - make_day_plan(work, other, day, true, true).minutes;
    if (saved >= least_saving_min) savings.push_back({what, saved});
    return saved;
  };
  ScheduleOptions saw = stations, people = stations, both = stations, quick = stations;
  saw.saws += 1, people.people += 5, both.saws += 1, both.people += 5;
  quick.dry_min = stations.dry_min / 2;
  const double alone =
      std::max(weigh("one more saw", saw, options), weigh("five more people", people, options));
  // Both only where they save more than either.
  if (weigh("one more saw and five more people", both, options) < alone + least_saving_min &&
      !savings.empty() && savings.back().what == "one more saw and five more people")
    savings.pop_back();
  weigh("glue that holds in half the time", quick, options);
  DayOptions bought = options, ready = options;
  bought.painted = false;
  weigh("board bought in these colours", stations, bought);
  ready.set_up_min = 0;
  weigh("tables and tools set up before", stations, ready);
  EventWork cut = work;
  cut.stacks.clear();
  for (const EventWork::Stack& stack : work.stacks) cut.stacks.push_back({stack.parts, 0, 0});
  const double without = planned - make_day_plan(cut, stations, options, true, true).minutes;
  if (without >= least_saving_min) savings.push_back({"parts cut the day before", without});
  std::stable_sort(savings.begin(), savings.end(),
                   [](const Saving& a, const Saving& b) { return a.minutes > b.minutes; });
  return savings;
}

}  // namespace sixtyfold
