#include "results/files/state_file.h"

#include <nlohmann/json.hpp>
#include <stdexcept>

#include "engine/hash.h"
#include "engine/text.h"
#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "results/files/run_plan_json.h"

namespace sixtyfold {

namespace {

// A new number whenever the bytes change their meaning: an old file is refused, never misread.
constexpr int layout = 10;
constexpr std::size_t largest_state_bytes = std::size_t{1} << 30;

const char* format_of(StateKind kind) {
  return kind == StateKind::checkpoint ? "sixtyfold-checkpoint" : "sixtyfold-finds";
}

/// "sixtyfold-finds 10 0123456789abcdef\n": what it is, and the checksum of all that follows.
std::string write_first_line(StateKind kind, std::uint64_t checksum) {
  return format("%s %d %016llx\n", format_of(kind), layout,
                static_cast<unsigned long long>(checksum));
}

}  // namespace

std::string state_file_name(StateKind kind) {
  return kind == StateKind::checkpoint ? "checkpoint.state" : "finds.state";
}

void write_state_file(const std::filesystem::path& folder, StateKind kind, const RunPlan& plan,
                      double elapsed_s, const State& state) {
  const nlohmann::ordered_json header = {{"elapsed_s", elapsed_s},
                                         {"plan", write_run_plan_json(plan)}};
  const std::string body = header.dump() + "\n" + state.bytes();
  write_file(folder / state_file_name(kind), write_first_line(kind, make_hash(body)) + body,
             Keep::on_the_disk);
}

StateFile read_state_file(const std::filesystem::path& folder, StateKind kind) {
  const std::filesystem::path path = folder / state_file_name(kind);
  const std::string bytes = read_file(path, largest_state_bytes);
  const std::string begin = std::string(format_of(kind)) + " ";
  const std::size_t first = bytes.find('\n');
  if (first == std::string::npos || !bytes.starts_with(begin))
    throw std::invalid_argument(path.string() + ": is not a state file of this kind");
  if (!bytes.starts_with(begin + std::to_string(layout) + " "))
    throw std::invalid_argument(path.string() +
                                ": was written by another version of sixtyfold and can not be "
                                "used by this one");
  const std::string body = bytes.substr(first + 1);
  // All of the first line must be as it would be written: a flipped bit in it is seen, too.
  if (bytes.substr(0, first + 1) != write_first_line(kind, make_hash(body)))
    throw std::invalid_argument(path.string() + ": is damaged");
  const std::size_t end = body.find('\n');
  if (end == std::string::npos) throw std::invalid_argument(path.string() + ": is damaged");
  const JsonCursor header = JsonCursor::parse(body.substr(0, end), path.string());
  StateFile file;
  file.plan = read_run_plan_json(header.at("plan"));
  file.elapsed_s = header.at("elapsed_s").number(0, 1e9);
  if (const std::string fault = file.plan.find_fault(); !fault.empty())
    header.at("plan").fail(fault);
  file.state = State(body.substr(end + 1));
  return file;
}

}  // namespace sixtyfold
