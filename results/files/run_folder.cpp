#include "results/files/run_folder.h"

#include <algorithm>
#include <cassert>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "results/files/design_json.h"
#include "results/files/file.h"
#include "results/files/json_fields.h"
#include "results/files/json_writer.h"
#include "results/files/score_json.h"

namespace sixtyfold {

using nlohmann::ordered_json;

namespace {

template <class Visit>
void visit_fields(RunRecord& record, const Visit& visit) {
  visit("command", record.command);
  visit("version", record.version);
  visit("seed", record.seed);
  visit("threads", record.threads);
  visit("started", record.started);
  visit("seconds", record.seconds);
  visit("variants", record.variants);
  visit("feasible", record.feasible);
  visit("why_ended", record.why_ended);
}

template <class Visit>
void visit_fields(RankedFile& entry, const Visit& visit) {
  visit("rank", entry.rank);
  visit("file", entry.file);
  visit("name", entry.name);
  visit("symmetry", entry.symmetry);
  visit("family", entry.family);
}

/// A name that stays in the folder whatever the system makes of it.
bool is_plain_json_name(const std::string& name) {
  const auto is_plain = [](char c) {
    return ('0' <= c && c <= '9') || ('a' <= c && c <= 'z') || ('A' <= c && c <= 'Z') || c == '_' ||
           c == '-';
  };
  return name.size() > 5 && name.size() <= 100 && name.ends_with(".json") &&
         std::all_of(name.begin(), name.end() - 5, is_plain);
}

}  // namespace

std::string candidate_file_name(int rank, const std::string& extension) {
  assert(1 <= rank && rank <= most_candidates);
  const std::string digits = std::to_string(rank);
  return std::string(digits.size() < 3 ? 3 - digits.size() : 0, '0') + digits + "." + extension;
}

RankedFile make_ranked_file(int rank, const Design& design) {
  return {rank,
          candidate_file_name(rank, "json"),
          design.name,
          design.symmetry,
          design.recipe.family,
          design.score,
          {}};
}

std::string write_ranking_json(const std::vector<RankedFile>& ranking) {
  ordered_json candidates = ordered_json::array();
  for (RankedFile entry : ranking) {
    ordered_json object = ordered_json::object();
    visit_fields(entry, FieldWriter{object});
    if (!entry.reasons.empty()) object["reasons"] = entry.reasons;
    object["score"] = write_score_json(entry.score);
    candidates.push_back(object);
  }
  return write_json({{"format", "sixtyfold-ranking"}, {"version", 1}, {"candidates", candidates}});
}

std::string write_run_json(const RunRecord& record) {
  RunRecord copy = record;
  ordered_json object = ordered_json::object();
  visit_fields(copy, FieldWriter{object});
  return write_json(object);
}

std::vector<RankedFile> read_ranking_json(const std::string& bytes, const std::string& where) {
  const JsonCursor root = JsonCursor::parse(bytes, where);
  std::vector<RankedFile> ranking;
  for (const JsonCursor& item : root.at("candidates").array(0, most_candidates)) {
    RankedFile entry;
    visit_fields(entry, FieldReader{item});
    const JsonCursor file = item.at("file");
    if (!is_plain_json_name(entry.file))
      file.fail("is " + quote(entry.file) +
                "; a plain file name of letters, digits, - and _ ending in .json is needed");
    if (const auto reasons = item.find("reasons"))
      for (const JsonCursor& reason : reasons->array(0, 100))
        entry.reasons.push_back(reason.text(500));
    entry.score = read_score_json(item.at("score"));
    ranking.push_back(entry);
  }
  return ranking;
}

RunRecord read_run_json(const std::string& bytes, const std::string& where) {
  RunRecord record;
  visit_fields(record, FieldReader{JsonCursor::parse(bytes, where)});
  return record;
}

RunFolder read_run_folder(const std::filesystem::path& folder) {
  if (!std::filesystem::is_directory(folder))
    throw std::invalid_argument(folder.string() + ": there is no such folder");
  const auto ranking = folder / "ranking.json";
  if (!std::filesystem::exists(ranking))
    throw std::invalid_argument(
        folder.string() + ": has no ranking.json; a folder written by `sixtyfold find` is needed");
  RunFolder run;
  run.ranking = read_ranking_json(read_file(ranking), ranking.string());
  for (const RankedFile& entry : run.ranking) {
    const auto path = folder / entry.file;
    run.designs.push_back(read_design_json(read_file(path), path.string()));
  }
  return run;
}

}  // namespace sixtyfold
