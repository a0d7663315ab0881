#include "search/space/criterion.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <stdexcept>

namespace sixtyfold {

namespace {

double per_panel(int joints, int panels) { return panels > 0 ? double(joints) / panels : 0; }

/// Above one sheet less.
double find_sheets_guide(const Score& s) {
  return s.parts_room > 0
             ? std::max(s.sheets - 0.999, std::min<double>(s.sheets, s.panels / s.parts_room))
             : s.sheets;
}

constexpr double best_openness = 0.45;

std::string join_names() {
  std::string names;
  for (const Criterion& criterion : criteria())
    names += (names.empty() ? "" : ", ") + criterion.name;
  return names;
}

/// The whole text as a finite number, or NaN.
double parse_number(const std::string& text) {
  char* end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  if (text.empty() || *end != '\0' || !std::isfinite(value)) return std::nan("");
  return value;
}

}  // namespace

const std::vector<Criterion>& criteria() {
  static const std::vector<Criterion> all = {
      {"joints", "", "joints in the whole construction", 360, 0,
       [](const Score& s) { return double(s.joints); }, false, nullptr, true},
      {"joints_per_panel", "", "joints for each panel", 5, 1,
       [](const Score& s) { return per_panel(s.joints, s.panels); }, false, nullptr, true},
      {"panels", "", "copies of the panel", 120, 0,
       [](const Score& s) { return double(s.panels); }},
      {"richness", "", "binary logarithm of the number of panels", 0, 6,
       [](const Score& s) { return std::log2(std::max(1, s.panels)); }},
      {"sheets", "", "sheets of stock for all panels", 60, 0,
       [](const Score& s) { return double(s.sheets); }, true,
       [](const Score& s) { return find_sheets_guide(s); }, true},
      {"utilisation", "", "share of the sheets that ends up in panels", 0, 1,
       [](const Score& s) { return s.utilisation; }, true},
      {"waste", "", "share of the sheets that is left over", 1, 0,
       [](const Score& s) { return 1 - s.utilisation; }, true},
      {"cost", "", "price of all sheets, in your own money; needs --price", 500, 0,
       [](const Score& s) { return s.cost; }, true,
       [](const Score& s) {
         return s.sheets > 0 ? s.cost / s.sheets * find_sheets_guide(s) : s.cost;
       },
       true},
      {"cutting_time", "min", "time to cut all stacks at the given feed", 600, 0,
       [](const Score& s) { return s.cutting_min; }, true},
      {"diameter", "mm", "diameter of the enclosing sphere", 0, 2000,
       [](const Score& s) { return s.diameter_mm; }},
      {"mass", "kg", "mass of the board", 30, 0, [](const Score& s) { return s.mass_kg; }},
      {"stiffness", "", "least stiffness against any deformation", 0, 0.03,
       [](const Score& s) { return s.stiffness; }},
      {"hard_steps", "", "steps of its assembly without a way in; none unless a limit allows some",
       20, 0, [](const Score& s) { return double(std::max(0, s.hard_steps)); }},
      {"spring_steps", "", "steps of its assembly for which boards have to be bent", 20, 0,
       [](const Score& s) { return double(std::max(0, s.spring_steps)); }},
      {"hours", "h", "of the whole day by its plan, with the people and saws given", 12, 0,
       [](const Score& s) { return std::max(0.0, s.hours); }},
      {"module_opening", "mm", "narrowest door, 2 m high, that a module is carried through", 2000,
       0, [](const Score& s) { return std::max(0.0, s.module_opening_mm); }},
      {"closure", "mm", "miss of the last joint when folds are off by up to a degree", 40, 0,
       [](const Score& s) { return std::max(0.0, s.closure_mm); }},
      {"openness", "", "share of lines of sight out of the middle that no panel blocks", 0, 0.9,
       [](const Score& s) { return s.openness; }},
      {"balance", "", "1 when half open, 0 when closed or empty", 0, 1,
       [](const Score& s) {
         return 1 - std::abs(s.openness - best_openness) /
                        (s.openness < best_openness ? best_openness : 1 - best_openness);
       }},
      {"cutting", "m", "length of all cuts", 200, 0,
       [](const Score& s) { return s.cut_length_mm / 1000; }},
      {"angle_error", "deg", "mean difference of the plane angles at joints from 90", 70, 0,
       [](const Score& s) { return s.mean_angle_error_deg; }},
      {"appeal", "", "how much it is liked by what the eye goes by, from 0 to 1", 0, 1,
       [](const Score& s) { return s.appeal; }},
      {"roundness", "", "mean radius of the panels over the enclosing radius", 0.5, 1,
       [](const Score& s) { return s.roundness; }},
      {"spikiness", "", "1 - roundness", 0, 0.5, [](const Score& s) { return 1 - s.roundness; }},
      {"cover", "", "share of the trimmed edges that is glued", 0, 1,
       [](const Score& s) { return s.joint_cover; }},
      {"width", "mm", "thinnest place of the panel", 0, 60,
       [](const Score& s) { return s.min_width_mm; }},
      {"shortest_joint", "mm", "length of the shortest joint", 0, 200,
       [](const Score& s) { return s.shortest_joint_mm; }},
      {"clearance", "mm", "least distance between copies that are not joined", 0, 20,
       [](const Score& s) { return s.min_clearance_mm; }},
  };
  return all;
}

const Criterion& find_criterion(const std::string& name) {
  for (const Criterion& criterion : criteria())
    if (criterion.name == name) return criterion;
  throw std::invalid_argument("there is no criterion called '" + name + "'; there are " +
                              join_names());
}

std::vector<Weight> default_weights() {
  return {{&find_criterion("appeal"), 6},
          {&find_criterion("angle_error"), 1},
          {&find_criterion("cover"), 1},
          {&find_criterion("width"), 0.7},
          {&find_criterion("shortest_joint"), 0.5},
          {&find_criterion("joints_per_panel"), 0.5},
          {&find_criterion("stiffness"), 0.5},
          {&find_criterion("diameter"), 0.4}};
}

namespace {

/// Of the day: the search knows a bound of it, and the true number only of what may be listed.
bool is_known_late(const Criterion& criterion) {
  return criterion.name == "hours" || criterion.name == "module_opening" ||
         criterion.name == "closure";
}

std::string refuse_late(const Criterion& criterion) {
  return criterion.name +
         " is measured only of what is about to be listed, so it can be no Pareto criterion and "
         "have no least value; allowed is a greatest one, from 0 up, such as --limit '" +
         criterion.name + "<=" + (criterion.name == "hours" ? "4" : "800") +
         "', and a weight beside others";
}

/// Whether a search knows the number, or a bound of it, of what it makes.
bool leads_a_search(const Criterion& criterion) {
  const std::string& name = criterion.name;
  return name == "hours" ||
         (!is_known_late(criterion) && name != "hard_steps" && name != "spring_steps");
}

}  // namespace

std::string find_lead_fault(const std::vector<Weight>& weights, const std::string& example) {
  const Criterion* first = nullptr;
  for (const Weight& weight : weights) {
    if (!(weight.weight > 0)) continue;
    if (leads_a_search(*weight.criterion)) return "";
    if (!first) first = weight.criterion;
  }
  if (weights.empty()) return "";
  if (!first) return "all weights are 0 and nothing is left to go by; give one above 0";
  return first->name +
         " is measured only of what is about to be listed and can not be all that a search goes "
         "by; give other weights beside it, such as " +
         example;
}

std::string Goals::find_fault() const {
  if (pareto.size() == 1 || pareto.size() > 3)
    return "a Pareto set takes two or three criteria; " + std::to_string(pareto.size()) +
           " are given";
  for (std::size_t i = 0; i < pareto.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      if (pareto[i] == pareto[k])
        return "the Pareto criterion " + pareto[i]->name + " is given twice";
  for (const Criterion* criterion : pareto)
    if (is_known_late(*criterion)) return refuse_late(*criterion);
  if (pareto.empty())
    if (const std::string fault = find_lead_fault(weights, "--weight appeal=3"); !fault.empty())
      return fault;
  for (const Bound& bound : bounds)
    if (is_known_late(*bound.criterion) && !(bound.low <= 0 && 0 <= bound.high))
      return refuse_late(*bound.criterion);
  for (const Weight& weight : weights)
    if (!(weight.weight >= 0 && weight.weight <= 1000))
      return "the weight of " + weight.criterion->name + " must be 0 to 1000";
  for (const Bound& bound : bounds)
    if (!(bound.low <= bound.high)) return "the bounds of " + bound.criterion->name + " cross";
  return "";
}

namespace {

template <typename Test>
bool any_criterion(const Goals& goals, Test test) {
  const auto is_meant = [&](const auto& goal) { return test(*goal.criterion); };
  return std::any_of(goals.weights.begin(), goals.weights.end(), is_meant) ||
         std::any_of(goals.bounds.begin(), goals.bounds.end(), is_meant) ||
         std::any_of(goals.pareto.begin(), goals.pareto.end(),
                     [&](auto* one) { return test(*one); });
}

}  // namespace

bool Goals::ask_for(const std::string& name) const {
  return any_criterion(*this, [&](const Criterion& criterion) { return criterion.name == name; });
}

bool Goals::ask_for_appeal() const {
  return (weights.empty() && pareto.empty()) || ask_for("appeal");
}

bool Goals::ask_for_stock() const {
  return any_criterion(*this, [](const Criterion& criterion) { return criterion.of_stock; });
}

Weight parse_weight(const std::string& text) {
  const std::size_t sign = text.find('=');
  Weight weight{&find_criterion(text.substr(0, sign)), 1};
  if (sign == std::string::npos) return weight;
  weight.weight = parse_number(text.substr(sign + 1));
  if (!(weight.weight >= 0 && weight.weight <= 1000))
    throw std::invalid_argument("the weight '" + text +
                                "' is not understood; write a criterion, an equals sign and a "
                                "number from 0 to 1000, as in joints=2");
  return weight;
}

Bound parse_bound(const std::string& text) {
  const std::size_t sign = text.find_first_of("<>");
  const bool is_complete =
      sign != std::string::npos && sign + 1 < text.size() && text[sign + 1] == '=';
  const double value = is_complete ? parse_number(text.substr(sign + 2)) : std::nan("");
  if (!std::isfinite(value))
    throw std::invalid_argument("the limit '" + text +
                                "' is not understood; write a criterion, <= or >= and a number, "
                                "as in joints<=120");
  Bound bound{&find_criterion(text.substr(0, sign))};
  (text[sign] == '<' ? bound.high : bound.low) = value;
  return bound;
}

bool Goals::ask_for_day() const {
  return ask_for("hours") || ask_for("module_opening") || ask_for("closure");
}

int find_most_hard_steps(const Goals& goals) {
  double most = 0;
  bool bounded = false;
  for (const Bound& bound : goals.bounds) {
    if (bound.criterion->name != "hard_steps") continue;
    most = bounded ? std::min(most, bound.high) : bound.high;
    bounded = true;
  }
  return static_cast<int>(std::clamp(most, 0.0, double(std::numeric_limits<int>::max())));
}

double measure_quality(const Goals& goals, const Score& score) {
  static const std::vector<Weight> standard = default_weights();
  constexpr double least = 0.02;
  double sum = 0, total = 0;
  const auto add = [&](const Criterion& criterion, double weight) {
    const double desirability =
        measure_desirability(criterion.measure(score), criterion.worst, criterion.best);
    sum += weight * std::log(std::max(desirability, least));
    total += weight;
  };
  if (goals.weights.empty() && !goals.pareto.empty()) {
    for (const Criterion* criterion : goals.pareto) add(*criterion, 1);
  } else {
    for (const Weight& weight : goals.weights.empty() ? standard : goals.weights)
      add(*weight.criterion, weight.weight);
  }
  return total > 0 ? std::exp(sum / total) : 1;
}

Objectives measure_objectives(const Goals& goals, const Score& score) {
  if (goals.pareto.empty()) return {-measure_quality(goals, score)};
  Objectives objectives;
  for (const Criterion* criterion : goals.pareto)
    objectives.push_back(criterion->turn(criterion->measure(score)));
  return objectives;
}

Objectives measure_guides(const Goals& goals, const Score& score) {
  if (std::none_of(goals.pareto.begin(), goals.pareto.end(),
                   [](const Criterion* criterion) { return criterion->guide; }))
    return {};
  Objectives guides = measure_objectives(goals, score);
  for (std::size_t k = 0; k < goals.pareto.size(); ++k)
    if (const Criterion& criterion = *goals.pareto[k]; criterion.guide)
      guides[k] = criterion.turn(criterion.guide(score));
  return guides;
}

double measure_sure_shortfall(const Goals& goals, const Score& score, const Score& other) {
  double worst = 0;
  for (const Bound& bound : goals.bounds) {
    const double value = bound.criterion->measure(score), limit = bound.criterion->measure(other);
    const double low = std::min(value, limit), high = std::max(value, limit);
    const double range = std::abs(bound.criterion->best - bound.criterion->worst);
    const bool is_number = value == value && limit == limit;
    if (is_number && high >= bound.low && low <= bound.high) continue;
    const double missed = (high < bound.low ? bound.low - high : low - bound.high) / range;
    worst = std::max(worst, missed > 0 ? missed : 1.0);  // a NaN misses by the whole range
  }
  return worst;
}

double measure_shortfall(const Goals& goals, const Score& score) {
  return measure_sure_shortfall(goals, score, score);
}

}  // namespace sixtyfold
