#pragma once
// One vote in a folder of its own: who may cast, what was cast, and what it comes to.

#include <filesystem>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "results/files/file.h"
#include "results/gallery/gallery_list.h"
#include "results/votes/tally.h"
#include "tools/voting/ballot_store.h"
#include "tools/voting/vote_record.h"

namespace sixtyfold {

/// Designs by number, in order; those of one place are equal. Picks are one place, a blank ballot
/// none.
using BallotPlaces = std::vector<std::vector<int>>;

enum class CastOutcome {
  taken,         ///< the first ballot of this slip
  changed,       ///< another one in its place
  unknown_code,  ///< no slip has it
  closed,        ///< the vote is over
  bad_ballot,    ///< names what is no design, or in a way that the method does not know
  not_kept,      ///< the disk did not take it
};

struct PaperBallot {
  std::string code;  ///< drawn where it was typed: sent twice, it counts once
  int count = 1;
  std::string of_class;
  BallotPlaces places;
};

struct VoteCount {
  int given = 0;  ///< slips
  int cast = 0;   ///< slips that cast a ballot
  int paper = 0;  ///< voters whose ballots were typed in
  int late = 0;   ///< of them after closing
  bool closed = false;
};

struct VoteResult {
  BallotBox box;
  std::optional<VoteTally> tally;  ///< nothing where no ballot names a design
};

/// Called from several threads. Whatever it says is done is on the disk.
class Vote {
 public:
  /// Begins a vote in `folder`, which is made. Throws std::invalid_argument when one lies there.
  static void begin(const std::filesystem::path& folder, VoteRecord record, int slips,
                    std::size_t designs);
  static bool is_in(const std::filesystem::path& folder);

  /// Goes on with the vote that lies there. Throws std::invalid_argument: none does, it is another
  /// gallery's, or another program is at work with it.
  Vote(const std::filesystem::path& folder, const GalleryList& gallery);

  VoteRecord record() const;
  VoteCount count() const;
  /// Ballots that were acknowledged and that the disk has lost since.
  int damaged() const { return store_.damaged(); }

  /// Of an address or port that changed. Throws as write_file.
  void set_addresses(const std::string& address, int port, int desk_port);
  /// More slips, up to most_slips in all. Throws std::invalid_argument: more than that, or closed.
  void add_slips(int more);

  /// Upper and lower case, spaces and hyphens in a code do not matter. The last ballot of a slip
  /// counts.
  CastOutcome cast(const std::string& code, const BallotPlaces& places);
  /// Before closing and after. Throws std::invalid_argument, one sentence: a ballot that can not
  /// stand, or no room for more; std::runtime_error: the disk did not take it (those before it are
  /// taken).
  void add_paper(const std::vector<PaperBallot>& ballots);
  /// Takes a typed ballot out again; nothing happens where there is none of that code.
  void take_back_paper(const std::string& code);
  /// No slip casts any more; the codes are thrown away, and ballots.csv is written.
  void close();

  /// As `sixtyfold tally` counts what write_file() says.
  VoteResult find_result() const;
  /// The ballots, for `sixtyfold tally`.
  std::string write_ballot_file() const;
  std::filesystem::path ballot_file() const { return folder_ / "ballots.csv"; }

 private:
  VoteCount count_now() const;
  std::string find_fault(const BallotPlaces& places, bool paper) const;
  std::string write_ballots_now() const;
  void write_record(const VoteRecord& record);

  std::filesystem::path folder_;
  FolderLock lock_;
  GalleryList gallery_;
  VoteRecord record_;
  BallotStore store_;
  std::map<std::string, int> place_of_code_;
  mutable std::mutex busy_;
};

}  // namespace sixtyfold
