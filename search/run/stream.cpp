#include "search/run/stream.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>

#include "engine/random.h"
#include "search/keep/archive.h"
#include "search/keep/quality_gate.h"
#include "search/propose/bandit.h"
#include "search/propose/cell_filler.h"
#include "search/propose/pareto_leaders.h"
#include "search/propose/proposer.h"
#include "search/propose/refine.h"

namespace sixtyfold {

namespace {

constexpr int round_size = 1024, chunk_size = 32;
constexpr int refined_at_once = 16;
// Of a Pareto run: leaders learn after each batch, and have this share of it.
constexpr std::uint64_t batch_size = 128;
constexpr double led_share = 0.72;
constexpr std::size_t most_in_front = 400;
constexpr double gain_memory = 0.9;  // a round

/// Hypervolume of the front, with the box between the criteria's worst and best as 1; a front
/// better than their best has more.
double measure_share(const Goals& goals, const std::vector<Find>& front) {
  Objectives reference;
  std::vector<Objectives> points;
  reference.assign(goals.pareto.size(), 1);
  for (const Find& find : front) {
    Objectives point;
    for (std::size_t k = 0; k < goals.pareto.size(); ++k) {
      const Criterion& criterion = *goals.pareto[k];
      const double value = find.outcome.objectives[k] * (criterion.more_is_better() ? -1 : 1);
      point.push_back((value - criterion.best) / (criterion.worst - criterion.best));
    }
    points.push_back(point);
  }
  return points.empty() ? 0 : measure_hypervolume(find_within(points, reference), reference);
}

/// Keeps all limits but is not rigid: such an outcome alone has measures without being feasible.
bool is_movable(const Trial& trial) {
  return !trial.outcome.feasible() && !trial.outcome.measures.empty();
}

/// What one worker needs.
struct Workspace {
  VariantWorkspace work;
  Draft draft;
  Variant variant;
  StageClock clock;
};

}  // namespace

void CurveRow::exchange(State& state) {
  state.exchange(evaluated);
  state.exchange(feasible);
  state.exchange(coverage);
  state.exchange(qd_score);
  state.exchange(best);
  state.exchange(hypervolume);
}

void Tally::exchange(State& state) {
  for (std::uint64_t& count : by_status) state.exchange(count);
  state.exchange(out_of_bounds);
  state.exchange(nearest);
  state.exchange(evaluated);
  state.exchange(feasible);
}

void Tally::add(const Tally& other) {
  for (std::size_t i = 0; i < by_status.size(); ++i) by_status[i] += other.by_status[i];
  out_of_bounds += other.out_of_bounds;
  evaluated += other.evaluated;
  feasible += other.feasible;
  if (!other.nearest.point.empty() &&
      (nearest.point.empty() || other.nearest.outcome.violation < nearest.outcome.violation))
    nearest = other.nearest;
}

void Pool::exchange(State& state) {
  state.exchange(finds);
  state.exchange(movable);
  state.exchange(curve);
  state.exchange(evaluated_by_branch);
  state.exchange(found_by_branch);
  state.exchange(tally);
  state.exchange(seed);
}

struct Stream::Inside {
  /// One branch: three proposers that learn from each other, and a bandit between them; in a Pareto
  /// run the archives alone are used.
  struct Arm {
    std::vector<std::unique_ptr<Proposer>> proposers;
    Bandit methods;
    GridArchive archive;
    GridArchive movable;  ///< what keeps all limits but moves
    std::uint64_t evaluated = 0, found = 0;

    Arm(int dimension, std::uint64_t seed)
        : methods(static_cast<int>(std::size(all_methods)), {0.97, 0.3}),
          archive(archive_cells),
          movable(archive_cells) {
      for (const Method method : all_methods)
        proposers.push_back(make_proposer(method, {dimension, seed, 0, archive_cells}));
    }
    void exchange(State& state) {
      for (const auto& proposer : proposers) state.exchange(*proposer);
      state.exchange(methods);
      state.exchange(archive);
      state.exchange(movable);
      state.exchange(evaluated);
      state.exchange(found);
    }
  };

  const SearchTask& task;
  std::vector<Arm> arms;
  Bandit branches;
  ParetoLeaders leaders;  ///< in a Pareto run, with the cell_filler, instead of the proposers
  CellFiller cell_filler;
  std::vector<Find> front;    ///< the Pareto set, when one is wanted
  std::vector<Find> refined;  ///< starts of refinements already done
  std::vector<CurveRow> curve;
  Tally tally;
  double gain_scale = 0;  ///< the largest gain of a chunk, fading with the rounds
  std::vector<Workspace> workspaces;
  bool is_watched = false;

  struct Job {
    int branch;
    const UnitPoint* point;
    double hurdle = -std::numeric_limits<double>::infinity();  ///< quality of any use to who asked
  };
  struct Scored {
    std::vector<Outcome> outcomes;
    std::vector<Status> statuses;
  };
  Scored score(Evaluator& evaluator, const std::vector<Job>& jobs) {
    Scored scored{std::vector<Outcome>(jobs.size()), std::vector<Status>(jobs.size())};
    evaluator.run(static_cast<int>(jobs.size()), [&](int job, int worker) {
      const auto j = static_cast<std::size_t>(job);
      Workspace& space = workspaces[static_cast<std::size_t>(worker)];
      const auto branch = static_cast<std::size_t>(jobs[j].branch);
      // Two words, so that the function needs no memory of its own.
      QualityGate gate(
          task.goals, task.limits,
          [&archive = arms[branch].archive, least = jobs[j].hurdle](const Score& score) {
            const Trial* const elite = archive.find_elite(measure_place(score));
            return elite ? std::min(least, elite->outcome.quality)
                         : -std::numeric_limits<double>::infinity();
          });
      scored.outcomes[j] = evaluate(task, task.branches[branch], *jobs[j].point, space.work,
                                    space.draft, space.variant, &gate);
      scored.statuses[j] = space.variant.status;
    });
    return scored;
  }
  struct Share;
  void learn_from(Share& share, std::vector<Outcome>& outcomes,
                  const std::vector<Status>& statuses);
  void run_round_of_proposers(Evaluator& evaluator, std::uint64_t most);
  void run_batch_of_leaders(Evaluator& evaluator, int size);

  void prepare(const Evaluator& evaluator) {
    workspaces.resize(static_cast<std::size_t>(evaluator.threads()));
    for (Workspace& space : workspaces) space.work.watch = is_watched ? &space.clock : nullptr;
  }

  Inside(const SearchTask& task_, std::uint64_t stream)
      : task(task_),
        branches(static_cast<int>(task_.branches.size()),
                 {1 - 1 / (20.0 * static_cast<double>(task_.branches.size()) + 20), 0.3}),
        leaders(task_.branches, task_.goals,
                RandomStream(task_.seed, Purpose::choose, ~stream).next() | 1),
        cell_filler(task_.branches,
                    RandomStream(task_.seed, Purpose::propose, ~stream).next() | 1) {
    for (std::size_t i = 0; i < task.branches.size(); ++i) {
      RandomStream seeds(task.seed, Purpose::choose, stream * 65536 + i);
      arms.emplace_back(task.branches[i].dimension(), seeds.next() | 1);
    }
  }

  void count(int branch, const Trial& trial, Status status) {
    const Outcome& outcome = trial.outcome;
    Arm& arm = arms[static_cast<std::size_t>(branch)];
    ++arm.evaluated;
    arm.found += outcome.feasible();
    ++tally.evaluated;
    ++tally.by_status[static_cast<std::size_t>(status)];
    tally.feasible += outcome.feasible();
    tally.out_of_bounds += status == Status::ok && !outcome.feasible();
    if (!outcome.feasible() && status != Status::outdone &&
        (tally.nearest.point.empty() || outcome.violation < tally.nearest.outcome.violation))
      tally.nearest = {branch, trial.point, outcome};
  }

  /// Into the front, unless something found so far dominates it.
  void offer_to_front(const Find& find) {
    if (!is_sound(find.outcome) || !find.outcome.feasible()) return;
    for (const Find& other : front)
      if (other.outcome.objectives == find.outcome.objectives ||
          dominates(other.outcome.objectives, find.outcome.objectives))
        return;
    std::erase_if(front, [&](const Find& other) {
      return dominates(find.outcome.objectives, other.outcome.objectives);
    });
    front.push_back(find);
    if (front.size() <= most_in_front) return;
    std::vector<Objectives> objectives;
    for (const Find& other : front) objectives.push_back(other.outcome.objectives);
    front.erase(front.begin() + sort_by_crowding(objectives).front());
  }

  /// What the trial adds to the quality in the branch's archive.
  double insert(int branch, const Trial& trial) {
    Arm& arm = arms[static_cast<std::size_t>(branch)];
    if (is_movable(trial)) {
      Trial taken = trial;
      taken.outcome.violation = 0;
      arm.movable.insert(taken);
      return 0;
    }
    if (!task.goals.pareto.empty()) {
      const Find find{branch, trial.point, trial.outcome};
      offer_to_front(find);
      leaders.take(find);
    }
    const double gain = arm.archive.measure_gain(trial);
    arm.archive.insert(trial);
    return gain;
  }

  /// Counts a trial and keeps what it is good for.
  void take(int branch, const Trial& trial, Status status) {
    count(branch, trial, status);
    insert(branch, trial);
  }

  /// Of those that were not refined yet: the best four elites of each branch, best first, then the
  /// next four of each, and so on; `most` of them.
  std::vector<Find> find_starts(std::size_t most) const {
    struct Start {
      int branch;
      const Trial* elite;
      std::size_t place;
    };
    std::vector<Start> starts;
    for (std::size_t b = 0; b < arms.size(); ++b) {
      const std::vector<Trial>& elites = arms[b].archive.elites();
      const auto first = static_cast<std::ptrdiff_t>(starts.size());
      for (const Trial& elite : elites) starts.push_back({static_cast<int>(b), &elite, 0});
      std::stable_sort(starts.begin() + first, starts.end(), [](const Start& x, const Start& y) {
        return x.elite->outcome.quality > y.elite->outcome.quality;
      });
      for (std::size_t place = 0; place < elites.size(); ++place)
        starts[static_cast<std::size_t>(first) + place].place = place / 4;
    }
    std::stable_sort(starts.begin(), starts.end(), [](const Start& x, const Start& y) {
      return x.place != y.place ? x.place < y.place
                                : x.elite->outcome.quality > y.elite->outcome.quality;
    });
    std::vector<std::vector<const Find*>> refined_in(arms.size());
    for (const Find& find : refined)
      refined_in[static_cast<std::size_t>(find.branch)].push_back(&find);
    std::vector<Find> chosen;
    for (const Start& start : starts) {
      if (chosen.size() >= most) break;
      const std::vector<const Find*>& done = refined_in[static_cast<std::size_t>(start.branch)];
      if (std::none_of(done.begin(), done.end(), [&](const Find* find) {
            return find->point == start.elite->point && find->outcome == start.elite->outcome;
          }))
        chosen.push_back({start.branch, start.elite->point, start.elite->outcome});
    }
    return chosen;
  }

  void add_curve_row() {
    CurveRow row;
    row.evaluated = tally.evaluated;
    row.feasible = tally.feasible;
    double cells = 0;
    for (const Arm& arm : arms) {
      row.coverage += static_cast<double>(arm.archive.elites().size());
      cells += arm.archive.cell_count();
      for (const Trial& elite : arm.archive.elites()) {
        row.qd_score += elite.outcome.quality;
        row.best = std::max(row.best, elite.outcome.quality);
      }
    }
    row.coverage /= cells;
    if (!task.goals.pareto.empty()) row.hypervolume = measure_share(task.goals, front);
    curve.push_back(row);
    // Every second row goes when there are many, so that a long run stays small.
    if (curve.size() < 512) return;
    for (std::size_t i = 0; i < curve.size() / 2; ++i) curve[i] = curve[2 * i + 1];
    curve.resize(curve.size() / 2);
  }
};

Stream::Stream(const SearchTask& task, std::uint64_t stream)
    : inside_(std::make_unique<Inside>(task, stream)) {
  assert(task.find_fault().empty());
}
Stream::~Stream() = default;

const Tally& Stream::tally() const { return inside_->tally; }
const std::vector<CurveRow>& Stream::curve() const { return inside_->curve; }

void Stream::run_round(Evaluator& evaluator, std::uint64_t most) {
  inside_->prepare(evaluator);
  if (inside_->task.goals.pareto.empty())
    inside_->run_round_of_proposers(evaluator, most);
  else
    for (auto left = std::min<std::uint64_t>(round_size, most); left > 0;) {
      const auto size = std::min<std::uint64_t>(batch_size, left);
      inside_->run_batch_of_leaders(evaluator, static_cast<int>(size));
      left -= size;
    }
  inside_->add_curve_row();
}

void Stream::Inside::run_batch_of_leaders(Evaluator& evaluator, int size) {
  const int led = leaders.can_ask() ? static_cast<int>(led_share * size) : 0;
  std::vector<BranchPoint> points = leaders.ask(led);
  std::vector<const GridArchive*> archives;
  for (const Arm& arm : arms) archives.push_back(&arm.archive);
  for (BranchPoint& point : cell_filler.ask(size - led, archives))
    points.push_back(std::move(point));
  std::vector<Job> jobs;
  for (const BranchPoint& point : points) jobs.push_back({point.branch, &point.point});
  const auto [outcomes, statuses] = score(evaluator, jobs);
  std::vector<bool> are_new;  // of the cell_filler's, whether they fill an empty cell
  for (std::size_t i = 0; i < points.size(); ++i) {
    const GridArchive& archive = *archives[static_cast<std::size_t>(points[i].branch)];
    const std::size_t before = archive.elites().size();
    take(points[i].branch, {std::move(points[i].point), outcomes[i]}, statuses[i]);
    if (i >= static_cast<std::size_t>(led)) are_new.push_back(archive.elites().size() > before);
  }
  cell_filler.tell(are_new);
  leaders.settle();
}

/// What one proposer asked for in a round, and what came of it.
struct Stream::Inside::Share {
  int branch = 0, method = 0, chunks = 0;
  std::vector<UnitPoint> points;
  std::size_t first = 0;  ///< its first job
  std::vector<Trial> trials;
  double gain = 0;  ///< a chunk
};

/// Touches nothing but the share and its arm.
void Stream::Inside::learn_from(Share& share, std::vector<Outcome>& outcomes,
                                const std::vector<Status>& statuses) {
  Arm& arm = arms[static_cast<std::size_t>(share.branch)];
  const auto first = outcomes.begin() + static_cast<std::ptrdiff_t>(share.first);
  std::vector<Outcome> told(
      std::make_move_iterator(first),
      std::make_move_iterator(first + static_cast<std::ptrdiff_t>(share.points.size())));
  arm.proposers[static_cast<std::size_t>(share.method)]->tell(told);
  for (std::size_t i = 0; i < told.size(); ++i) {
    share.trials.push_back({std::move(share.points[i]), std::move(told[i])});
    const Trial& trial = share.trials.back();
    if (statuses[share.first + i] != Status::outdone)
      for (std::size_t m = 0; m < arm.proposers.size(); ++m)
        if (static_cast<int>(m) != share.method) arm.proposers[m]->learn(trial);
    share.gain += insert(share.branch, trial);
  }
  share.gain /= share.chunks;
}

void Stream::Inside::run_round_of_proposers(Evaluator& evaluator, std::uint64_t most) {
  // Who may propose how much: chunks chosen one after another, then joined by proposer.
  std::map<std::pair<int, int>, Share> chosen;
  const auto size_now = std::min<std::uint64_t>(round_size, most);
  const int chunks = std::max(1, static_cast<int>(size_now / chunk_size));
  for (int chunk = 0; chunk < chunks; ++chunk) {
    const int branch = branches.choose();
    const int method = arms[static_cast<std::size_t>(branch)].methods.choose();
    Share& share = chosen[{branch, method}];
    share.branch = branch;
    share.method = method;
    ++share.chunks;
  }
  // Proposers know nothing of each other, and arms neither: what they do is shared by the threads.
  std::vector<Share*> shares;
  std::vector<std::vector<Share*>> of_arm;
  for (auto& [key, share] : chosen) {
    if (shares.empty() || shares.back()->branch != share.branch) of_arm.emplace_back();
    shares.push_back(&share);
    of_arm.back().push_back(&share);
  }
  const auto size = static_cast<int>(std::min<std::uint64_t>(chunk_size, most));
  const auto proposer_of = [&](const Share& share) -> Proposer& {
    return *arms[static_cast<std::size_t>(share.branch)]
                .proposers[static_cast<std::size_t>(share.method)];
  };
  evaluator.run(static_cast<int>(shares.size()), [&](int task_number, int) {
    Share& share = *shares[static_cast<std::size_t>(task_number)];
    share.points = proposer_of(share).ask(share.chunks * size);
  });
  std::vector<Job> jobs;
  for (Share* share : shares) {
    share->first = jobs.size();
    for (std::size_t i = 0; i < share->points.size(); ++i)
      jobs.push_back({share->branch, &share->points[i], proposer_of(*share).find_hurdle(i)});
  }
  auto [outcomes, statuses] = score(evaluator, jobs);
  evaluator.run(static_cast<int>(of_arm.size()),
                [&, &outcomes = outcomes, &statuses = statuses](int arm, int) {
                  for (Share* share : of_arm[static_cast<std::size_t>(arm)])
                    learn_from(*share, outcomes, statuses);
                });
  double largest_gain = 0;
  for (const Share* share : shares) {
    for (std::size_t i = 0; i < share->trials.size(); ++i)
      count(share->branch, share->trials[i], statuses[share->first + i]);
    largest_gain = std::max(largest_gain, share->gain);
  }
  // Rewards are shares of the best gain of late, so that a choice that wears out is left.
  gain_scale = std::max(gain_memory * gain_scale, largest_gain);
  for (const Share* share : shares)
    for (int chunk = 0; chunk < share->chunks; ++chunk) {
      const double reward = gain_scale > 0 ? share->gain / gain_scale : 0;
      branches.reward(share->branch, reward);
      arms[static_cast<std::size_t>(share->branch)].methods.reward(share->method, reward);
    }
}

bool Stream::run_refinement(Evaluator& evaluator, std::uint64_t most) {
  Inside& in = *inside_;
  in.prepare(evaluator);
  const int evaluations = static_cast<int>(
      std::min<std::uint64_t>(static_cast<std::uint64_t>(in.task.refine_evaluations), most));
  if (evaluations < 1) return false;
  const auto room = std::min<std::size_t>(refined_at_once,
                                          static_cast<std::size_t>(std::max<std::uint64_t>(
                                              1, most / static_cast<std::uint64_t>(evaluations))));

  const std::vector<Find> chosen = in.find_starts(room);
  if (chosen.empty()) return false;

  struct Step {
    Trial trial;
    Status status;
  };
  std::vector<std::vector<Step>> results(chosen.size());
  std::vector<UnitPoint> ends(chosen.size());
  evaluator.run(static_cast<int>(chosen.size()), [&](int job, int worker) {
    const auto j = static_cast<std::size_t>(job);
    Workspace& space = in.workspaces[static_cast<std::size_t>(worker)];
    const Branch& branch = in.task.branches[static_cast<std::size_t>(chosen[j].branch)];
    const auto value = [&](const UnitPoint& point) {
      const Outcome outcome =
          evaluate(in.task, branch, point, space.work, space.draft, space.variant);
      results[j].push_back({{point, outcome}, space.variant.status});
      return outcome.feasible() ? -outcome.quality : 10 + outcome.violation;
    };
    RefineOptions options;
    options.evaluations = evaluations;
    const Refined refined = refine(value, chosen[j].point, options);
    ends[j] = refined.point;
  });
  for (std::size_t i = 0; i < chosen.size(); ++i) {
    const int branch = chosen[i].branch;
    in.refined.push_back(chosen[i]);
    for (const Step& step : results[i]) {
      in.take(branch, step.trial, step.status);
      if (step.trial.point == ends[i])
        in.refined.push_back({branch, step.trial.point, step.trial.outcome});
    }
  }
  in.add_curve_row();
  return true;
}

Pool Stream::make_pool() const {
  const Inside& in = *inside_;
  Pool pool;
  for (std::size_t b = 0; b < in.arms.size(); ++b) {
    for (const Trial& elite : in.arms[b].archive.elites())
      pool.finds.push_back({static_cast<int>(b), elite.point, elite.outcome});
    pool.evaluated_by_branch.push_back(in.arms[b].evaluated);
    pool.found_by_branch.push_back(in.arms[b].found);
  }
  pool.finds.insert(pool.finds.end(), in.front.begin(), in.front.end());
  for (std::size_t b = 0; b < in.arms.size(); ++b)
    for (const Trial& elite : in.arms[b].movable.elites())
      pool.movable.push_back({static_cast<int>(b), elite.point, elite.outcome});
  pool.curve = in.curve;
  pool.tally = in.tally;
  pool.seed = in.task.seed;
  return pool;
}

void Stream::exchange(State& state) {
  Inside& in = *inside_;
  for (Inside::Arm& arm : in.arms) state.exchange(arm);
  state.exchange(in.branches);
  state.exchange(in.front);
  state.exchange(in.refined);
  state.exchange(in.curve);
  state.exchange(in.tally);
  state.exchange(in.gain_scale);
  state.exchange(in.leaders);
  state.exchange(in.cell_filler);
}

void Stream::watch_stages() { inside_->is_watched = true; }

StageTimes Stream::stage_times() const {
  StageTimes times;
  for (const Workspace& space : inside_->workspaces) times.add(space.clock.times());
  return times;
}

void run_stream(Stream& stream, const SearchTask& task, const StreamEnd& end, Evaluator& evaluator,
                RunContext& context, const std::function<void()>& after_round) {
  // In a Pareto run the leaders refine.
  const double first_share = task.goals.pareto.empty() ? 1 - task.refine_share : 1;
  const auto explore_budget =
      static_cast<std::uint64_t>(first_share * static_cast<double>(end.budget));
  const auto is_time_up = [&](double share) {
    return end.time_s != 0 && context.elapsed_s() >= end.start_s + share * end.time_s;
  };
  const auto is_spent = [&](std::uint64_t budget) {
    return end.budget > 0 && stream.tally().evaluated >= budget;
  };
  const auto find_rest = [&](std::uint64_t budget) {
    return end.budget > 0 ? budget - stream.tally().evaluated : UINT64_MAX;
  };
  while (!context.stop.load() && !is_spent(explore_budget) && !is_time_up(first_share)) {
    stream.run_round(evaluator, find_rest(explore_budget));
    after_round();
  }
  while (!context.stop.load() && !is_spent(end.budget) && !is_time_up(1)) {
    // A short front is soon refined: the rest is for finding more.
    if (!stream.run_refinement(evaluator, find_rest(end.budget)))
      stream.run_round(evaluator, find_rest(end.budget));
    after_round();
  }
}

}  // namespace sixtyfold
