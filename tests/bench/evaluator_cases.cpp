// What a variant costs: contacts of a drawn outline, and the whole score stage by stage, for all
// kinds of groups, outlines of several finenesses, few and many copies meeting; and how many
// variants one and two threads score.

#include <benchmark/benchmark.h>

#include "search/run/evaluator.h"
#include "search/run/stage_times.h"
#include "search/run/stream.h"
#include "tests/bench/drafts.h"
#include "tests/support/draws.h"
#include "tests/support/sobol.h"

using namespace sixtyfold;
using bench::Fill;

namespace {

constexpr int drafts_a_case = 200;

/// Which pairs of copies of a drawn outline meet, and where: nothing is trimmed.
void find_contacts_of_drawn(benchmark::State& state, const std::string& symbol, int points,
                            Fill fill) {
  const OrbitScheme scheme = bench::make_generic_scheme(symbol);
  const std::vector<Draft> drafts = bench::make_drafts(drafts_a_case, points, fill);
  TrimWorkspace work;
  std::vector<MeetingLine> lines;
  LabelledOutline outline;
  std::size_t next = 0, found = 0;
  for (auto _ : state) {
    const Draft& draft = drafts[next++ % drafts.size()];
    find_meeting_lines(scheme, make_frame(draft.normal, draft.distance), lines);
    outline.assign(draft.outline);
    for (const PairClass& pair : scheme.pairs) {
      find_pair_contacts(scheme, lines, pair, outline, 1e-9, work);
      found += !work.contacts.empty();
    }
  }
  benchmark::DoNotOptimize(found);
  state.counters["meeting"] = static_cast<double>(found) / static_cast<double>(state.iterations());
}

/// The heights of all vertices over all meeting lines and no more: no method that looks at every
/// vertex is faster.
void measure_heights_alone(benchmark::State& state, const std::string& symbol, int points) {
  const OrbitScheme scheme = bench::make_generic_scheme(symbol);
  const std::vector<Draft> drafts = bench::make_drafts(drafts_a_case, points, Fill::crowded);
  std::vector<MeetingLine> lines;
  LabelledOutline outline;
  SideSpans spans;
  spans.heights.resize(static_cast<std::size_t>(points));
  std::size_t next = 0;
  for (auto _ : state) {
    const Draft& draft = drafts[next++ % drafts.size()];
    find_meeting_lines(scheme, make_frame(draft.normal, draft.distance), lines);
    outline.assign(draft.outline);
    for (const MeetingLine& line : lines) {
      if (!line.exists) continue;
      const double side_x = line.side.x(), side_y = line.side.y(), offset = line.offset;
      const double *x = outline.x.data(), *y = outline.y.data();
      double* heights = spans.heights.data();
      for (std::size_t i = 0; i < outline.size(); ++i)
        heights[i] = side_x * x[i] + side_y * y[i] - offset;
      benchmark::ClobberMemory();
    }
  }
}

Limits make_limits() {
  Limits limits;
  limits.sheet_width_mm = 700;
  limits.sheet_height_mm = 1000;
  limits.thickness_mm = 3;
  return limits;
}

/// Adds a counter for each stage: microseconds a variant that came to it, and the share that did.
void report_stages(benchmark::State& state, const StageTimes& times) {
  for (std::size_t i = 0; i < StageTimes::count; ++i) {
    const std::string name = name_of(static_cast<Stage>(i));
    const auto came = static_cast<double>(times.variants[i]);
    state.counters[name + "_us"] = came > 0 ? times.seconds[i] / came * 1e6 : 0;
    state.counters[name + "_share"] = came / static_cast<double>(times.variants[0]);
  }
}

void score_variants(benchmark::State& state, const std::string& symbol, int points, Fill fill) {
  const OrbitScheme scheme = bench::make_generic_scheme(symbol);
  const std::vector<Draft> drafts = bench::make_drafts(drafts_a_case, points, fill);
  const Limits limits = make_limits();
  VariantWorkspace work;
  Variant variant;
  std::size_t next = 0;
  for (auto _ : state) make_variant(scheme, drafts[next++ % drafts.size()], limits, work, variant);
  StageClock clock;
  work.watch = &clock;
  for (int round = 0; round < 5; ++round)
    for (const Draft& draft : drafts) make_variant(scheme, draft, limits, work, variant);
  report_stages(state, clock.times());
}

/// The same for those alone that come through all stages.
void score_feasible(benchmark::State& state, const std::string& symbol, int points, Fill fill) {
  const OrbitScheme scheme = bench::make_generic_scheme(symbol);
  const Limits limits = make_limits();
  VariantWorkspace work;
  Variant variant;
  std::vector<Draft> feasible;
  for (Draft& draft : bench::make_drafts(20 * drafts_a_case, points, fill)) {
    make_variant(scheme, draft, limits, work, variant);
    if (variant.status == Status::ok) feasible.push_back(std::move(draft));
    if (feasible.size() == drafts_a_case) break;
  }
  if (feasible.empty()) return state.SkipWithError("none is feasible");
  std::size_t next = 0;
  for (auto _ : state)
    make_variant(scheme, feasible[next++ % feasible.size()], limits, work, variant);
  StageClock clock;
  work.watch = &clock;
  for (int round = 0; round < 5; ++round)
    for (const Draft& draft : feasible) make_variant(scheme, draft, limits, work, variant);
  report_stages(state, clock.times());
}

/// Points of the parameter space, evenly spread over all branches of the icosahedral group, drawn
/// and scored on several threads.
void score_on_threads(benchmark::State& state) {
  SearchTask task;
  task.limits = make_limits();
  BranchChoice choice;
  choice.symmetries = {"I"};
  task.branches = find_branches(choice, task.limits);
  constexpr int points_a_branch = 40, chunk = 16;
  struct Job {
    const Branch* branch;
    UnitPoint point;
  };
  std::vector<Job> jobs;
  for (const Branch& branch : task.branches)
    for (std::uint64_t i = 0; i < points_a_branch; ++i) {
      RandomStream random(6, Purpose::test, i);
      const UnitPoint point = test::draw_point(branch.dimension(), random);
      jobs.push_back({&branch, point});
    }
  Evaluator evaluator(static_cast<int>(state.range(0)));
  struct Space {
    VariantWorkspace work;
    Draft draft;
    Variant variant;
  };
  std::vector<Space> spaces(static_cast<std::size_t>(evaluator.threads()));
  std::vector<Outcome> outcomes(jobs.size());
  const int chunks = static_cast<int>(jobs.size()) / chunk;
  for (auto _ : state)
    evaluator.run(chunks, [&](int task_number, int worker) {
      Space& space = spaces[static_cast<std::size_t>(worker)];
      for (int k = 0; k < chunk; ++k) {
        const auto j = static_cast<std::size_t>(task_number * chunk + k);
        outcomes[j] =
            evaluate(task, *jobs[j].branch, jobs[j].point, space.work, space.draft, space.variant);
      }
    });
  state.SetItemsProcessed(state.iterations() * chunks * chunk);
}
BENCHMARK(score_on_threads)->Name("threads/I")->Arg(1)->Arg(2)->UseRealTime();

const bool registered = [] {
  const auto add = [](const std::string& name, auto run) {
    benchmark::RegisterBenchmark(name.c_str(), run)->Unit(benchmark::kMicrosecond);
  };
  const auto add_with_fills = [&](const std::string& symbol, int points) {
    for (const Fill fill : {Fill::sparse, Fill::crowded}) {
      const std::string end = "/" + symbol + "/" + std::to_string(points) +
                              (fill == Fill::sparse ? "/sparse" : "/crowded");
      add("contact/ours" + end,
          [=](benchmark::State& s) { find_contacts_of_drawn(s, symbol, points, fill); });
      add("score" + end, [=](benchmark::State& s) { score_variants(s, symbol, points, fill); });
    }
  };
  for (const int points : {16, 64, 200}) {
    add_with_fills("I", points);
    add("contact/heights/I/" + std::to_string(points),
        [=](benchmark::State& s) { measure_heights_alone(s, "I", points); });
    add("feasible/I/" + std::to_string(points),
        [=](benchmark::State& s) { score_feasible(s, "I", points, Fill::crowded); });
  }
  for (const char* symbol : {"O", "T", "D3", "D5", "D7", "C6", "Cs", "Ci", "S6", "C5v", "C5h",
                             "D5h", "D5d", "Td", "Th", "Oh", "Ih"})
    add_with_fills(symbol, 64);
  // Cost against work.
  for (int points = 8; points <= 512; points *= 2) {
    add("by-points/" + std::to_string(points),
        [=](benchmark::State& s) { find_contacts_of_drawn(s, "I", points, Fill::crowded); });
    add("by-points-score/" + std::to_string(points),
        [=](benchmark::State& s) { score_variants(s, "I", points, Fill::crowded); });
  }
  for (const int order : {6, 12, 24, 36, 48, 60, 84, 120}) {
    const std::string symbol = "D" + std::to_string(order / 2);
    add("by-order/" + std::to_string(order),
        [=](benchmark::State& s) { find_contacts_of_drawn(s, symbol, 64, Fill::crowded); });
    add("by-order-score/" + std::to_string(order),
        [=](benchmark::State& s) { score_variants(s, symbol, 64, Fill::crowded); });
  }
  return true;
}();

}  // namespace
