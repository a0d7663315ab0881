#include "search/space/task.h"

#include <algorithm>
#include <limits>

#include "engine/building/day.h"
#include "engine/stock/stock_use.h"

namespace sixtyfold {

std::array<double, 3> measure_place(const Score& score) {
  return {score.openness / 0.9, (score.joints / double(score.panels) - 0.5) / 5,
          (score.roundness - 0.45) / 0.5};
}

Place find_place(const std::vector<double>& measures) {
  return {measures[0] * 0.9, measures[1] * 5 + 0.5, measures[2] * 0.5 + 0.45};
}

std::string SearchTask::find_fault() const {
  if (branches.empty()) return "no kind of construction is left within the limits on panels";
  if (!(count >= 1 && count <= 9999)) return "the number of candidates must be 1 to 9999";
  if (!(refine_share >= 0 && refine_share <= 0.9)) return "the refiner's share must be 0 to 0.9";
  if (!(refine_evaluations >= 1)) return "a refinement needs at least one evaluation";
  if (const std::string fault = limits.find_fault(); !fault.empty()) return fault;
  return goals.find_fault();
}

void Find::exchange(State& state) {
  state.exchange(branch);
  state.exchange(point);
  state.exchange(outcome);
}

namespace {

/// How good a variant is by its score. `outline_mm`: its outline.
void judge(const SearchTask& task, const Branch& branch, const Polygon& outline_mm,
           const Variant& variant, Outcome& outcome) {
  outcome.quality = measure_quality(task.goals, variant.score);
  if (measure_shortfall(task.goals, variant.score) > 0) {
    // Sheets, waste, cost and time are estimates so far. Only what the full nest can not mend is
    // turned down; what it may mend comes after what keeps the bounds already.
    PartSketch sketch;
    sketch.outline_mm = outline_mm;
    sketch.copies = branch.scheme.panels();
    Score best_case = variant.score;
    bound_stock_use(sketch, task.limits).put_into(best_case);
    if (variant.score.legibility == 0) best_case.appeal = 0;  // only known to lie below its bound
    if (const double shortfall = measure_sure_shortfall(task.goals, variant.score, best_case);
        shortfall > 0) {
      if (variant.status == Status::ok) outcome.violation = shortfall / (1 + shortfall);
      outcome.quality = 0;
      return;
    }
    outcome.quality *= 0.5;
  }
  outcome.objectives = measure_objectives(task.goals, variant.score);
  outcome.guides = measure_guides(task.goals, variant.score);
  const std::array<double, 3> place = measure_place(variant.score);
  outcome.measures.assign(place.begin(), place.end());
}

}  // namespace

Outcome evaluate(const SearchTask& task, const Branch& branch, const UnitPoint& point,
                 VariantWorkspace& work, Draft& draft, Variant& variant, StageGate* gate) {
  make_draft(branch, to_values(branch, point), draft);
  MakeOptions options;
  options.gate = gate;
  options.taste = &task.goals.taste;
  if (!task.all_numbers && !task.goals.ask_for_stock()) options.stock = StockEstimate::left_out;
  if (!task.all_numbers && !task.goals.ask_for("clearance")) options.clearance_up_to = 1;
  make_variant(branch.scheme, draft, task.limits, work, variant, options);
  Outcome outcome;
  if (variant.status == Status::outdone) {
    outcome.violation = std::numeric_limits<double>::infinity();
    return outcome;
  }
  if (variant.status != Status::ok) {
    // Lexicographic: whoever comes further through the stages is nearer to feasible.
    const int stages_left = static_cast<int>(Status::outdone) - static_cast<int>(variant.status);
    outcome.violation = stages_left + std::clamp(variant.shortfall, 0.0, 1.0);
    if (variant.status != Status::flexible) return outcome;
  }
  if (task.goals.ask_for("hours"))
    variant.score.hours = find_least_hours(variant.score.panels, variant.score.joints, task.limits);
  judge(task, branch, work.polygon, variant, outcome);
  return outcome;
}

void complete(const SearchTask& task, const Branch& branch, VariantWorkspace& work,
              SightWorkspace& sight, Variant& variant, Outcome& outcome) {
  complete_looks(branch.scheme, task.goals.taste, sight, variant);
  judge(task, branch, work.polygon, variant, outcome);
}

}  // namespace sixtyfold
