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
  std::set<std::string> missing;
  for (const Branch& branch : task.branches) missing.insert(branch.symmetry);
  for (const Candidate& candidate : field.candidates) missing.erase(candidate.design.symmetry);
  for (const std::string& symmetry : missing) {
    Pool own = merge_pools(pools);
    std::erase_if(own.finds, [&](const Find& find) {
      return task.branches[static_cast<std::size_t>(find.branch)].symmetry != symmetry;
    });
    own.movable.clear();
    SearchTask narrow = task;
    narrow.count = best_of_a_group;
    Choice some = choose_candidates(narrow, {own}, judge);
    for (Candidate& candidate : some.candidates) field.candidates.push_back(std::move(candidate));
  }
  std::stable_sort(field.candidates.begin(), field.candidates.end(),
                   [](const Candidate& a, const Candidate& b) {
                     return a.find.outcome.quality > b.find.outcome.quality;
                   });
}

}  // namespace

Variety choose_variety(const SearchTask& task, const std::vector<Pool>& pools,
                       Evaluator& evaluator) {
  SearchTask wide = task;
  wide.count = std::min(9999, field_per_design * task.count);
  Judge judge(evaluator);
  Choice choice = choose_candidates(wide, pools, judge);
  if (task.goals.pareto.empty()) add_missing_groups(task, pools, judge, choice);

  const std::size_t count = choice.candidates.size();
  std::vector<Look> looks(count);
  evaluator.run(static_cast<int>(count), [&](int job, int) {
    const auto j = static_cast<std::size_t>(job);
    looks[j] = find_look(choice.candidates[j].design);
  });
  const std::vector<int> chosen = choose_different(looks, task.count);

  Variety variety;
  variety.considered = static_cast<int>(count);
  variety.duplicates = choice.duplicates;
  variety.refused = std::move(choice.refused);
  variety.not_going_together = choice.not_going_together;
  variety.smallest_difference = measure_smallest_difference(looks, chosen);
  variety.smallest_of_best = measure_best_by_quality(task, pools);
  for (const int i : chosen)
    variety.candidates.push_back(std::move(choice.candidates[static_cast<std::size_t>(i)]));
  return variety;
}

}  // namespace sixtyfold
