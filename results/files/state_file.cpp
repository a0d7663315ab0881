#include "results/files/state_file.h"

#include <nlohmann/json.hpp>
#include <stdexcept>

#include "engine/hash.h"
#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "results/files/run_plan_json.h"

namespace sixtyfold {

namespace {

// A new number whenever the bytes change their meaning: an old file is refused, never misread.
constexpr int layout = 8;
constexpr std::size_t largest_state_bytes = std::size_t{1} << 30;

const char* format_of(StateKind kind) {
  return kind == StateKind::checkpoint ? "sixtyfold-checkpoint" : "sixtyfold-finds";
}

}  // namespace

std::string state_file_name(StateKind kind) {
  return kind == StateKind::checkpoint ? "checkpoint.state" : "finds.state";
}

void write_state_file(const std::filesystem::path& folder, StateKind kind, const RunPlan& plan,
                      double elapsed_s, const State& state) {
  const nlohmann::ordered_json header = {{"format", format_of(kind)},
                                         {"layout", layout},
                                         {"elapsed_s", elapsed_s},
                                         {"checksum", make_hash(state.bytes())},
                                         {"plan", write_run_plan_json(plan)}};
  write_file(folder / state_file_name(kind), header.dump() + "\n" + state.bytes());
}

StateFile read_state_file(const std::filesystem::path& folder, StateKind kind) {
  const std::filesystem::path path = folder / state_file_name(kind);
  const std::string bytes = read_file(path, largest_state_bytes);
  const std::size_t end = bytes.find('\n');
  if (end == std::string::npos)
    throw std::invalid_argument(path.string() + ": is not a state file of sixtyfold");
  const JsonCursor header = JsonCursor::parse(bytes.substr(0, end), path.string());
  if (header.at("format").text() != format_of(kind))
    throw std::invalid_argument(path.string() + ": is not a state file of this kind");
  if (header.at("layout").integer(0, 1 << 20) != layout)
    throw std::invalid_argument(path.string() +
                                ": was written by another version of sixtyfold and can not be "
                                "used by this one");
  StateFile file;
  file.plan = read_run_plan_json(header.at("plan"));
  file.elapsed_s = header.at("elapsed_s").number(0, 1e9);
  std::string state = bytes.substr(end + 1);
  if (make_hash(state) != header.at("checksum").unsigned_integer())
    throw std::invalid_argument(path.string() + ": is damaged");
  file.state = State(std::move(state));
  return file;
}

}  // namespace sixtyfold
