#include "search/choose/variety.h"

#include <algorithm>
#include <set>
#include <string>

namespace sixtyfold {
namespace {

// Candidates to choose one from: more cost time, each is inspected.
constexpr int field_per_design = 6;

double measure_best_by_quality(const SearchTask& task, const std::vector<Pool>& pools) {
  std::vector<Find> finds = merge_pools(pools).finds;
  std::stable_sort(finds.begin(), finds.end(), [](const Find& a, const Find& b) {
    return a.outcome.quality > b.outcome.quality;
  });
  std::vector<Look> looks;
  std::vector<int> all;
  VariantWorkspace work;
  Draft draft;
  Variant variant;
  for (const Find& find : finds) {
    if (static_cast<int>(looks.size()) == task.count) break;
    const Branch& branch = task.branches[static_cast<std::size_t>(find.branch)];
    evaluate(task, branch, find.point, work, draft, variant);
    all.push_back(static_cast<int>(looks.size()));
    looks.push_back(find_look(make_design(branch.scheme, variant, task.limits)));
  }
  return measure_smallest_difference(looks, all);
}

/// Adds the best of every group that the field has none of: the ranking goes by appeal, and groups
/// of few panels come late in it.
void add_missing_groups(const SearchTask& task, const std::vector<Pool>& pools, Judge& judge,
                        Choice& field) {
  constexpr int best_of_a_group = 2;
  const auto symmetry_of = [&](const Find& find) {
    return task.branches[static_cast<std::size_t>(find.branch)].symmetry;
  };
  std::set<std::string> missing;
  for (const Branch& branch : task.branches) missing.insert(branch.symmetry);
  for (const Candidate& candidate : field.candidates) missing.erase(symmetry_of(candidate.find));
  for (const std::string& symmetry : missing) {
    Pool own = merge_pools(pools);
    std::erase_if(own.finds, [&](const Find& find) { return symmetry_of(find) != symmetry; });
    own.movable.clear();
    SearchTask narrow = task;
    narrow.count = best_of_a_group;
    Choice some = find_candidates(narrow, {own}, judge, Trust::untested);
    for (Candidate& candidate : some.candidates) field.candidates.push_back(std::move(candidate));
  }
}

}  // namespace

Variety choose_variety(const SearchTask& task, const std::vector<Pool>& pools,
                       Evaluator& evaluator) {
  SearchTask wide = task;
  wide.count = std::min(9999, field_per_design * task.count);
  Judge judge(evaluator);
  Variety variety;
  for (;;) {
    Choice field = find_candidates(wide, pools, judge, Trust::untested);
    if (task.goals.pareto.empty() && !field.only_flexible)
      add_missing_groups(task, pools, judge, field);
    std::stable_sort(field.candidates.begin(), field.candidates.end(),
                     [](const Candidate& a, const Candidate& b) {
                       return a.find.outcome.quality > b.find.outcome.quality;
                     });
    std::vector<Look> looks;
    for (const Candidate& candidate : field.candidates)
      looks.push_back(judge.of(candidate.find).look);
    const std::vector<int> chosen = choose_different(looks, task.count);

    // Only what is chosen is inspected; what is refused is not chosen again.
    const SearchTask inspected = field.only_flexible ? make_movable(task) : task;
    std::vector<const Find*> to_inspect;
    Choice choice;
    for (const int i : chosen) {
      choice.candidates.push_back(field.candidates[static_cast<std::size_t>(i)]);
      const Find& find = field.candidates[static_cast<std::size_t>(i)].find;
      if (!judge.of(find).inspection) to_inspect.push_back(&find);
    }
    judge.inspect(inspected, to_inspect);
    if (std::any_of(to_inspect.begin(), to_inspect.end(),
                    [&](const Find* find) { return !find_fault(inspected, judge, *find).empty(); }))
      continue;
    complete_candidates(task, judge, choice);
    variety.considered = static_cast<int>(field.candidates.size());
    variety.duplicates = field.duplicates;
    variety.refused = std::move(field.refused);
    variety.not_going_together = field.not_going_together;
    variety.smallest_difference = measure_smallest_difference(looks, chosen);
    variety.smallest_of_best = measure_best_by_quality(task, pools);
    variety.candidates = std::move(choice.candidates);
    return variety;
  }
}

}  // namespace sixtyfold
