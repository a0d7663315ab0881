#include "tools/workshop/desk.h"

#include <sys/stat.h>

#include <algorithm>
#include <chrono>
#include <ctime>
#include <nlohmann/json.hpp>
#include <set>
#include <stdexcept>
#include <thread>

#include "engine/text.h"
#include "results/files/json_reader.h"
#include "results/files/plain_text.h"
#include "results/files/state_file.h"
#include "tools/workshop/cards.h"

namespace sixtyfold {

namespace fs = std::filesystem;
using nlohmann::ordered_json;

namespace {

constexpr std::size_t most_told = 3000, most_pictures = 400;
constexpr double longest_job_s = 900;    // then it is asked to stop,
constexpr double longest_ending_s = 60;  // and after that ended

double now_s() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

std::string tell_local_time() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  ::localtime_r(&now, &local);
  char text[40];
  std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%S%z", &local);
  return text;
}

fs::path make_home(const fs::path& folder) {
  make_folder(folder);
  return fs::canonical(folder);
}

/// Whether it is a new file: a rename gives another number.
std::string make_stamp(const fs::path& file) {
  struct stat found {};
  if (::stat(file.c_str(), &found) != 0) return "";
  return format("%llu-%lld-%ld-%lld", static_cast<unsigned long long>(found.st_ino),
                static_cast<long long>(found.st_mtim.tv_sec), found.st_mtim.tv_nsec,
                static_cast<long long>(found.st_size));
}

/// What a command said, safe to show; of much the beginning.
std::string read_told(const fs::path& file) {
  std::string text, line;
  try {
    text = read_file(file, std::size_t{1} << 20);
  } catch (const std::exception&) {
    return "";
  }
  std::string clean;
  for (std::size_t at = 0; at < text.size() && clean.size() < most_told;) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    clean += make_plain_text(text.substr(at, end - at)) + "\n";
    at = end + 1;
  }
  if (clean.size() > most_told) clean.resize(clean.rfind('\n', most_told) + 1);
  return clean;
}

bool makes_designs(const std::string& kind) {
  return kind == "find" || kind == "more" || kind == "tune";
}

}  // namespace

WorkshopDesk::WorkshopDesk(const fs::path& folder)
    : folder_(make_home(folder)), lock_(folder_), state_(load_workshop(folder_)) {
  for (Thing& thing : state_.things) {
    if (thing.ending == Ending::waiting || thing.ending == Ending::working)
      thing.ending = Ending::interrupted;
    if (makes_designs(thing.kind)) look(thing.folder);
  }
  keep();
}

WorkshopDesk::~WorkshopDesk() = default;

void WorkshopDesk::keep() {
  ++version_;
  write_file(folder_ / workshop_file, write_workshop_json(state_), Keep::on_the_disk);
}

void WorkshopDesk::change(const WorkshopChange& change) {
  make_change(state_, change);
  keep();
}

Thing& WorkshopDesk::find_thing(int number) {
  for (Thing& thing : state_.things)
    if (thing.number == number) return thing;
  throw std::invalid_argument(format("nothing of number %d was made here", number));
}

int WorkshopDesk::next_number() const {
  return state_.things.empty() ? 1 : state_.things.back().number + 1;
}

std::string WorkshopDesk::choose_folder(const std::string& kind) const {
  std::set<std::string> taken;
  for (const Thing& thing : state_.things) taken.insert(thing.folder);
  for (int number = 1;; ++number) {
    const std::string name = format("%s-%03d", kind.c_str(), number);
    if (!taken.count(name) && !fs::exists(fs::symlink_status(folder_ / name))) return name;
  }
}

void WorkshopDesk::start(const std::string& kind, const std::string& folder,
                         const std::string& about, std::vector<std::string> arguments) {
  if (waiting_.size() >= most_waiting)
    throw std::invalid_argument(
        format("%zu commands wait already; let some of them end, or stop them", waiting_.size()));
  if (state_.things.size() >= most_things)
    throw std::invalid_argument(format(
        "%zu things were made in this folder; begin another workshop", state_.things.size()));
  Thing thing;
  thing.number = next_number();
  thing.kind = kind;
  thing.folder = folder;
  thing.about = about;
  thing.command = arguments;
  thing.started = tell_local_time();
  state_.things.push_back(thing);
  waiting_.push_back({thing.number, std::move(arguments)});
  keep();
}

bool WorkshopDesk::can_resume(const Thing& thing) const {
  return thing.kind == "find" &&
         (thing.ending == Ending::stopped || thing.ending == Ending::interrupted) &&
         fs::exists(folder_ / thing.folder / state_file_name(StateKind::checkpoint));
}

void WorkshopDesk::begin_next() {
  if (running_ || waiting_.empty()) return;
  const Job job = waiting_.front();
  Thing& thing = find_thing(job.number);
  if (thing.is_resumed) {
    try {  // what a killed server began may still be writing what it found
      const FolderLock is_free(folder_ / thing.folder);
    } catch (const std::invalid_argument&) {
      return;
    }
  }
  waiting_.pop_front();
  try {
    make_folder(folder_ / "said");
    auto running = std::make_unique<Running>();
    running->job = job;
    running->began_s = now_s();
    running->child = std::make_unique<Child>(job.arguments, folder_,
                                             folder_ / "said" / format("%04d.txt", job.number));
    running_ = std::move(running);
    thing.ending = Ending::working;
  } catch (const std::exception& fault) {
    thing.ending = Ending::failed;
    thing.status = 4;
    thing.told = make_plain_text(fault.what()) + "\n";
  }
  keep();
}

void WorkshopDesk::finish(int status) {
  Thing& thing = find_thing(running_->job.number);
  thing.seconds += now_s() - running_->began_s;
  thing.status = std::min(status, 255);
  // 1, 3 and 5 are answers: not buildable, nothing found, no better in reach.
  const bool is_answer = status == 0 || status == 1 || status == 3 || status == 5;
  thing.ending = running_->was_stopped ? Ending::stopped
                 : is_answer           ? Ending::done
                                       : Ending::failed;
  thing.told = read_told(folder_ / "said" / format("%04d.txt", thing.number));
  running_.reset();
  if (makes_designs(thing.kind)) look(thing.folder);
  keep();
}

/// Reads the list of a folder again if it is another one; whether it was.
bool WorkshopDesk::look(const std::string& folder) {
  const fs::path place = folder_ / folder;
  const std::string stamp =
      make_stamp(place / "so-far.json") + "/" + make_stamp(place / "ranking.json");
  Listed& listed = lists_[folder];
  if (stamp == listed.stamp) return false;
  try {
    SoFarFile file = read_designs(place);
    const auto same = [](const SoFarDesign& a, const SoFarDesign& b) {
      return a.key == b.key && a.file == b.file;
    };
    const auto &old = listed.file.designs, &young = file.designs;
    if (!std::equal(old.begin(), old.end(), young.begin(), young.end(), same)) {
      listed.version = ++version_;
    }
    listed.file = std::move(file);
    listed.stamp = stamp;
  } catch (const std::exception&) {
    // Half of a folder that is being written is looked at again.
  }
  return true;
}

void WorkshopDesk::tick() {
  const std::lock_guard guard(mutex_);
  if (running_) {
    const Thing& thing = find_thing(running_->job.number);
    if (makes_designs(thing.kind)) look(thing.folder);
    if (const auto status = running_->child->find_end()) {
      finish(*status);
    } else {
      const double spent_s = now_s() - running_->began_s;
      if (spent_s > longest_job_s && !running_->was_stopped) {
        running_->was_stopped = true;
        running_->child->stop();
      }
      if (spent_s > longest_job_s + longest_ending_s) running_->child->kill();
    }
  } else {
    for (const Thing& thing : state_.things)
      if (thing.ending == Ending::interrupted && makes_designs(thing.kind)) look(thing.folder);
  }
  begin_next();
}

bool WorkshopDesk::is_working() const {
  const std::lock_guard guard(mutex_);
  return running_ || !waiting_.empty();
}

void WorkshopDesk::end() {
  {
    const std::lock_guard guard(mutex_);
    for (const Job& job : waiting_) find_thing(job.number).ending = Ending::stopped;
    waiting_.clear();
    if (running_) {
      running_->was_stopped = true;
      running_->child->stop();
    }
    keep();
  }
  const double began_s = now_s();
  while (is_working()) {
    tick();
    const std::lock_guard guard(mutex_);
    if (running_ && now_s() - began_s > longest_ending_s) running_->child->kill();
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  }
}

const SoFarDesign& WorkshopDesk::find_card(const std::string& folder,
                                           const std::string& key) const {
  const auto listed = lists_.find(folder);
  if (listed != lists_.end())
    for (const SoFarDesign& design : listed->second.file.designs)
      if (design.key == key) return design;
  throw std::invalid_argument("there is no design " + quote(key) + " in " + quote(folder));
}

/// Where a marked design lies now: in the ranking if it is there, else where it lay.
std::string WorkshopDesk::find_file(const Mark& mark, const std::string& key) const {
  const auto listed = lists_.find(mark.folder);
  if (listed != lists_.end())
    for (const SoFarDesign& design : listed->second.file.designs)
      if (design.key == key) return mark.folder + "/" + design.file;
  return mark.folder + "/" + mark.file;
}

/// A folder of the designs picked, to make a gallery of.
std::string WorkshopDesk::gather_picks() {
  std::vector<NamedBytes> files;
  for (const auto& [key, mark] : state_.marks)
    if (mark.word == "pick")
      files.push_back(
          {format("%03zu.json", files.size() + 1), read_file(folder_ / find_file(mark, key))});
  if (files.empty()) throw std::invalid_argument("nothing is picked yet");
  const std::string name = choose_folder("chosen");
  write_folder(folder_ / name, files);
  return name;
}

fs::path WorkshopDesk::find_design(const std::string& folder, const std::string& file) const {
  if (!is_thing_folder(folder) || !is_design_file(file))
    throw std::invalid_argument("there is no design " + quote(folder + "/" + file));
  std::error_code error;
  const fs::path real = fs::canonical(folder_ / folder / file, error);
  // A link may lead anywhere.
  if (error || real != folder_ / folder / file)
    throw std::invalid_argument("there is no design " + quote(folder + "/" + file));
  return real;
}

std::string WorkshopDesk::language() const {
  const std::lock_guard guard(mutex_);
  return state_.form.at("language");
}

std::string WorkshopDesk::tell_state(std::uint64_t since) const {
  const std::lock_guard guard(mutex_);
  ordered_json told = {{"version", version_}, {"progress", nullptr}};
  if (running_) {
    const int number = running_->job.number;
    told["progress"] = {{"number", number}, {"seconds", now_s() - running_->began_s}};
    for (const Thing& thing : state_.things)
      if (thing.number == number && lists_.count(thing.folder)) {
        const SoFarState& state = lists_.at(thing.folder).file.state;
        told["progress"]["share"] = state.share_done;
        told["progress"]["variants"] = state.variants;
        told["progress"]["feasible"] = state.feasible;
        told["progress"]["lists"] = state.lists;
      }
  }
  if (since == version_) return told.dump();
  ordered_json things = ordered_json::array(), marks = ordered_json::object();
  for (const Thing& thing : state_.things) {
    const auto listed = lists_.find(thing.folder);
    const bool has_list = makes_designs(thing.kind) && listed != lists_.end();
    ordered_json one = {{"number", thing.number},
                        {"kind", thing.kind},
                        {"folder", thing.folder},
                        {"about", thing.about},
                        {"command", write_command(thing.command)},
                        {"started", thing.started},
                        {"seconds", thing.seconds},
                        {"status", thing.status},
                        {"ending", name_of(thing.ending)},
                        {"told", thing.told},
                        {"away", thing.is_away},
                        {"resumable", can_resume(thing)},
                        {"list", has_list ? listed->second.version : 0},
                        {"designs", has_list ? listed->second.file.designs.size() : 0}};
    if (thing.is_resumed)
      one["again"] = write_command({"find", "--resume", thing.folder, "--live", "--quiet"});
    if (thing.ending == Ending::done || thing.ending == Ending::stopped)
      one["documents"] = find_documents(folder_ / thing.folder);
    things.push_back(one);
  }
  for (const auto& [key, mark] : state_.marks)
    if (!mark.word.empty())
      marks[key] = {
          {"word", mark.word}, {"folder", mark.folder}, {"file", mark.file}, {"name", mark.name}};
  told["form"] = state_.form;
  told["things"] = things;
  told["marks"] = marks;
  told["undo"] = state_.done.empty() ? "" : state_.done.back().what;
  told["redo"] = state_.undone.empty() ? "" : state_.undone.back().what;
  return told.dump();
}

std::string WorkshopDesk::tell_list(const std::string& folder) const {
  const GalleryWords words = read_gallery_words(language());
  const std::lock_guard guard(mutex_);
  const auto listed = lists_.find(folder);
  if (listed == lists_.end()) throw std::invalid_argument("there is no list of " + quote(folder));
  return ordered_json{{"version", listed->second.version},
                      {"designs", write_cards(listed->second.file, words)}}
      .dump();
}

std::string WorkshopDesk::make_picture(const std::string& folder, const std::string& file) const {
  const fs::path path = find_design(folder, file);
  fs::path drawn = path;
  drawn.replace_extension(".svg");
  if (file.rfind("so-far/", 0) == 0 && fs::exists(drawn)) return read_file(drawn);
  const std::string key = folder + "/" + file + make_stamp(path);
  const std::lock_guard guard(mutex_);
  const auto known = pictures_.find(key);
  if (known != pictures_.end()) return known->second;
  if (pictures_.size() >= most_pictures) pictures_.clear();
  return pictures_[key] = make_card_picture(path);
}

std::string WorkshopDesk::make_shape(const std::string& folder, const std::string& file) const {
  return make_card_shape(find_design(folder, file));
}

std::string WorkshopDesk::tell_kept() const {
  const std::lock_guard guard(mutex_);
  std::size_t made = 0;
  int picks = 0;
  for (const auto& [key, mark] : state_.marks) picks += mark.word == "pick" ? 1 : 0;
  for (const Thing& thing : state_.things) made += thing.ending == Ending::done ? 1 : 0;
  return format("Kept in %s: %s, %zu of them done; %s. ", folder_.string().c_str(),
                count_of(static_cast<int>(state_.things.size()), "command", "commands").c_str(),
                made, count_of(picks, "design picked", "designs picked").c_str()) +
         "Open it again with `sixtyfold workshop " + quote_for_shell(folder_.string()) + "`.\n";
}

}  // namespace sixtyfold
