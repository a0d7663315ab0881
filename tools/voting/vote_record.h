#pragma once
// vote.json: what was agreed when a vote began, and the codes of its slips.

#include <string>
#include <vector>

namespace sixtyfold {

inline constexpr int most_slips = 500;
inline constexpr int most_paper_lines = 1000;  ///< ballots typed in
inline constexpr std::size_t code_letters = 6;

enum class VoteMethod { approval, ranking };

std::string name_of(VoteMethod method);
/// Throws std::invalid_argument: the word, and the words allowed.
VoteMethod parse_vote_method(const std::string& word);

struct VoteSlip {
  std::string code;
  int place = 0;  ///< of its ballot; drawn by lot

  bool operator==(const VoteSlip&) const = default;
};

struct VoteRecord {
  std::string gallery;  ///< its identity
  std::string title, language;
  VoteMethod method = VoteMethod::approval;
  std::string address;  ///< phones come to it
  int port = 0, desk_port = 0;
  std::string token;  ///< of the leader's page
  bool closed = false;
  int given = 0;           ///< slips
  int paper_at_close = 0;  ///< voters whose ballots had been typed in by then
  /// The only tie between a code and its ballot: none once the vote is closed.
  std::vector<VoteSlip> slips;

  bool operator==(const VoteRecord&) const = default;
};

std::string write_vote_record(const VoteRecord& record);
/// Throws std::invalid_argument with one sentence.
VoteRecord read_vote_record(const std::string& bytes, const std::string& where);

}  // namespace sixtyfold
