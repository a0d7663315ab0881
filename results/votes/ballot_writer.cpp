#include "results/votes/ballot_writer.h"

#include <algorithm>

namespace sixtyfold {
namespace {

std::string quote_field(const std::string& text) {
  if (text.find_first_of("\",;\r\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

}  // namespace

std::string write_ballot_vote(const std::vector<std::vector<int>>& places, bool ranks) {
  if (places.empty()) return "blank";
  if (ranks && places.size() == 1 && places[0].size() == 1)
    return std::to_string(places[0][0]) + ":1";
  std::string vote;
  for (const std::vector<int>& place : places) {
    if (!vote.empty()) vote += ">";
    for (std::size_t i = 0; i < place.size(); ++i)
      vote += (i == 0 ? "" : ranks ? "=" : " ") + std::to_string(place[i]);
  }
  return vote;
}

std::string write_ballots(std::vector<BallotRow> rows, const std::string& gallery) {
  std::sort(rows.begin(), rows.end(),
            [](const BallotRow& a, const BallotRow& b) { return a.code < b.code; });
  const bool counted =
      std::any_of(rows.begin(), rows.end(), [](const BallotRow& row) { return row.count != 1; });
  std::string text = std::string("ballot,class") + (counted ? ",count" : "") + ",vote,gallery\r\n";
  for (const BallotRow& row : rows)
    text += row.code + "," + quote_field(row.of_class) +
            (counted ? "," + std::to_string(row.count) : "") + "," + row.vote + "," + gallery +
            "\r\n";
  return text;
}

}  // namespace sixtyfold
