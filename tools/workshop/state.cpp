#include "tools/workshop/state.h"

#include <algorithm>
#include <cassert>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <utility>

#include "engine/text.h"
#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "results/files/json_writer.h"

namespace sixtyfold {

using nlohmann::ordered_json;

namespace {

constexpr char format_word[] = "sixtyfold-workshop";
constexpr std::size_t longest_argument = 400, most_arguments = 400, longest_told = 4000;

const std::vector<std::pair<Ending, std::string>>& endings() {
  static const std::vector<std::pair<Ending, std::string>> table = {
      {Ending::waiting, "waiting"}, {Ending::working, "working"},
      {Ending::done, "done"},       {Ending::stopped, "stopped"},
      {Ending::failed, "failed"},   {Ending::interrupted, "interrupted"},
  };
  return table;
}

const std::vector<std::string>& kinds() {
  static const std::vector<std::string> words = {"find", "more", "tune", "map", "gallery", "kit"};
  return words;
}

bool is_one_of(const std::vector<std::string>& words, const std::string& word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

bool all_of(const std::string& text, const char* letters) {
  return text.find_first_not_of(letters) == std::string::npos;
}

constexpr char digits[] = "0123456789", hexadecimal[] = "0123456789abcdef";

Thing& find_thing(WorkshopState& state, const std::string& number) {
  for (Thing& thing : state.things)
    if (std::to_string(thing.number) == number) return thing;
  throw std::invalid_argument("nothing of number " + quote(number) + " was made here");
}

/// Sets it to `text` and returns what it was.
std::string exchange(WorkshopState& state, const WorkshopChange& change, const std::string& text) {
  if (change.what == "field") {
    check_field(change.of, text);
    return std::exchange(state.form[change.of], text);
  }
  if (change.what == "mark") {
    const auto found = state.marks.find(change.of);
    if (found == state.marks.end())
      throw std::invalid_argument("no design is known by the key " + quote(change.of));
    if (!is_one_of({"", "pick", "reject"}, text))
      throw std::invalid_argument("a design is not marked " + quote(text));
    return std::exchange(found->second.word, text);
  }
  if (change.what == "away") {
    if (!is_one_of({"", "away"}, text))
      throw std::invalid_argument("a thing is not made " + quote(text));
    Thing& thing = find_thing(state, change.of);
    return std::exchange(thing.is_away, text == "away") ? "away" : "";
  }
  throw std::invalid_argument("there is no change of " + quote(change.what));
}

ordered_json write_changes(const std::vector<WorkshopChange>& changes) {
  ordered_json list = ordered_json::array();
  for (const WorkshopChange& change : changes)
    list.push_back({{"what", change.what},
                    {"of", change.of},
                    {"before", change.before},
                    {"after", change.after}});
  return list;
}

std::vector<WorkshopChange> read_changes(const JsonCursor& list) {
  std::vector<WorkshopChange> changes;
  for (const JsonCursor& item : list.array(0, most_changes))
    changes.push_back({item.at("what").text(), item.at("of").text(), item.at("before").text(),
                       item.at("after").text()});
  return changes;
}

/// What a person may read has line ends; JSON of ours has texts without control characters.
ordered_json write_lines(const std::string& text) {
  ordered_json lines = ordered_json::array();
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    lines.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return lines;
}

Thing read_thing(const JsonCursor& item) {
  Thing thing;
  thing.number = static_cast<int>(item.at("number").integer(1, 1000000));
  thing.kind = item.at("kind").text();
  if (!is_one_of(kinds(), thing.kind)) item.at("kind").fail("is none that a workshop makes");
  thing.folder = item.at("folder").text();
  if (!is_thing_folder(thing.folder)) item.at("folder").fail("is no folder of a workshop");
  thing.about = item.at("about").text();
  for (const JsonCursor& word : item.at("command").array(1, most_arguments))
    thing.command.push_back(word.text(longest_argument));
  thing.started = item.at("started").text();
  thing.seconds = item.at("seconds").number(0, 1e9);
  thing.status = static_cast<int>(item.at("status").integer(0, 255));
  try {
    parse_name(item.at("ending").text(), thing.ending);
  } catch (const std::invalid_argument& fault) {
    item.at("ending").fail(fault.what());
  }
  for (const JsonCursor& line : item.at("told").array(0, longest_told))
    thing.told += line.text(longest_told) + "\n";
  if (thing.told.size() > 2 * longest_told) item.at("told").fail("is too long");
  thing.is_resumed = item.at("resumed").boolean();
  thing.is_away = item.at("away").boolean();
  return thing;
}

/// Whether every remembered change is of something that is there.
void check_changes(const WorkshopState& state, const JsonCursor& root) {
  WorkshopState copy = state;
  try {
    while (undo(copy)) {
    }
    copy = state;
    while (redo(copy)) {
    }
  } catch (const std::invalid_argument& fault) {
    root.fail(std::string("holds a change that can not be taken back: ") + fault.what());
  }
}

}  // namespace

std::string name_of(Ending ending) {
  for (const auto& [one, word] : endings())
    if (one == ending) return word;
  assert(false);
  return "";
}

void parse_name(const std::string& text, Ending& ending) {
  for (const auto& [one, word] : endings())
    if (word == text) {
      ending = one;
      return;
    }
  throw std::invalid_argument("is " + quote(text) + ", which is no end of a command");
}

bool is_design_key(const std::string& text) {
  return text.size() == 8 && all_of(text, hexadecimal);
}

bool is_thing_folder(const std::string& name) {
  const std::size_t dash = name.find('-');
  if (dash == std::string::npos) return false;
  const std::string kind = name.substr(0, dash), number = name.substr(dash + 1);
  return (is_one_of(kinds(), kind) || kind == "chosen") && 3 <= number.size() &&
         number.size() <= 6 && all_of(number, digits);
}

bool is_design_file(const std::string& name) {
  if (name.size() > 40 || !name.ends_with(".json")) return false;
  const std::string stem = name.substr(0, name.size() - 5);
  if (stem.rfind("so-far/", 0) == 0) return is_design_key(stem.substr(7));
  return stem == "before" || (3 <= stem.size() && stem.size() <= 4 && all_of(stem, digits));
}

void make_change(WorkshopState& state, const WorkshopChange& change) {
  if (change.before == change.after) return;
  exchange(state, change, change.after);
  state.done.push_back(change);
  if (state.done.size() > most_changes) state.done.erase(state.done.begin());
  state.undone.clear();
}

bool undo(WorkshopState& state) {
  if (state.done.empty()) return false;
  const WorkshopChange change = state.done.back();
  exchange(state, change, change.before);
  state.done.pop_back();
  state.undone.push_back(change);
  return true;
}

bool redo(WorkshopState& state) {
  if (state.undone.empty()) return false;
  const WorkshopChange change = state.undone.back();
  exchange(state, change, change.after);
  state.undone.pop_back();
  state.done.push_back(change);
  return true;
}

std::string write_workshop_json(const WorkshopState& state) {
  ordered_json form = ordered_json::object(), things = ordered_json::array(),
               marks = ordered_json::array();
  for (const std::string& name : form_fields()) form[name] = state.form.at(name);
  for (const Thing& thing : state.things)
    things.push_back({{"number", thing.number},
                      {"kind", thing.kind},
                      {"folder", thing.folder},
                      {"about", thing.about},
                      {"command", thing.command},
                      {"started", thing.started},
                      {"seconds", thing.seconds},
                      {"status", thing.status},
                      {"ending", name_of(thing.ending)},
                      {"told", write_lines(thing.told)},
                      {"resumed", thing.is_resumed},
                      {"away", thing.is_away}});
  for (const auto& [key, mark] : state.marks)
    marks.push_back({{"key", key},
                     {"word", mark.word},
                     {"folder", mark.folder},
                     {"file", mark.file},
                     {"name", mark.name}});
  return write_json({{"format", format_word},
                     {"version", 1},
                     {"form", form},
                     {"things", things},
                     {"marks", marks},
                     {"done", write_changes(state.done)},
                     {"undone", write_changes(state.undone)}});
}

WorkshopState read_workshop_json(const std::string& bytes, const std::string& where) {
  const JsonCursor root = JsonCursor::parse(bytes, where);
  if (root.at("format").text() != format_word)
    root.at("format").fail(std::string("is no workshop's; \"") + format_word + "\" is needed");
  root.at("version").integer(1, 1);
  WorkshopState state;
  const JsonCursor form = root.at("form");
  for (const std::string& name : form.keys()) {
    const std::string text = form.at(name).text();
    try {
      check_field(name, text);
    } catch (const std::invalid_argument& fault) {
      form.at(name).fail(fault.what());
    }
    state.form[name] = text;
  }
  for (const JsonCursor& item : root.at("things").array(0, most_things)) {
    state.things.push_back(read_thing(item));
    if (state.things.size() > 1 &&
        state.things.back().number <= state.things[state.things.size() - 2].number)
      item.at("number").fail("does not follow the one before");
  }
  for (const JsonCursor& item : root.at("marks").array(0, most_marks)) {
    const std::string key = item.at("key").text();
    if (!is_design_key(key) || state.marks.count(key)) item.at("key").fail("is no new design's");
    Mark mark{item.at("word").text(), item.at("folder").text(), item.at("file").text(),
              item.at("name").text()};
    if (!is_one_of({"", "pick", "reject"}, mark.word)) item.at("word").fail("is no mark");
    if (!is_thing_folder(mark.folder)) item.at("folder").fail("is no folder of a workshop");
    if (!is_design_file(mark.file)) item.at("file").fail("is no design file of a workshop");
    state.marks[key] = mark;
  }
  state.done = read_changes(root.at("done"));
  state.undone = read_changes(root.at("undone"));
  check_changes(state, root);
  return state;
}

WorkshopState load_workshop(const std::filesystem::path& folder) {
  const std::filesystem::path path = folder / workshop_file;
  std::error_code error;
  if (!std::filesystem::exists(std::filesystem::symlink_status(path, error))) return {};
  return read_workshop_json(read_file(path), path.string());
}

}  // namespace sixtyfold
