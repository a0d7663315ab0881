// The search beside methods from the literature on whole requests (search_requests.h), with the
// same variants to choose from and the same number of evaluations; results in README.md.
//
//   search_bench [EVALUATIONS [FIRST_SEED [SEEDS [METHODS [REQUESTS [DIR]]]]]]
//
// METHODS, REQUESTS: words separated by commas; only those with one of them in their name; "all".
// DIR: the records are kept there and read from there when they are there already, our own too, so
// that runs of different hours make one table. Remove "sixtyfold*" there after a change.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "search/run/run.h"
#include "tests/bench/search_peers.h"

using namespace sixtyfold;
using namespace sixtyfold::bench;

namespace {

Record run_ours(const Request& request, std::uint64_t budget, std::uint64_t seed) {
  RunPlan plan = request.plan;
  plan.budget = budget;
  plan.seed = seed;
  Run run(plan);
  Evaluator evaluator(1);
  RunContext context;
  run.go_on(evaluator, context, [] {});
  // Only what it keeps counts for it.
  Recorder recorder(request, run.task());
  double feasible = 0;
  for (const Pool& pool : run.make_pools()) {
    for (const Find& find : pool.finds) recorder.add(find);
    feasible += static_cast<double>(pool.tally.feasible);
  }
  Record record = recorder.take();
  record.feasible = feasible;
  return record;
}

/// What `make` gives, or what it gave when the file was written.
Record read_or_make(const std::filesystem::path& file, const std::function<Record()>& make) {
  Record record;
  if (std::ifstream in(file, std::ios::binary); in) {
    State state(std::string(std::istreambuf_iterator<char>(in), {}));
    record.exchange(state);
    return record;
  }
  record = make();
  if (file.has_parent_path()) {
    State state;
    record.exchange(state);
    std::filesystem::create_directories(file.parent_path());
    std::ofstream(file, std::ios::binary) << state.bytes();
  }
  return record;
}

bool is_meant(const std::string& name, const std::string& words) {
  if (words == "all") return true;
  std::istringstream stream(words);
  for (std::string word; std::getline(stream, word, ',');)
    if (name.find(word) != std::string::npos) return true;
  return false;
}

double find_median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 ? values[half] : (values[half - 1] + values[half]) / 2;
}

}  // namespace

int main(int argc, char** argv) {
  const auto number = [&](int i, int otherwise) {
    return static_cast<std::uint64_t>(argc > i ? std::atoll(argv[i]) : otherwise);
  };
  const auto word = [&](int i, const char* otherwise) {
    return std::string(argc > i ? argv[i] : otherwise);
  };
  const std::uint64_t budget = number(1, 20000), first_seed = number(2, 1), seeds = number(3, 12);
  const std::string methods = word(4, "all"), requests = word(5, "all");
  const std::filesystem::path kept = word(6, "");
  struct Method {
    std::string name;
    bool is_for_fronts_only;
    void (*run)(Meter&, std::uint64_t);  // null: ours
  };
  const Method all[] = {{"sixtyfold", false, nullptr},
                        {"random", false, run_random},
                        {"MAP-Elites", false, run_map_elites},
                        {"CMA-ME", false, run_cma_me},
                        {"MOME", true, run_mome},
                        {"NSGA-II", true, run_nsga2},
                        {"MOEA-D", true, run_moead}};
  for (const Request& request : make_requests()) {
    if (!is_meant(request.name, requests)) continue;
    const bool has_fronts = !request.scales.empty();
    RunPlan plan = request.plan;
    plan.budget = budget;
    const SearchTask task = make_task(plan);
    std::vector<std::pair<std::string, std::vector<Record>>> records;
    for (const auto& [name, is_for_fronts_only, run] : all) {
      if (!is_meant(name, methods) || (is_for_fronts_only && !has_fronts)) continue;
      records.push_back({name, {}});
      for (std::uint64_t seed = first_seed; seed < first_seed + seeds; ++seed) {
        const std::string file =
            name + " " + request.name + " " + std::to_string(budget) + " " + std::to_string(seed);
        records.back().second.push_back(
            read_or_make(kept.empty() ? kept : kept / file, [&, run = run] {
              if (!run) return run_ours(request, budget, seed);
              Meter meter(request, task, budget);
              run(meter, seed);
              return meter.take();
            }));
      }
    }
    std::vector<const Record*> everything;
    for (const auto& [name, runs] : records)
      for (const Record& record : runs) everything.push_back(&record);
    const auto best = join_fronts(everything);
    std::printf("\n%s: %zu kinds of construction, %llu variants, seeds %llu to %llu\n\n",
                request.name.c_str(), task.branches.size(), static_cast<unsigned long long>(budget),
                static_cast<unsigned long long>(first_seed),
                static_cast<unsigned long long>(first_seed + seeds - 1));
    std::printf(
        "| method | median gap | least | most | median QD score | least | most | cells | "
        "best quality |\n|---|---|---|---|---|---|---|---|---|\n");
    for (const auto& [name, runs] : records) {
      std::vector<double> gaps, scores, cells, qualities;
      for (const Record& record : runs) {
        gaps.push_back(has_fronts ? measure_gap(record, best) : 0);
        scores.push_back(record.qd_score);
        cells.push_back(record.cells);
        qualities.push_back(record.best);
      }
      const auto least = [](const auto& v) { return *std::min_element(v.begin(), v.end()); };
      const auto most = [](const auto& v) { return *std::max_element(v.begin(), v.end()); };
      std::printf("| %s | ", name.c_str());
      if (has_fronts)
        std::printf("%.4f | %.4f | %.4f", find_median(gaps), least(gaps), most(gaps));
      else
        std::printf("- | - | -");
      std::printf(" | %.0f | %.0f | %.0f | %.0f | %.3f |\n", find_median(scores), least(scores),
                  most(scores), find_median(cells), find_median(qualities));
    }
    std::fflush(stdout);
  }
}
