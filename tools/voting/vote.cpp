#include "tools/voting/vote.h"

#include <algorithm>
#include <cassert>
#include <numeric>
#include <random>
#include <set>
#include <stdexcept>

#include "engine/text.h"
#include "engine/utf8.h"
#include "results/files/json_reader.h"
#include "results/votes/ballot_writer.h"
#include "tools/served/secret.h"

namespace sixtyfold {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t most_class_bytes = 160;
constexpr int all_places = most_slips + most_paper_lines;

fs::path record_file(const fs::path& folder) { return folder / "vote.json"; }
fs::path store_file(const fs::path& folder) { return folder / "ballots.kept"; }

/// "BCD-FGH" as it stands in the record.
std::string simplify_code(const std::string& typed) {
  std::string code;
  for (const char c : typed.substr(0, 40))
    if (c != ' ' && c != '-') code += 'A' <= c && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return code;
}

std::string make_ballot_code() { return "v" + make_code(9); }

bool is_ballot_code(const std::string& code) {
  return code.size() == 10 && code[0] == 'v' &&
         code.find_first_not_of("bcdfghjkmnpqrstvwxz", 1) == std::string::npos;
}

/// Slips with codes and places of their own, by the system's randomness.
std::vector<VoteSlip> draw_slips(int count, const std::vector<VoteSlip>& before) {
  std::set<std::string> codes;
  std::set<int> taken;
  for (const VoteSlip& slip : before) {
    codes.insert(slip.code);
    taken.insert(slip.place);
  }
  std::vector<int> free;
  for (int place = 0; place < most_slips; ++place)
    if (!taken.count(place)) free.push_back(place);
  std::random_device chance;
  std::shuffle(free.begin(), free.end(), chance);
  std::vector<VoteSlip> slips;
  while (static_cast<int>(slips.size()) < count) {
    std::string code = make_code(code_letters);
    if (codes.insert(code).second) slips.push_back({std::move(code), free[slips.size()]});
  }
  return slips;
}

VoteRecord read_record(const fs::path& folder) {
  const std::string path = record_file(folder).string();
  return read_vote_record(read_file(path), path);
}

}  // namespace

bool Vote::is_in(const fs::path& folder) { return fs::exists(record_file(folder)); }

void Vote::begin(const fs::path& folder, VoteRecord record, int slips, std::size_t designs) {
  assert(1 <= slips && slips <= most_slips);
  make_folder(folder);
  fs::permissions(folder, fs::perms::owner_all);  // who may read the codes may vote by them
  const FolderLock lock(folder);
  if (is_in(folder)) throw std::invalid_argument(folder.string() + ": a vote lies there already");
  constexpr std::size_t bytes_a_design = 5;  // a number of four digits and what divides it
  BallotStore::make(store_file(folder), all_places,
                    BallotStore::find_room(most_class_bytes, bytes_a_design * designs + 10));
  record.given = slips;
  record.slips = draw_slips(slips, {});
  write_file(record_file(folder), write_vote_record(record), Keep::on_the_disk);
  sync_folder(folder);
}

Vote::Vote(const fs::path& folder, const GalleryList& gallery)
    : folder_(folder),
      lock_(folder),
      gallery_(gallery),
      record_(read_record(folder)),
      store_(store_file(folder)) {
  if (record_.gallery != gallery.identity)
    throw std::invalid_argument(
        folder.string() +
        ": this vote was begun when other designs stood in the gallery, or other numbers; its "
        "ballots would mean something else now. To vote anew, move this folder away");
  if (store_.places().size() != static_cast<std::size_t>(all_places))
    throw std::invalid_argument(store_file(folder).string() + ": has another size than its vote");
  for (const VoteSlip& slip : record_.slips) place_of_code_[slip.code] = slip.place;
}

VoteRecord Vote::record() const {
  const std::lock_guard<std::mutex> guard(busy_);
  return record_;
}

VoteCount Vote::count() const {
  const std::lock_guard<std::mutex> guard(busy_);
  return count_now();
}

VoteCount Vote::count_now() const {
  VoteCount count;
  count.given = record_.given;
  count.closed = record_.closed;
  for (int place = 0; place < all_places; ++place)
    if (const auto& ballot = store_.places()[static_cast<std::size_t>(place)])
      (place < most_slips ? count.cast : count.paper) += ballot->count;
  if (count.closed) count.late = std::max(0, count.paper - record_.paper_at_close);
  return count;
}

void Vote::write_record(const VoteRecord& record) {
  write_file(record_file(folder_), write_vote_record(record), Keep::on_the_disk);
  record_ = record;
  place_of_code_.clear();
  for (const VoteSlip& slip : record_.slips) place_of_code_[slip.code] = slip.place;
}

void Vote::set_addresses(const std::string& address, int port, int desk_port) {
  const std::lock_guard<std::mutex> guard(busy_);
  VoteRecord record = record_;
  record.address = address;
  record.port = port;
  record.desk_port = desk_port;
  if (!(record == record_)) write_record(record);
}

void Vote::add_slips(int more) {
  const std::lock_guard<std::mutex> guard(busy_);
  if (record_.closed) throw std::invalid_argument("the vote is closed: it has no more slips");
  if (!(1 <= more && more <= most_slips - record_.given))
    throw std::invalid_argument(
        format("a vote has at most %d slips; this one has %d", most_slips, record_.given));
  VoteRecord record = record_;
  for (VoteSlip& slip : draw_slips(more, record_.slips)) record.slips.push_back(std::move(slip));
  record.given += more;
  write_record(record);
}

std::string Vote::find_fault(const BallotPlaces& places, bool paper) const {
  std::set<int> named;
  if (record_.method == VoteMethod::approval && places.size() > 1)
    return "ranks designs where this vote picks them";
  for (const std::vector<int>& place : places) {
    if (place.empty()) return "has an empty place";
    if (record_.method == VoteMethod::ranking && !paper && place.size() > 1)
      return "has two designs on one place";
    for (const int number : place) {
      const bool is_known =
          std::any_of(gallery_.entries.begin(), gallery_.entries.end(),
                      [&](const GalleryEntry& entry) { return entry.number == number; });
      if (!is_known) return format("names %d, which is no design", number);
      if (!named.insert(number).second) return format("names design %d twice", number);
    }
  }
  return "";
}

CastOutcome Vote::cast(const std::string& code, const BallotPlaces& places) {
  const std::lock_guard<std::mutex> guard(busy_);
  if (record_.closed) return CastOutcome::closed;
  const auto found = place_of_code_.find(simplify_code(code));
  if (found == place_of_code_.end()) return CastOutcome::unknown_code;
  if (!find_fault(places, false).empty()) return CastOutcome::bad_ballot;
  const auto& before = store_.places()[static_cast<std::size_t>(found->second)];
  const bool is_first = !before;
  const KeptBallot ballot{is_first ? make_ballot_code() : before->code, 1, "",
                          write_ballot_vote(places, record_.method == VoteMethod::ranking)};
  // The same once more, from a phone that missed the answer: nothing to write.
  if (!is_first && *before == ballot) return CastOutcome::changed;
  try {
    store_.keep(found->second, ballot);
  } catch (const std::runtime_error&) {
    return CastOutcome::not_kept;
  }
  return is_first ? CastOutcome::taken : CastOutcome::changed;
}

void Vote::add_paper(const std::vector<PaperBallot>& ballots) {
  const std::lock_guard<std::mutex> guard(busy_);
  std::set<std::string> known;
  std::vector<int> free;
  for (int place = 0; place < all_places; ++place) {
    const auto& ballot = store_.places()[static_cast<std::size_t>(place)];
    if (ballot) known.insert(ballot->code);
    if (!ballot && place >= most_slips) free.push_back(place);
  }
  std::random_device chance;
  std::shuffle(free.begin(), free.end(), chance);
  std::vector<KeptBallot> fresh;
  for (const PaperBallot& ballot : ballots) {
    if (!is_ballot_code(ballot.code))
      throw std::invalid_argument("a ballot has no code of its own");
    if (const std::string fault = find_fault(ballot.places, true); !fault.empty())
      throw std::invalid_argument("a ballot " + fault);
    if (!(1 <= ballot.count && ballot.count <= most_voters))
      throw std::invalid_argument(format("a line counts for 1 to %d voters", most_voters));
    const bool is_plain = std::none_of(ballot.of_class.begin(), ballot.of_class.end(), [](char c) {
      return static_cast<unsigned char>(c) < 0x20 || c == 0x7f;
    });
    if (ballot.of_class.size() > most_class_bytes || !is_utf8(ballot.of_class) || !is_plain)
      throw std::invalid_argument("the name of a class is too long, or no plain text");
    if (known.insert(ballot.code).second)
      fresh.push_back({ballot.code, ballot.count, ballot.of_class,
                       write_ballot_vote(ballot.places, record_.method == VoteMethod::ranking)});
  }
  if (fresh.size() > free.size())
    throw std::invalid_argument(
        format("at most %d ballots are typed in; count the others by `sixtyfold tally`",
               most_paper_lines));
  for (std::size_t i = 0; i < fresh.size(); ++i) store_.keep(free[i], fresh[i]);
  if (record_.closed && !fresh.empty())
    write_file(ballot_file(), write_ballots_now(), Keep::on_the_disk);
}

void Vote::take_back_paper(const std::string& code) {
  const std::lock_guard<std::mutex> guard(busy_);
  for (int place = most_slips; place < all_places; ++place) {
    const auto& ballot = store_.places()[static_cast<std::size_t>(place)];
    if (!ballot || ballot->code != code) continue;
    store_.keep(place, {});
    if (record_.closed) write_file(ballot_file(), write_ballots_now(), Keep::on_the_disk);
    return;
  }
}

void Vote::close() {
  const std::lock_guard<std::mutex> guard(busy_);
  if (record_.closed) return;
  write_file(ballot_file(), write_ballots_now(), Keep::on_the_disk);
  VoteRecord record = record_;
  record.closed = true;
  record.paper_at_close = count_now().paper;
  record.slips.clear();
  write_record(record);
}

std::string Vote::write_ballots_now() const {
  std::vector<BallotRow> rows;
  for (const auto& ballot : store_.places())
    if (ballot) rows.push_back({ballot->code, ballot->of_class, ballot->count, ballot->vote});
  return write_ballots(std::move(rows), record_.gallery);
}

std::string Vote::write_ballot_file() const {
  const std::lock_guard<std::mutex> guard(busy_);
  return write_ballots_now();
}

VoteResult Vote::find_result() const {
  BallotGuide guide;
  guide.gallery = gallery_.identity;
  for (const GalleryEntry& entry : gallery_.entries) {
    guide.designs.push_back(entry.name);
    guide.numbers.push_back(entry.number);
  }
  VoteResult result;
  result.box = read_ballots({{"ballots.csv", write_ballot_file()}}, guide);
  if (!result.box.ballots.empty())
    result.tally = make_tally(result.box, find_usual_method(result.box));
  return result;
}

}  // namespace sixtyfold
