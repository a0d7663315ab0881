#include "search/choose/choice.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "engine/building/assembly_order.h"
#include "engine/stock/stock_use.h"
#include "engine/text.h"
#include "engine/variant/inspection.h"
#include "search/choose/design_look.h"

namespace sixtyfold {

namespace {

constexpr std::size_t most_considered = 3000;  // finds whose looks are compared
// Pictures, half a millisecond each, for each candidate that is wanted.
constexpr std::size_t pictures_per_candidate = 50, least_pictures = 800;
constexpr int few_panels = 10;           // fewer make no group's day
constexpr double small_share = 1.0 / 3;  // of a list, at most, unless nothing else was asked for
constexpr double far_apart = 0.6;        // beyond this more difference is no more variety
constexpr double variety_weight = 0.5;

Design make_candidate_design(const SearchTask& task, const Branch& branch, const Find& find,
                             const Variant& variant) {
  Design design = make_design(branch.scheme, variant, task.limits);
  design.recipe.symmetry = branch.symmetry;
  design.recipe.plane = branch.plane;
  design.recipe.family = branch.family;
  design.recipe.parameters = to_values(branch, find.point);
  design.recipe.seed = task.seed;
  return design;
}

/// How a find looks, and how it stands to those chosen.
struct Standing {
  Signature signature;
  double nearest = 1e9;   ///< difference from the nearest candidate chosen so far
  int rank = 0;           ///< of the Pareto front it lies on among all finds; 0 without Pareto
  bool is_small = false;  ///< of fewer panels than make a group's day
  bool gone = false;      ///< chosen, refused, a near-duplicate or dominated by a candidate
};

/// Of the finds on the first front that has any left, the one that is best when quality and
/// difference from those already chosen are weighed against each other (maximal marginal relevance,
/// Carbonell and Goldstein 1998); finds.size() if none is left.
std::size_t find_next(const std::vector<Find>& finds, const std::vector<Standing>& looks) {
  std::size_t best = finds.size();
  double best_merit = 0, top = 0;
  for (const Find& find : finds) top = std::max(top, find.outcome.quality);
  for (std::size_t i = 0; i < finds.size(); ++i) {
    if (looks[i].gone) continue;
    const double variety = std::min(1.0, looks[i].nearest / far_apart);
    const double merit =
        (1 - variety_weight) * finds[i].outcome.quality / top + variety_weight * variety;
    if (best < finds.size() && (looks[i].rank > looks[best].rank ||
                                (looks[i].rank == looks[best].rank && !(merit > best_merit))))
      continue;
    best = i;
    best_merit = merit;
  }
  return best;
}

/// Drops the small ones: there are enough of them.
void drop_small(std::vector<Standing>& looks) {
  for (Standing& look : looks) look.gone = look.gone || look.is_small;
}

/// Marks the choice and drops what looks like it, and in a Pareto run what it dominates; returns
/// how many were dropped for their looks.
std::uint64_t choose(const std::vector<Find>& finds, std::vector<Standing>& looks,
                     std::size_t choice) {
  std::uint64_t dropped = 0;
  const Objectives& objectives = finds[choice].outcome.objectives;
  looks[choice].gone = true;
  for (std::size_t i = 0; i < looks.size(); ++i) {
    Standing& look = looks[i];
    if (look.gone) continue;
    look.nearest =
        std::min(look.nearest, measure_difference(look.signature, looks[choice].signature));
    look.gone = look.nearest < near_duplicate;
    dropped += look.gone;
    if (objectives.size() > 1 && dominates(objectives, finds[i].outcome.objectives))
      look.gone = true;
  }
  return dropped;
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

/// Best first: by the front they lie on, which comes back, then by quality.
std::vector<int> sort_finds(const SearchTask& task, std::vector<Find>& finds) {
  std::vector<int> ranks(finds.size(), 0);
  if (!task.goals.pareto.empty()) {
    std::vector<Objectives> objectives;
    for (const Find& find : finds) objectives.push_back(find.outcome.objectives);
    ranks = find_front_ranks(objectives);
  }
  std::vector<std::size_t> order(finds.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return ranks[a] != ranks[b] ? ranks[a] < ranks[b]
                                : finds[a].outcome.quality > finds[b].outcome.quality;
  });
  std::vector<Find> sorted;
  std::vector<int> sorted_ranks;
  for (const std::size_t i : order) {
    sorted.push_back(std::move(finds[i]));
    sorted_ranks.push_back(ranks[i]);
  }
  finds = std::move(sorted);
  return sorted_ranks;
}

/// What a worker makes a variant in.
struct Workspace {
  VariantWorkspace work;
  Draft draft;
  Variant variant;
  SightWorkspace sight;
};

/// The finds that are considered, best first. The appeal of what a search finds is a bound: of more
/// of them than are considered it is made whole by pictures first.
std::vector<int> take_best(const SearchTask& task, Evaluator& evaluator,
                           std::vector<Workspace>& spaces, std::vector<Find>& finds) {
  std::vector<int> ranks = sort_finds(task, finds);
  std::size_t most = most_considered;
  if (task.goals.ask_for_appeal()) {
    most = std::clamp(pictures_per_candidate * static_cast<std::size_t>(task.count), least_pictures,
                      most_considered);
    if (finds.size() > most) finds.resize(most);
    evaluator.run(static_cast<int>(finds.size()), [&](int job, int worker) {
      Find& find = finds[static_cast<std::size_t>(job)];
      Workspace& space = spaces[static_cast<std::size_t>(worker)];
      const Branch& branch = task.branches[static_cast<std::size_t>(find.branch)];
      evaluate(task, branch, find.point, space.work, space.draft, space.variant);
      complete(task, branch, space.work, space.sight, space.variant, find.outcome);
    });
    ranks = sort_finds(task, finds);
  }
  if (finds.size() > most) finds.resize(most);
  return ranks;
}

/// Chooses among the finds, best first, and confirms each choice.
void choose_candidates(const SearchTask& task, std::vector<Find> finds, Evaluator& evaluator,
                       Choice& choice) {
  choice.considered += finds.size();
  std::vector<Workspace> spaces(static_cast<std::size_t>(evaluator.threads()));
  const std::vector<int> ranks = take_best(task, evaluator, spaces, finds);
  std::vector<Standing> looks(finds.size());
  const auto is_small = [](const Branch& branch) { return branch.scheme.panels() < few_panels; };
  const bool only_small = std::all_of(task.branches.begin(), task.branches.end(), is_small);
  const int most_small = only_small || !task.goals.pareto.empty()
                             ? task.count
                             : static_cast<int>(small_share * task.count);
  for (std::size_t i = 0; i < looks.size(); ++i) {
    looks[i].rank = ranks[i];
    looks[i].is_small = is_small(task.branches[static_cast<std::size_t>(finds[i].branch)]);
  }
  if (most_small == 0) drop_small(looks);
  evaluator.run(static_cast<int>(finds.size()), [&](int job, int worker) {
    const auto j = static_cast<std::size_t>(job);
    Workspace& space = spaces[static_cast<std::size_t>(worker)];
    const Branch& branch = task.branches[static_cast<std::size_t>(finds[j].branch)];
    evaluate(task, branch, finds[j].point, space.work, space.draft, space.variant);
    looks[j].signature = make_signature(branch.scheme, space.variant);
  });

  // Inspecting takes long, so those that come next if all goes well are inspected together; what
  // is chosen does not depend on how many that are.
  std::map<std::size_t, Inspection> inspected;
  const std::size_t wanted = static_cast<std::size_t>(task.count);
  const std::size_t most_inspected = 20 * wanted + 100;
  std::vector<Look> chosen_looks;
  int small = 0;
  while (choice.candidates.size() < wanted) {
    const std::size_t next = find_next(finds, looks);
    if (next == finds.size()) break;
    if (!inspected.contains(next)) {
      if (inspected.size() >= most_inspected) break;
      std::vector<Standing> ahead = looks;
      std::vector<std::size_t> together;
      while (together.size() < 8) {
        const std::size_t guess = find_next(finds, ahead);
        if (guess == finds.size()) break;
        if (!inspected.contains(guess)) together.push_back(guess);
        choose(finds, ahead, guess);
      }
      std::vector<Inspection> results(together.size());
      evaluator.run(static_cast<int>(together.size()), [&](int job, int worker) {
        const Find& find = finds[together[static_cast<std::size_t>(job)]];
        Workspace& space = spaces[static_cast<std::size_t>(worker)];
        const Branch& branch = task.branches[static_cast<std::size_t>(find.branch)];
        evaluate(task, branch, find.point, space.work, space.draft, space.variant);
        const Design design = make_candidate_design(task, branch, find, space.variant);
        Inspection& result = results[static_cast<std::size_t>(job)];
        result = inspect(design, 1);  // a quick nest: the chosen get the usual one
        // Which edges were made by trimming only the search knows.
        result.design.score.joint_cover = design.score.joint_cover;
        if (result.buildable())
          measure_assembly(result.design, {.most_hard_steps = find_most_hard_steps(task.goals)});
        result.design.score.appeal = measure_appeal(result.design.score, task.goals.taste);
      });
      for (std::size_t i = 0; i < together.size(); ++i)
        inspected[together[i]] = std::move(results[i]);
    }
    Inspection& inspection = inspected.at(next);
    const auto keeps_bounds = [&] {
      return measure_shortfall(task.goals, inspection.design.score) == 0;
    };
    const bool goes_together =
        inspection.design.score.hard_steps <= find_most_hard_steps(task.goals);
    if (inspection.buildable() && !goes_together) {
      ++choice.not_going_together;
      inspection.faults.push_back(
          "it does not go together without steps that have no way in (--limit 'hard_steps<=20' "
          "lists such designs)");
    }
    bool is_within = keeps_bounds();
    if (inspection.buildable() && !is_within) {
      // No bound on sheets refuses a design before the usual nest has.
      measure_stock_use(inspection.design, 2).put_into(inspection.design.score);
      is_within = keeps_bounds();
    }
    if (!inspection.buildable() || !is_within) {
      looks[next].gone = true;
      const Branch& branch = task.branches[static_cast<std::size_t>(finds[next].branch)];
      choice.refused.push_back(branch.symmetry + ", " + branch.plane + ", " + branch.family + ": " +
                               (inspection.buildable()
                                    ? "a criterion lies outside the limits given for it"
                                    : inspection.faults.front()));
      continue;
    }
    const Look seen = find_look(inspection.design);
    if (std::any_of(chosen_looks.begin(), chosen_looks.end(), [&](const Look& other) {
          return measure_look_difference(seen, other) < looks_alike;
        })) {
      looks[next].gone = true;
      ++choice.duplicates;
      continue;
    }
    chosen_looks.push_back(seen);
    small += looks[next].is_small;
    choice.duplicates += choose(finds, looks, next);
    if (small == most_small) drop_small(looks);
    choice.candidates.push_back({finds[next], inspection.design, looks[next].signature, {}, {}});
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

Choice choose_candidates(const SearchTask& task, const std::vector<Pool>& pools,
                         Evaluator& evaluator) {
  Choice choice;
  Pool all = merge_pools(pools);
  choose_candidates(task, std::move(all.finds), evaluator, choice);
  // Where nothing rigid is in reach, as in most Cn, what moves is better than nothing.
  if (choice.candidates.empty()) {
    SearchTask movable = task;
    movable.limits.allow_flexible = true;
    choose_candidates(movable, std::move(all.movable), evaluator, choice);
    choice.only_flexible = !choice.candidates.empty();
  }
  evaluator.run(static_cast<int>(choice.candidates.size()), [&](int job, int) {
    Design& design = choice.candidates[static_cast<std::size_t>(job)].design;
    measure_stock_use(design, 2).put_into(design.score);
  });
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
  return choice;
}

std::vector<std::string> explain_nothing_found(const SearchTask& task, const Tally& tally) {
  std::vector<std::string> sentences;
  sentences.push_back("None of " + std::to_string(tally.evaluated) +
                      " variants keeps all limits. They were turned down because");
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
  if (tally.nearest.point.empty()) return sentences;

  const Branch& branch = task.branches[static_cast<std::size_t>(tally.nearest.branch)];
  VariantWorkspace work;
  Draft draft;
  Variant variant;
  evaluate(task, branch, tally.nearest.point, work, draft, variant);
  const Score& score = variant.score;
  const Limits& limits = task.limits;
  std::string miss = describe(variant.status);
  const auto compare = [](const char* what, double value, const char* unit, double limit) {
    return std::string(what) + " is " + format("%.3g", value) + unit + ", the limit " +
           format("%.3g", limit) + unit;
  };
  switch (variant.status) {
    case Status::short_joint:
      miss = compare("its shortest joint", score.shortest_joint_mm, " mm", limits.min_joint_mm);
      break;
    case Status::clearance:
      miss = compare("the least distance of panels that are not joined", score.min_clearance_mm,
                     " mm", limits.thickness_mm);
      break;
    case Status::narrow:
      miss = compare("its thinnest place", score.min_width_mm, " mm", limits.min_width_mm);
      break;
    case Status::joints:
      miss = compare("its number of joints", score.joints, "", limits.max_joints);
      break;
    case Status::diameter:
      miss = compare("its diameter", score.diameter_mm, " mm", limits.min_diameter_mm);
      break;
    case Status::weak:
      miss = compare("its stiffness", score.stiffness, "", limits.min_stiffness);
      break;
    case Status::flexible:
      miss = "it moves, with " + std::to_string(score.internal_dof) +
             " internal degrees of freedom (--allow-flexible lists such designs)";
      break;
    case Status::angle:
      miss = score.min_angle_deg < limits.min_angle_deg
                 ? compare("its least plane angle", score.min_angle_deg, " degrees",
                           limits.min_angle_deg)
                 : compare("its largest plane angle", score.max_angle_deg, " degrees",
                           limits.max_angle_deg);
      break;
    case Status::ok:
      for (const Bound& bound : task.goals.bounds) {
        const double value = bound.criterion->measure(score);
        if (value < bound.low) miss = compare(bound.criterion->name.c_str(), value, "", bound.low);
        if (value > bound.high)
          miss = compare(bound.criterion->name.c_str(), value, "", bound.high);
      }
      break;
    default:
      break;
  }
  sentences.push_back("The nearest miss was of group " + branch.symmetry + ", plane " +
                      branch.plane + ", family " + branch.family + ", " +
                      std::to_string(score.panels) + " panels: " + miss + ".");
  return sentences;
}

}  // namespace sixtyfold
