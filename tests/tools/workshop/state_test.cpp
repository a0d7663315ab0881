#include "tools/workshop/state.h"

#include <catch2/catch.hpp>
#include <random>

#include "results/files/file.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;

namespace {

WorkshopState make_used_state() {
  WorkshopState state;
  Thing find;
  find.number = 1;
  find.kind = "find";
  find.folder = "find-001";
  find.command = {"find", "--out", "find-001"};
  find.started = "2026-05-04T10:00:00+0200";
  find.seconds = 20.25;
  find.ending = Ending::done;
  find.told = "Board 600 x 1200 mm.\nFound, best first:\n";
  Thing kit = find;
  kit.number = 4;
  kit.kind = "kit";
  kit.folder = "kit-001";
  kit.about = "Norvis \"the round\"";
  kit.ending = Ending::failed;
  kit.status = 2;
  state.things = {find, kit};
  state.marks["0123abcd"] = {"", "find-001", "so-far/0123abcd.json", "Norvis"};
  state.marks["89abcdef"] = {"", "find-001", "002.json", "Donan"};
  make_change(state, {"mark", "0123abcd", "", "pick"});
  make_change(state, {"field", "people", "12", "20"});
  make_change(state, {"away", "4", "", "away"});
  undo(state);
  return state;
}

}  // namespace

TEST_CASE("what the workshop remembers comes back the same", "[workshop]") {
  const WorkshopState state = make_used_state();
  CHECK(read_workshop_json(write_workshop_json(state), "x") == state);
  CHECK(read_workshop_json(write_workshop_json({}), "x") == WorkshopState{});
}

TEST_CASE("undo and redo take back each other, whatever was done", "[workshop]") {
  std::mt19937 random(7);
  WorkshopState state = make_used_state();
  state.done.clear();
  state.undone.clear();
  std::vector<WorkshopState> past = {state};
  const std::vector<std::string> words = {"", "pick", "reject"};
  for (int i = 0; i < 200; ++i) {
    const std::size_t before = state.done.size();
    switch (random() % 3) {
      case 0: {
        const std::string key = random() % 2 ? "0123abcd" : "89abcdef";
        make_change(state, {"mark", key, state.marks[key].word, words[random() % 3]});
        break;
      }
      case 1:
        make_change(state,
                    {"field", "people", state.form["people"], std::to_string(1 + random() % 5)});
        break;
      default:
        make_change(state, {"away", "1", state.things[0].is_away ? "away" : "",
                            random() % 2 ? "away" : ""});
    }
    // A change of nothing is none.
    if (state.done.size() > before) past.push_back(state);
  }
  const auto looks_like = [](const WorkshopState& a, const WorkshopState& b) {
    return a.form == b.form && a.marks == b.marks && a.things == b.things;
  };
  REQUIRE(past.size() > 50);
  for (std::size_t i = past.size() - 1; i > 0; --i) {
    REQUIRE(looks_like(state, past[i]));
    REQUIRE(undo(state));
  }
  CHECK(looks_like(state, past[0]));
  CHECK_FALSE(undo(state));
  for (std::size_t i = 1; i < past.size(); ++i) {
    REQUIRE(redo(state));
    REQUIRE(looks_like(state, past[i]));
  }
  CHECK_FALSE(redo(state));
  // Something new forgets what was undone.
  undo(state);
  make_change(state, {"field", "saws", state.form["saws"], "7"});
  CHECK_FALSE(redo(state));
}

TEST_CASE("what can be taken back is bounded", "[workshop]") {
  WorkshopState state;
  for (int i = 0; i < 1000; ++i)
    make_change(state, {"field", "people", state.form["people"], std::to_string(1 + i % 7)});
  CHECK(state.done.size() == most_changes);
  CHECK(read_workshop_json(write_workshop_json(state), "x") == state);
}

TEST_CASE("a torn or hostile workshop.json is refused in one sentence and left as it is",
          "[workshop][mistakes]") {
  const std::string good = write_workshop_json(make_used_state());
  const auto changed = [&](const std::string& from, const std::string& to) {
    std::string text = good;
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
  };
  const std::vector<std::string> bad = {
      "",
      "{}",
      "[]",
      std::string(100000, '['),
      good.substr(0, good.size() / 2),
      changed("sixtyfold-workshop", "sixtyfold-ranking"),
      changed("\"find-001\"", "\"../../etc\""),
      changed("\"find-001\"", "\"/etc\""),
      changed("so-far/0123abcd.json", "so-far/../../x.json"),
      changed("002.json", "/etc/passwd"),
      changed("\"people\": \"20\"", "\"people\": \"twenty\""),
      changed("\"people\": \"20\"", "\"out\": \"/etc\""),
      changed("\"pick\"", "\"vote\""),
      changed("\"number\": 4", "\"number\": 1"),
      changed("\"ending\": \"done\"", "\"ending\": \"won\""),
      changed("\"seconds\": 20.25", "\"seconds\": 1e999"),
      changed("\"of\": \"people\"", "\"of\": \"nobody\""),
  };
  for (const std::string& text : bad) {
    CAPTURE(text.substr(0, 200));
    try {
      read_workshop_json(text, "workshop.json");
      FAIL("it was taken");
    } catch (const std::invalid_argument& fault) {
      CHECK(std::string(fault.what()).rfind("workshop.json", 0) == 0);
      CHECK(std::string(fault.what()).find('\n') == std::string::npos);
    }
  }
  const ScratchFolder scratch;
  write_file(scratch.path() / workshop_file, good.substr(0, good.size() / 2));
  const ProgramResult refused =
      run_sixtyfold({"workshop", scratch.path().string(), "--no-browser"});
  CHECK(refused.status == 2);
  CHECK(refused.err.rfind("sixtyfold: ", 0) == 0);
  CHECK(read_file(scratch.path() / workshop_file) == good.substr(0, good.size() / 2));
}

TEST_CASE("only folders and designs of a workshop have such names", "[workshop]") {
  for (const char* const good : {"find-001", "more-999999", "tune-123", "kit-001", "chosen-002"})
    CHECK(is_thing_folder(good));
  for (const char* const bad : {"", "..", "find", "find-1", "find-0001234", "find-00a", "said-001",
                                "find-001/", "/find-001", "Find-001", "find-001\n"})
    CHECK_FALSE(is_thing_folder(bad));
  for (const char* const good : {"001.json", "9999.json", "before.json", "so-far/0123abcd.json"})
    CHECK(is_design_file(good));
  for (const char* const bad :
       {"", "1.json", "../001.json", "so-far/../x.json", "so-far/0123ABCD.json", "workshop.json",
        "run.json", "001.svg", "so-far/0123abcd.json/x", "001.json\n"})
    CHECK_FALSE(is_design_file(bad));
}
