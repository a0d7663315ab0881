#include "tests/bench/search_requests.h"

#include <algorithm>
#include <cmath>

namespace sixtyfold::bench {

std::vector<Request> make_requests() {
  Request open{"open", {}, {{360, 24, true}, {1e-3, 1, true}}};
  open.plan.choice.symmetries = {"I", "O"};
  open.plan.limits.sheet_width_mm = 700, open.plan.limits.sheet_height_mm = 1000;
  open.plan.limits.min_panels = 24;
  open.plan.goals.pareto = {&find_criterion("joints"), &find_criterion("stiffness")};
  open.plan.goals.bounds = {parse_bound("openness>=0.2")};

  Request large{"large", {}, {{500, 5000, true}, {30, 1, true}}};
  large.plan.choice.symmetries = {"I", "O"};
  large.plan.limits.sheet_width_mm = 1000, large.plan.limits.sheet_height_mm = 1600;
  large.plan.limits.max_diameter_mm = 5000;
  large.plan.limits.min_panels = 24;
  large.plan.goals.pareto = {&find_criterion("diameter"), &find_criterion("sheets")};
  large.plan.goals.bounds = {parse_bound("sheets<=30")};

  Request sixty{"sixty", {}, {}};
  sixty.plan.limits.min_panels = sixty.plan.limits.max_panels = 60;

  return {open, large, sixty, {"any", {}, {}}};
}

Objectives to_scales(const Request& request, const SearchTask& task, const Outcome& outcome) {
  Objectives scaled;
  for (std::size_t k = 0; k < request.scales.size(); ++k) {
    const auto& [worst, best, logarithmic] = request.scales[k];
    const auto to_scale = [&](double value) {
      return logarithmic ? std::log(std::max(value, 1e-9)) : value;
    };
    const double value = task.goals.pareto[k]->turn(outcome.objectives[k]);
    scaled.push_back((to_scale(value) - to_scale(best)) / (to_scale(worst) - to_scale(best)));
  }
  return scaled;
}

void Record::exchange(State& state) {
  std::vector<int> numbers;
  for (const auto& entry : fronts) numbers.push_back(entry.first);
  state.exchange(numbers);
  for (const int number : numbers) state.exchange(fronts[number]);
  state.exchange(qd_score);
  state.exchange(cells);
  state.exchange(best);
  state.exchange(feasible);
}

void Recorder::add(const Find& find) {
  const Outcome& outcome = find.outcome;
  if (!outcome.feasible()) return;
  ++record_.feasible;
  const auto [place, is_new] =
      best_of_cell_.try_emplace({find.branch, grid_.find_cell(outcome.measures)}, find);
  if (!is_new && outcome.quality > place->second.outcome.quality) place->second = find;
  if (request_.scales.empty()) return;
  Objectives scaled = to_scales(request_, task_, outcome);
  for (double& value : scaled) value = std::clamp(value, 0.0, 1.0);
  std::vector<Objectives>& front =
      record_.fronts[task_.branches[static_cast<std::size_t>(find.branch)].scheme.panels()];
  for (const Objectives& other : front)
    if (other == scaled || dominates(other, scaled)) return;
  std::erase_if(front, [&](const Objectives& other) { return dominates(scaled, other); });
  front.push_back(scaled);
}

Record Recorder::take() const {
  Record record = record_;
  VariantWorkspace work;
  SightWorkspace sight;
  Draft draft;
  Variant variant;
  for (const auto& [cell, find] : best_of_cell_) {
    Outcome whole = find.outcome;
    if (task_.goals.ask_for_appeal()) {
      const Branch& branch = task_.branches[static_cast<std::size_t>(find.branch)];
      evaluate(task_, branch, find.point, work, draft, variant);
      complete(task_, branch, work, sight, variant, whole);
    }
    record.qd_score += whole.quality;
    record.best = std::max(record.best, whole.quality);
  }
  record.cells = static_cast<double>(best_of_cell_.size());
  return record;
}

double measure_gap(const Record& record, const std::map<int, std::vector<Objectives>>& best) {
  double sum = 0;
  int count = 0;
  for (const auto& [panels, front] : best) {
    const Objectives reference(front[0].size(), 1);
    const double whole = measure_hypervolume(front, reference);
    if (!(whole > 0)) continue;
    ++count;
    const auto own = record.fronts.find(panels);
    sum += own == record.fronts.end() ? 1 : 1 - measure_hypervolume(own->second, reference) / whole;
  }
  return count > 0 ? sum / count : 0;
}

std::map<int, std::vector<Objectives>> join_fronts(const std::vector<const Record*>& records) {
  std::map<int, std::vector<Objectives>> all, best;
  for (const Record* record : records)
    for (const auto& [panels, front] : record->fronts)
      all[panels].insert(all[panels].end(), front.begin(), front.end());
  for (const auto& [panels, points] : all)
    for (const int i : find_front(points))
      best[panels].push_back(points[static_cast<std::size_t>(i)]);
  return best;
}

}  // namespace sixtyfold::bench
