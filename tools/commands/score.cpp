#include <poll.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <cerrno>
#include <iostream>
#include <memory>
#include <system_error>

#include "results/files/score_stream.h"
#include "tools/commands/search_run.h"
#include "tools/options/arguments.h"
#include "tools/options/limit_options.h"
#include "tools/options/options.h"

namespace sixtyfold {

namespace {

constexpr std::size_t most_lines_at_once = 1024;  // the bound of the queue

/// Lines of standard input, as many as have arrived and at least one, so that an optimiser that
/// waits for each answer is not kept waiting and one that sends thousands is answered in parallel.
class LineReader {
 public:
  /// Empty at the end of the input.
  std::vector<std::string> read_some() {
    std::vector<std::string> lines;
    take_lines(lines);
    while (lines.empty() && !is_over_) {
      read_input();
      take_lines(lines);
    }
    while (lines.size() < most_lines_at_once && !is_over_ && has_input()) {
      read_input();
      take_lines(lines);
    }
    return lines;
  }

 private:
  static bool has_input() {
    pollfd input{STDIN_FILENO, POLLIN, 0};
    return ::poll(&input, 1, 0) > 0;
  }
  void read_input() {
    char buffer[1 << 16];
    ssize_t count;
    do count = ::read(STDIN_FILENO, buffer, sizeof buffer);
    while (count < 0 && errno == EINTR);
    if (count < 0) throw std::system_error(errno, std::generic_category(), "standard input");
    is_over_ = count == 0;
    pending_.append(buffer, static_cast<std::size_t>(count));
  }
  void take_lines(std::vector<std::string>& lines) {
    std::size_t begin = 0, end;
    while (lines.size() < most_lines_at_once &&
           (end = pending_.find('\n', begin)) != std::string::npos) {
      add(lines, pending_.substr(begin, end - begin));
      begin = end + 1;
    }
    pending_.erase(0, begin);
    if (is_over_ && !pending_.empty() && pending_.find('\n') == std::string::npos) {
      add(lines, pending_);
      pending_.clear();
    }
    // Of an overlong line no more is kept than shows that it is one.
    if (pending_.size() > longest_score_line + 1 && pending_.find('\n') == std::string::npos)
      pending_.resize(longest_score_line + 1);
  }
  void add(std::vector<std::string>& lines, std::string line) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    lines.push_back(std::move(line));
  }

  std::string pending_;
  bool is_over_ = false;
};

struct ScoreOptions {
  LimitChanges changes;
  BranchChoice choice;
  std::string symmetries = "I";
  std::vector<std::string> weights;
  int threads = 0;
  bool describe = false;
};

ExitStatus score(const ScoreOptions& options) {
  const Limits limits = sixtyfold::apply(options.changes, Limits{});
  if (options.describe) {
    if (!options.weights.empty())
      throw std::invalid_argument("--weight is not used with --describe");
    BranchChoice choice = options.choice;
    choice.symmetries = parse_groups(options.symmetries);
    if (choice.symmetries.empty()) choice.symmetries = all_symmetries();
    std::cout << write_space_schema(find_branches(choice, limits));
    return ExitStatus::ok;
  }
  Goals goals;
  for (const std::string& text : options.weights) goals.weights.push_back(parse_weight(text));
  ScoreStream stream(limits, goals, options.threads);
  LineReader reader;
  std::uint64_t next_line = 1;
  for (;;) {
    const std::vector<std::string> lines = reader.read_some();
    if (lines.empty()) return ExitStatus::ok;
    stream.answer(lines, next_line, [](const std::string& answer) {
      std::cout << answer << std::endl;
      if (!std::cout) throw std::runtime_error("standard output can not be written");
    });
    next_line += lines.size();
  }
}

}  // namespace

void add_score_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "score",
      "Score parameter sets or designs from standard input, one JSON object a line, one answer a "
      "line in order, so that any optimiser can drive the evaluator",
      {"sixtyfold score --describe --group I --plane generic --family radial",
       "sixtyfold score --sheet 600x1200 < trials.jsonl > scores.jsonl",
       "python3 tools/example-optimiser.py 2000"});
  auto options = std::make_shared<ScoreOptions>();
  command->add_flag("--describe", options->describe,
                    "print the parameter space as JSON Schema and end");
  command->add_option("--group", options->symmetries, "groups to describe, such as I,D5, or any")
      ->capture_default_str();
  command->add_option("--family", options->choice.families, "families to describe; default all")
      ->delimiter(',');
  command->add_option("--plane", options->choice.planes, "kinds of plane to describe; default all")
      ->delimiter(',');
  command->add_option("--weight", options->weights, "a criterion of the quality, joints=2")
      ->delimiter(',');
  add_threads_option(*command, options->threads);
  add_limit_options(*command, options->changes, LimitDefaults::shipped);
  run_when_chosen(*command, [options] { return score(*options); });
}

}  // namespace sixtyfold
