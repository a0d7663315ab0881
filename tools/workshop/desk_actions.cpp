// What each button of the workshop's page does.

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>

#include "engine/text.h"
#include "results/files/json_reader.h"
#include "results/files/state_file.h"
#include "tools/workshop/desk.h"

namespace sixtyfold {

namespace fs = std::filesystem;

/// What a button asks for: the words and numbers an action takes. What else stands there is refused
/// before anything is done.
class AskedAction {
 public:
  explicit AskedAction(const std::string& body)
      : asked_(JsonCursor::parse(body, "what was asked")), name_(asked_.at("action").text()) {}

  const std::string& name() const { return name_; }
  std::string text(const char* key) {
    known_.insert(key);
    return asked_.at(key).text();
  }
  /// Of a thing.
  int number() {
    known_.insert("number");
    return static_cast<int>(asked_.at("number").integer(1, 1000000));
  }
  /// Once everything is read that the action takes.
  void check_keys() const {
    for (const std::string& key : asked_.keys())
      if (!known_.count(key)) asked_.at(key).fail("is nothing that " + quote(name_) + " takes");
  }
  [[noreturn]] void refuse_name() const {
    asked_.at("action").fail("is " + quote(name_) + ", which no button asks for");
  }

 private:
  JsonCursor asked_;
  std::string name_;
  std::set<std::string> known_ = {"action"};
};

namespace {

/// Another folder, another search.
int find_seed(const std::string& folder) { return std::stoi(folder.substr(5)); }

}  // namespace

void WorkshopDesk::act(const std::string& body) {
  using Action = void (WorkshopDesk::*)(AskedAction&);
  static const std::map<std::string, Action> actions = {
      {"set", &WorkshopDesk::set_field},          {"mark", &WorkshopDesk::mark},
      {"away", &WorkshopDesk::put_away},          {"back", &WorkshopDesk::put_away},
      {"undo", &WorkshopDesk::take_back},         {"redo", &WorkshopDesk::take_back},
      {"find", &WorkshopDesk::start_find},        {"more", &WorkshopDesk::start_more},
      {"tune", &WorkshopDesk::start_tune_or_kit}, {"kit", &WorkshopDesk::start_tune_or_kit},
      {"map", &WorkshopDesk::start_map},          {"gallery", &WorkshopDesk::start_gallery},
      {"ask", &WorkshopDesk::ask_running},        {"stop", &WorkshopDesk::stop_one},
      {"resume", &WorkshopDesk::resume},
  };
  AskedAction asked(body);
  const auto action = actions.find(asked.name());
  if (action == actions.end()) asked.refuse_name();
  const std::lock_guard guard(mutex_);
  (this->*action->second)(asked);
}

void WorkshopDesk::set_field(AskedAction& asked) {
  const std::string field = asked.text("field"), value = asked.text("value");
  asked.check_keys();
  check_field(field, value);
  change({"field", field, state_.form.at(field), value});
}

void WorkshopDesk::mark(AskedAction& asked) {
  const std::string folder = asked.text("folder"), key = asked.text("key");
  const std::string word = asked.text("word");
  asked.check_keys();
  if (!state_.marks.count(key)) {
    const SoFarDesign& design = find_card(folder, key);
    if (state_.marks.size() >= most_marks)
      throw std::invalid_argument("too many designs are marked in this workshop");
    const std::string lasting = "so-far/" + key + ".json";
    const bool is_lasting = fs::exists(folder_ / folder / lasting);
    if (word != "pick" && word != "reject")
      throw std::invalid_argument("a design is not marked " + quote(word));
    state_.marks[key] = {"", folder, is_lasting ? lasting : design.file, design.name};
  }
  change({"mark", key, state_.marks.at(key).word, word});
}

void WorkshopDesk::put_away(AskedAction& asked) {
  const int of = asked.number();
  asked.check_keys();
  const bool was_away = find_thing(of).is_away;
  change(
      {"away", std::to_string(of), was_away ? "away" : "", asked.name() == "away" ? "away" : ""});
}

void WorkshopDesk::take_back(AskedAction& asked) {
  asked.check_keys();
  if (!(asked.name() == "undo" ? undo(state_) : redo(state_)))
    throw std::invalid_argument("there is nothing to " + asked.name());
  keep();
}

void WorkshopDesk::start_find(AskedAction& asked) {
  asked.check_keys();
  const std::string folder = choose_folder("find");
  start("find", folder, "", make_find_command(state_.form, find_seed(folder), folder));
}

void WorkshopDesk::start_more(AskedAction& asked) {
  asked.check_keys();
  LikeFiles files;
  std::string about;
  for (const auto& [key, mark] : state_.marks) {
    if (mark.word == "pick") {
      files.like.push_back(find_file(mark, key));
      about += (about.empty() ? "" : ", ") + mark.name;
    }
    if (mark.word == "reject") files.unlike.push_back(find_file(mark, key));
  }
  if (files.like.empty()) throw std::invalid_argument("nothing is picked yet");
  constexpr std::size_t most_like = 20, most_unlike = 60;
  if (files.like.size() > most_like)
    throw std::invalid_argument(
        format("%zu designs are picked; like %zu at most can be looked for at once",
               files.like.size(), most_like));
  if (files.unlike.size() > most_unlike) files.unlike.resize(most_unlike);
  if (about.size() > 150) about = count_of(static_cast<int>(files.like.size()), "pick", "picks");
  const std::string folder = choose_folder("more");
  start("more", folder, about, make_more_command(state_.form, files, find_seed(folder), folder));
}

void WorkshopDesk::start_tune_or_kit(AskedAction& asked) {
  const bool tunes = asked.name() == "tune";
  const std::string from = asked.text("folder"), key = asked.text("key");
  const std::string purpose = tunes ? asked.text("purpose") : "";
  asked.check_keys();
  const auto mark = state_.marks.find(key);
  const bool is_marked = mark != state_.marks.end() && mark->second.folder == from;
  const std::string name = is_marked ? mark->second.name : find_card(from, key).name;
  const std::string file =
      is_marked ? find_file(mark->second, key) : from + "/" + find_card(from, key).file;
  const std::string folder = choose_folder(asked.name());
  start(asked.name(), folder, name,
        tunes ? make_tune_command(state_.form, purpose, file, folder)
              : make_kit_command(state_.form, file, folder));
}

void WorkshopDesk::start_map(AskedAction& asked) {
  const Thing& of = find_thing(asked.number());
  asked.check_keys();
  if (!fs::exists(folder_ / of.folder / state_file_name(StateKind::finds)))
    throw std::invalid_argument("a map is made of a search that has ended");
  const std::string folder = of.folder;
  start("map", folder, folder, make_map_command(state_.form, folder));
}

void WorkshopDesk::start_gallery(AskedAction& asked) {
  asked.check_keys();
  const std::string from = gather_picks(), folder = choose_folder("gallery");
  start("gallery", folder, "", make_gallery_command(state_.form, from, folder));
}

/// For what the search has found so far.
void WorkshopDesk::ask_running(AskedAction& asked) {
  asked.check_keys();
  if (running_) running_->child->ask();
}

void WorkshopDesk::stop_one(AskedAction& asked) {
  const int of = asked.number();
  asked.check_keys();
  if (running_ && running_->job.number == of) {
    running_->was_stopped = true;
    running_->child->stop();
  }
  const auto job = std::find_if(waiting_.begin(), waiting_.end(),
                                [of](const Job& waiting) { return waiting.number == of; });
  if (job == waiting_.end()) return;
  waiting_.erase(job);
  find_thing(of).ending = Ending::stopped;
  keep();
}

void WorkshopDesk::resume(AskedAction& asked) {
  Thing& of = find_thing(asked.number());
  asked.check_keys();
  if (!can_resume(of)) throw std::invalid_argument(of.folder + " has nothing to go on with");
  if (waiting_.size() >= most_waiting)
    throw std::invalid_argument("too many commands wait already");
  of.ending = Ending::waiting;
  of.is_resumed = true;
  waiting_.push_back({of.number, {"find", "--resume", of.folder, "--live", "--quiet"}});
  keep();
}

}  // namespace sixtyfold
