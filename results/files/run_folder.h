#pragma once
// The folder a search leaves behind: ranking.json, run.json, NNN.json and NNN.svg for each
// candidate, and what results/files/run_output.h adds. All but run.json are the same bytes for the
// same seed and budget.

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "engine/design.h"

namespace sixtyfold {

/// Most candidates of one run.
inline constexpr int most_candidates = 9999;

/// One line of ranking.json.
struct RankedFile {
  int rank = 0;      ///< from 1
  std::string file;  ///< such as "001.json", beside ranking.json
  std::string name, symmetry, family;
  Score score;
  std::vector<std::string> reasons;  ///< why it stands where it stands, one sentence each

  bool operator==(const RankedFile&) const = default;
};

/// What run.json says about the run.
struct RunRecord {
  std::string command;  ///< as typed
  std::string version;
  std::uint64_t seed = 0;
  int threads = 0;
  std::string started;  ///< local time, ISO 8601
  double seconds = 0;
  std::uint64_t variants = 0, feasible = 0;
  std::string why_ended;  ///< one sentence

  bool operator==(const RunRecord&) const = default;
};

/// "001.json", "012.svg", "1234.json": at least three digits. 1 <= rank <= most_candidates.
std::string candidate_file_name(int rank, const std::string& extension);

/// The line of ranking.json for a design of that rank.
RankedFile make_ranked_file(int rank, const Design& design);

std::string write_ranking_json(const std::vector<RankedFile>& ranking);
std::string write_run_json(const RunRecord& record);

/// Throw std::invalid_argument with one sentence. Files must be plain names ending in .json.
std::vector<RankedFile> read_ranking_json(const std::string& bytes, const std::string& where);
RunRecord read_run_json(const std::string& bytes, const std::string& where);

struct RunFolder {
  std::vector<RankedFile> ranking;
  std::vector<Design> designs;  ///< designs[i] is ranking[i]'s file
};

/// Reads ranking.json and every design it lists.
/// Throws std::invalid_argument: no such folder, no ranking.json, or a bad file in it.
RunFolder read_run_folder(const std::filesystem::path& folder);

}  // namespace sixtyfold
