#pragma once
// What the workshop remembers: one file, workshop.json, in its folder.

#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "tools/workshop/form.h"

namespace sixtyfold {

/// How a command that was started came to its end.
enum class Ending { waiting, working, done, stopped, failed, interrupted };
std::string name_of(Ending ending);
void parse_name(const std::string& text, Ending& ending);

/// Something that was made: a command and what came of it.
struct Thing {
  int number = 0;
  std::string kind;    ///< find, more, tune, map, gallery, kit
  std::string folder;  ///< in the workshop's folder: "find-001"
  std::string about;   ///< what it was made of: a design's name, a purpose; may be empty
  std::vector<std::string> command;
  std::string started;  ///< local time, ISO 8601
  double seconds = 0;
  int status = 0;  ///< of the program, once it has ended
  Ending ending = Ending::waiting;
  std::string told;         ///< what the program said at its end, cut
  bool is_resumed = false;  ///< gone on with after it was stopped
  bool is_away = false;     ///< taken out of the view; its files stay

  bool operator==(const Thing&) const = default;
};

/// What was said of a design.
struct Mark {
  std::string word;          ///< "pick", "reject", or "" when it was taken back
  std::string folder, file;  ///< where the design lies: "find-001", "so-far/0123abcd.json"
  std::string name;

  bool operator==(const Mark&) const = default;
};

/// One change that can be taken back: of a field, of a design's mark, of a thing in the view.
struct WorkshopChange {
  std::string what;           ///< "field", "mark", "away"
  std::string of;             ///< the field, the design's key, the thing's number
  std::string before, after;  ///< texts; of a thing "" or "away"

  bool operator==(const WorkshopChange&) const = default;
};

struct WorkshopState {
  Form form = make_form();
  std::vector<Thing> things;                 ///< by number
  std::map<std::string, Mark> marks;         ///< by the design's key
  std::vector<WorkshopChange> done, undone;  ///< the last one last

  bool operator==(const WorkshopState&) const = default;
};

inline constexpr char workshop_file[] = "workshop.json";
inline constexpr std::size_t most_things = 2000;
inline constexpr std::size_t most_marks = 4000;
inline constexpr std::size_t most_changes = 300;  ///< remembered; older ones stand

/// Puts the change in and remembers it; what was undone is forgotten. A change of nothing is none.
/// Throws std::invalid_argument: what the change is of is not there, a text the field refuses.
void make_change(WorkshopState& state, const WorkshopChange& change);
/// The last change taken back, or the last one taken back made again; false when there is none.
bool undo(WorkshopState& state);
bool redo(WorkshopState& state);

std::string write_workshop_json(const WorkshopState& state);
/// Throws std::invalid_argument with one sentence: anything that this program does not write.
WorkshopState read_workshop_json(const std::string& bytes, const std::string& where);

/// The folder's state; a new one where there is none.
WorkshopState load_workshop(const std::filesystem::path& folder);

/// A folder the workshop makes: "find-001".
bool is_thing_folder(const std::string& name);
/// A design file in one: "001.json", "so-far/0123abcd.json", "placed.json".
bool is_design_file(const std::string& name);
/// Eight hexadecimal digits.
bool is_design_key(const std::string& text);

}  // namespace sixtyfold
