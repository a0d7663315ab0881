#include "tools/commands/find_alike.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <iostream>
#include <optional>
#include <utility>

#include "engine/text.h"
#include "results/files/file.h"
#include "results/files/picks_json.h"
#include "results/files/run_output.h"
#include "results/files/version.h"
#include "results/reports/progress.h"
#include "search/alike/fit.h"
#include "search/run/run_context.h"
#include "tools/commands/given_design.h"
#include "tools/commands/search_run.h"
#include "tools/commands/stop_on_signal.h"
#include "tools/options/arguments.h"
#include "tools/options/options.h"

namespace sixtyfold {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_parents = 100;
constexpr int most_relatives = 1000;
constexpr double most_of_another_look = 0.02;  // of a file beside what its recipe makes
constexpr double least_fit = 0.5;              // look that a design without a recipe is fitted with

/// A design to start from, before its branch is looked up.
struct Named {
  std::string name;
  Recipe recipe;
  std::optional<Design> given = std::nullopt;  ///< where the recipe was fitted to it
};

void add_once(std::vector<std::string>& list, const std::string& word) {
  if (std::find(list.begin(), list.end(), word) == list.end()) list.push_back(word);
}

std::string describe_kind(const Recipe& recipe) {
  return recipe.symmetry + ", " + recipe.plane + ", " + recipe.family;
}

Parent find_parent(const SearchTask& task, const Named& named);

/// Whether the design is what its recipe makes, not tuned or drawn anew since.
bool makes(const Recipe& recipe, const Design& design, const std::string& path,
           const Limits& limits) {
  if (recipe.plane.empty() || recipe.family.empty()) return false;
  SearchTask task;
  task.branches = find_branches({{recipe.symmetry}, {recipe.plane}, {recipe.family}}, limits);
  task.limits = limits;
  const Parent parent = find_parent(task, {path, recipe});
  return measure_look_distance(design, make_parent_design(task, parent)) <= most_of_another_look;
}

/// A recipe for a design without one, near enough that designs at the distance asked for can be
/// reached from it.
Named make_fitted(const Design& design, const std::string& path, const RunPlan& plan, double near,
                  Evaluator& evaluator) {
  const std::string own = path + ": holds no recipe of the search (it was tuned or drawn), and ";
  Inspection inspection = inspect(design, 1);
  if (!inspection.geometry_faults.empty())
    throw std::invalid_argument(path + ": can not be built: " + inspection.geometry_faults.front());
  std::optional<Fit> fit;
  try {
    fit = find_fit(inspection.design, plan.limits, plan.seed, evaluator);
  } catch (const std::invalid_argument& fault) {
    throw std::invalid_argument(path + ": " + fault.what());
  }
  if (!fit || !(fit->look >= least_fit))
    throw std::invalid_argument(
        own +
        (fit ? format("the nearest that a search can draw keeps %.2f of its look; %.2f is "
                      "needed",
                      fit->look, least_fit)
             : format("no search draws %zu panels like it under these limits",
                      design.orbits.front().copies.size())) +
        "; `sixtyfold tune` changes such a design");
  if (!(1 - fit->look <= near))
    throw std::invalid_argument(
        own + format("the nearest that a search can draw lies %.2f away; ask for --near %.2f or "
                     "more",
                     1 - fit->look, std::ceil(100 * (1 - fit->look)) / 100));
  std::cout << path << format(": fitted, look %.2f of 1", fit->look) << " ("
            << describe_kind(fit->recipe) << ").\n";
  return {path, fit->recipe, std::move(fit->given)};
}

/// The recipes of files and picks; the rejected ones come back in `rejected`.
std::vector<Named> read_recipes(const LikeChoice& choice, const RunPlan& plan,
                                std::vector<Named>& rejected, Evaluator& evaluator) {
  std::vector<Named> all;
  for (const std::string& path : choice.like) {
    const Design design = read_given_design(path, {});
    if (makes(design.recipe, design, path, plan.limits))
      all.push_back({path, design.recipe});
    else
      all.push_back(make_fitted(design, path, plan, choice.options.near, evaluator));
  }
  if (choice.picks.empty()) return all;
  const Picks picks = read_picks_json(read_file(choice.picks), choice.picks);
  int number = 0;
  const auto is_same = [](const Recipe& a, const Recipe& b) {
    return a.symmetry == b.symmetry && a.plane == b.plane && a.family == b.family &&
           a.parameters == b.parameters;
  };
  for (const Recipe& recipe : picks.picked) {
    ++number;
    for (const Recipe& other : picks.rejected)
      if (is_same(recipe, other))
        throw std::invalid_argument(choice.picks + format(": pick %d is rejected, too", number));
    if (std::none_of(all.begin(), all.end(),
                     [&](const Named& one) { return is_same(one.recipe, recipe); }))
      all.push_back({format("pick %d", number), recipe});
  }
  for (const Recipe& recipe : picks.rejected) rejected.push_back({"a rejected one", recipe});
  if (picks.picked.empty()) throw std::invalid_argument(choice.picks + ": nothing is picked in it");
  return all;
}

bool has_branch(const SearchTask& task, const Named& named) {
  return std::any_of(task.branches.begin(), task.branches.end(), [&](const Branch& branch) {
    return branch.symmetry == named.recipe.symmetry && branch.plane == named.recipe.plane &&
           branch.family == named.recipe.family;
  });
}

Parent find_parent(const SearchTask& task, const Named& named) {
  for (std::size_t b = 0; b < task.branches.size(); ++b) {
    const Branch& branch = task.branches[b];
    if (branch.symmetry != named.recipe.symmetry || branch.plane != named.recipe.plane ||
        branch.family != named.recipe.family)
      continue;
    if (named.recipe.parameters.size() != static_cast<std::size_t>(branch.dimension()))
      throw std::invalid_argument(format("%s: its recipe has %zu numbers; %s has %d",
                                         named.name.c_str(), named.recipe.parameters.size(),
                                         describe_kind(named.recipe).c_str(), branch.dimension()));
    if (const std::string fault = find_fault(branch, named.recipe.parameters); !fault.empty())
      throw std::invalid_argument(named.name + ": " + fault);
    return {named.name,
            {static_cast<int>(b), to_unit_point(branch, named.recipe.parameters)},
            named.given};
  }
  throw std::invalid_argument(named.name + ": the limits leave no design of its kind (" +
                              describe_kind(named.recipe) + ")");
}

Choice make_choice(const Relatives& relatives, const std::vector<Parent>& parents) {
  Choice choice;
  choice.considered = relatives.feasible;
  choice.refused = relatives.refused;
  for (const Relative& relative : relatives.found) {
    Candidate candidate;
    candidate.find = relative.find;
    candidate.design = relative.design;
    candidate.why = relative.changes;
    candidate.why.insert(
        candidate.why.begin(),
        format("like %s (%.2f away)",
               parents[static_cast<std::size_t>(relative.parent)].name.c_str(), relative.distance));
    std::string sentence;
    for (const std::string& part : candidate.why) sentence += (sentence.empty() ? "" : ", ") + part;
    candidate.reasons.push_back(sentence);
    choice.candidates.push_back(std::move(candidate));
  }
  return choice;
}

Pool make_pool(const SearchTask& task, const Relatives& relatives) {
  Pool pool;
  pool.seed = task.seed;
  pool.tally.evaluated = relatives.evaluated;
  pool.tally.feasible = relatives.feasible;
  pool.evaluated_by_branch.resize(task.branches.size());
  pool.found_by_branch.resize(task.branches.size());
  for (const Relative& relative : relatives.found) {
    pool.finds.push_back(relative.find);
    ++pool.found_by_branch[static_cast<std::size_t>(relative.find.branch)];
  }
  return pool;
}

}  // namespace

std::vector<CLI::Option*> add_like_options(CLI::App& command, LikeChoice& choice) {
  std::vector<CLI::Option*> added;
  added.push_back(command
                      .add_option("--like", choice.like,
                                  "a design to find more like, under its own limits unless others "
                                  "are given; one that was tuned or drawn is fitted first; may be "
                                  "repeated. --count is then how many like each, default 10")
                      ->type_name("DESIGN.json"));
  added.push_back(command
                      .add_option("--unlike", choice.unlike,
                                  "a design that nothing found may look like; may be repeated")
                      ->type_name("DESIGN.json"));
  added.push_back(command
                      .add_option("--picks", choice.picks,
                                  "picks of a map (`sixtyfold explore`): more like what was "
                                  "picked, unlike what was rejected")
                      ->type_name("picks.json"));
  added.push_back(add_parsed_option(
      command, "--near", "SHARE",
      [&choice](const std::string& text) {
        choice.options.near = parse_number(text, {0.02, 0.9});
      },
      "how far from the design, 1 less the look that `tune --keep-look` keeps; default 0.3"));
  for (CLI::Option* option : added) option->group("More like this");
  return added;
}

LikeRun prepare_like(RunPlan plan, const LikeChoice& choice, const LimitChanges& changes,
                     Evaluator& evaluator) {
  std::vector<Named> rejected;
  const std::vector<Named> named = read_recipes(choice, plan, rejected, evaluator);
  plan.choice = {};
  plan.choice.symmetries.clear();
  for (const std::vector<Named>* list : {&named, &std::as_const(rejected)})
    for (const Named& one : *list) {
      add_once(plan.choice.symmetries, one.recipe.symmetry);
      add_once(plan.choice.planes, one.recipe.plane);
      add_once(plan.choice.families, one.recipe.family);
    }
  if (named.size() > most_parents)
    throw std::invalid_argument(format("%zu designs are given to be like; allowed are %zu at once",
                                       named.size(), most_parents));
  for (const std::string& path : choice.unlike)
    if (std::find(choice.like.begin(), choice.like.end(), path) != choice.like.end())
      throw std::invalid_argument(path + " is given to be like and to be unlike");
  if (!(plan.count <= most_relatives))
    throw std::invalid_argument(
        format("--count is %d; like each design 1 to %d can be found", plan.count, most_relatives));
  LikeRun run;
  run.task = make_task(plan);
  for (const Named& one : named) run.parents.push_back(find_parent(run.task, one));
  for (const std::string& path : choice.unlike)
    run.unlike.push_back(read_given_design(path, changes));
  for (const Named& one : rejected)  // what the limits leave no kind of can not be found either
    if (has_branch(run.task, one))
      run.unlike.push_back(make_parent_design(run.task, find_parent(run.task, one)));
  run.options = choice.options;
  run.options.each = plan.count;
  run.options.budget = plan.budget;
  run.plan = std::move(plan);
  return run;
}

void search_like(LikeRun& run, Evaluator& evaluator, bool quiet, SoFar* so_far) {
  RunContext context;
  const StopOnSignal guard(context.stop);
  Progress progress(std::cerr, Progress::find_style(quiet));
  run.reason = EndReason::budget_spent;
  std::size_t listed = 0;
  run.relatives = find_alike(
      run.task, run.parents, run.unlike, run.options, evaluator, [&](const Relatives& now) {
        ProgressState state;
        state.seconds = context.elapsed_s();
        state.share_done = std::min(
            1.0, static_cast<double>(now.found.size()) / static_cast<double>(run.wanted()));
        state.variants = now.evaluated;
        state.feasible = now.feasible;
        state.best = format("%zu designs", now.found.size());
        progress.show(state);
        if (so_far) {
          if (now.found.size() > listed) so_far->list(make_choice(now, run.parents).candidates);
          listed = now.found.size();
          so_far->tell({state.seconds, state.share_done, state.variants, state.feasible});
        }
        if (context.stop.load()) run.reason = EndReason::stopped;
        if (run.plan.time_limit_s > 0 && state.seconds >= run.plan.time_limit_s)
          run.reason = EndReason::time_up;
        return run.reason == EndReason::budget_spent;
      });
  run.seconds = context.elapsed_s();
}

std::string LikeRun::tell_end() const {
  if (is_full()) return "all that was asked for was found";
  const bool has_budget_left = options.budget == 0 || relatives.evaluated < options.budget;
  return reason == EndReason::budget_spent && has_budget_left
             ? "nothing more was found in this neighbourhood"
             : describe(reason);
}

std::string explain_nothing_like(const LikeRun& run) {
  return "Nothing like " + (run.parents.size() == 1 ? run.parents[0].name : "these") +
         format(
             " keeps the limits %.2f away: of %llu variants %llu did, and none of them is as far "
             "as "
             "that, passes the check and goes together.\n",
             run.options.near, static_cast<unsigned long long>(run.relatives.evaluated),
             static_cast<unsigned long long>(run.relatives.feasible));
}

ExitStatus carry_out_like(LikeRun run, const SearchRunOptions& options, Evaluator& evaluator) {
  const std::string& folder = options.folder;
  RunRecord record;
  record.command = options.command;
  record.started = tell_time();
  record.version = program_version();
  record.seed = run.plan.seed;
  record.threads = evaluator.threads();
  make_folder(folder);
  const FolderLock lock(folder);
  std::optional<SoFar> so_far;
  if (options.live) so_far.emplace(folder, run.plan.material, evaluator);
  search_like(run, evaluator, options.quiet, so_far ? &*so_far : nullptr);
  record.seconds = run.seconds;
  record.variants = run.relatives.evaluated;
  record.feasible = run.relatives.feasible;
  record.why_ended = run.tell_end();
  const std::vector<Pool> pools = {make_pool(run.task, run.relatives)};
  Choice listed = make_choice(run.relatives, run.parents);
  write_run_output(folder, {run.plan, run.task, pools, listed, record, evaluator});
  if (so_far) so_far->end(listed.candidates, {run.seconds, 1, record.variants, record.feasible});
  if (listed.candidates.empty()) {
    std::cout << explain_nothing_like(run);
    return ExitStatus::nothing_found;
  }
  print_ranking(folder, run.plan.limits, listed, run.reason == EndReason::stopped);
  if (!run.is_full())
    std::cout << "Fewer than the " << run.wanted() << " asked for: " << record.why_ended << ".\n";
  return ExitStatus::ok;
}

}  // namespace sixtyfold
