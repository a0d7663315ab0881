#include "tools/commands/search_run.h"

#include <sys/resource.h>

#include <algorithm>
#include <cstdio>
#include <ctime>
#include <iostream>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>

#include "engine/building/size_limit.h"
#include "engine/text.h"
#include "results/files/file.h"
#include "results/files/run_output.h"
#include "results/files/run_plan_json.h"
#include "results/files/state_file.h"
#include "results/files/version.h"
#include "search/choose/live_list.h"
#include "search/run/pool_check.h"
#include "search/run/run.h"
#include "tools/commands/stop_on_signal.h"

namespace sixtyfold {

namespace {

/// What writing left when an earlier part of the run was killed; nobody else's files.
void remove_leftovers(const std::filesystem::path& folder) {
  std::vector<std::filesystem::path> leftovers;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    const std::string name = entry.path().filename().string();
    const std::string written = name.substr(0, name.find(".", name.find('.') + 1));
    if (is_run_file(written) && is_leftover_of(name, written)) leftovers.push_back(entry.path());
  }
  for (const auto& path : leftovers) std::filesystem::remove(path);
}

/// `choice` is given the list.
ExitStatus finish(const std::filesystem::path& folder, const RunPlan& plan, const SearchTask& task,
                  const std::vector<Pool>& pools, RunRecord record, Evaluator& evaluator,
                  bool is_partial, Choice& choice) {
  choice = choose_candidates(task, pools, evaluator);
  const Tally tally = merge_pools(pools).tally;
  record.version = program_version();
  record.seed = plan.seed;
  record.threads = evaluator.threads();
  record.variants = tally.evaluated;
  record.feasible = tally.feasible;
  write_run_output(folder, {plan, task, pools, choice, record, evaluator});
  if (const std::string reason = explain_left_out(plan); !reason.empty())
    std::cout << reason << "\n";
  if (!choice.candidates.empty()) {
    print_ranking(folder.string(), plan.limits, choice, is_partial);
    if (choice.only_flexible)
      std::cout << "Nothing rigid was found in " << tally.evaluated
                << " variants; these keep all other limits but move.\n";
    if (choice.candidates.size() < static_cast<std::size_t>(plan.count) && !is_partial)
      std::cout << "Fewer than the " << plan.count << " asked for: of " << choice.considered
                << " feasible finds " << choice.duplicates
                << " look like a better one, and the independent check refused "
                << choice.refused.size() << ", " << choice.not_going_together
                << " of them because they do not go together.\n";
    return ExitStatus::ok;
  }
  for (const std::string& sentence : explain_nothing_found(task, tally))
    std::cout << sentence << "\n";
  if (!choice.refused.empty())
    std::cout << choice.refused.size()
              << " kept the limits but were refused by the independent check: "
              << choice.refused.front() << "\n";
  return ExitStatus::nothing_found;
}

}  // namespace

void print_ranking(const std::string& folder, const Limits& limits, const Choice& choice,
                   bool is_partial) {
  std::cout << tell_board(limits) << ".\n"
            << (is_partial ? "Stopped early. What was found so far, best first:\n"
                           : "Found, best first:\n");
  int rank = 0;
  for (const Candidate& candidate : choice.candidates) {
    const Score& score = candidate.design.score;
    std::cout << "  " << candidate_file_name(++rank, "svg") << "  " << candidate.design.name << ", "
              << candidate.design.symmetry << ": " << score.panels << " panels, " << score.joints
              << " joints, " << format("%.2f m", score.diameter_mm / 1000)
              << (is_as_large_as_allowed(candidate.design) ? " (the most allowed)" : "");
    if (score.sheets > 0)
      std::cout << ", " << score.sheets << (score.sheets == 1 ? " sheet" : " sheets");
    if (score.cost > 0) std::cout << format(", board %.2f", score.cost);
    if (score.internal_dof > 0)
      std::cout << ", flexible: " << score.internal_dof << " internal degrees of freedom";
    std::cout << format(", quality %.2f", candidate.find.outcome.quality) << "\n";
    if (candidate.why.empty()) continue;
    std::cout << "           ";
    for (std::size_t i = 0; i < candidate.why.size(); ++i)
      std::cout << (i > 0 ? ", " : "") << candidate.why[i];
    std::cout << "\n";
  }
  std::cout << "Drawings and design files: " << folder << "\n";
}

std::string tell_board(const Limits& limits) {
  return format("Board %.0f x %.0f mm, %g mm thick; at most %.2f m across", limits.sheet_width_mm,
                limits.sheet_height_mm, limits.thickness_mm, limits.max_diameter_mm / 1000);
}

std::string choose_folder(const std::string& given) {
  namespace fs = std::filesystem;
  if (given.empty()) {
    for (int number = 1;; ++number) {
      char name[40];
      std::snprintf(name, sizeof name, "find-%03d", number);
      if (!fs::exists(name)) return name;
    }
  }
  if (fs::exists(given) && !fs::is_directory(given))
    throw std::invalid_argument("--out is '" + given + "', which is a file; a folder is needed");
  if (fs::exists(given) && !fs::is_empty(given))
    throw std::invalid_argument(
        "--out is '" + given + "', which is not empty; give a new folder" +
        (fs::exists(fs::path(given) / state_file_name(StateKind::checkpoint))
             ? ", or `sixtyfold find --resume " + given + "` to go on with the run stopped there"
             : ""));
  return given;
}

std::string tell_time() {
  const std::time_t now = std::time(nullptr);
  char text[40];
  std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%S%z", std::localtime(&now));
  return text;
}

SoFarState tell_state(const Run& run, const RunPlan& plan, const RunContext& context) {
  const Tally tally = run.tally();
  SoFarState state;
  state.seconds = context.elapsed_s();
  const double by_time = plan.time_limit_s > 0 ? state.seconds / plan.time_limit_s : 0;
  const double by_budget =
      plan.budget > 0 ? static_cast<double>(tally.evaluated) / static_cast<double>(plan.budget) : 0;
  state.share_done = std::min(1.0, std::max(by_time, by_budget));
  state.variants = tally.evaluated;
  state.feasible = tally.feasible;
  return state;
}

EndReason watch_run(Run& run, const RunPlan& plan, Evaluator& evaluator, RunContext& context,
                    bool quiet, const std::function<void()>& between, SoFar* so_far) {
  const StopOnSignal guard(context.stop);
  std::atomic<bool> is_asked{false};
  const AskOnSignal asking(is_asked);
  Progress progress(std::cerr, Progress::find_style(quiet));
  std::string listed;
  LiveList lists(run, evaluator, context, [&](const Choice& best) {
    if (so_far) so_far->list(best.candidates);
    listed = format("%.2f, %zu listed", best.candidates.front().find.outcome.quality,
                    best.candidates.size());
  });
  return run.go_on(evaluator, context, [&] {
    between();
    if (is_asked.exchange(false)) lists.ask();
    // Lists take time that a budget of variants does not have to pay for.
    if (so_far || (plan.time_limit_s > 0 && !quiet)) lists.after_round();
    const SoFarState now = tell_state(run, plan, context);
    if (so_far) so_far->tell(now);
    ProgressState state;
    state.seconds = now.seconds;
    state.share_done = now.share_done;
    state.variants = now.variants;
    state.feasible = now.feasible;
    state.best = listed.empty() ? format("quality %.2f", run.best_quality()) : listed;
    progress.show(state);
  });
}

namespace {

void print_stats(const Run& run, const Evaluator& evaluator, double seconds) {
  const Tally tally = run.tally();
  const StageTimes times = run.stage_times();
  double all = 0;
  for (const double part : times.seconds) all += part;
  const auto evaluated = static_cast<double>(tally.evaluated);
  std::cout << format("%.0f variants a second", evaluated / seconds) << " on "
            << evaluator.threads() << (evaluator.threads() == 1 ? " thread" : " threads")
            << format("; scoring took %.0f %% of the threads' time, ",
                      100 * all / (seconds * evaluator.threads()))
            << format("%.1f us a variant\n", 1e6 * all / evaluated)
            << "stage      came to it  turned down  us each  share of time\n";
  for (std::size_t i = 0; i < StageTimes::count; ++i) {
    const auto came = static_cast<double>(times.variants[i]);
    char line[120];
    std::snprintf(line, sizeof line, "%-10s %10.0f  %10.1f%%  %7.2f  %12.1f%%\n",
                  name_of(static_cast<Stage>(i)).c_str(), came,
                  came > 0 ? 100 * static_cast<double>(times.turned_down[i]) / came : 0.0,
                  came > 0 ? 1e6 * times.seconds[i] / came : 0.0,
                  all > 0 ? 100 * times.seconds[i] / all : 0.0);
    std::cout << line;
  }
  if (const auto outdone = tally.by_status[static_cast<std::size_t>(Status::outdone)]; outdone > 0)
    std::cout << format("%.1f%% of all were ended before all was measured: ",
                        100 * static_cast<double>(outdone) / evaluated)
              << describe(Status::outdone) << '\n';
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  std::cout << format("most memory in use: %.0f MB\n", static_cast<double>(usage.ru_maxrss) / 1024);
}

}  // namespace

ExitStatus carry_out_run(const RunPlan& plan, bool resume, const SearchRunOptions& options) {
  const std::filesystem::path folder = options.folder;
  Run run(plan);
  Evaluator evaluator(options.threads);
  RunContext context;
  RunRecord record;
  record.command = options.command;
  record.started = tell_time();
  if (!resume) make_folder(folder);
  const FolderLock lock(folder);
  if (resume) {
    StateFile file = read_state_file(folder, StateKind::checkpoint);
    run.exchange(file.state);
    if (!file.state.at_end())
      throw std::invalid_argument((folder / state_file_name(StateKind::checkpoint)).string() +
                                  ": is longer than a checkpoint of this run can be");
    for (const Pool& pool : run.make_pools())
      if (const std::string fault = find_pool_fault(run.task(), pool); !fault.empty())
        throw std::invalid_argument((folder / state_file_name(StateKind::checkpoint)).string() +
                                    ": " + fault);
    context.earlier_s = file.elapsed_s;
    remove_leftovers(folder);
  } else if (!std::filesystem::is_empty(folder)) {
    throw std::invalid_argument(folder.string() +
                                ": another run has just begun in this folder; give another one");
  }
  const auto store_checkpoint = [&] {
    State state;
    run.exchange(state);
    write_state_file(folder, StateKind::checkpoint, plan, context.elapsed_s(), state);
  };

  if (options.stats) run.watch_stages();
  double stored_s = context.elapsed_s();
  // A run that is killed before its first interval is over can be resumed, too.
  if (!resume && options.checkpoint_s > 0) store_checkpoint();
  std::optional<SoFar> so_far;
  if (options.live) so_far.emplace(folder, plan.material, evaluator);
  const EndReason reason = watch_run(
      run, plan, evaluator, context, options.quiet,
      [&] {
        const double now_s = context.elapsed_s();
        if (options.checkpoint_s > 0 && now_s - stored_s >= options.checkpoint_s) {
          stored_s = now_s;
          store_checkpoint();
        }
      },
      so_far ? &*so_far : nullptr);
  if (reason == EndReason::stopped) store_checkpoint();
  record.seconds = context.elapsed_s();
  record.why_ended = describe(reason);
  if (options.stats) print_stats(run, evaluator, record.seconds);
  const bool is_partial = reason == EndReason::stopped;
  Choice choice;
  const ExitStatus status =
      finish(folder, plan, run.task(), run.make_pools(), record, evaluator, is_partial, choice);
  if (so_far) so_far->end(choice.candidates, tell_state(run, plan, context));
  if (is_partial) {
    std::cout << "`sixtyfold find --resume " << folder.string() << "` goes on from here.\n";
  } else {
    sync_folder(folder);  // the checkpoint goes when all that came of it is safe
    std::filesystem::remove(folder / state_file_name(StateKind::checkpoint));
  }
  return status;
}

namespace {

/// "shards 2 and 5 of 8 are missing"; empty when there are none.
std::string list_missing_shards(int streams, const std::set<int>& shards) {
  std::vector<int> missing;
  if (shards.empty()) return "";
  for (int shard = 1; shard <= streams; ++shard)
    if (shards.count(shard) == 0) missing.push_back(shard);
  if (missing.empty()) return "";
  std::string text = missing.size() == 1 ? "shard " : "shards ";
  constexpr std::size_t most_named = 10;
  for (std::size_t k = 0; k < std::min(missing.size(), most_named); ++k)
    text += (k == 0 ? "" : ", ") + std::to_string(missing[k]);
  if (missing.size() > most_named) text += format(" and %zu more", missing.size() - most_named);
  return text + format(" of %d ", streams) + (missing.size() == 1 ? "is missing" : "are missing");
}

}  // namespace

ExitStatus merge_runs(const std::vector<std::string>& folders, const SearchRunOptions& options) {
  const auto began = std::chrono::steady_clock::now();
  RunRecord record;
  record.command = options.command;
  record.started = tell_time();
  RunPlan plan;
  std::vector<Pool> pools;
  std::vector<std::pair<int, std::string>> order;
  std::vector<StateFile> files;
  for (const std::string& folder : folders) {
    files.push_back(read_state_file(folder, StateKind::finds));
    order.push_back({files.back().plan.shard, folder});
  }
  // Shards in their own order, whatever the order they are named in.
  std::vector<std::size_t> numbers(files.size());
  for (std::size_t i = 0; i < numbers.size(); ++i) numbers[i] = i;
  std::stable_sort(numbers.begin(), numbers.end(),
                   [&](std::size_t a, std::size_t b) { return order[a].first < order[b].first; });
  std::string first_text;
  int previous_shard = 0;
  std::set<int> shards;
  std::vector<std::string> pool_folders;
  for (const std::size_t i : numbers) {
    RunPlan alike = files[i].plan;
    const bool is_whole = alike.shard == 0;
    if (alike.shard != 0 && alike.shard == previous_shard)
      throw std::invalid_argument(order[i].second + ": shard " + std::to_string(alike.shard) +
                                  " is given twice");
    previous_shard = alike.shard;
    alike.shard = 0;
    const std::string text = write_run_plan_json(alike).dump();
    if (first_text.empty()) {
      first_text = text;
      plan = alike;
    } else if (text != first_text) {
      throw std::invalid_argument(order[i].second + ": was searched under other options than " +
                                  order[numbers.front()].second +
                                  "; only runs of the same limits, goals and seed can be merged");
    }
    if (is_whole && files.size() > 1)
      throw std::invalid_argument(order[i].second +
                                  ": holds a whole run, which has nothing to be merged with; "
                                  "shards are begun with --shard");
    std::vector<Pool> some;
    files[i].state.exchange(some);
    if (!files[i].state.at_end())
      throw std::invalid_argument(order[i].second + ": finds.state is longer than its finds");
    if (files[i].plan.shard > 0) shards.insert(files[i].plan.shard);
    pool_folders.insert(pool_folders.end(), some.size(), order[i].second);
    pools.insert(pools.end(), some.begin(), some.end());
  }
  const SearchTask task = make_task(plan);
  for (std::size_t i = 0; i < pools.size(); ++i)
    if (const std::string fault = find_pool_fault(task, pools[i]); !fault.empty())
      throw std::invalid_argument(pool_folders[i] + ": finds.state " + fault +
                                  "; was it written by another version?");
  if (const std::string missing = list_missing_shards(plan.streams, shards); !missing.empty())
    std::cerr << "Note: " << missing << ".\n";
  Evaluator evaluator(options.threads);
  make_folder(options.folder);
  const FolderLock lock(options.folder);
  record.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
  record.why_ended = std::to_string(folders.size()) + " runs were merged";
  Choice choice;
  return finish(options.folder, plan, task, pools, record, evaluator, false, choice);
}

}  // namespace sixtyfold
