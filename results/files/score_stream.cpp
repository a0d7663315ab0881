#include "results/files/score_stream.h"

#include <chrono>
#include <condition_variable>
#include <exception>
#include <limits>
#include <map>
#include <mutex>
#include <nlohmann/json.hpp>
#include <optional>
#include <stdexcept>
#include <thread>

#include "engine/building/day.h"
#include "engine/variant/inspection.h"
#include "results/files/design_json.h"
#include "results/files/json_reader.h"
#include "results/files/json_writer.h"
#include "results/files/score_json.h"
#include "search/run/evaluator.h"

namespace sixtyfold {

using nlohmann::ordered_json;

namespace {

ordered_json write_values(const Goals& goals, const Score& score) {
  ordered_json criteria_values = ordered_json::object();
  for (const Criterion& criterion : criteria())
    criteria_values[criterion.name] = criterion.measure(score);
  return {{"quality", measure_quality(goals, score)}, {"criteria", criteria_values}};
}

}  // namespace

struct ScoreStream::Inside {
  SearchTask task;
  Evaluator evaluator;
  std::vector<VariantSpace> spaces;
  std::map<std::string, Branch> branches;  ///< made when first asked for
  std::mutex branches_mutex;

  explicit Inside(int threads)
      : evaluator(threads), spaces(static_cast<std::size_t>(evaluator.threads())) {}

  const Branch& find_branch(const JsonCursor& root) {
    const std::string symmetry = root.at("symmetry").text(), plane = root.at("plane").text(),
                      family = root.at("family").text();
    const std::lock_guard lock(branches_mutex);
    const std::string key = symmetry + "|" + plane + "|" + family;
    const auto known = branches.find(key);
    if (known != branches.end()) return known->second;
    // Bounded: somebody may ask for every group there is.
    if (branches.size() >= 4096) root.fail("asks for more than 4096 different branches in one run");
    try {
      return branches.emplace(key, make_branch(symmetry, plane, family)).first->second;
    } catch (const std::invalid_argument& fault) {
      root.fail(fault.what());
    }
  }

  ordered_json score_parameters(const JsonCursor& root, VariantSpace& space) {
    const Branch& branch = find_branch(root);
    const JsonCursor field = root.at("parameters");
    std::vector<double> values;
    if (field.is_object()) {
      for (const SearchParameter& parameter : branch.parameters)
        values.push_back(field.at(parameter.name).number(-1e12, 1e12));
      if (field.keys().size() != values.size())
        field.fail("has a name that is no parameter of " + branch.family);
    } else {
      for (const JsonCursor& value : field.array(0, 1000))
        values.push_back(value.number(-1e12, 1e12));
    }
    if (const std::string fault = sixtyfold::find_fault(branch, values); !fault.empty())
      field.fail(fault);
    Outcome outcome = evaluate(task, branch, to_unit_point(branch, values), space.work, space.draft,
                               space.variant);
    if (space.variant.status == Status::ok)
      complete(task, branch, space.work, space.sight, space.variant, outcome);
    ordered_json answer = {{"status", name_of(space.variant.status)},
                           {"reason", describe(space.variant.status)},
                           {"feasible", outcome.feasible()},
                           {"violation", outcome.violation}};
    answer.update(write_values(task.goals, space.variant.score));
    answer["score"] = write_score_json(space.variant.score);
    return answer;
  }

  ordered_json score_design(const std::string& line, const std::string& where) {
    Inspection inspection = inspect(read_design_json(line, where));
    Design& design = inspection.design;
    measure_building(design, std::numeric_limits<int>::max(),
                     task.goals.ask_for_day() || limits_day(design.limits));
    for (std::string& fault : find_building_faults(design))
      inspection.faults.push_back(std::move(fault));
    const Score& score = inspection.design.score;
    ordered_json answer = {{"feasible", inspection.buildable()}, {"faults", inspection.faults}};
    answer.update(write_values(task.goals, score));
    answer["score"] = write_score_json(score);
    return answer;
  }

  std::string answer(const std::string& line, std::uint64_t number, VariantSpace& space) {
    const std::string where = "line " + std::to_string(number);
    ordered_json answer = ordered_json::object();
    try {
      if (line.size() > longest_score_line)
        throw std::invalid_argument(where + ": is longer than " +
                                    std::to_string(longest_score_line) + " bytes");
      const JsonCursor root = JsonCursor::parse(line, where);
      if (const auto id = root.find("id")) answer["id"] = id->text();
      answer.update(root.find("format") ? score_design(line, where)
                                        : score_parameters(root, space));
    } catch (const std::invalid_argument& fault) {
      answer["error"] = fault.what();
    }
    return answer.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
  }
};

ScoreStream::ScoreStream(const Limits& limits, const Goals& goals, int threads)
    : inside_(std::make_unique<Inside>(threads)) {
  inside_->task.limits = limits;
  inside_->task.goals = goals;
  inside_->task.all_numbers = true;
}
ScoreStream::~ScoreStream() = default;

namespace {

using Clock = std::chrono::steady_clock;

/// Answers on their way from the threads that work to the one that writes.
class AnswerSlots {
 public:
  explicit AnswerSlots(std::size_t count) : slots_(count) {}

  void begin(std::size_t i) {
    const std::lock_guard lock(mutex_);
    slots_[i].begun = Clock::now();
    changed_.notify_one();
  }
  void finish(std::size_t i, std::string answer) {
    const std::lock_guard lock(mutex_);
    slots_[i].answer = std::move(answer);
    changed_.notify_one();
  }
  /// All are over: work ended with an exception, which whoever waits must see.
  void give_up() {
    const std::lock_guard lock(mutex_);
    is_given_up_ = true;
    changed_.notify_one();
  }
  /// The answer, or nothing when it takes too long or will not come.
  std::optional<std::string> wait_for(std::size_t i) {
    std::unique_lock lock(mutex_);
    constexpr auto longest = std::chrono::duration<double>(longest_score_wait_s);
    for (;;) {
      if (slots_[i].answer) return std::move(slots_[i].answer);
      if (is_given_up_) return std::nullopt;
      if (!slots_[i].begun) {
        changed_.wait(lock);
        continue;
      }
      if (Clock::now() - *slots_[i].begun > longest) return std::nullopt;
      changed_.wait_for(lock, std::chrono::milliseconds(200));
    }
  }

 private:
  struct Slot {
    std::optional<Clock::time_point> begun;
    std::optional<std::string> answer;
  };
  std::mutex mutex_;
  std::condition_variable changed_;
  std::vector<Slot> slots_;
  bool is_given_up_ = false;
};

}  // namespace

void ScoreStream::answer(const std::vector<std::string>& lines, std::uint64_t first_line,
                         const std::function<void(const std::string&)>& release) {
  AnswerSlots slots(lines.size());
  std::exception_ptr fault;
  std::thread worker([&] {
    try {
      inside_->evaluator.run(static_cast<int>(lines.size()), [&](int task, int number) {
        const auto i = static_cast<std::size_t>(task);
        slots.begin(i);
        slots.finish(i, inside_->answer(lines[i], first_line + i,
                                        inside_->spaces[static_cast<std::size_t>(number)]));
      });
    } catch (...) {
      fault = std::current_exception();
      slots.give_up();
    }
  });
  try {
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (std::optional<std::string> answer = slots.wait_for(i)) {
        release(*answer);
      } else {
        const ordered_json late = {
            {"error", "line " + std::to_string(first_line + i) + ": takes longer than " +
                          std::to_string(static_cast<int>(longest_score_wait_s)) + " s"}};
        if (fault) break;
        release(late.dump());
      }
    }
  } catch (...) {
    worker.join();
    throw;
  }
  worker.join();
  if (fault) std::rethrow_exception(fault);
}

std::vector<std::string> ScoreStream::answer(const std::vector<std::string>& lines,
                                             std::uint64_t first_line) {
  std::vector<std::string> answers;
  answer(lines, first_line, [&](const std::string& text) { answers.push_back(text); });
  return answers;
}

std::string write_space_schema(const std::vector<Branch>& branches) {
  ordered_json choices = ordered_json::array();
  for (const Branch& branch : branches) {
    ordered_json properties = ordered_json::object(), required = ordered_json::array(),
                 items = ordered_json::array();
    for (const SearchParameter& parameter : branch.parameters) {
      const ordered_json range = {
          {"type", "number"}, {"minimum", parameter.low}, {"maximum", parameter.high}};
      properties[parameter.name] = range;
      if (parameter.logarithmic)
        properties[parameter.name]["description"] = "equal ratios are equal steps";
      required.push_back(parameter.name);
      items.push_back(range);
    }
    choices.push_back({{"properties",
                        {{"symmetry", {{"const", branch.symmetry}}},
                         {"plane", {{"const", branch.plane}}},
                         {"family", {{"const", branch.family}}},
                         {"parameters",
                          {{"oneOf", ordered_json::array({{{"type", "object"},
                                                           {"properties", properties},
                                                           {"required", required},
                                                           {"additionalProperties", false}},
                                                          {{"type", "array"},
                                                           {"prefixItems", items},
                                                           {"minItems", items.size()},
                                                           {"maxItems", items.size()}}})}}}}}});
  }
  return write_json({{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                     {"title", "One line for `sixtyfold score`"},
                     {"type", "object"},
                     {"properties", {{"id", {{"type", "string"}}}}},
                     {"required", {"symmetry", "plane", "family", "parameters"}},
                     {"oneOf", choices}});
}

}  // namespace sixtyfold
