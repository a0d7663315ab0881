#pragma once
// What a search has found so far, in its folder while it goes on: so-far.json with the list of now
// and how far the search is, and beside it, in so-far/, a design file and a picture of each design
// that was ever on the list, under a name that never means another design.

#include <cstdint>
#include <filesystem>
#include <set>
#include <string>
#include <vector>

#include "engine/score.h"
#include "search/choose/choice.h"
#include "search/run/evaluator.h"

namespace sixtyfold {

struct SoFarState {
  double seconds = 0;     ///< since the search began
  double share_done = 0;  ///< 0 to 1; 0 where no end is set
  std::uint64_t variants = 0, feasible = 0;
  int lists = 0;         ///< made so far
  bool is_over = false;  ///< nothing more comes: the list is the ranking
};

/// One line of the list.
struct SoFarDesign {
  std::string key;   ///< make_design_hash
  std::string file;  ///< beside so-far.json: "so-far/KEY.json", of the ranking "001.json"
  std::string name, symmetry;
  std::vector<std::string> why;  ///< what speaks for its looks and what against
  Score score;
};

struct SoFarFile {
  SoFarState state;
  std::vector<SoFarDesign> designs;  ///< best first
};

/// Throws std::invalid_argument with one sentence. Keys are hexadecimal, files lie in the folder.
SoFarFile read_so_far_json(const std::string& bytes, const std::string& where);

/// Writes it. All files are written beside their place and renamed; those that so-far.json names
/// are there before it does.
class SoFar {
 public:
  /// `evaluator` draws; not while it evaluates.
  SoFar(std::filesystem::path folder, std::string material, Evaluator& evaluator);

  /// Another list: files of designs that were not on one yet.
  void list(const std::vector<Candidate>& candidates);
  /// How far it is: written at most every quarter of a second, but at once after a list.
  void tell(SoFarState state);
  /// The ranking has been written; `candidates` are its designs in its order.
  void end(const std::vector<Candidate>& candidates, SoFarState state);

 private:
  void write(SoFarState state);

  std::filesystem::path folder_;
  std::string material_;
  Evaluator& evaluator_;
  std::set<std::string> written_;
  std::vector<SoFarDesign> designs_;
  int lists_ = 0;
  bool is_new_ = false;
  double next_s_ = 0;
};

}  // namespace sixtyfold
