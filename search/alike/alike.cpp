#include "search/alike/alike.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "engine/random.h"
#include "engine/stock/stock_use.h"
#include "engine/text.h"
#include "search/choose/judge.h"
#include "search/propose/transfer_point.h"
#include "search/tune/look_overlap.h"

namespace sixtyfold {

namespace {

constexpr double tolerance = 0.04;       // of the distance asked for
constexpr double same_to_the_eye = 0.1;  // of looks: two of one list differ by more
constexpr int steps = 11;                // of one direction, from `first_step` by ratios
constexpr double first_step = 0.01, step_ratio = 1.5;
constexpr int most_measured = 6;                      // looks along one direction
constexpr int most_of_one = 16, most_in_round = 128;  // directions in a round
constexpr int patience = 12;                          // rounds in vain, then a parent is given up
constexpr int to_choose_from = 2;  // so many times as many are found; the best are kept
constexpr double finest = 0.004;   // of the radius: outlines whose looks are compared

/// As a look sees it: at radius 1000 mm, its outline no finer than the eye is.
Design make_eye_size(const Design& design) {
  Design sized;
  const double scale = 1000 / std::max(1e-9, measure_enclosing_radius(design));
  for (const Orbit& orbit : design.orbits) {
    Orbit copy;
    copy.copies = orbit.copies;
    copy.panel.frame = orbit.panel.frame;
    copy.panel.frame.origin *= scale;
    for (const Vec2& p : orbit.panel.outline_mm) copy.panel.outline_mm.push_back(scale * p);
    copy.panel.outline_mm = make_simplified(copy.panel.outline_mm, 1000 * finest);
    for (const Polygon& hole : orbit.panel.holes_mm) {
      Polygon scaled;
      for (const Vec2& p : hole) scaled.push_back(scale * p);
      scaled = make_simplified(scaled, 1000 * finest);
      if (scaled.size() >= 3) copy.panel.holes_mm.push_back(std::move(scaled));
    }
    sized.orbits.push_back(std::move(copy));
  }
  return sized;
}

class AlikeSearch {
 public:
  AlikeSearch(const SearchTask& task, const std::vector<Parent>& parents,
              const std::vector<Design>& unlike, const AlikeOptions& options, Evaluator& evaluator)
      : task_(task),
        parents_(parents),
        options_(options),
        evaluator_(evaluator),
        spaces_(static_cast<std::size_t>(evaluator.threads())),
        states_(parents.size()) {
    for (std::size_t i = 0; i < parents.size(); ++i) {
      Outcome ignored;
      states_[i].design =
          parents[i].given ? *parents[i].given : draw(parents[i].point, spaces_.front(), ignored);
      states_[i].sized = make_eye_size(states_[i].design);
    }
    for (const Design& design : unlike) unlike_.push_back(make_eye_size(design));
  }

  Relatives run(const std::function<bool(const Relatives&)>& go_on) {
    for (int round = 0; is_unfinished() && go_on(relatives_); ++round) {
      try_directions(round);
      confirm();
    }
    std::stable_sort(
        relatives_.found.begin(), relatives_.found.end(), [](const Relative& a, const Relative& b) {
          return a.parent != b.parent ? a.parent < b.parent
                                      : a.find.outcome.quality > b.find.outcome.quality;
        });
    std::vector<int> kept(parents_.size());
    std::erase_if(relatives_.found, [&](const Relative& relative) {
      return kept[static_cast<std::size_t>(relative.parent)]++ >= options_.each;
    });
    return std::move(relatives_);
  }

 private:
  struct State {
    Design design, sized;
    int found = 0, vain_rounds = 0;
    std::vector<Look> looks;  ///< of its relatives
  };
  struct Trial {
    bool is_near = false;
    Relative relative;
    std::uint64_t evaluated = 0, feasible = 0;
    std::string fault;
    Look look;
  };

  bool is_wanted(const State& state) const {
    return state.found < to_choose_from * options_.each && state.vain_rounds < patience;
  }
  bool is_unfinished() const {
    if (options_.budget > 0 && relatives_.evaluated >= options_.budget) return false;
    return std::any_of(states_.begin(), states_.end(),
                       [&](const State& state) { return is_wanted(state); });
  }

  const Branch& branch_of(const BranchPoint& point) const {
    return task_.branches[static_cast<std::size_t>(point.branch)];
  }

  /// The variant of a point as a design; its variant stays in the workspace.
  Design draw(const BranchPoint& point, VariantSpace& space, Outcome& outcome) const {
    const Branch& branch = branch_of(point);
    outcome = evaluate(task_, branch, point.point, space.work, space.draft, space.variant);
    return make_candidate_design(task_, branch, point.point, space.variant);
  }

  bool is_feasible(const Outcome& outcome, const Variant& variant) const {
    return variant.status == Status::ok && measure_shortfall(task_.goals, variant.score) == 0 &&
           outcome.quality > 0;
  }

  /// A direction of unit length: any, or towards another of the given designs.
  std::vector<double> choose_direction(int parent, RandomStream& random) const {
    const BranchPoint& from = parents_[static_cast<std::size_t>(parent)].point;
    std::vector<double> direction(from.point.size());
    for (double& part : direction) part = random.normal();
    if (parents_.size() > 1 && random.uniform() < 0.4) {
      const auto other = static_cast<std::size_t>(random.below(parents_.size()));
      const BranchPoint& to = parents_[other].point;
      if (static_cast<int>(other) != parent) {
        const UnitPoint goal =
            transfer_point(branch_of(to), to.point, branch_of(from), &from.point, 0.0, random);
        double length = 0;
        for (std::size_t k = 0; k < goal.size(); ++k)
          length += (goal[k] - from.point[k]) * (goal[k] - from.point[k]);
        length = std::sqrt(length);
        if (length > 1e-6)
          for (std::size_t k = 0; k < goal.size(); ++k)
            direction[k] = 3 * (goal[k] - from.point[k]) / length * std::sqrt(1.0 * goal.size()) +
                           direction[k];
      }
    }
    double norm = 0;
    for (const double part : direction) norm += part * part;
    for (double& part : direction) part /= std::sqrt(norm);
    return direction;
  }

  BranchPoint step_to(const BranchPoint& from, const std::vector<double>& direction,
                      double length) const {
    BranchPoint to = from;
    for (std::size_t k = 0; k < to.point.size(); ++k)
      to.point[k] = reflect(from.point[k] + length * direction[k]);
    return to;
  }

  /// Walks one direction for a feasible variant at the distance asked for.
  Trial try_direction(int parent, int number, VariantSpace& space) const {
    Trial trial;
    const State& state = states_[static_cast<std::size_t>(parent)];
    const BranchPoint& from = parents_[static_cast<std::size_t>(parent)].point;
    RandomStream random(
        task_.seed, Purpose::propose,
        static_cast<std::uint64_t>(parent) << 32 | static_cast<std::uint64_t>(number));
    const std::vector<double> direction = choose_direction(parent, random);
    std::vector<double> lengths;
    for (int k = 0; k < steps; ++k) lengths.push_back(first_step * std::pow(step_ratio, k));
    std::vector<std::size_t> feasible;
    Outcome outcome;
    for (std::size_t k = 0; k < lengths.size(); ++k) {
      const BranchPoint point = step_to(from, direction, lengths[k]);
      outcome =
          evaluate(task_, branch_of(point), point.point, space.work, space.draft, space.variant);
      ++trial.evaluated;
      if (is_feasible(outcome, space.variant)) feasible.push_back(k);
    }
    trial.feasible = feasible.size();
    if (feasible.empty()) return trial;
    // The look mostly changes more the longer the step: the bracket is halved.
    double low = 0, high = lengths[feasible.back()] * step_ratio;
    double length = lengths[feasible[feasible.size() / 2]];
    for (int measured = 0; measured < most_measured; ++measured) {
      const BranchPoint point = step_to(from, direction, length);
      Design design = draw(point, space, outcome);
      ++trial.evaluated;
      const bool is_sound = is_feasible(outcome, space.variant);
      const double distance =
          space.variant.status == Status::ok
              ? 1 - measure_look_overlap(state.sized, make_eye_size(design)).kept()
              : 1;
      if (is_sound && std::abs(distance - options_.near) <= tolerance) {
        trial.is_near = true;
        complete(task_, branch_of(point), space.work, space.sight, space.variant, outcome);
        trial.relative = {
            {point.branch, point.point, outcome}, std::move(design), parent, distance, {}};
        return trial;
      }
      (distance < options_.near ? low : high) = length;
      length = 0.5 * (low + high);
    }
    return trial;
  }

  void try_directions(int round) {
    std::vector<std::pair<int, int>> jobs;
    // Of many designs fewer directions each, so that budget and time are asked often.
    const int round_size =
        std::clamp(most_in_round / static_cast<int>(parents_.size()), 1, most_of_one);
    for (std::size_t p = 0; p < parents_.size(); ++p)
      if (is_wanted(states_[p]))
        for (int k = 0; k < round_size; ++k)
          jobs.emplace_back(static_cast<int>(p), round * round_size + k);
    trials_.assign(jobs.size(), Trial());
    evaluator_.run(static_cast<int>(jobs.size()), [&](int job, int worker) {
      const auto [parent, number] = jobs[static_cast<std::size_t>(job)];
      VariantSpace& space = spaces_[static_cast<std::size_t>(worker)];
      Trial& trial = trials_[static_cast<std::size_t>(job)];
      trial = try_direction(parent, number, space);
      trial.relative.parent = parent;
      if (trial.is_near) judge(trial);
    });
  }

  /// The independent check, and how far it goes together.
  void judge(Trial& trial) const {
    for (const Design& other : unlike_)
      if (1 - measure_look_overlap(other, make_eye_size(trial.relative.design)).kept() <
          options_.near) {
        trial.is_near = false;
        return;
      }
    Inspection inspection = inspect_candidate(task_, trial.relative.design);
    const int most_hard_steps = find_most_hard_steps(task_.goals);
    if (inspection.buildable()) {
      const auto breaks_bounds = [&] {
        return measure_shortfall(task_.goals, inspection.design.score) > 0;
      };
      // No bound on sheets refuses a design before the usual nest has.
      if (breaks_bounds())
        measure_stock_use(inspection.design, 2).put_into(inspection.design.score);
      if (inspection.design.score.hard_steps > most_hard_steps)
        inspection.faults.push_back("it does not go together without steps that have no way in");
      else if (breaks_bounds())
        inspection.faults.push_back("a criterion lies outside the limits given for it");
    }
    trial.relative.find.outcome.quality = measure_quality(task_.goals, inspection.design.score);
    if (!inspection.buildable())
      trial.fault = inspection.faults.front();
    else
      trial.look = find_look(inspection.design);
    trial.relative.design = std::move(inspection.design);
  }

  void confirm() {
    std::vector<int> before;
    for (const State& state : states_) before.push_back(state.found);
    for (Trial& trial : trials_) {
      relatives_.evaluated += trial.evaluated;
      relatives_.feasible += trial.feasible;
      if (!trial.is_near) continue;
      if (!trial.fault.empty()) {
        relatives_.refused.push_back(trial.fault);
        continue;
      }
      State& state = states_[static_cast<std::size_t>(trial.relative.parent)];
      if (state.found >= to_choose_from * options_.each) continue;
      const bool is_again = std::any_of(states_.begin(), states_.end(), [&](const State& other) {
        return std::any_of(other.looks.begin(), other.looks.end(), [&](const Look& look) {
          return measure_look_difference(look, trial.look) < same_to_the_eye;
        });
      });
      if (is_again) continue;
      ++state.found;
      state.looks.push_back(std::move(trial.look));
      trial.relative.changes = describe_changes(state.design.score, trial.relative.design.score);
      relatives_.found.push_back(std::move(trial.relative));
    }
    for (std::size_t p = 0; p < states_.size(); ++p)
      states_[p].vain_rounds = states_[p].found > before[p] ? 0 : states_[p].vain_rounds + 1;
  }

  const SearchTask& task_;
  const std::vector<Parent>& parents_;
  const AlikeOptions& options_;
  Evaluator& evaluator_;
  std::vector<VariantSpace> spaces_;
  std::vector<State> states_;
  std::vector<Design> unlike_;
  std::vector<Trial> trials_;
  Relatives relatives_;
};

}  // namespace

std::string AlikeOptions::find_fault() const {
  if (!(0.02 <= near && near <= 0.9)) return "the distance of looks must lie from 0.02 to 0.9";
  if (!(1 <= each && each <= 1000)) return "1 to 1000 designs like each can be asked for";
  return "";
}

Design make_parent_design(const SearchTask& task, const Parent& parent) {
  VariantWorkspace work;
  Draft draft;
  Variant variant;
  const Branch& branch = task.branches[static_cast<std::size_t>(parent.point.branch)];
  evaluate(task, branch, parent.point.point, work, draft, variant);
  return make_candidate_design(task, branch, parent.point.point, variant);
}

double measure_look_distance(const Design& a, const Design& b) {
  return 1 - measure_look_overlap(make_eye_size(a), make_eye_size(b)).kept();
}

Relatives find_alike(const SearchTask& task, const std::vector<Parent>& parents,
                     const std::vector<Design>& unlike, const AlikeOptions& options,
                     Evaluator& evaluator,
                     const std::function<bool(const Relatives& so_far)>& go_on) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (parents.empty()) throw std::invalid_argument("there is no design to be like");
  return AlikeSearch(task, parents, unlike, options, evaluator).run(go_on);
}

std::vector<std::string> describe_changes(const Score& before, const Score& after) {
  struct Change {
    double weight;  // how telling: 1 is what one sees or feels
    std::string words;
  };
  std::vector<Change> changes;
  const auto add = [&](double weight, const std::string& words) {
    if (std::abs(weight) >= 0.5) changes.push_back({std::abs(weight), words});
  };
  const int joints = after.joints - before.joints;
  add(joints / std::max(1.0, 0.1 * before.joints),
      format("%d joints %s", std::abs(joints), joints < 0 ? "fewer" : "more"));
  const double across = (after.diameter_mm - before.diameter_mm) / 1000;
  add(across / std::max(1e-9, 0.1 * before.diameter_mm / 1000),
      format("%.2f m %s", std::abs(across), across < 0 ? "smaller" : "larger"));
  const double fullness = after.slenderness - before.slenderness;
  add(fullness / 0.06, format("%s parts, %.0f %% of the square on their length after %.0f %%",
                              fullness < 0 ? "slimmer" : "fuller", 100 * after.slenderness,
                              100 * before.slenderness));
  const double openness = after.openness - before.openness;
  add(openness / 0.1,
      format("%s, openness %.2f after %.2f", openness < 0 ? "more closed" : "more open",
             after.openness, before.openness));
  const double layers = after.layers - before.layers;
  add(layers / 0.3, format("%s, a line through it meets %.1f panels after %.1f",
                           layers < 0 ? "airier" : "denser", after.layers, before.layers));
  if (before.stiffness > 0 && after.stiffness > 0) {
    const double ratio = after.stiffness / before.stiffness;
    add(std::log(ratio) / std::log(1.6),
        ratio > 1 ? format("%.1f times as stiff", ratio) : format("%.0f %% as stiff", 100 * ratio));
  }
  const double roundness = after.roundness - before.roundness;
  add(roundness / 0.08, roundness < 0 ? std::string("more of its board near the middle")
                                      : std::string("rounder, more of its board far out"));
  if (before.shortest_joint_mm > 0) {
    const double joint = after.shortest_joint_mm / before.shortest_joint_mm;
    add(std::log(std::max(1e-9, joint)) / std::log(1.5),
        format("shortest joint %.0f mm after %.0f mm", after.shortest_joint_mm,
               before.shortest_joint_mm));
  }
  std::stable_sort(changes.begin(), changes.end(),
                   [](const Change& a, const Change& b) { return a.weight > b.weight; });
  std::vector<std::string> words;
  for (std::size_t i = 0; i < changes.size() && i < 3; ++i) words.push_back(changes[i].words);
  if (words.empty()) words.push_back("another outline, all numbers nearly the same");
  return words;
}

}  // namespace sixtyfold
