#pragma once
// Ballots as people type them and as the gallery page saves them: CSV files with a column `vote`.
//
//   picks:    3 7 12        (also 3;7;12 or 3+7+12 or, inside quotation marks, 3,7,12)
//   ranking:  7 > 3 > 12    (7 first; 3=5 for equal; who is not named comes last)
//             7:1 3:2 12:3  (the rank written beside each, as on a slip)
//   blank:    blank         (also leer, or a single -)
//
// Designs are called by number or by name. Other columns that are read, where they are there:
// `count` (how many voters cast the line), `class` (whose), `gallery` (the identity of the gallery
// the ballots were cast for) and `ballot`, whose codes tell one ballot from another. Headings in
// German are read, too: stimme, anzahl, klasse, galerie.

#include <optional>
#include <string>
#include <vector>

namespace sixtyfold {

enum class BallotKind { picks, ranking };

/// Designs on one place are equal; those on no place come after all others. A blank ballot has no
/// place: its voter came and wanted none of them.
struct Ballot {
  int file = 0, line = 0;                ///< from 0; in the file, from 1
  int count = 1;                         ///< how many voters cast it
  int class_index = -1;                  ///< of BallotBox::classes, -1: none is told
  std::vector<std::vector<int>> places;  ///< designs, from 0; picks are one place
};

struct SpoiledBallot {
  int file = 0, line = 0;
  int class_index = -1;
  std::string reason;  ///< rest of a sentence: "names design 3 twice"
};

struct BallotBox {
  std::vector<std::string> designs;  ///< names
  std::vector<int> numbers;          ///< what design i is called by, usually i + 1
  std::vector<std::string> files;    ///< as they were given
  std::vector<std::string> classes;  ///< in the order met; empty if no ballot tells one
  BallotKind kind = BallotKind::picks;
  bool ranked = false;  ///< some ballot that counts puts one design before another
  std::vector<Ballot> ballots, blank;
  std::vector<SpoiledBallot> spoiled;
  std::vector<std::string> notices;  ///< what whoever counts should know, whole sentences

  /// Voters whose ballots count, and those who cast a blank one.
  int voters() const;
  int blank_voters() const;
};

inline constexpr int most_ballots = 100000;  ///< lines of one file
inline constexpr int most_ballot_files = 100;
inline constexpr int most_vote_designs = 500;
inline constexpr int most_classes = 200;
inline constexpr int most_voters = 1000000;  ///< of one line
inline constexpr int most_voters_together = 1000000000;

struct BallotFile {
  std::string name;  ///< for messages, and the class of its ballots if they tell none
  std::string bytes;
};

/// What stood on the ballots. Empty names: taken from the votes, numbers 1 to the largest named,
/// or else all names in alphabetical order.
struct BallotGuide {
  std::vector<std::string> designs = {};
  std::vector<int> numbers = {};        ///< empty: 1, 2, 3 ...
  std::string gallery = {};             ///< its identity; empty: not known
  std::optional<BallotKind> kind = {};  ///< empty: what most ballots are
};

/// Counts nothing in silence: a ballot that can not be counted is spoiled, with its file, line and
/// reason; one whose code was read before is not counted again, and a notice says so. Among picks
/// a ballot that ranks is spoiled, and among rankings one with several picks and no order. Where
/// several files tell no class, each file is a class. Throws std::invalid_argument: a file that is
/// no table of ballots, ballots of another gallery, too many voters or classes.
BallotBox read_ballots(const std::vector<BallotFile>& files, const BallotGuide& guide);

/// "5a.csv" or "votes/ballots-5a.csv": 5a.
std::string find_class_of_file(const std::string& name);

}  // namespace sixtyfold
