#include "search/tune/tune.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>

#include "engine/building/day.h"
#include "engine/shape/width.h"
#include "engine/text.h"
#include "search/tune/clearance.h"
#include "search/tune/explain.h"
#include "search/tune/parts.h"
#include "search/tune/steps.h"

namespace sixtyfold {
namespace {

constexpr std::size_t most_confirmed = 48, batch = 6;
constexpr double twins = 0.985;  // overlap from which a person would call two the same

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// The thinnest place, where the inspection does not tell it.
void fill_width(Design& design) {
  const Panel& panel = design.orbits.front().panel;
  if (design.score.min_width_mm == 0)
    design.score.min_width_mm = measure_min_width(panel.outline_mm, panel.holes_mm);
}

/// Whether copies of the class may be joined at all: the planes meet at some angle and its
/// supplement.
bool has_allowed_angle(const Limits& limits, const MeetingLine& line) {
  const double acute = to_degrees(std::min(line.theta_rad(), pi - line.theta_rad()));
  return (acute >= limits.min_angle_deg - 1e-6 && acute <= limits.max_angle_deg + 1e-6) ||
         (180 - acute >= limits.min_angle_deg - 1e-6 && 180 - acute <= limits.max_angle_deg + 1e-6);
}

/// The fewest joints that the lines in reach allow: those of the classes that touch, or that the
/// outline would have to reach out for by no more than most_reach.
void find_least(const TuneJob& job, const Placed& original, TuneResult& result) {
  std::vector<int> in_reach, all;
  result.reach_mm = most_reach * job.radius_mm;
  for (std::size_t i = 0; i < job.scheme.pairs.size(); ++i) {
    const PairClass& pair = job.scheme.pairs[i];
    all.push_back(static_cast<int>(i));
    const MeetingLine& line = original.variant.lines[index(pair.element)];
    if (line.exists && has_allowed_angle(job.limits, line) &&
        measure_gap(job, original, pair) - gap_doubt * job.radius_mm <= result.reach_mm)
      in_reach.push_back(static_cast<int>(i));
  }
  result.least = find_least_joints(job.scheme, in_reach, is_rigid_wanted(job));
  result.least_anywhere = find_least_joints(job.scheme, all, is_rigid_wanted(job)).least;
  result.proved_least =
      result.least.least > 0 && result.before.design.score.joints <= result.least.least;
}

/// A person would call them the same.
bool is_twin(const Design& a, const Design& b) {
  const Panel &p = a.orbits.front().panel, &q = b.orbits.front().panel;
  return a.score.joints == b.score.joints &&
         measure_overlap(p.outline_mm, make_laid(q.outline_mm, q.frame, p.frame)) > twins;
}

/// Whether nothing speaks for `a` over `b`.
bool is_beaten(const TuneGoal& goal, const TunedVariant& a, const TunedVariant& b) {
  const std::vector<double> p = goal.measure_also(a.design.score),
                            q = goal.measure_also(b.design.score);
  bool better =
      b.gain > a.gain || b.stiffness_share > a.stiffness_share || b.look.kept() > a.look.kept();
  if (b.gain < a.gain || b.stiffness_share < a.stiffness_share || b.look.kept() < a.look.kept())
    return false;
  for (std::size_t i = 0; i < p.size(); ++i) {
    if (q[i] > p[i]) return false;
    better = better || q[i] < p[i];
  }
  return better;
}

/// What serves best first; of equals, to a hundredth, what `also` says, then the look.
void sort_by_goal(const TuneGoal& goal, std::vector<TunedVariant>& variants) {
  std::stable_sort(
      variants.begin(), variants.end(), [&](const TunedVariant& a, const TunedVariant& b) {
        const bool steps = goal.is_only_for("joints");
        if (steps ? a.gain != b.gain : std::floor(100 * a.gain) != std::floor(100 * b.gain))
          return a.gain > b.gain;
        const std::vector<double> p = goal.measure_also(a.design.score),
                                  q = goal.measure_also(b.design.score);
        if (p != q) return p < q;
        return a.look.kept() > b.look.kept();
      });
}

/// Of those with the same joints first a few from one end of what they trade to the other.
void spread_out(int wanted, std::vector<TunedVariant>& variants) {
  std::vector<TunedVariant> spread, rest;
  for (std::size_t first = 0, last = 0; first < variants.size(); first = last) {
    while (last < variants.size() &&
           variants[last].design.score.joints == variants[first].design.score.joints)
      ++last;
    const std::size_t count = last - first, few = std::clamp<std::size_t>(index(wanted), 1, count);
    std::vector<char> taken(count, 0);
    for (std::size_t i = 0; i < few; ++i) taken[few == 1 ? 0 : i * (count - 1) / (few - 1)] = 1;
    for (std::size_t i = 0; i < count; ++i)
      (taken[i] ? spread : rest).push_back(std::move(variants[first + i]));
    std::move(rest.begin(), rest.end(), std::back_inserter(spread));
    rest.clear();
  }
  variants = std::move(spread);
}

/// One tuning from the original to the list.
class Tuning {
 public:
  Tuning(const Design& design, const TuneOptions& options, Evaluator& evaluator)
      : design_(design), options_(options), evaluator_(evaluator) {
    if (options_.goal.weights.empty()) options_.goal.weights = {{&find_criterion("joints"), 1}};
    check_price();
    job_ = make_tune_job(design, original_);
    result_.asked = options_;
    inspect_original();
    for (std::string& note : describe_possible_steps(job_, original_))
      result_.notes.push_back(std::move(note));
    find_least(job_, original_, result_);
    set_demands();
  }

  TuneResult run(const GoOn& go_on) {
    const Score& old = result_.before.design.score;
    result_.curve = {{old.joints, 0, 1, 1, true, false}};
    if (goal().is_only_for("joints") && old.joints <= result_.least_anywhere) {
      result_.why_none = format(
          "It has %d joints, and no set of meeting lines of its symmetry, in whatever plane of its "
          "kind, holds all %d panels together%s with fewer than %d.",
          old.joints, old.panels, is_rigid_wanted(job_) ? " rigidly" : "", result_.least_anywhere);
      return std::move(result_);
    }
    std::vector<DrawnPart> parts = find_drawn_parts(job_, original_, find_drawn());
    for (const DrawnPart& part : parts)
      if (!part.change.empty()) result_.notes.push_back("Possible: " + part.change);
    const Workshop shop = make_workshop(parts);
    ChangeOptions how;
    how.placings = options_.placings;
    how.refinements = options_.refinements;
    how.evaluations = options_.evaluations;
    how.fewest_joints = result_.least_anywhere;
    how.seed = options_.seed;
    const Found found = find_changes(shop, demands_, how, parts, evaluator_, go_on);
    std::string refusal;
    std::vector<TunedVariant> passed =
        confirm_all(shop, find_ranked(found.all, demands_, most_confirmed), refusal,
                    [&] { return go_on(found.progress); });
    list(std::move(passed));
    add_beyond(found.all);
    if (!result_.variants.empty()) return std::move(result_);
    result_.why_none = goal().is_only_for("joints") && result_.proved_least
                           ? explain_least(job_, result_, found.tried)
                           : explain_none(result_, find_nearest(shop, found.all, demands_),
                                          demands_, refusal, found.losses);
    if (found.ended)
      result_.why_none += " The time was up, or it was stopped, before all was tried.";
    return std::move(result_);
  }

 private:
  const TuneGoal& goal() const { return options_.goal; }

  void check_price() const {
    const bool costs = goal().is_for("cost") ||
                       std::any_of(goal().also.begin(), goal().also.end(),
                                   [](const Criterion* also) { return also->name == "cost"; });
    if (costs && !(design_.limits.sheet_price > 0))
      throw std::invalid_argument(
          "the cost is to decide, but no price of a sheet is known; give --price, or a material "
          "that has one");
  }

  void inspect_original() {
    result_.before = inspect(design_);
    fill_width(result_.before.design);
    const Score& old = result_.before.design.score;
    if (old.collisions > 0)
      throw std::invalid_argument(
          format("the design's panels collide (%d pairs); tune starts from one that can be built",
                 old.collisions));
    ease_limits(old, job_.limits, result_.notes);
    job_.room = std::min(1.0, measure_room(job_, original_));
    eased_ = result_.before;
    if (!result_.before.buildable()) {
      Design as_allowed = design_;
      as_allowed.limits = job_.limits;
      eased_ = inspect(as_allowed);
      for (const std::string& fault : eased_.faults)
        result_.notes.push_back("The original has a fault that is not made worse: " + fault + ".");
    }
    measure_building(eased_.design, std::numeric_limits<int>::max(), goal().asks_for_day());
    Score& before = result_.before.design.score;
    const Score& built = eased_.design.score;
    before.hard_steps = built.hard_steps;
    before.spring_steps = built.spring_steps;
    before.hours = built.hours;
    before.module_opening_mm = built.module_opening_mm;
    before.closure_mm = built.closure_mm;
  }

  void set_demands() {
    demands_.look = options_.keep_look;
    if (result_.before.design.score.stiffness > 0)
      demands_.stiffness = goal().is_only_for("stiffness") ? std::max(1.02, options_.keep_stiffness)
                                                           : options_.keep_stiffness;
  }

  std::optional<DrawnOutline> find_drawn() const {
    if (options_.drawn_mm.empty()) return find_drawn_outline(design_, original_);
    // Laid into the job's own frame, as the panel is.
    DrawnOutline drawn;
    for (const Vec2& p : options_.drawn_mm)
      drawn.outline.push_back(
          original_.variant.frame.to_plane(design_.orbits.front().panel.frame.to_space(p)));
    drawn.outline = make_counter_clockwise(std::move(drawn.outline));
    return drawn;
  }

  Workshop make_workshop(const std::vector<DrawnPart>& parts) const {
    Workshop shop{job_, original_, parts, goal(), {}, result_.before.design.score.stiffness, {}};
    if (!goal().is_only_for("joints")) {
      shop.reach.least_growth = -0.12;
      shop.reach.most_growth = 0.15;
    }
    if (goal().asks_for_score())
      shop.old_score = measure_placed_score(job_, original_, goal().taste);
    shop.old_score.joints = result_.before.design.score.joints;
    shop.old_score.stiffness = shop.old_stiffness;
    return shop;
  }

  /// One change by the whole truth; none, with the reason, when it does not pass.
  std::optional<TunedVariant> confirm(const Workshop& shop, const Change& change,
                                      std::string& refusal) const {
    Placed placed;
    if (!shop.build(change, placed)) return std::nullopt;
    const std::string in_the_way = mend_clearance(job_, design_, placed);
    Design changed = make_placed_design(job_, design_, placed);
    changed.limits = job_.limits;
    Inspection inspection = inspect(changed);
    judge_building(inspection);
    if (!is_no_worse(inspection, eased_)) {
      refusal = !in_the_way.empty()         ? in_the_way
                : inspection.faults.empty() ? std::string("a fault")
                                            : inspection.faults.front();
      return std::nullopt;
    }
    TunedVariant variant;
    variant.design = std::move(inspection.design);
    fill_width(variant.design);
    variant.design.limits = job_.own_limits;
    const Design& before = result_.before.design;
    variant.look = measure_look_overlap(before, variant.design);
    variant.stiffness_share =
        before.score.stiffness > 0 ? variant.design.score.stiffness / before.score.stiffness : 0;
    variant.gain = goal().measure_gain(before.score, variant.design.score);
    refusal = find_refusal(variant, find_least_opening(job_, original_, placed));
    if (!refusal.empty()) return std::nullopt;
    if (!result_.before.buildable()) variant.faults = inspect(variant.design).faults;
    variant.steps = describe_steps(job_, original_, placed, variant.look);
    return variant;
  }

  void judge_building(Inspection& inspection) const {
    const int hard_steps = eased_.design.score.hard_steps;
    if (!inspection.buildable()) {  // it has faults of its own; its numbers may be asked for
      if (goal().asks_for_building())
        measure_building(inspection.design, hard_steps, goal().asks_for_day());
      return;
    }
    measure_building(inspection.design, hard_steps,
                     goal().asks_for_day() || limits_day(inspection.design.limits));
    inspection.faults = find_building_faults(inspection.design);
    if (inspection.design.score.hard_steps > hard_steps)
      inspection.faults.push_back("more steps of its assembly have no way in than before");
  }

  /// What is to be kept and is not, by the full measure.
  std::string find_refusal(const TunedVariant& variant, double opening) const {
    if (opening < meant_gap * job_.thickness_mm - gap_doubt_mm)
      return format("where a joint is gone %.1f mm are left, a slit; wanted are %.0f mm", opening,
                    meant_gap * job_.thickness_mm);
    if (variant.stiffness_share < demands_.stiffness)
      return format(
          "with the clearance it needs it has %.0f %% of the stiffness (wanted are %.0f %%)",
          100 * variant.stiffness_share, 100 * demands_.stiffness);
    if (variant.look.kept() < options_.keep_look)
      return format("it keeps %.0f %% of the look (--keep-look asks for %.0f %%)",
                    100 * variant.look.kept(), 100 * options_.keep_look);
    if (variant.gain < least_gain)
      return format("by the full measure it is %.1f %% better, hardly at all", 100 * variant.gain);
    return "";
  }

  /// All that pass, a few at a time; `refusal`: why the first did not.
  std::vector<TunedVariant> confirm_all(const Workshop& shop, const std::vector<Change>& ranked,
                                        std::string& refusal,
                                        const std::function<bool()>& go_on) const {
    std::vector<TunedVariant> passed;
    for (std::size_t first = 0; first < ranked.size(); first += batch) {
      if (static_cast<int>(passed.size()) >= 3 * options_.count) break;
      if (!passed.empty() && !go_on()) break;  // with nothing in hand the next may be something
      const std::size_t end = std::min(first + batch, ranked.size());
      std::vector<std::optional<TunedVariant>> made(end - first);
      std::vector<std::string> refusals(end - first);
      evaluator_.run(static_cast<int>(made.size()), [&](int task, int) {
        made[index(task)] = confirm(shop, ranked[first + index(task)], refusals[index(task)]);
      });
      for (std::size_t i = 0; i < made.size(); ++i) {
        if (refusal.empty()) refusal = refusals[i];
        if (made[i]) passed.push_back(std::move(*made[i]));
      }
    }
    return passed;
  }

  /// Of those that none beats the best, no two alike; of one number of joints no more than half.
  void list(std::vector<TunedVariant> passed) {
    std::vector<TunedVariant> front;
    for (const TunedVariant& variant : passed)
      if (std::none_of(passed.begin(), passed.end(), [&](const TunedVariant& other) {
            return is_beaten(goal(), variant, other);
          }))
        front.push_back(variant);
    sort_by_goal(goal(), front);
    if (goal().is_only_for("joints") && goal().also.empty()) spread_out(options_.count / 2, front);
    std::map<int, int> of_joints;
    for (TunedVariant& variant : front) {
      int& alike = of_joints[variant.design.score.joints];
      const bool is_listed =
          static_cast<int>(result_.variants.size()) < options_.count &&
          (alike < std::max(1, options_.count / 2) || !goal().is_for("joints")) &&
          std::none_of(result_.variants.begin(), result_.variants.end(),
                       [&](const TunedVariant& v) { return is_twin(v.design, variant.design); });
      result_.curve.push_back({variant.design.score.joints, variant.gain, variant.stiffness_share,
                               variant.look.kept(), true, is_listed});
      if (!is_listed) continue;
      ++alike;
      result_.variants.push_back(std::move(variant));
    }
  }

  /// What could be had for keeping less.
  void add_beyond(const std::vector<Change>& all) {
    std::vector<const Change*> beyond;
    for (const Change& c : all)
      if (c.missed.total() == 0 && demands_.miss(c) > 0 && c.gain >= least_gain)
        beyond.push_back(&c);
    std::stable_sort(beyond.begin(), beyond.end(),
                     [](const Change* a, const Change* b) { return a->gain > b->gain; });
    // Against what is kept alone: of a row in which each is a little better than the one before
    // something has to stay.
    std::vector<const Change*> kept;
    for (const Change* c : beyond)
      if (std::none_of(kept.begin(), kept.end(), [&](const Change* other) {
            return other->share >= c->share - 0.005 && other->overlap >= c->overlap - 0.005;
          }))
        kept.push_back(c);
    for (const Change* c : kept)
      result_.curve.push_back({c->joints, c->gain, c->share, c->overlap, false, false});
  }

  const Design& design_;
  TuneOptions options_;
  Evaluator& evaluator_;
  Placed original_;
  TuneJob job_;
  TuneResult result_;
  Inspection eased_;  ///< the original under the limits that it keeps
  Demands demands_;
};

}  // namespace

std::string TuneOptions::find_fault() const {
  if (!(0 <= keep_look && keep_look <= 1))
    return format("the look to keep is %g; it must lie from 0 to 1", keep_look);
  if (!(0 <= keep_stiffness && keep_stiffness <= 10))
    return format("the share of stiffness to keep is %g; it must lie from 0 to 10", keep_stiffness);
  if (!(0 <= placings && placings <= 1000000))
    return format("the number of placings is %d; it must lie from 0 to 1000000", placings);
  if (!(1 <= count && count <= 100))
    return format("the number of variants is %d; it must lie from 1 to 100", count);
  if (!(0 <= refinements && refinements <= 100))
    return format("the number of refinements is %d; it must lie from 0 to 100", refinements);
  if (!(1 <= evaluations && evaluations <= 1000000))
    return format("a refinement tries %d changes; allowed are 1 to 1000000", evaluations);
  for (const Weight& weight : goal.weights)
    if (!(0 <= weight.weight && weight.weight <= 1000))
      return format("the weight of %s must be 0 to 1000", weight.criterion->name.c_str());
  return find_lead_fault(goal.weights, "--for " + goal.describe() + ",mass=3");
}

std::uint64_t find_budget(const TuneOptions& options) {
  return 3 * (static_cast<std::uint64_t>(options.placings) +
              2 * static_cast<std::uint64_t>(options.refinements) *
                  static_cast<std::uint64_t>(options.evaluations));
}

void set_budget(std::uint64_t changes, TuneOptions& options) {
  // A quarter of each round goes to placings, the rest to refining the best.
  const std::uint64_t round = std::clamp<std::uint64_t>(changes, 12, 3000000) / 3;
  options.placings = static_cast<int>(round / 4);
  options.evaluations =
      std::max(1, static_cast<int>(round * 3 / 4) / std::max(1, 2 * options.refinements));
}

TuneResult tune(const Design& design, const TuneOptions& options, Evaluator& evaluator,
                const GoOn& go_on) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  return Tuning(design, options, evaluator).run(go_on);
}

void measure_drawing_kept(const Polygon& drawn_mm, TuneResult& result) {
  const Panel& panel = result.before.design.orbits.front().panel;
  result.drawing_kept = measure_best_cover(drawn_mm, panel.outline_mm);
  for (TunedVariant& variant : result.variants) {
    const Panel& changed = variant.design.orbits.front().panel;
    variant.drawing_kept =
        measure_best_cover(drawn_mm, make_laid(changed.outline_mm, changed.frame, panel.frame));
  }
}

}  // namespace sixtyfold
