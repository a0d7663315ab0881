#include "search/choose/judge.h"

#include "engine/building/day.h"
#include "engine/stock/stock_use.h"

namespace sixtyfold {

Design make_candidate_design(const SearchTask& task, const Branch& branch, const UnitPoint& point,
                             const Variant& variant) {
  Design design = make_design(branch.scheme, variant, task.limits);
  design.recipe.symmetry = branch.symmetry;
  design.recipe.plane = branch.plane;
  design.recipe.family = branch.family;
  design.recipe.parameters = to_values(branch, point);
  design.recipe.seed = task.seed;
  return design;
}

Inspection inspect_candidate(const SearchTask& task, const Design& design) {
  Inspection result = inspect(design, 1);  // a quick nest: the chosen get the usual one
  result.rebuilt = {};
  // Which edges were made by trimming only the search knows.
  result.design.score.joint_cover = design.score.joint_cover;
  if (result.buildable())
    measure_building(result.design, find_most_hard_steps(task.goals), task.goals.ask_for_day());
  result.design.score.appeal = measure_appeal(result.design.score, task.goals.taste);
  return result;
}

Judge::Judge(Evaluator& evaluator)
    : evaluator_(evaluator), spaces_(static_cast<std::size_t>(evaluator.threads())) {}

Judged& Judge::of(const Find& find) {
  Judged& judged = known_[{find.branch, find.point}];
  judged.is_wanted = true;
  return judged;
}

void Judge::forget() {
  std::erase_if(known_, [](const auto& entry) { return !entry.second.is_wanted; });
  for (auto& entry : known_) entry.second.is_wanted = false;
}

template <typename Work>
void Judge::evaluate_each(const SearchTask& task, const std::vector<const Find*>& finds,
                          const Work& work) {
  std::vector<Judged*> judged;  // the map is not touched by several threads
  for (const Find* find : finds) judged.push_back(&of(*find));
  evaluator_.run(static_cast<int>(finds.size()), [&](int job, int worker) {
    const Find& find = *finds[static_cast<std::size_t>(job)];
    VariantSpace& space = spaces_[static_cast<std::size_t>(worker)];
    const Branch& branch = task.branches[static_cast<std::size_t>(find.branch)];
    const Outcome outcome =
        evaluate(task, branch, find.point, space.work, space.draft, space.variant);
    work(find, branch, outcome, space, *judged[static_cast<std::size_t>(job)]);
  });
}

void Judge::add_signatures(const SearchTask& task, const std::vector<const Find*>& finds) {
  evaluate_each(task, finds,
                [](auto&, const Branch& branch, auto&, VariantSpace& space, Judged& to) {
                  to.signature = make_signature(branch.scheme, space.variant);
                });
}

void Judge::make_whole(const SearchTask& task, const std::vector<const Find*>& finds) {
  evaluate_each(task, finds,
                [&](auto&, const Branch& branch, Outcome outcome, VariantSpace& space, Judged& to) {
                  complete(task, branch, space.work, space.sight, space.variant, outcome);
                  to.whole = std::move(outcome);
                });
}

void Judge::look(const SearchTask& task, const std::vector<const Find*>& finds) {
  evaluate_each(task, finds,
                [&](auto&, const Branch& branch, auto&, VariantSpace& space, Judged& to) {
                  to.look = find_look(make_design(branch.scheme, space.variant, task.limits));
                });
}

void Judge::inspect(const SearchTask& task, const std::vector<const Find*>& finds) {
  evaluate_each(
      task, finds,
      [&](const Find& find, const Branch& branch, auto&, VariantSpace& space, Judged& to) {
        to.inspection =
            inspect_candidate(task, make_candidate_design(task, branch, find.point, space.variant));
        if (to.look.empty()) to.look = find_look(to.inspection->design);
      });
}

void Judge::nest(const std::vector<const Find*>& finds) {
  std::vector<Judged*> judged;
  for (const Find* find : finds) judged.push_back(&of(*find));
  evaluator_.run(static_cast<int>(finds.size()), [&](int job, int) {
    Judged& one = *judged[static_cast<std::size_t>(job)];
    one.nested = one.inspection->design.score;
    measure_stock_use(one.inspection->design, 2).put_into(*one.nested);
  });
}

}  // namespace sixtyfold
