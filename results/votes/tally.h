#pragma once
// Counting ballots by published rules. Every tie is named as a tie; none is ever broken.

#include <optional>
#include <string>
#include <vector>

#include "results/votes/ballot.h"

namespace sixtyfold {

/// approval: most picks (Brams and Fishburn 1978). plurality: most first places. borda: m-1 points
/// for the first place to 0 for the last, equal places share their points (Borda 1784). runoff:
/// the design with fewest first places drops out until one has more than half of the ballots that
/// still count. schulze: strongest chains of majorities (Schulze 2011, winning votes). minimax:
/// least worst defeat (Condorcet 1785; winning votes). copeland: most duels won, half for a draw.
enum class TallyMethod { approval, plurality, borda, runoff, schulze, minimax, copeland };

std::string name_of(TallyMethod method);
/// For people: "the Schulze method".
std::string title_of(TallyMethod method);
/// Throws std::invalid_argument: the word, and the words allowed.
TallyMethod parse_tally_method(const std::string& word);

struct TallyRow {
  int design = 0;    ///< from 0
  int place = 1;     ///< 1 + number of designs before it: equal designs share a place
  double score = 0;  ///< in the units of VoteTally::score_unit
};

struct VoteTally {
  TallyMethod method = TallyMethod::approval;
  std::vector<TallyRow> rows;  ///< by place, then by number
  std::vector<int> winners;    ///< more than one: a tie
  std::string score_unit;      ///< "picks", "points", ...
  std::string rule;            ///< what wins, and how ties and open places are treated
  int voters = 0;
  /// duels[i][j]: voters who put i before j. Empty for approval.
  std::vector<std::vector<int>> duels;
  int condorcet_winner = -1;  ///< wins every duel; -1 if there is none
  /// runoff: first places of every design in every round, -1 once it is out. Where a round is
  /// tied for the fewest, the design with the smallest number drops out in these rounds.
  std::vector<std::vector<int>> rounds;
};

/// Throws std::invalid_argument: no ballot counts; approval asked for ballots that rank; plurality
/// or runoff asked for ballots with equal places (the line is named); or runoff with more ties
/// than can be followed.
VoteTally make_tally(const BallotBox& box, TallyMethod method);

/// What one class said, counted by itself.
struct ClassTally {
  std::string name;
  int blank = 0, spoiled = 0;
  std::optional<VoteTally> tally;  ///< nothing where no ballot of the class counts
};

/// One for each class of the box, in its order.
std::vector<ClassTally> make_class_tallies(const BallotBox& box, TallyMethod method);

/// Whether the scores of the classes sum to the score of all: approval, plurality and borda.
bool adds_up(TallyMethod method);

/// What is usual for these ballots: schulze if some rank, else approval.
TallyMethod find_usual_method(const BallotBox& box);

}  // namespace sixtyfold
