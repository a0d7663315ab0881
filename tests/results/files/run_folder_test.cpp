#include "results/files/run_folder.h"

#include <catch2/catch.hpp>

#include "results/files/design_json.h"
#include "results/files/file.h"
#include "tests/support/run_program.h"
#include "tests/support/sample_design.h"

using namespace sixtyfold;

TEST_CASE("a run folder reads back what was written", "[run_folder]") {
  const ScratchFolder folder;
  const Design design = make_sample_design();
  std::vector<RankedFile> ranking;
  for (int rank = 1; rank <= 3; ++rank) {
    ranking.push_back(make_ranked_file(rank, design));
    write_file(folder.path() / ranking.back().file, write_design_json(design));
  }
  write_file(folder.path() / "ranking.json", write_ranking_json(ranking));
  const RunFolder run = read_run_folder(folder.path());
  CHECK(run.ranking == ranking);
  REQUIRE(run.designs.size() == 3);
  CHECK(write_design_json(run.designs[2]) == write_design_json(design));
}

TEST_CASE("a run record reads back the same", "[run_folder]") {
  RunRecord record;
  record.command = "sixtyfold find --sheet 700x1000";
  record.version = "1";
  record.seed = 18446744073709551615u;
  record.seconds = 0.1;
  record.why_ended = "the budget of 20000 variants was used up";
  CHECK(read_run_json(write_run_json(record), "run.json") == record);
}

TEST_CASE("candidates are named by rank", "[run_folder]") {
  CHECK(candidate_file_name(1, "json") == "001.json");
  CHECK(candidate_file_name(12, "svg") == "012.svg");
  CHECK(candidate_file_name(1234, "json") == "1234.json");
}

TEST_CASE("a ranking can not lead out of its folder", "[run_folder]") {
  for (const char* file :
       {"../secret.json", "/etc/passwd.json", "a/b.json", "con.txt", ".json", ""}) {
    RankedFile entry = make_ranked_file(1, make_sample_design());
    entry.file = file;
    CHECK_THROWS_WITH(read_ranking_json(write_ranking_json({entry}), "ranking.json"),
                      Catch::Contains("candidates[0].file"));
  }
}

TEST_CASE("a folder that is no run is refused", "[run_folder]") {
  const ScratchFolder folder;
  CHECK_THROWS_WITH(read_run_folder(folder.path() / "none"), Catch::Contains("no such folder"));
  CHECK_THROWS_WITH(read_run_folder(folder.path()), Catch::Contains("has no ranking.json"));
  write_file(folder.path() / "ranking.json", "{\"candidates\": [{\"rank\": 1}]}");
  CHECK_THROWS_WITH(read_run_folder(folder.path()), Catch::Contains("\"file\" is missing"));
}
