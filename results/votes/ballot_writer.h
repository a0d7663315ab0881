#pragma once
// Files of ballots as read_ballots reads them, the same rows as the gallery page saves.

#include <string>
#include <vector>

namespace sixtyfold {

struct BallotRow {
  std::string code;  ///< that tells this ballot from others; of such rows the order is made
  std::string of_class;
  int count = 1;
  std::string vote;
};

/// "blank", picks as "3 7 12" or an order as "7>3=5". A ranking with one design is "7:1", so that
/// nobody takes it for a pick. Designs by number.
std::string write_ballot_vote(const std::vector<std::vector<int>>& places, bool ranks);

/// RFC 4180. In order of the codes: nobody reads from it who voted when.
std::string write_ballots(std::vector<BallotRow> rows, const std::string& gallery);

}  // namespace sixtyfold
