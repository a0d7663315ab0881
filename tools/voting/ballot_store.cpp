#include "tools/voting/ballot_store.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cassert>
#include <cerrno>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "engine/hash.h"
#include "engine/text.h"
#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "results/votes/ballot.h"

namespace sixtyfold {
namespace {

constexpr int most_places = 20000;
constexpr std::size_t most_line_bytes = 16384, largest_store_bytes = std::size_t{1} << 28;
constexpr std::size_t before_payload = 19;  // checksum, space, turn, space
constexpr const char* taken_back = "-";

std::string make_checksum(std::size_t place, const std::string& turn_and_payload) {
  return format("%016llx", static_cast<unsigned long long>(
                               make_hash(std::to_string(place) + " " + turn_and_payload)));
}

std::string make_line(std::size_t place, int turn, const std::string& payload, std::size_t bytes) {
  const std::string text = std::to_string(turn) + " " + payload;
  std::string line = make_checksum(place, text) + " " + text;
  line.resize(bytes - 1, ' ');
  return line + "\n";
}

std::string write_payload(const std::optional<KeptBallot>& ballot) {
  if (!ballot) return taken_back;
  const nlohmann::ordered_json document = {{"ballot", ballot->code},
                                           {"count", ballot->count},
                                           {"class", ballot->of_class},
                                           {"vote", ballot->vote}};
  return document.dump();
}

struct Copy {
  bool is_sound = false, is_blank = false;
  int turn = 0;
  std::optional<KeptBallot> ballot;
};

/// A line that was torn, or is another place's, is not sound.
Copy read_copy(const std::string& line, std::size_t place) {
  Copy copy;
  const std::size_t end = line.find_last_not_of(" \n");
  copy.is_blank = end == std::string::npos;
  if (copy.is_blank || end < before_payload || line.back() != '\n') return copy;
  const std::string text = line.substr(17, end + 1 - 17);
  if (line.substr(0, 16) != make_checksum(place, text) || text[0] < '0' || text[0] > '2')
    return copy;
  copy.turn = text[0] - '0';
  const std::string payload = text.substr(2);
  copy.is_sound = true;
  if (payload == taken_back) return copy;
  const JsonCursor kept = JsonCursor::parse(payload, "ballot " + std::to_string(place));
  copy.ballot = KeptBallot{kept.at("ballot").text(20),
                           static_cast<int>(kept.at("count").integer(1, most_voters)),
                           kept.at("class").text(1000), kept.at("vote").text(most_line_bytes)};
  return copy;
}

std::string make_head(int places, std::size_t line_bytes) {
  std::string head = format("sixtyfold-ballots 1 %d %zu", places, line_bytes);
  head.resize(line_bytes - 1, ' ');
  return head + "\n";
}

/// 0, or the number of the error.
int write_at(int descriptor, const std::string& bytes, std::size_t offset) {
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t count = ::pwrite(descriptor, bytes.data() + done, bytes.size() - done,
                                   static_cast<off_t>(offset + done));
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return count < 0 ? errno : ENOSPC;
    done += static_cast<std::size_t>(count);
  }
  return ::fsync(descriptor) == 0 ? 0 : errno;
}

}  // namespace

std::size_t BallotStore::find_room(std::size_t class_bytes, std::size_t vote_bytes) {
  constexpr std::size_t names = 80;  // keys, code and count
  return names + 2 * class_bytes + vote_bytes;
}

void BallotStore::make(const std::filesystem::path& path, int places, std::size_t ballot_bytes) {
  assert(1 <= places && places <= most_places);
  const std::size_t line_bytes = before_payload + ballot_bytes + 1;
  assert(line_bytes <= most_line_bytes);
  std::string bytes = make_head(places, line_bytes);
  std::string empty(line_bytes - 1, ' ');
  empty += "\n";
  for (int i = 0; i < 2 * places; ++i) bytes += empty;
  write_file(path, bytes, Keep::on_the_disk);
}

BallotStore::BallotStore(const std::filesystem::path& path) : path_(path) {
  const std::string bytes = read_file(path, largest_store_bytes);
  const auto refuse = [&] {
    throw std::invalid_argument(path.string() + ": is no file of ballots of this program");
  };
  int places = 0;
  if (std::sscanf(bytes.substr(0, 80).c_str(), "sixtyfold-ballots 1 %d %zu", &places,
                  &line_bytes_) != 2 ||
      !(1 <= places && places <= most_places) ||
      !(before_payload < line_bytes_ && line_bytes_ <= most_line_bytes) ||
      bytes.size() != line_bytes_ * (1 + 2 * static_cast<std::size_t>(places)) ||
      bytes.substr(0, line_bytes_) != make_head(places, line_bytes_))
    refuse();
  places_.resize(static_cast<std::size_t>(places));
  newest_.resize(places_.size());
  for (std::size_t place = 0; place < places_.size(); ++place) {
    Copy copies[2];
    for (int c = 0; c < 2; ++c)
      copies[c] = read_copy(bytes.substr(find_offset(place, c), line_bytes_), place);
    if (!copies[0].is_sound && !copies[1].is_sound) {
      // A first ballot that was torn was never acknowledged; two lines that can not be read were.
      damaged_ += !copies[0].is_blank && !copies[1].is_blank;
      continue;
    }
    const bool second =
        copies[1].is_sound && (!copies[0].is_sound || copies[1].turn == (copies[0].turn + 1) % 3);
    newest_[place] = {second, copies[second].turn};
    places_[place] = copies[second].ballot;
  }
  descriptor_ = ::open(path.c_str(), O_RDWR | O_CLOEXEC | O_NOFOLLOW);
  if (descriptor_ < 0)
    throw std::runtime_error(path.string() + ": can not be written: " + describe_error(errno));
}

BallotStore::~BallotStore() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

std::size_t BallotStore::find_offset(std::size_t place, int copy) const {
  return line_bytes_ * (1 + 2 * place + static_cast<std::size_t>(copy));
}

void BallotStore::keep(int place, const std::optional<KeptBallot>& ballot) {
  const auto at = static_cast<std::size_t>(place);
  assert(at < places_.size());
  const std::string payload = write_payload(ballot);
  if (before_payload + payload.size() + 1 > line_bytes_)
    throw std::runtime_error(path_.string() + ": a ballot is longer than its place");
  const Newest next{1 - newest_[at].copy, (newest_[at].turn + 1) % 3};
  const std::string line = make_line(at, next.turn, payload, line_bytes_);
  const std::size_t offset = find_offset(at, next.copy);
  if (const int fault = write_at(descriptor_, line, offset); fault != 0) {
    // What may have reached the disk of it is made void: it was not acknowledged.
    std::string nothing(line_bytes_ - 1, ' ');
    write_at(descriptor_, nothing += "\n", offset);
    throw std::runtime_error(path_.string() + ": can not be written: " + describe_error(fault));
  }
  newest_[at] = next;
  places_[at] = ballot;
}

}  // namespace sixtyfold
