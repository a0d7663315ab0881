#include "search/choose/choice.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

#include "engine/text.h"
#include "search/choose/field.h"

namespace sixtyfold {

namespace {

/// The bound that the score misses.
std::string explain_miss(const Goals& goals, const Score& score) {
  for (const Bound& bound : goals.bounds) {
    const Criterion& criterion = *bound.criterion;
    const double value = criterion.measure(score);
    if (bound.low <= value && value <= bound.high) continue;
    const std::string unit = criterion.unit.empty() ? "" : " " + criterion.unit;
    return criterion.name + format(" is %.4g", value) + unit +
           format(", the limit %.4g", value < bound.low ? bound.low : bound.high) + unit;
  }
  return "";
}

}  // namespace

std::string find_fault(const SearchTask& task, Judge& judge, const Find& find) {
  const Judged& judged = judge.of(find);
  const Inspection& inspection = *judged.inspection;
  if (!inspection.buildable()) return inspection.faults.front();
  if (inspection.design.score.hard_steps > find_most_hard_steps(task.goals))
    return "it does not go together without steps that have no way in (--limit 'hard_steps<=20' "
           "lists such designs)";
  if (measure_shortfall(task.goals, inspection.design.score) == 0) return "";
  // No bound on sheets refuses a design before the usual nest has.
  if (!judged.nested) judge.nest({&find});
  return explain_miss(task.goals, *judged.nested);
}

namespace {

constexpr double small_share = 1.0 / 3;  // of a list, at most, unless nothing else was asked for

/// How many of few panels may be listed.
int find_most_small(const SearchTask& task) {
  const bool only_small =
      std::all_of(task.branches.begin(), task.branches.end(),
                  [](const Branch& branch) { return branch.scheme.panels() < few_panels; });
  return only_small || !task.goals.pareto.empty() ? task.count
                                                  : static_cast<int>(small_share * task.count);
}

/// Drops the small ones: there are enough of them.
void drop_small(std::vector<Standing>& standings) {
  for (Standing& one : standings) one.gone = one.gone || one.is_small;
}

bool is_known(Judge& judge, const Find& find, Trust trust) {
  const Judged& judged = judge.of(find);
  return judged.inspection || (trust == Trust::untested && !judged.look.empty());
}

/// Looking at designs takes long, so those that come next if all goes well are looked at together,
/// no more than are still `missing`; what is chosen does not depend on how many that are.
void look_at_next(const SearchTask& task, Judge& judge, Field& field,
                  std::vector<Standing> standings, std::size_t missing, Trust trust) {
  const std::size_t most =
      std::min<std::size_t>(8, std::max(missing, static_cast<std::size_t>(judge.threads())));
  std::vector<const Find*> together;
  while (together.size() < most) {
    const std::size_t guess = field.find_next(standings);
    if (guess == field.finds().size()) break;
    if (!is_known(judge, field.finds()[guess], trust)) together.push_back(&field.finds()[guess]);
    field.choose(standings, guess);
  }
  if (trust == Trust::untested)
    judge.look(task, together);
  else
    judge.inspect(task, together);
}

/// Sentences on the criteria in which the candidate stands out among the others.
std::vector<std::string> explain_place(const SearchTask& task, const Candidate& candidate,
                                       const std::vector<Candidate>& all) {
  std::vector<std::string> reasons;
  std::vector<Weight> weights = task.goals.weights.empty() ? default_weights() : task.goals.weights;
  if (!task.goals.pareto.empty()) {
    weights.clear();
    for (const Criterion* criterion : task.goals.pareto) weights.push_back({criterion, 1});
    reasons.push_back("no other candidate is better in all of the Pareto criteria");
  } else {
    if (candidate.design.score.internal_dof > 0)
      reasons.push_back("it moves, with " + std::to_string(candidate.design.score.internal_dof) +
                        " internal degrees of freedom");
    if (!candidate.why.empty()) {
      std::string why = format("appeal %.2f of 1: ", candidate.design.score.appeal);
      for (std::size_t i = 0; i < candidate.why.size(); ++i)
        why += (i > 0 ? ", " : "") + candidate.why[i];
      reasons.push_back(why);
    }
    reasons.push_back("quality " + format("%.3f", candidate.find.outcome.quality) +
                      " of 1, the weighted geometric mean of the criteria");
  }
  for (const Weight& weight : weights) {
    if (!(weight.weight > 0)) continue;
    const Criterion& criterion = *weight.criterion;
    const double value = criterion.measure(candidate.design.score);
    int better = 0;
    for (const Candidate& other : all) {
      const double others = criterion.measure(other.design.score);
      better += criterion.more_is_better() ? others > value : others < value;
    }
    const double desirability = measure_desirability(value, criterion.worst, criterion.best);
    std::string place = better == 0 ? "the best of all" : "place " + std::to_string(better + 1);
    reasons.push_back(criterion.name + " " + format("%.3g", value) +
                      (criterion.unit.empty() ? "" : " " + criterion.unit) + ": " + place +
                      ", desirability " + format("%.2f", desirability));
  }
  return reasons;
}

/// Enough was looked at: what is left to choose from is what was measured to the end.
void keep_settled(const std::set<std::size_t>& settled, std::vector<Standing>& standings) {
  for (std::size_t i = 0; i < standings.size(); ++i)
    standings[i].gone = standings[i].gone || !settled.contains(i);
}

/// Chooses among the finds, best first. Untested ones get no design.
void choose_candidates(const SearchTask& task, std::vector<Find> finds, Judge& judge, Trust trust,
                       Choice& choice) {
  choice.considered += finds.size();
  Field field(task, judge, std::move(finds));
  std::vector<Standing> standings = field.make_standings();
  const int most_small = find_most_small(task);
  if (most_small == 0) drop_small(standings);
  const std::size_t wanted = static_cast<std::size_t>(task.count);
  const std::size_t most_looked_at = 20 * wanted + 100;
  std::vector<Look> chosen_looks;
  std::set<std::size_t> settled;  // whose quality is what was measured
  int small = 0;
  for (std::size_t looked_at = 0; choice.candidates.size() < wanted; ++looked_at) {
    // Bounds on the day need many looks, a weight on it a choice among some: each takes a while.
    if (looked_at == most_looked_at || settled.size() == 4 * wanted + 20)
      keep_settled(settled, standings);
    const std::size_t next = field.find_next(standings);
    if (next == field.finds().size()) break;
    const Find& find = field.finds()[next];
    if (!is_known(judge, find, trust))
      look_at_next(task, judge, field, standings, wanted - choice.candidates.size(), trust);
    const auto& inspection = judge.of(find).inspection;
    if (const std::string fault = inspection ? find_fault(task, judge, find) : ""; !fault.empty()) {
      const Score& score = inspection->design.score;
      choice.not_going_together +=
          inspection->buildable() && score.hard_steps > find_most_hard_steps(task.goals);
      standings[next].gone = true;
      const Branch& branch = task.branches[static_cast<std::size_t>(find.branch)];
      choice.refused.push_back(branch.symmetry + ", " + branch.plane + ", " + branch.family + ": " +
                               fault);
      continue;
    }
    // Numbers of the day are known only now: whoever they make worse than thought waits its turn.
    if (task.goals.ask_for_day() && inspection && settled.insert(next).second) {
      field.settle(next, measure_quality(task.goals, inspection->design.score));
      continue;
    }
    const Look& seen = judge.of(find).look;
    if (std::any_of(chosen_looks.begin(), chosen_looks.end(), [&](const Look& other) {
          return measure_look_difference(seen, other) < looks_alike;
        })) {
      standings[next].gone = true;
      ++choice.duplicates;
      continue;
    }
    chosen_looks.push_back(seen);
    small += standings[next].is_small;
    choice.duplicates += field.choose(standings, next);
    if (small == most_small) drop_small(standings);
    choice.candidates.push_back({find, {}, field.signature(next), {}, {}});
  }
}

}  // namespace

Pool merge_pools(const std::vector<Pool>& pools) {
  Pool all;
  for (const Pool& pool : pools) {
    all.finds.insert(all.finds.end(), pool.finds.begin(), pool.finds.end());
    all.movable.insert(all.movable.end(), pool.movable.begin(), pool.movable.end());
    all.tally.add(pool.tally);
    all.evaluated_by_branch.resize(pool.evaluated_by_branch.size());
    all.found_by_branch.resize(pool.found_by_branch.size());
    for (std::size_t b = 0; b < pool.found_by_branch.size(); ++b) {
      all.evaluated_by_branch[b] += pool.evaluated_by_branch[b];
      all.found_by_branch[b] += pool.found_by_branch[b];
    }
    for (std::size_t i = 0; i < pool.curve.size(); ++i) {
      if (i >= all.curve.size()) {
        all.curve.push_back(pool.curve[i]);
        continue;
      }
      CurveRow& row = all.curve[i];
      row.evaluated += pool.curve[i].evaluated;
      row.feasible += pool.curve[i].feasible;
      row.coverage = std::max(row.coverage, pool.curve[i].coverage);
      row.qd_score = std::max(row.qd_score, pool.curve[i].qd_score);
      row.best = std::max(row.best, pool.curve[i].best);
      row.hypervolume = std::max(row.hypervolume, pool.curve[i].hypervolume);
    }
  }
  return all;
}

Choice find_candidates(const SearchTask& task, const std::vector<Pool>& pools, Judge& judge,
                       Trust trust) {
  Choice choice;
  Pool all = merge_pools(pools);
  choose_candidates(task, std::move(all.finds), judge, trust, choice);
  // Where nothing rigid is in reach, as in most Cn, what moves is better than nothing.
  if (choice.candidates.empty()) {
    choose_candidates(make_movable(task), std::move(all.movable), judge, trust, choice);
    choice.only_flexible = !choice.candidates.empty();
  }
  return choice;
}

SearchTask make_movable(SearchTask task) {
  task.limits.allow_flexible = true;
  return task;
}

void complete_candidates(const SearchTask& task, Judge& judge, Choice& choice) {
  std::vector<const Find*> not_nested;
  for (const Candidate& candidate : choice.candidates)
    if (!judge.of(candidate.find).nested) not_nested.push_back(&candidate.find);
  judge.nest(not_nested);
  for (Candidate& candidate : choice.candidates) {
    candidate.design = judge.of(candidate.find).inspection->design;
    candidate.design.score = *judge.of(candidate.find).nested;
  }
  // The inspection knows more than the search: stiffness, sheets, clearance.
  for (Candidate& candidate : choice.candidates) {
    candidate.find.outcome.quality = measure_quality(task.goals, candidate.design.score);
    candidate.find.outcome.objectives = measure_objectives(task.goals, candidate.design.score);
  }
  if (!task.goals.pareto.empty()) {
    std::vector<Objectives> objectives;
    for (const Candidate& candidate : choice.candidates)
      objectives.push_back(candidate.find.outcome.objectives);
    std::vector<Candidate> front;
    for (const int i : find_front(objectives))
      front.push_back(std::move(choice.candidates[static_cast<std::size_t>(i)]));
    choice.candidates = std::move(front);
  }
  std::stable_sort(choice.candidates.begin(), choice.candidates.end(),
                   [&](const Candidate& a, const Candidate& b) {
                     if (!task.goals.pareto.empty())
                       return a.find.outcome.objectives < b.find.outcome.objectives;
                     return a.find.outcome.quality > b.find.outcome.quality;
                   });
  for (Candidate& candidate : choice.candidates)
    if (task.goals.ask_for_appeal())
      candidate.why = explain_appeal(candidate.design.score, task.goals.taste);
  for (Candidate& candidate : choice.candidates)
    candidate.reasons = explain_place(task, candidate, choice.candidates);
}

Choice choose_candidates(const SearchTask& task, const std::vector<Pool>& pools, Judge& judge) {
  Choice choice = find_candidates(task, pools, judge, Trust::inspected);
  complete_candidates(task, judge, choice);
  return choice;
}

Choice choose_candidates(const SearchTask& task, const std::vector<Pool>& pools,
                         Evaluator& evaluator) {
  Judge judge(evaluator);
  return choose_candidates(task, pools, judge);
}

namespace {

/// Why variants were turned down, the most frequent reason first.
std::vector<std::string> count_reasons(const Tally& tally) {
  std::vector<std::string> sentences;
  std::vector<std::size_t> order(tally.by_status.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return tally.by_status[a] > tally.by_status[b];
  });
  for (const std::size_t s : order) {
    const auto status = static_cast<Status>(s);
    if (status == Status::ok || tally.by_status[s] == 0) continue;
    sentences.push_back("  " + std::to_string(tally.by_status[s]) + ": " + describe(status));
  }
  if (tally.out_of_bounds > 0)
    sentences.push_back("  " + std::to_string(tally.out_of_bounds) +
                        ": a criterion lies outside the limits given for it");
  return sentences;
}

std::string compare(const std::string& what, double value, const char* unit, double limit) {
  return what + " is " + format("%.3g", value) + unit + ", the limit " + format("%.3g", limit) +
         unit;
}

/// What of the goals a variant misses that keeps all limits.
std::string explain_bounds(const SearchTask& task, const Score& score) {
  std::string miss = describe(Status::ok);
  for (const Bound& bound : task.goals.bounds) {
    const double value = bound.criterion->measure(score);
    if (value < bound.low) miss = compare(bound.criterion->name, value, "", bound.low);
    if (value > bound.high) miss = compare(bound.criterion->name, value, "", bound.high);
  }
  return miss;
}

/// What a variant misses, and by how much.
std::string explain_miss(const SearchTask& task, Status status, const Score& score) {
  const Limits& limits = task.limits;
  switch (status) {
    case Status::short_joint:
      return compare("its shortest joint", score.shortest_joint_mm, " mm", limits.min_joint_mm);
    case Status::clearance:
      return compare("the least distance of panels that are not joined", score.min_clearance_mm,
                     " mm", limits.thickness_mm);
    case Status::narrow:
      return compare("its thinnest place", score.min_width_mm, " mm", limits.min_width_mm);
    case Status::joints:
      return compare("its number of joints", score.joints, "", limits.max_joints);
    case Status::diameter:
      return compare("its diameter", score.diameter_mm, " mm", limits.min_diameter_mm);
    case Status::weak:
      return compare("its stiffness", score.stiffness, "", limits.min_stiffness);
    case Status::flexible:
      return "it moves, with " + std::to_string(score.internal_dof) +
             " internal degrees of freedom (--allow-flexible lists such designs)";
    case Status::angle:
      return score.min_angle_deg < limits.min_angle_deg
                 ? compare("its least plane angle", score.min_angle_deg, " degrees",
                           limits.min_angle_deg)
                 : compare("its largest plane angle", score.max_angle_deg, " degrees",
                           limits.max_angle_deg);
    case Status::ok:
      return explain_bounds(task, score);
    default:
      return describe(status);
  }
}

}  // namespace

std::vector<std::string> explain_nothing_found(const SearchTask& task, const Tally& tally) {
  std::vector<std::string> sentences = count_reasons(tally);
  sentences.insert(sentences.begin(),
                   "None of " + std::to_string(tally.evaluated) +
                       " variants keeps all limits. They were turned down because");
  if (tally.nearest.point.empty()) return sentences;
  const Branch& branch = task.branches[static_cast<std::size_t>(tally.nearest.branch)];
  VariantWorkspace work;
  Draft draft;
  Variant variant;
  evaluate(task, branch, tally.nearest.point, work, draft, variant);
  sentences.push_back("The nearest miss was of group " + branch.symmetry + ", plane " +
                      branch.plane + ", family " + branch.family + ", " +
                      std::to_string(variant.score.panels) +
                      " panels: " + explain_miss(task, variant.status, variant.score) + ".");
  return sentences;
}

}  // namespace sixtyfold
