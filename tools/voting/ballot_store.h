#pragma once
// The ballots of a vote on the disk, each at a place of its own.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace sixtyfold {

struct KeptBallot {
  std::string code;      ///< drawn by lot, as in a file of ballots; never the code of a slip
  int count = 1;         ///< how many voters cast it
  std::string of_class;  ///< may be empty
  std::string vote;      ///< as in a file of ballots: "3 7", "7>3", "7:1", "blank"

  bool operator==(const KeptBallot&) const = default;
};

/// Promises:
/// 1. when `keep` returns, the ballot is on the disk, and no crash or power loss after it takes it;
///    when it throws, or the program dies within it, the place holds what it held before, or the
///    new ballot, never anything else;
/// 2. places are written where they stand, so the file tells nobody in which order ballots came;
/// 3. the whole file is written when it is made: a disk that fills up later takes no ballot.
///
/// A line of text a copy, two copies a place: the older one is written over, with a checksum and a
/// digit that says which of both is newer.
class BallotStore {
 public:
  /// Makes the file. Throws as write_file.
  static void make(const std::filesystem::path& path, int places, std::size_t ballot_bytes);
  /// Bytes that such a ballot needs of `ballot_bytes`, for classes and votes this long.
  static std::size_t find_room(std::size_t class_bytes, std::size_t vote_bytes);

  /// Throws std::invalid_argument: no such file, or one that is none of ballots;
  /// std::runtime_error: it can not be opened for writing.
  explicit BallotStore(const std::filesystem::path& path);
  ~BallotStore();
  BallotStore(const BallotStore&) = delete;
  BallotStore& operator=(const BallotStore&) = delete;

  const std::vector<std::optional<KeptBallot>>& places() const { return places_; }
  /// Places whose both copies were spoilt: ballots that the disk, not the program, lost.
  int damaged() const { return damaged_; }
  /// Nothing: takes the ballot of that place back. Throws std::runtime_error, with the system's
  /// reason, when it is not on the disk.
  void keep(int place, const std::optional<KeptBallot>& ballot);

 private:
  std::size_t find_offset(std::size_t place, int copy) const;

  std::filesystem::path path_;
  int descriptor_ = -1;
  std::size_t line_bytes_ = 0;
  int damaged_ = 0;
  std::vector<std::optional<KeptBallot>> places_;
  struct Newest {
    int copy = 1, turn = 2;  // so that the first goes into copy 0 as turn 0
  };
  std::vector<Newest> newest_;
};

}  // namespace sixtyfold
