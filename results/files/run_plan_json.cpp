#include "results/files/run_plan_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "engine/building/colourings.h"
#include "results/files/json_reader.h"
#include "results/files/limits_json.h"
#include "results/files/names.h"
#include "results/files/taste_json.h"

namespace sixtyfold {

using nlohmann::ordered_json;

namespace {

constexpr std::size_t most_words = 1000;

std::vector<std::string> read_words(const JsonCursor& object, const char* key,
                                    std::vector<std::string> words) {
  const auto field = object.find(key);
  if (!field) return words;
  words.clear();
  for (const JsonCursor& word : field->array(0, most_words)) words.push_back(word.text());
  return words;
}

const Criterion* read_criterion(const JsonCursor& name) {
  try {
    return &find_criterion(name.text());
  } catch (const std::invalid_argument& fault) {
    name.fail(fault.what());
  }
}

}  // namespace

ordered_json write_run_plan_json(const RunPlan& plan) {
  ordered_json weights = ordered_json::array(), bounds = ordered_json::array(),
               pareto = ordered_json::array();
  for (const Weight& weight : plan.goals.weights)
    weights.push_back({{"criterion", weight.criterion->name}, {"weight", weight.weight}});
  for (const Criterion* criterion : plan.goals.pareto) pareto.push_back(criterion->name);
  for (const Bound& bound : plan.goals.bounds) {
    ordered_json entry = {{"criterion", bound.criterion->name}};
    if (std::isfinite(bound.low)) entry["low"] = bound.low;
    if (std::isfinite(bound.high)) entry["high"] = bound.high;
    bounds.push_back(entry);
  }
  ordered_json object = {{"symmetries", plan.choice.symmetries},
                         {"planes", plan.choice.planes},
                         {"families", plan.choice.families},
                         {"limits", write_limits_json(plan.limits)},
                         {"weights", weights},
                         {"pareto", pareto},
                         {"bounds", bounds},
                         {"seed", plan.seed},
                         {"count", plan.count},
                         {"colours", plan.colours},
                         {"taste", write_taste_terms(plan.goals.taste)},
                         {"budget", plan.budget},
                         {"time_limit_s", plan.time_limit_s},
                         {"streams", plan.streams},
                         {"shard", plan.shard}};
  if (!plan.material.empty()) object["material"] = plan.material;
  if (plan.choice.windows != Windows::off) object["windows"] = name_of(plan.choice.windows);
  return object;
}

RunPlan read_run_plan_json(const JsonCursor& object) {
  RunPlan plan;
  plan.choice.symmetries = read_words(object, "symmetries", plan.choice.symmetries);
  plan.choice.planes = read_words(object, "planes", plan.choice.planes);
  plan.choice.families = read_words(object, "families", plan.choice.families);
  if (const auto windows = object.find("windows")) {
    try {
      parse_name(windows->text(), plan.choice.windows);
    } catch (const std::invalid_argument& fault) {
      windows->fail(fault.what());
    }
  }
  if (const auto limits = object.find("limits")) plan.limits = read_limits_json(*limits);
  if (const auto weights = object.find("weights"))
    for (const JsonCursor& entry : weights->array(0, most_words))
      plan.goals.weights.push_back(
          {read_criterion(entry.at("criterion")), entry.at("weight").number(0, 1000)});
  if (const auto pareto = object.find("pareto"))
    for (const JsonCursor& name : pareto->array(0, 3))
      plan.goals.pareto.push_back(read_criterion(name));
  if (const auto bounds = object.find("bounds"))
    for (const JsonCursor& entry : bounds->array(0, most_words)) {
      Bound bound{read_criterion(entry.at("criterion"))};
      if (const auto low = entry.find("low")) bound.low = low->number(-1e12, 1e12);
      if (const auto high = entry.find("high")) bound.high = high->number(-1e12, 1e12);
      plan.goals.bounds.push_back(bound);
    }
  if (const auto material = object.find("material")) plan.material = material->text();
  const auto read_whole = [&](const char* key, auto& value, std::int64_t low, std::int64_t high) {
    if (const auto field = object.find(key))
      value = static_cast<std::remove_reference_t<decltype(value)>>(field->integer(low, high));
  };
  if (const auto taste = object.find("taste")) plan.goals.taste = read_taste_terms(*taste);
  if (const auto colours = object.find("colours")) {
    plan.colours = colours->text(40);
    try {
      check_colours_word(plan.colours);
    } catch (const std::invalid_argument& fault) {
      colours->fail(fault.what());
    }
  }
  if (const auto seed = object.find("seed")) plan.seed = seed->unsigned_integer();
  if (const auto budget = object.find("budget")) plan.budget = budget->unsigned_integer();
  if (const auto time = object.find("time_limit_s")) plan.time_limit_s = time->number(0, 1e9);
  read_whole("count", plan.count, 1, 9999);
  read_whole("streams", plan.streams, 1, 9999);
  read_whole("shard", plan.shard, 0, 9999);
  return plan;
}

}  // namespace sixtyfold
