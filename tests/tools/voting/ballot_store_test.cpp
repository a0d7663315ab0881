#include "tools/voting/ballot_store.h"

#include <sys/resource.h>

#include <catch2/catch.hpp>
#include <csignal>

#include "engine/random.h"
#include "results/files/file.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;

namespace {

const KeptBallot first{"vbcdfghjkm", 1, "", "3 7"};
const KeptBallot second{"vbcdfghjkm", 1, "5a", "blank"};
const KeptBallot quoted{"vmmmmmmmmm", 12, "\"5a\\\" b", "7>3=5"};

}  // namespace

TEST_CASE("what is kept is there when the file is opened again", "[vote]") {
  const ScratchFolder scratch;
  const auto path = scratch.path() / "ballots.kept";
  BallotStore::make(path, 5, BallotStore::find_room(20, 30));
  {
    BallotStore store(path);
    CHECK(store.places() == std::vector<std::optional<KeptBallot>>(5));
    store.keep(2, first);
    store.keep(4, quoted);
    store.keep(2, second);
    store.keep(2, first);
    store.keep(0, first);
    store.keep(0, {});
  }
  const BallotStore back(path);
  CHECK(back.places()[2] == first);
  CHECK(back.places()[4] == quoted);
  CHECK(!back.places()[0]);
  CHECK(back.damaged() == 0);
}

TEST_CASE("wherever a write is torn, the ballot before it or the whole new one stands", "[vote]") {
  const ScratchFolder scratch;
  const auto path = scratch.path() / "ballots.kept";
  BallotStore::make(path, 3, BallotStore::find_room(0, 10));
  for (int changes = 0; changes < 5; ++changes) {
    const std::string before = read_file(path);
    const KeptBallot ballot{"vbcdfghjkm", 1, "", std::to_string(changes + 1)};
    std::optional<KeptBallot> held;
    {
      BallotStore store(path);
      held = store.places()[1];
      store.keep(1, ballot);
    }
    const std::string after = read_file(path);
    REQUIRE(before.size() == after.size());
    for (std::size_t cut = 0; cut <= after.size(); ++cut) {
      if (cut > 0 && cut < after.size() && before[cut - 1] == after[cut - 1]) continue;
      write_file(path, after.substr(0, cut) + before.substr(cut));
      const BallotStore torn(path);
      CHECK((torn.places()[1] == ballot || torn.places()[1] == held));
      CHECK(torn.damaged() == 0);
    }
    write_file(path, after);
  }
}

TEST_CASE("a ballot that both copies lost is told, not guessed", "[vote]") {
  const ScratchFolder scratch;
  const auto path = scratch.path() / "ballots.kept";
  BallotStore::make(path, 2, BallotStore::find_room(0, 10));
  {
    BallotStore store(path);
    store.keep(1, first);
    store.keep(1, second);
    store.keep(0, first);
  }
  std::string bytes = read_file(path);
  for (std::size_t at = bytes.find("blank"); at != std::string::npos; at = bytes.find("blank", at))
    bytes.replace(at, 5, "3 7 1");
  for (std::size_t at = bytes.rfind("3 7\""); at != std::string::npos && at > 400; at = 0)
    bytes.replace(at, 1, "4");
  write_file(path, bytes);
  const BallotStore spoilt(path);
  CHECK(!spoilt.places()[1]);
  CHECK(spoilt.damaged() == 1);
  CHECK(spoilt.places()[0] == first);
}

TEST_CASE("the file does not tell in which order ballots came", "[vote]") {
  const ScratchFolder scratch;
  std::string bytes[2];
  for (int order = 0; order < 2; ++order) {
    const auto path = scratch.path() / std::to_string(order);
    BallotStore::make(path, 20, BallotStore::find_room(0, 10));
    BallotStore store(path);
    for (int i = 0; i < 20; ++i) {
      const int place = order == 0 ? i : 19 - i;
      store.keep(place, KeptBallot{"vbcdfghjkm", 1, "", std::to_string(place)});
    }
    bytes[order] = read_file(path);
  }
  CHECK(bytes[0] == bytes[1]);
}

TEST_CASE("a ballot the disk does not take is refused, and the one before stands", "[vote]") {
  const ScratchFolder scratch;
  const auto path = scratch.path() / "ballots.kept";
  BallotStore::make(path, 50, BallotStore::find_room(0, 10));
  BallotStore store(path);
  store.keep(40, first);
  rlimit before{}, small{};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
  small = before;
  small.rlim_cur = 2000;  // before the place
  std::signal(SIGXFSZ, SIG_IGN);
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &small) == 0);
  CHECK_THROWS_WITH(store.keep(40, second), Catch::Contains("can not be written"));
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &before) == 0);
  CHECK(store.places()[40] == first);
  CHECK(BallotStore(path).places()[40] == first);
  store.keep(40, second);
  CHECK(BallotStore(path).places()[40] == second);
}

TEST_CASE("what is no file of ballots is refused, whatever it is", "[vote]") {
  const ScratchFolder scratch;
  const auto path = scratch.path() / "ballots.kept";
  CHECK_THROWS_AS(BallotStore(path), std::invalid_argument);
  for (const char* const bytes : {"", "sixtyfold-ballots 1 5 100\n", "sixtyfold-ballots 1 -5 100",
                                  "sixtyfold-ballots 1 99999999 99999", "{}"}) {
    write_file(path, bytes);
    CHECK_THROWS_AS(BallotStore(path), std::invalid_argument);
  }
  BallotStore::make(path, 3, 100);
  const std::string sound = read_file(path);
  write_file(path, sound.substr(0, sound.size() - 1));
  CHECK_THROWS_AS(BallotStore(path), std::invalid_argument);
  // Any bytes at all in its places: never a crash, never a ballot out of nothing.
  RandomStream random(5, Purpose::test, 0);
  for (int round = 0; round < 200; ++round) {
    std::string bytes = sound;
    for (std::size_t i = sound.find('\n') + 1; i < bytes.size(); ++i)
      if (random.uniform() < 0.5) bytes[i] = static_cast<char>(256 * random.uniform());
    write_file(path, bytes);
    const BallotStore noise(path);
    for (const auto& place : noise.places()) CHECK(!place);
  }
}
