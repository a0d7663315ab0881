#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>

#include "engine/text.h"
#include "results/files/design_json.h"
#include "results/files/file.h"
#include "results/files/run_folder.h"
#include "results/files/score_stream.h"
#include "search/space/criterion.h"
#include "tests/support/run_program.h"
#include "tests/support/sobol.h"

using namespace sixtyfold;
namespace fs = std::filesystem;

namespace {

struct Ran {
  int status = 0;
  std::string output;
};

Ran run(const std::string& command) {
  Ran ran;
  FILE* pipe = ::popen((command + " 2>&1").c_str(), "r");
  REQUIRE(pipe != nullptr);
  char buffer[4096];
  while (std::size_t count = std::fread(buffer, 1, sizeof buffer, pipe))
    ran.output.append(buffer, count);
  const int status = ::pclose(pipe);
  ran.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  return ran;
}

Ran run_find(const std::string& options) {
  return run(program_path() + " find --quiet " + options);
}

/// A new folder that goes away at the end.
struct Scratch {
  fs::path path;
  explicit Scratch(const std::string& name)
      : path(fs::temp_directory_path() / ("sixtyfold-" + name + std::to_string(::getpid()))) {
    fs::remove_all(path);
    fs::create_directories(path);
  }
  ~Scratch() { fs::remove_all(path); }
  std::string operator/(const std::string& name) const { return (path / name).string(); }
};

/// Every file but run.json by name.
std::map<std::string, std::string> read_folder(const fs::path& folder) {
  std::map<std::string, std::string> files;
  for (const auto& entry : fs::directory_iterator(folder))
    if (entry.path().filename() != "run.json")
      files[entry.path().filename().string()] = read_file(entry.path());
  return files;
}

}  // namespace

TEST_CASE("find writes a folder of confirmed designs, the same bytes for any threads",
          "[tools][find]") {
  const Scratch scratch("find");
  const std::string options = "--sheet 600x1200 --group T,D5 --budget 4000 --seed 3 --count 4 ";
  const Ran one = run_find(options + "--threads 1 --out " + scratch / "a");
  CAPTURE(one.output);
  REQUIRE(one.status == 0);
  REQUIRE(run_find(options + "--threads 4 --out " + scratch / "b").status == 0);
  CHECK(read_folder(scratch / "a") == read_folder(scratch / "b"));
  const RunFolder folder = read_run_folder(scratch / "a");
  CHECK(folder.ranking.size() >= 1);
  for (std::size_t i = 0; i < folder.designs.size(); ++i) {
    CHECK(folder.ranking[i].rank == static_cast<int>(i) + 1);
    CHECK(!folder.ranking[i].reasons.empty());
    CHECK(folder.designs[i].score == folder.ranking[i].score);
  }
  for (const char* name : {"search.json", "curves.svg", "finds.state", "run.json", "001.svg"})
    CHECK(fs::exists(fs::path(scratch / "a") / name));
  CHECK(!fs::exists(fs::path(scratch / "a") / "checkpoint.state"));
}

TEST_CASE("merged shards are the single run byte for byte", "[tools][find]") {
  const Scratch scratch("merge");
  const std::string options = "--group T --budget 3000 --count 3 --threads 1 ";
  REQUIRE(run_find(options + "--streams 2 --out " + scratch / "whole").status == 0);
  REQUIRE(run_find(options + "--shard 2/2 --out " + scratch / "p2").status == 0);
  REQUIRE(run_find(options + "--shard 1/2 --out " + scratch / "p1").status == 0);
  const std::string merge =
      program_path() + " merge " + scratch / "p2" + " " + scratch / "p1" + " --out ";
  const Ran merged = run(merge + scratch / "all");
  CAPTURE(merged.output);
  REQUIRE(merged.status == 0);
  CHECK(read_folder(scratch / "whole") == read_folder(scratch / "all"));

  const auto merge_with_other = [&](const std::string& how) {
    const std::string other = scratch / ("other" + std::to_string(how.size()));
    REQUIRE(run_find(options + how + " --out " + other).status == 0);
    const Ran refused =
        run(program_path() + " merge " + scratch / "p1" + " " + other + " --out " + scratch / "no");
    CHECK(refused.status == 2);
    return refused.output;
  };
  CHECK_THAT(merge_with_other("--seed 9 --shard 2/2"), Catch::Contains("other options"));
  CHECK_THAT(merge_with_other("--seed 9"), Catch::Contains("a whole run"));
}

TEST_CASE("a run killed at random moments ends with the same bytes", "[tools][find]") {
  // The long form of this is `tests/tools/kill_and_resume PROGRAM 200`.
  const Ran ran =
      run(source_folder() + "/tests/tools/kill_and_resume " + program_path() + " 3 12000");
  CAPTURE(ran.output);
  CHECK(ran.status == 0);
}

TEST_CASE("nothing found has its own status, reasons and no ranking", "[tools][find]") {
  const Scratch scratch("nothing");
  const Ran ran = run_find("--group T --budget 1500 --min-joint 1900 --out " + scratch / "a");
  CAPTURE(ran.output);
  CHECK(ran.status == 3);
  CHECK_THAT(ran.output, Catch::Contains("nearest miss"));
  CHECK(!fs::exists(fs::path(scratch / "a") / "ranking.json"));
  CHECK(!fs::exists(fs::path(scratch / "a") / "001.json"));
  CHECK(fs::exists(fs::path(scratch / "a") / "search.json"));
}

TEST_CASE("mistakes are told in one sentence before anything is written", "[tools][find]") {
  const Scratch scratch("mistakes");
  std::ofstream(scratch / "file") << "x";
  fs::create_directories(scratch / "full/inside");
  const std::vector<std::pair<std::string, std::string>> mistakes = {
      {"--group Q", "Q"},
      {"--weight beauty=1", "beauty"},
      {"--weight closure=2", "other weights beside it"},
      {"--pareto hours,joints", "no Pareto"},
      {"--limit 'closure>=5'", "no least value"},
      {"--limit 'joints<3'", "joints<3"},
      {"--pareto joints", "two or three"},
      {"--plane sideways", "sideways"},
      {"--family lumps", "lumps"},
      {"--shard 3/2", "3/2"},
      {"--budget 10 --streams 20", "streams"},
      {"--panels 5000..", "panels"},
      {"--resume " + scratch / "none", "checkpoint.state"},
      {"--options " + scratch / "none", "none"}};
  for (const auto& [options, word] : mistakes) {
    CAPTURE(options);
    const Ran ran = run_find(options + " --time 1s --out " + scratch / "out");
    const Ran alone = options.starts_with("--resume") ? run_find(options) : ran;
    CAPTURE(alone.output);
    CHECK(alone.status == 2);
    CHECK_THAT(alone.output, Catch::Contains(word));
    CHECK(!fs::exists(scratch / "out"));
  }
  CHECK(run_find("--time 1s --out " + scratch / "file").status == 2);
  CHECK(run_find("--time 1s --out " + scratch / "full").status == 2);
}

TEST_CASE("options can stand in a file and what is typed wins", "[tools][find]") {
  const Scratch scratch("options");
  std::ofstream(scratch / "hall.toml") << "group = \"T\"\nbudget = 1500\ncount = 2\nseed = 4\n"
                                          "quiet = true\nlimit = [\"mass<=50\"]\n";
  const Ran ran =
      run_find("--options " + scratch / "hall.toml" + " --count 1 --out " + scratch / "a");
  CAPTURE(ran.output);
  REQUIRE(ran.status == 0);
  CHECK(read_run_folder(scratch / "a").ranking.size() == 1);
  REQUIRE(run_find("--group T --budget 1500 --seed 4 --count 1 --limit 'mass<=50' --out " +
                   scratch / "b")
              .status == 0);
  CHECK(read_folder(scratch / "a") == read_folder(scratch / "b"));
  std::ofstream(scratch / "bad.toml") << "groop = \"T\"\n";
  CHECK_THAT(run_find("--options " + scratch / "bad.toml").output, Catch::Contains("groop"));
}

TEST_CASE("one file of options serves every command, and a design remembers its board",
          "[tools][find]") {
  const Scratch scratch("one_file");
  std::ofstream(scratch / "hall.toml")
      << "material = \"corrugated-b\"\nsheet = \"700x1000\"\ngroup = \"T\"\nbudget = 1500\n"
         "count = 1\nquiet = true\npeople = 24\nsaws = 3\npaper = \"Letter\"\nprice = \"2.5\"\n";
  const std::string file = " --options " + scratch / "hall.toml";
  REQUIRE(run_find("--seed 4" + file + " --out " + scratch / "run").status == 0);
  const std::string design = scratch / "run/001.json";
  const auto run = [&](const std::vector<std::string>& words) {
    const ProgramResult result = run_sixtyfold(words);
    CAPTURE(result.err);
    CHECK(result.status == 0);
    return result.out;
  };
  const std::string hall = scratch / "hall.toml";
  // With the file, or with nothing: the design has its material's name with it.
  CHECK_THAT(run({"nest", design}), Catch::Contains("B flute"));
  CHECK_THAT(run({"nest", design, "--options", hall}), Catch::Contains("700 x 1000"));
  run({"check", design, "--options", hall});
  run({"kit", design, "--options", hall, "--out", scratch / "kit"});
  const ProgramResult pages = run_program({"pdfinfo", scratch / "kit/day.pdf"});
  CHECK_THAT(pages.out, Catch::Contains("612 x 792"));  // Letter, ANSI/ASME Y14.1
  const ProgramResult day = run_program({"pdftotext", scratch / "kit/day.pdf", "-"});
  CHECK_THAT(day.out, Catch::Contains("24 people and 3 saws"));
  CHECK_THAT(day.out, Catch::Contains("B flute"));
  // What is typed wins.
  run({"kit", design, "--options", hall, "--people", "9", "--out", scratch / "kit9"});
  CHECK_THAT(run_program({"pdftotext", scratch / "kit9/day.pdf", "-"}).out,
             Catch::Contains("9 people and 3 saws"));
}

TEST_CASE("score answers one line a line, in order, with errors where they stand",
          "[tools][score]") {
  const Branch branch = make_branch("I", "generic", "radial");
  const Sobol sobol(branch.dimension(), 1);
  std::vector<std::string> lines;
  for (std::uint64_t i = 0; i < 40; ++i) {
    nlohmann::ordered_json line = {{"id", std::to_string(i)},
                                   {"symmetry", "I"},
                                   {"plane", "generic"},
                                   {"family", "radial"},
                                   {"parameters", to_values(branch, sobol.point(i))}};
    if (i % 2 == 1) {
      line["parameters"] = nlohmann::ordered_json::object();
      const std::vector<double> values = to_values(branch, sobol.point(i));
      for (std::size_t k = 0; k < values.size(); ++k)
        line["parameters"][branch.parameters[k].name] = values[k];
    }
    lines.push_back(line.dump());
  }
  lines[7] = "{\"symmetry\": \"I\"";
  lines[8] =
      "{\"symmetry\": \"I\", \"plane\": \"axis-9\", \"family\": \"radial\", \"parameters\": []}";
  lines[9] = "";
  ScoreStream one(Limits{}, Goals{}, 1), three(Limits{}, Goals{}, 3);
  const std::vector<std::string> answers = one.answer(lines, 1);
  CHECK(answers == three.answer(lines, 1));
  REQUIRE(answers.size() == lines.size());
  VariantWorkspace work;
  Draft draft;
  Variant variant;
  for (std::size_t i = 0; i < answers.size(); ++i) {
    const auto answer = nlohmann::json::parse(answers[i]);
    if (7 <= i && i <= 9) {
      CHECK_THAT(answer.at("error").get<std::string>(),
                 Catch::Contains("line " + std::to_string(i + 1)));
      continue;
    }
    CHECK(answer.at("id") == std::to_string(i));
    make_draft(branch, to_values(branch, sobol.point(i)), draft);
    make_variant(branch.scheme, draft, Limits{}, work, variant);
    CHECK(answer.at("status") == name_of(variant.status));
    CHECK(answer.at("feasible").get<bool>() == (variant.status == Status::ok));
  }
}

TEST_CASE("score reads any amount of lines through a pipe", "[tools][score]") {
  const Scratch scratch("score");
  {
    std::ofstream file(scratch / "lines");
    for (int i = 0; i < 3000; ++i) file << "{\"number\": " << i << "}\n";
    file << "{\"last\": 1}";  // no line end
  }
  const Ran ran = run(program_path() + " score --threads 2 < " + scratch / "lines");
  CHECK(ran.status == 0);
  CHECK(std::count(ran.output.begin(), ran.output.end(), '\n') == 3001);
  CHECK_THAT(ran.output, Catch::Contains("line 3001"));
}

TEST_CASE("the described space is a schema that names every parameter", "[tools][score]") {
  const Ran ran =
      run(program_path() + " score --describe --group I,D5 --plane generic,axis --family radial");
  REQUIRE(ran.status == 0);
  const auto schema = nlohmann::json::parse(ran.output);
  CHECK(schema.at("$schema") == "https://json-schema.org/draft/2020-12/schema");
  // generic is a name of its own; axis means five axes, two of them with two ways of trimming.
  CHECK(schema.at("oneOf").size() == 2 + 5 + 2);
  const Branch branch = make_branch("I", "generic", "radial");
  const auto& parameters =
      schema.at("oneOf")[0].at("properties").at("parameters").at("oneOf")[0].at("properties");
  CHECK(parameters.size() == branch.parameters.size());
  for (const SearchParameter& parameter : branch.parameters)
    CHECK(parameters.at(parameter.name).at("maximum") == parameter.high);
}

TEST_CASE("what is listed keeps limits on the day, as check measures it", "[find][day]") {
  const Scratch scratch("day");
  const std::string common = "--group O --budget 6000 --count 4 --out ";
  REQUIRE(run_find(common + scratch / "free").status == 0);
  REQUIRE(run_find("--module-opening ..450 --limit 'closure<=15' --people 6 --limit 'hours<=4' " +
                   common + scratch / "held")
              .status == 0);
  int listed = 0;
  for (const auto& entry : fs::directory_iterator(scratch / "held")) {
    const std::string name = entry.path().filename().string();
    if (!std::isdigit(static_cast<unsigned char>(name[0])) || entry.path().extension() != ".json")
      continue;
    ++listed;
    const Design design = read_design_json(read_file(entry.path()), name);
    INFO(name);
    CHECK(design.score.module_opening_mm <= 450);
    CHECK(design.score.closure_mm <= 15);
    CHECK(design.score.hours <= 4);
    CHECK(design.score.hours > 0);
    CHECK(design.limits.people == 6);
    CHECK(design.limits.max_module_opening_mm == 450);
    const Ran checked = run(program_path() + " check --json " + entry.path().string());
    CHECK(checked.status == 0);
    const auto score = nlohmann::json::parse(checked.output)["score"];
    CHECK(score["hours"].get<double>() == Approx(design.score.hours));
    CHECK(score["closure_mm"].get<double>() == Approx(design.score.closure_mm));
  }
  CHECK(listed > 0);
}

TEST_CASE("a weight on the day puts first what is quicker built, and never leads alone",
          "[find][day]") {
  const Scratch scratch("day-weight");
  const auto mean_of = [&](const std::string& options, const char* field, const Goals& goals = {}) {
    const std::string folder = scratch / ("run" + std::to_string(options.size()) + field);
    REQUIRE(run_find(options + " --group I,O,T --budget 6000 --count 6 --out " + folder).status ==
            0);
    double sum = 0, last = 2;
    int listed = 0;
    for (int k = 1; fs::exists(folder + format("/%03d.json", k)); ++k, ++listed) {
      const auto design = nlohmann::json::parse(read_file(folder + format("/%03d.json", k)));
      sum += design["score"].value(field, 0.0);
      if (goals.weights.empty()) continue;
      // In the order of what was measured, not of what the search took it for.
      const double quality = measure_quality(goals, read_design_json(design.dump(), "it").score);
      CHECK(quality <= last + 1e-9);
      last = quality;
    }
    REQUIRE(listed >= 3);
    return sum / listed;
  };
  Goals quick;
  quick.weights = {parse_weight("appeal=1"), parse_weight("hours=6")};
  CHECK(mean_of("--weight appeal=1 --weight hours=6", "hours", quick) <
        mean_of("--weight appeal=1 --limit 'hours<=1000'", "hours"));
  CHECK(mean_of("--weight appeal=1 --weight closure=6", "closure_mm") <
        mean_of("--weight appeal=1 --limit 'closure<=1000'", "closure_mm"));
  for (const char* weights : {"--weight closure", "--weight closure=2 --weight appeal=0",
                              "--limit 'hours<=-1'", "--pareto hours,joints"}) {
    CAPTURE(weights);
    const Ran refused = run_find(std::string(weights) + " --budget 100 --out " + (scratch / "no"));
    CHECK(refused.status == 2);
    CHECK_THAT(refused.output, Catch::Contains("is measured only of what is about to be listed"));
    CHECK_FALSE(fs::exists(scratch / "no"));
  }
}
