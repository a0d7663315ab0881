#pragma once
// Ballots as people type them and as the gallery page saves them: a CSV file (RFC 4180) with a
// column `vote` and, if wanted, a column `count`. All other columns are passed over.
//
//   picks:    3 7 12        (also 3;7;12 or 3+7+12)
//   ranking:  7 > 3 > 12    (7 first; 3=5 for equal; who is not named comes last)
//
// Options are called by number, from 1, or by name. Lines that begin with # are remarks.

#include <string>
#include <vector>

namespace sixtyfold {

/// Options on one place are equal; those on no place come after all others.
struct Ballot {
  int line = 0;                          ///< in the file, from 1
  int count = 1;                         ///< how many voters cast it
  std::vector<std::vector<int>> places;  ///< numbers of options, from 0; picks are one place
};

struct SpoiledBallot {
  int line = 0;
  std::string reason;  ///< rest of a sentence: "names option 3 twice"
};

struct BallotBox {
  std::vector<std::string> options;  ///< names; option i is number i + 1
  bool ranked = false;               ///< some ballot puts one option before another
  std::vector<Ballot> ballots;
  std::vector<SpoiledBallot> spoiled;

  /// Voters whose ballots count.
  int voters() const;
};

inline constexpr int most_ballots = 100000;  ///< lines of one file
inline constexpr int most_options = 500;
inline constexpr int most_voters = 1000000;  ///< of one line
inline constexpr int most_voters_together = 1000000000;

/// Reads a file's bytes: UTF-8, else Latin-1 as older spreadsheets save. `options` are the names on
/// the ballots; where it is empty they are taken from the votes: numbers 1 to the largest named, or
/// else all names in alphabetical order. A ballot that can not be counted is spoiled, with its line
/// and the reason; it never stops the count. Throws std::invalid_argument only for a file that is
/// no table of ballots.
BallotBox read_ballots_csv(const std::string& bytes, const std::string& where,
                           const std::vector<std::string>& options);

}  // namespace sixtyfold
