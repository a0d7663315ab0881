#include "results/files/kept_lines.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "results/files/score_stream.h"
#include "search/run/run.h"

using namespace sixtyfold;

namespace {

struct ShortRun {
  RunPlan plan;
  std::vector<Pool> pools;
  Evaluator evaluator{2};

  ShortRun() {
    plan.choice.symmetries = {"T", "D5"};
    plan.budget = 3000;
    plan.goals.pareto = {&find_criterion("joints"), &find_criterion("diameter")};
    Run run(plan);
    RunContext context;
    run.go_on(evaluator, context, [] {});
    pools = run.make_pools();
  }
};

}  // namespace

TEST_CASE("kept.jsonl holds every find of a run once, with what rebuilds it", "[results][kept]") {
  ShortRun kept;
  const SearchTask task = make_task(kept.plan);
  const std::string bytes = write_kept_lines(task, kept.pools);
  const std::vector<KeptDesign> designs = read_kept_lines(bytes, "kept.jsonl", 100000);
  REQUIRE(!designs.empty());

  // Each find is there, none twice.
  using Key = std::tuple<std::string, std::string, std::string, std::vector<double>>;
  std::map<Key, int> times;
  for (const KeptDesign& design : designs)
    ++times[{design.symmetry, design.plane, design.family, design.parameters}];
  for (const auto& [key, count] : times) CHECK(count == 1);
  std::size_t moving = 0;
  for (const Pool& pool : kept.pools) {
    moving += pool.movable.size();
    for (const Find& find : pool.finds) {
      const Branch& branch = task.branches[static_cast<std::size_t>(find.branch)];
      CHECK(times.count({branch.symmetry, branch.plane, branch.family,
                         to_values(branch, find.point)}) == 1);
    }
  }
  CHECK(static_cast<std::size_t>(std::count_if(designs.begin(), designs.end(),
                                               [](const auto& d) { return !d.rigid; })) == moving);

  // Rebuilt from branch and parameters alone, the numbers come out again.
  for (std::size_t i = 0; i < designs.size(); i += 97) {
    const KeptDesign& design = designs[i];
    CAPTURE(i, design.symmetry, design.plane, design.family);
    const Branch branch = make_branch(design.symmetry, design.plane, design.family);
    Draft draft;
    VariantWorkspace work;
    Variant variant;
    make_draft(branch, design.parameters, draft);
    make_variant(branch.scheme, draft, task.limits, work, variant, {});
    CHECK((variant.status == Status::ok) == design.rigid);
    CHECK(variant.score.joints == design.joints);
    CHECK(variant.score.panels == design.panels);
    CHECK(variant.score.openness == Approx(design.openness).margin(1e-12));
    CHECK(variant.score.roundness == Approx(design.roundness));
    CHECK(design.pareto.at("joints") == design.joints);
    CHECK(design.pareto.at("diameter") == Approx(variant.score.diameter_mm));
    CHECK(design.quality == Approx(measure_quality(task.goals, variant.score)));
  }
}

TEST_CASE("a line of kept.jsonl is a line for the score command", "[results][kept]") {
  ShortRun kept;
  const std::string bytes = write_kept_lines(make_task(kept.plan), kept.pools);
  const std::vector<KeptDesign> designs = read_kept_lines(bytes, "kept.jsonl", 20);
  REQUIRE(designs.size() == 20);
  std::istringstream stream(bytes);
  std::vector<std::string> lines(20);
  for (std::string& line : lines) std::getline(stream, line);
  ScoreStream score(kept.plan.limits, kept.plan.goals, 2);
  const std::vector<std::string> answers = score.answer(lines, 1);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const auto answer = nlohmann::json::parse(answers[i]);
    INFO(answers[i]);
    REQUIRE(answer.contains("score"));
    CHECK(answer["feasible"] == true);
    CHECK(answer["score"]["joints"] == designs[i].joints);
    CHECK(answer["quality"] == Approx(designs[i].quality));
  }
}

TEST_CASE("a bad kept.jsonl is refused with its line", "[results][kept]") {
  const std::string good =
      R"({"symmetry":"I","plane":"generic","family":"radial","parameters":[1],"rigid":true,)"
      R"("panels":60,"joints":90,"quality":0.5,"openness":0.2,"roundness":0.9})";
  CHECK(read_kept_lines(good, "f", 10).size() == 1);
  CHECK(read_kept_lines(good + "\n" + good + "\n", "f", 10).size() == 2);
  CHECK(read_kept_lines(good + "\n" + good + "\n", "f", 1).size() == 1);
  for (const std::string& bad :
       {std::string("{"), std::string("{}"), std::string(),
        good.substr(0, good.size() - 1) + R"(,"pareto":{"joints":1e400}})"}) {
    CAPTURE(bad);
    CHECK_THROWS_WITH(read_kept_lines(good + "\n" + bad + "\n", "f", 10),
                      Catch::Contains("line 2"));
  }
}
