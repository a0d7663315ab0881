#pragma once
// The workshop's inside: what the page asks for, and the commands that run for it.

#include <cstdint>
#include <deque>
#include <filesystem>
#include <map>
#include <memory>
#include <mutex>
#include <string>

#include "results/files/file.h"
#include "results/files/so_far.h"
#include "tools/workshop/child.h"
#include "tools/workshop/state.h"

namespace sixtyfold {

class AskedAction;

/// Promises:
/// 1. every change is in workshop.json before it is answered; what a killed server was at is
///    offered for going on;
/// 2. commands run one after another, each as a process of its own that works in the folder; what
///    waits is bounded, and so is how long each may take;
/// 3. nothing outside the folder is read or written, and no file is deleted.
/// All functions may be called from any thread; tick from one, which must outlive the commands.
class WorkshopDesk {
 public:
  /// Makes the folder where there is none. Throws std::invalid_argument: another workshop is open
  /// in it, or its workshop.json is none.
  explicit WorkshopDesk(const std::filesystem::path& folder);
  ~WorkshopDesk();

  /// What the page is to show, as JSON; of what has not changed since that version only how far
  /// the search is.
  std::string tell_state(std::uint64_t since) const;
  /// The designs of a folder, and the documents in it. Throws std::invalid_argument: no such thing.
  std::string tell_list(const std::string& folder) const;
  /// Of a design file in a folder of the workshop. Throws std::invalid_argument.
  std::string make_picture(const std::string& folder, const std::string& file) const;
  std::string make_shape(const std::string& folder, const std::string& file) const;
  /// The language of the page.
  std::string language() const;

  /// What a button asks for, a JSON object with "action". Throws std::invalid_argument with one
  /// sentence for the person.
  void act(const std::string& body);

  /// Sees what has ended and begins what waits.
  void tick();
  bool is_working() const;
  /// Stops what runs, waits for what it writes, and forgets what waits.
  void end();
  /// One line a folder that was made.
  std::string tell_kept() const;

  const std::filesystem::path& folder() const { return folder_; }

 private:
  static constexpr std::size_t most_waiting = 8;

  struct Job {
    int number = 0;  ///< of the thing
    std::vector<std::string> arguments;
  };
  struct Running {
    Job job;
    std::unique_ptr<Child> child;
    double began_s = 0;
    bool was_stopped = false;
    int times_stopped = 0;
  };
  struct Listed {
    std::string stamp;  ///< of the file it was read from
    SoFarFile file;
    std::uint64_t version = 0;
  };

  void keep();
  void change(const WorkshopChange& change);
  Thing& find_thing(int number);
  int next_number() const;
  std::string choose_folder(const std::string& kind) const;
  void start(const std::string& kind, const std::string& folder, const std::string& about,
             std::vector<std::string> arguments);
  void begin_next();
  void finish(int status);
  bool look(const std::string& folder);
  const SoFarDesign& find_card(const std::string& folder, const std::string& key) const;
  std::string find_file(const Mark& mark, const std::string& key) const;
  std::string gather_picks();
  std::filesystem::path find_design(const std::string& folder, const std::string& file) const;
  bool can_resume(const Thing& thing) const;

  // What the buttons do (tools/workshop/desk_actions.cpp).
  void set_field(AskedAction& asked);
  void mark(AskedAction& asked);
  void put_away(AskedAction& asked);
  void take_back(AskedAction& asked);
  void start_find(AskedAction& asked);
  void start_more(AskedAction& asked);
  void start_tune_or_kit(AskedAction& asked);
  void start_map(AskedAction& asked);
  void start_gallery(AskedAction& asked);
  void ask_running(AskedAction& asked);
  void stop_one(AskedAction& asked);
  void resume(AskedAction& asked);

  std::filesystem::path folder_;
  FolderLock lock_;
  mutable std::mutex mutex_;
  WorkshopState state_;
  std::uint64_t version_ = 1;
  std::deque<Job> waiting_;
  std::unique_ptr<Running> running_;
  std::map<std::string, Listed> lists_;
  mutable std::map<std::string, std::string> pictures_;
};

}  // namespace sixtyfold
