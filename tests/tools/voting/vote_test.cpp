#include "tools/voting/vote.h"

#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <csignal>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <thread>

#include "engine/random.h"
#include "results/gallery/folder.h"
#include "results/votes/ballot_writer.h"
#include "tests/support/found_designs.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;

namespace {

namespace fs = std::filesystem;

GalleryList make_list(int designs) {
  GalleryList list{"g0123456789abcdef", "Which?", {}};
  for (int i = 0; i < designs; ++i)
    list.entries.push_back({3 * i + 2, "design " + std::to_string(i), "001.json"});
  return list;
}

VoteRecord make_record(const GalleryList& list, VoteMethod method) {
  VoteRecord record;
  record.gallery = list.identity;
  record.title = list.title;
  record.language = "en";
  record.method = method;
  record.address = "127.0.0.1";
  record.port = 8060;
  record.token = std::string(32, 'a');
  return record;
}

/// A vote that has just begun.
struct Begun {
  ScratchFolder scratch;
  GalleryList list;
  fs::path folder;
  Begun(VoteMethod method, int slips, int designs)
      : list(make_list(designs)), folder(scratch.path() / "vote") {
    Vote::begin(folder, make_record(list, method), slips, list.entries.size());
  }
};

/// A ballot as a phone may send it.
BallotPlaces draw_places(const GalleryList& list, VoteMethod method, RandomStream& random) {
  std::vector<int> numbers;
  for (const GalleryEntry& entry : list.entries)
    if (random.uniform() < 0.4) numbers.push_back(entry.number);
  for (std::size_t i = numbers.size(); i > 1; --i)
    std::swap(numbers[i - 1], numbers[random.below(i)]);
  if (numbers.empty()) return {};
  if (method == VoteMethod::approval) return {numbers};
  BallotPlaces places;
  for (const int number : numbers) places.push_back({number});
  return places;
}

}  // namespace

TEST_CASE("each slip counts once, and its last ballot counts", "[vote]") {
  for (const VoteMethod method : {VoteMethod::approval, VoteMethod::ranking}) {
    const Begun begun(method, 60, 9);
    RandomStream random(7, Purpose::test, 0);
    std::map<std::string, std::string> expected;  // of a slip, as a file of ballots has it
    {
      Vote vote(begun.folder, begun.list);
      const std::vector<VoteSlip> slips = vote.record().slips;
      REQUIRE(slips.size() == 60);
      for (int round = 0; round < 150; ++round) {
        const std::string& code = slips[random.below(slips.size() - 10)].code;
        const BallotPlaces places = draw_places(begun.list, method, random);
        const bool is_first = !expected.count(code);
        const CastOutcome outcome = vote.cast(code, places);
        CHECK(outcome == (is_first ? CastOutcome::taken : CastOutcome::changed));
        expected[code] = write_ballot_vote(places, method == VoteMethod::ranking);
      }
      CHECK(vote.count().cast == static_cast<int>(expected.size()));
    }
    const Vote back(begun.folder, begun.list);  // and so it is when the program starts again
    CHECK(back.count().cast == static_cast<int>(expected.size()));
    std::multiset<std::string> kept, wanted;
    const VoteResult result = back.find_result();
    CHECK(result.box.spoiled.empty());
    const std::string file = back.write_ballot_file();
    for (const auto& [code, vote] : expected) {
      wanted.insert(vote);
      CHECK(file.find(code) == std::string::npos);  // no slip's code stands in the file
    }
    std::istringstream lines(file);
    std::string line;
    std::getline(lines, line);
    CHECK(line == "ballot,class,vote,gallery\r");
    std::vector<std::string> codes;
    while (std::getline(lines, line)) {
      codes.push_back(line.substr(0, 10));
      kept.insert(line.substr(12, line.rfind(',') - 12));
    }
    CHECK(kept == wanted);
    CHECK(std::is_sorted(codes.begin(), codes.end()));
  }
}

TEST_CASE("a code is read as people write it, and only a slip's code casts", "[vote]") {
  const Begun begun(VoteMethod::approval, 3, 4);
  Vote vote(begun.folder, begun.list);
  const std::string code = vote.record().slips[1].code;
  std::string written = code.substr(0, 3) + " - " + code.substr(3);
  written[0] = static_cast<char>(std::toupper(written[0]));
  CHECK(vote.cast(written, {{2}}) == CastOutcome::taken);
  CHECK(vote.cast(code, {{5}}) == CastOutcome::changed);
  std::set<std::string> codes;
  for (const VoteSlip& slip : vote.record().slips) codes.insert(slip.code);
  CHECK(codes.size() == 3);
  for (const std::string& wrong : {std::string(), std::string("bbbbbb"), code.substr(0, 5),
                                   code + "b", std::string(5000, 'b')})
    CHECK((codes.count(wrong) || vote.cast(wrong, {{2}}) == CastOutcome::unknown_code));
  CHECK(vote.count().cast == 1);
}

TEST_CASE("a ballot names designs of the gallery, each once, as its method has it", "[vote]") {
  const Begun picks(VoteMethod::approval, 1, 4), ranks(VoteMethod::ranking, 1, 4);
  Vote approval(picks.folder, picks.list), ranking(ranks.folder, ranks.list);
  const std::string a = approval.record().slips[0].code, r = ranking.record().slips[0].code;
  for (const BallotPlaces& bad :
       std::vector<BallotPlaces>{{{2, 2}}, {{1}}, {{2}, {5}}, {{}}, {{-1}}})
    CHECK(approval.cast(a, bad) == CastOutcome::bad_ballot);
  for (const BallotPlaces& bad :
       std::vector<BallotPlaces>{{{2}, {2}}, {{3}}, {{2, 5}}, {{2}, {}}, {{99999}}})
    CHECK(ranking.cast(r, bad) == CastOutcome::bad_ballot);
  CHECK(approval.count().cast == 0);
  CHECK(approval.cast(a, {}) == CastOutcome::taken);
  CHECK(ranking.cast(r, {{11}, {2}, {8}, {5}}) == CastOutcome::taken);
}

TEST_CASE("closed is closed: no slip casts, the codes are gone, paper may still come", "[vote]") {
  const Begun begun(VoteMethod::approval, 4, 4);
  std::vector<VoteSlip> slips;
  {
    Vote vote(begun.folder, begun.list);
    slips = vote.record().slips;
    vote.cast(slips[0].code, {{2, 5}});
    vote.add_paper({{"vbcdfghjkm", 3, "5a", {{8}}}});
    vote.close();
    CHECK(vote.cast(slips[0].code, {{2}}) == CastOutcome::closed);
    CHECK(vote.cast(slips[1].code, {{2}}) == CastOutcome::closed);
    CHECK(read_file(vote.ballot_file()) == vote.write_ballot_file());
  }
  Vote again(begun.folder, begun.list);
  CHECK(again.record().slips.empty());
  CHECK(again.cast(slips[1].code, {{2}}) == CastOutcome::closed);
  for (const fs::directory_entry& entry : fs::directory_iterator(begun.folder))
    for (const VoteSlip& slip : slips)
      CHECK(read_file(entry.path()).find(slip.code) == std::string::npos);
  CHECK_THROWS_AS(again.add_slips(1), std::invalid_argument);
  again.add_paper({{"vmmmmmmmmm", 1, "", {{2}}}});
  again.add_paper({{"vmmmmmmmmm", 1, "", {{2}}}});  // sent twice
  const VoteCount count = again.count();
  CHECK((count.cast == 1 && count.paper == 4 && count.late == 1 && count.given == 4));
  CHECK(read_file(again.ballot_file()) == again.write_ballot_file());
  again.take_back_paper("vmmmmmmmmm");
  CHECK(again.count().late == 0);
  CHECK(read_file(again.ballot_file()) == again.write_ballot_file());
}

TEST_CASE("more slips leave those there are as they were", "[vote]") {
  const Begun begun(VoteMethod::approval, 5, 4);
  Vote vote(begun.folder, begun.list);
  const std::vector<VoteSlip> before = vote.record().slips;
  vote.cast(before[2].code, {{2}});
  vote.add_slips(most_slips - 5);
  const std::vector<VoteSlip> after = vote.record().slips;
  REQUIRE(after.size() == most_slips);
  CHECK(std::equal(before.begin(), before.end(), after.begin()));
  std::set<int> places;
  for (const VoteSlip& slip : after) places.insert(slip.place);
  CHECK(places.size() == most_slips);
  CHECK(vote.cast(before[2].code, {{5}}) == CastOutcome::changed);
  CHECK_THROWS_AS(vote.add_slips(1), std::invalid_argument);
}

TEST_CASE("paper ballots that can not stand are refused, all of them together", "[vote]") {
  const Begun begun(VoteMethod::ranking, 1, 4);
  Vote vote(begun.folder, begun.list);
  const PaperBallot sound{"vbcdfghjkm", 1, "", {{2, 5}, {8}}};
  for (const PaperBallot& bad :
       {PaperBallot{"bcdfgh", 1, "", {}}, PaperBallot{"vmmmmmmmmm", 0, "", {}},
        PaperBallot{"vmmmmmmmmm", 1, std::string(200, 'a'), {}},
        PaperBallot{"vmmmmmmmmm", 1, "a\nb", {}}, PaperBallot{"vmmmmmmmmm", 1, "\xff", {}},
        PaperBallot{"vmmmmmmmmm", 1, "", {{4}}}})
    CHECK_THROWS_AS(vote.add_paper({sound, bad}), std::invalid_argument);
  CHECK(vote.count().paper == 0);
  vote.add_paper({sound, {"vmmmmmmmmm", 2, "=1+1, \"x\"", {{8}}}});
  const VoteResult result = vote.find_result();
  CHECK(result.box.voters() == 3);
  CHECK(result.box.spoiled.empty());
}

TEST_CASE("one program at a time, one gallery, one vote", "[vote]") {
  const Begun begun(VoteMethod::approval, 2, 4);
  {
    const Vote vote(begun.folder, begun.list);
    CHECK_THROWS_WITH(Vote(begun.folder, begun.list), Catch::Contains("at work in this folder"));
  }
  CHECK_THROWS_WITH(Vote::begin(begun.folder, make_record(begun.list, VoteMethod::approval), 2, 4),
                    Catch::Contains("lies there already"));
  GalleryList other = begun.list;
  other.identity[3] = '0';
  CHECK_THROWS_WITH(Vote(begun.folder, other), Catch::Contains("move this folder away"));
  CHECK(fs::status(begun.folder).permissions() == fs::perms::owner_all);
}

TEST_CASE("what is acknowledged survives being killed at any moment", "[vote]") {
  for (int round = 0; round < 20; ++round) {
    const Begun begun(VoteMethod::approval, 30, 5);
    int told[2];
    REQUIRE(::pipe(told) == 0);
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
      Vote vote(begun.folder, begun.list);
      const std::vector<VoteSlip> slips = vote.record().slips;
      RandomStream random(static_cast<std::uint64_t>(round), Purpose::test, 1);
      for (;;) {  // a byte for the slip, one for the design, once it is on the disk
        const unsigned char byte[2] = {static_cast<unsigned char>(random.below(slips.size())),
                                       static_cast<unsigned char>(2 + 3 * random.below(5))};
        vote.cast(slips[byte[0]].code, {{byte[1]}});
        if (::write(told[1], byte, 2) != 2) ::_exit(1);
      }
    }
    ::close(told[1]);
    std::this_thread::sleep_for(std::chrono::milliseconds(20 + 7 * round));
    ::kill(child, SIGKILL);
    ::waitpid(child, nullptr, 0);
    std::map<int, std::string> acknowledged;
    unsigned char byte[2];
    while (::read(told[0], byte, 2) == 2) acknowledged[byte[0]] = std::to_string(byte[1]);
    ::close(told[0]);
    const Vote back(begun.folder, begun.list);
    const std::vector<VoteSlip> slips = back.record().slips;
    const BallotStore store(begun.folder / "ballots.kept");
    int differing = 0;
    for (const auto& [slip, vote] : acknowledged) {
      const auto& kept =
          store.places()[static_cast<std::size_t>(slips[static_cast<std::size_t>(slip)].place)];
      REQUIRE(kept);
      differing += kept->vote != vote;  // the one that was being changed when the end came
    }
    CHECK(differing <= 1);
    CHECK(back.count().cast >= static_cast<int>(acknowledged.size()));
    CHECK(back.count().cast <= static_cast<int>(acknowledged.size()) + 1);
    CHECK(back.damaged() == 0);
  }
}

TEST_CASE("the result is that of the command, and of counting by hand", "[vote]") {
  for (const VoteMethod method : {VoteMethod::approval, VoteMethod::ranking}) {
    const ScratchFolder scratch;
    const fs::path gallery = scratch.path() / "gallery";
    write_gallery_folder(gallery, {make_found_designs({"T", "D5"}, 5, 5), {}, {}}, {});
    const GalleryList list = find_gallery_list(gallery);
    Vote::begin(gallery / "vote", make_record(list, method), 40, list.entries.size());
    Vote vote(gallery / "vote", list);
    RandomStream random(11, Purpose::test, 0);
    std::map<int, int> picks;
    for (const VoteSlip& slip : vote.record().slips) {
      // Most name one design: what only one is named on is still no pick where ballots rank.
      BallotPlaces places = draw_places(list, method, random);
      if (random.uniform() < 0.6 && !places.empty()) places = {{places[0][0]}};
      for (const auto& place : places)
        for (const int number : place) ++picks[number];
      REQUIRE(vote.cast(slip.code, places) == CastOutcome::taken);
    }
    vote.add_paper({{"vbcdfghjkm", 2, "5a", {{list.entries[0].number}}}});
    picks[list.entries[0].number] += 2;
    vote.close();
    const VoteResult result = vote.find_result();
    REQUIRE(result.tally);
    CHECK(result.box.voters() + result.box.blank_voters() == 42);
    const ProgramResult counted =
        run_sixtyfold({"tally", vote.ballot_file().string(), "--gallery", gallery.string(),
                       "--json", "--out", (scratch.path() / "result").string()});
    INFO(counted.err);
    REQUIRE(counted.status == 0);
    const nlohmann::json told = nlohmann::json::parse(counted.out);
    CHECK(told["method"] == (method == VoteMethod::approval ? "approval" : "schulze"));
    REQUIRE(told["standing"].size() == result.tally->rows.size());
    for (std::size_t i = 0; i < result.tally->rows.size(); ++i) {
      const TallyRow& row = result.tally->rows[i];
      const int number = result.box.numbers[static_cast<std::size_t>(row.design)];
      CHECK(told["standing"][i]["design"] == number);
      CHECK(told["standing"][i]["place"] == row.place);
      CHECK(told["standing"][i]["score"] == row.score);
      if (method == VoteMethod::approval) CHECK(row.score == picks[number]);
    }
  }
}

TEST_CASE("a record is read as it was written, and a stranger's with care", "[vote]") {
  VoteRecord record = make_record(make_list(3), VoteMethod::ranking);
  record.desk_port = 40000;
  record.given = 2;
  record.slips = {{"bcdfgh", 4}, {"bcdfgj", 7}};
  const std::string bytes = write_vote_record(record);
  CHECK(read_vote_record(bytes, "vote.json") == record);
  const auto refuse = [&](const std::string& from, const std::string& to) {
    std::string other = bytes;
    const std::size_t at = other.find(from);
    REQUIRE(at != std::string::npos);
    other.replace(at, from.size(), to);
    CHECK_THROWS_AS(read_vote_record(other, "vote.json"), std::invalid_argument);
  };
  refuse("sixtyfold-vote", "sixtyfold-votes");
  refuse("\"place\": 7", "\"place\": 4");
  refuse("\"place\": 7", "\"place\": 1500");
  refuse("bcdfgj", "bcdfgh");
  refuse("ranking", "guessing");
  refuse(std::string(32, 'a'), "../secret");
  refuse("\"port\": 8060", "\"port\": 0");
}
