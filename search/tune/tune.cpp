#include "search/tune/tune.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>

#include "engine/building/day.h"
#include "engine/random.h"
#include "engine/shape/width.h"
#include "engine/text.h"
#include "engine/tolerance.h"
#include "search/propose/refine.h"
#include "search/tune/clearance.h"
#include "search/tune/limits.h"
#include "search/tune/moves.h"
#include "search/tune/parts.h"

namespace sixtyfold {
namespace {

constexpr int refine_evaluations = 250;

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// The thinnest place, where the inspection does not tell it.
void fill_width(Design& design) {
  const Panel& panel = design.orbits.front().panel;
  if (design.score.min_width_mm == 0)
    design.score.min_width_mm = measure_min_width(panel.outline_mm, panel.holes_mm);
}

/// Overlap of two placed outlines, one laid into the other's plane as it stands.
double measure_overlap_with(const Placed& a, const Placed& b) {
  return measure_overlap(a.outline, make_laid(b.outline, b.variant.frame, a.variant.frame));
}

/// How a candidate is made, and what is known of it before the dear measures.
struct Candidate {
  int part = 0;     ///< number of the drawn part
  UnitPoint moves;  ///< none: the original as it stands
  KeptContacts structure;
  int joints = 0;
  std::vector<int> elements;  ///< of its joints
  Shortfalls missed;
  double overlap = 0;  ///< of the outlines as they lie
  double share = 0;    ///< of the original's stiffness
};

/// What is to be kept, as shares.
struct Demands {
  double look = 0, stiffness = 0;
  double miss(const Candidate& c) const {
    return c.missed.total() + miss_of(c.overlap, look) + miss_of(c.share, stiffness);
  }
  static double miss_of(double has, double wanted) {
    return has < wanted ? 1 - std::max(has, 0.0) / wanted : 0;
  }
};

/// Why a change is no candidate.
enum class Loss { none, trimming, look, pieces, body, no_gain, limits, rigidity, count_ };
using Losses = std::array<int, static_cast<std::size_t>(Loss::count_)>;

/// The common ground of all candidates of one job.
struct Workshop {
  const TuneJob& job;
  const Placed& original;
  const std::vector<DrawnPart>& parts;
  MoveReach reach;
  double old_stiffness = 0;

  bool place(int part, const UnitPoint& moves, Placed& placed) const {
    if (!moves.empty()) return make_moved(job, parts[index(part)], reach, moves, placed);
    placed = original;
    return true;
  }
  bool build(const Candidate& candidate, Placed& built) const {
    Placed placed;
    return place(candidate.part, candidate.moves, placed) &&
           apply_structure(job, candidate.structure, placed, built);
  }
  /// limits: it is no construction, or misses limits by far.
  Loss measure(const Placed& placed, Candidate& candidate) const {
    const std::optional<Shortfalls> missed = measure_shortfalls(job, placed);
    if (!missed) return Loss::limits;
    candidate.missed = *missed;
    candidate.joints = placed.joints;
    candidate.elements.clear();
    for (const PairJoint& joint : placed.variant.joints)
      if (joint.contact.length() >= least_joint_mm) candidate.elements.push_back(joint.element);
    const double stiffness = measure_placed_stiffness(job, placed);
    if (is_rigid_wanted(job) && !(stiffness > 0)) return Loss::rigidity;
    if (!(stiffness >= job.limits.min_stiffness)) return Loss::rigidity;
    candidate.share = old_stiffness > 0 ? stiffness / old_stiffness : 1;
    candidate.overlap = measure_overlap_with(original, placed);
    return Loss::none;
  }
};

/// One line for each class of contacts.
std::string describe_class(const TuneJob& job, const PairClass& pair,
                           const std::vector<PairJoint>& joints) {
  const int order = find_element_order(*job.scheme.group, pair.element);
  double length = 0;
  for (const PairJoint& joint : joints) length = std::max(length, joint.contact.length());
  return format("%d joints of %.0f mm with the copies turned by %s of a full turn (order %d)",
                pair.pairs * static_cast<int>(joints.size()), length,
                order == 2 ? "half" : format("1/%d or a multiple", order).c_str(), order);
}

void add_steps(const TuneJob& job, const Placed& before, const Placed& after,
               TunedVariant& variant) {
  for (const PairClass& pair : job.scheme.pairs) {
    const auto joints = [&](const Placed& placed) {
      std::vector<PairJoint> found = find_class_joints(placed, pair);
      std::erase_if(found, [](const PairJoint& j) { return j.contact.length() < least_joint_mm; });
      return found;
    };
    const std::vector<PairJoint> old = joints(before), now = joints(after);
    if (now.size() < old.size())
      variant.steps.push_back(
          "Gone: " +
          describe_class(job, pair,
                         {old.begin() + static_cast<std::ptrdiff_t>(now.size()), old.end()}) +
          ".");
    if (now.size() > old.size())
      variant.steps.push_back(
          "New: " +
          describe_class(job, pair,
                         {now.begin() + static_cast<std::ptrdiff_t>(old.size()), now.end()}) +
          ".");
  }
  const auto leans = [&](const Placed& placed, const PairClass& pair, ContactKind kind) {
    const std::vector<PairJoint> joints = find_class_joints(placed, pair);
    return !joints.empty() && joints.front().contact.kind == kind;
  };
  for (const PairClass& pair : job.scheme.pairs)
    if (pair.element != pair.inverse)
      for (const auto& [was, is] : {std::pair{ContactKind::edge_first, ContactKind::edge_second},
                                    std::pair{ContactKind::edge_second, ContactKind::edge_first}})
        if (leans(before, pair, was) && leans(after, pair, is))
          variant.steps.push_back("Now the other copy of each pair is cut back: " +
                                  describe_class(job, pair, find_class_joints(after, pair)) + ".");
  const LookOverlap& look = variant.look;
  if (look.plane_turn_deg > 0.05 || std::abs(look.distance_change) > 5e-4)
    variant.steps.push_back(
        format("The panel's plane is turned by %.1f degrees and moved by %.1f %% of the radius.",
               look.plane_turn_deg, 100 * look.distance_change));
  variant.steps.push_back(format("The outline has %.0f %% of its old area.",
                                 100 * measure_area(after.outline) / measure_area(before.outline)));
}

/// Less is better. What does not fit its sheet has no number of sheets, cost or waste.
double measure_also(const Criterion& criterion, const Score& score, const Taste& taste) {
  if (criterion.name == "appeal") return -measure_appeal(score, taste);
  const std::set<std::string> of_sheets{"sheets", "utilisation", "waste", "cost", "cutting_time"};
  if (score.sheets == 0 && of_sheets.count(criterion.name)) return 1e9;
  return (criterion.more_is_better() ? -1 : 1) * criterion.measure(score);
}

/// Same joints of the same copies.
using JointKey = std::pair<int, std::vector<int>>;

/// What the refinement makes most of.
enum class Aim { stiffness, look };

double find_merit(const Candidate& c, Aim aim) {
  return aim == Aim::stiffness ? std::min(c.share, 4.0) + 0.2 * c.overlap
                               : c.overlap + 0.05 * std::min(c.share, 2.0);
}

/// The candidate's part and structure, plane and outline moved for the aim under all demands.
std::optional<Candidate> refine_candidate(const Workshop& shop, const Demands& demands,
                                          const Candidate& from, Aim aim, int evaluations) {
  std::optional<Candidate> best;
  double best_value = std::numeric_limits<double>::infinity();
  const auto loss = [&](const UnitPoint& moves) {
    Candidate candidate;
    candidate.part = from.part;
    candidate.structure = from.structure;
    candidate.moves = moves;
    Placed placed;
    if (!shop.build(candidate, placed) || placed.joints > from.joints ||
        shop.measure(placed, candidate) != Loss::none)
      return std::numeric_limits<double>::infinity();
    const double miss = demands.miss(candidate);
    const double value = miss > 0 ? 10 + miss : -find_merit(candidate, aim);
    if (value < best_value) {
      best_value = value;
      best = std::move(candidate);
    }
    return value;
  };
  RefineOptions how;
  how.evaluations = evaluations;
  how.first_step = 0.12;
  refine(loss, from.moves.empty() ? UnitPoint(move_count, 0.5) : from.moves, how);
  return best;
}

/// Keeps what no other beats in joints, stiffness and look at once.
void keep_front(std::vector<TradeOffPoint>& points) {
  std::stable_sort(points.begin(), points.end(),
                   [](const TradeOffPoint& a, const TradeOffPoint& b) {
                     if (a.joints != b.joints) return a.joints < b.joints;
                     if (a.stiffness_share != b.stiffness_share)
                       return a.stiffness_share > b.stiffness_share;
                     return a.look > b.look;
                   });
  std::vector<TradeOffPoint> front;
  for (const TradeOffPoint& p : points) {
    const bool beaten = std::any_of(front.begin(), front.end(), [&](const TradeOffPoint& q) {
      return q.joints <= p.joints && q.stiffness_share >= p.stiffness_share - 0.005 &&
             q.look >= p.look - 0.005;
    });
    if (!beaten) front.push_back(p);
  }
  points = std::move(front);
}

/// What is possible at all, step by step.
void add_possible_steps(const TuneJob& job, const Placed& original,
                        std::vector<std::string>& notes) {
  for (const PairClass& pair : job.scheme.pairs) {
    const std::vector<PairJoint> joints = find_class_joints(original, pair);
    if (joints.empty()) continue;
    int rest = job.scheme.outline_subgroup;
    for (const PairJoint& joint : original.variant.joints)
      if (joint.element != pair.element && joint.contact.length() >= least_joint_mm)
        rest = job.scheme.subgroups->add(rest, joint.element);
    const int pieces = job.scheme.count_pieces(rest);
    notes.push_back(describe_class(job, pair, joints) +
                    (pieces == 1 ? ": could be dropped without it falling apart."
                                 : format(": without them it falls into %d pieces.", pieces)));
  }
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

/// All placings of the parts from number `first_part` on, with all their structures.
std::vector<Candidate> find_candidates(const Workshop& shop, const TuneOptions& options, int round,
                                       int first_part, int fewest, Evaluator& evaluator,
                                       Losses& losses) {
  const bool for_joints = options.purpose == TunePurpose::joints;
  const int part_count = static_cast<int>(shop.parts.size()) - first_part;
  // The original as it stands, each part at rest, parts moved.
  const int tasks = 1 + part_count + options.placings;
  std::vector<std::vector<Candidate>> found(index(tasks));
  std::vector<Losses> lost(index(tasks), Losses{});
  evaluator.run(tasks, [&](int task, int) {
    const auto lose = [&](Loss loss) { ++lost[index(task)][static_cast<std::size_t>(loss)]; };
    Candidate made;
    if (task <= part_count && round > 0 && first_part == 0) return;  // as before
    if (task == 0 && first_part > 0) return;
    if (task > 0) made.moves = UnitPoint(move_count, 0.5);
    made.part = first_part + std::max(task - 1, 0);
    if (task > part_count) {
      RandomStream random(
          options.seed, Purpose::perturb,
          static_cast<std::uint64_t>(round) * 1000000 + static_cast<std::uint64_t>(task));
      made.part =
          first_part + static_cast<int>(random.below(static_cast<std::uint64_t>(part_count)));
      if (random.uniform() < 0.3) made.part = first_part;
      const double size = random.uniform();
      for (double& u : made.moves) u = 0.5 + 0.5 * size * (2 * random.uniform() - 1);
    }
    Placed placed;
    if (!shop.place(made.part, made.moves, placed)) return lose(Loss::trimming);
    // Beyond mending by dropping contacts.
    if (task > 0 && measure_overlap_with(shop.original, placed) < 0.7 * options.keep_look)
      return lose(Loss::look);
    std::vector<KeptContacts> structures;
    if (for_joints)
      structures = find_structures(shop.job, placed, fewest,
                                   task == 0            ? 2000
                                   : task <= part_count ? 100
                                                        : 16);
    else
      structures = {KeptContacts(shop.job.scheme.pairs.size(), -1)};
    if (structures.empty()) lose(Loss::pieces);
    for (const KeptContacts& structure : structures) {
      Candidate candidate = made;
      candidate.structure = structure;
      Placed built;
      if (!apply_structure(shop.job, structure, placed, built)) {
        lose(Loss::body);
      } else if (for_joints && built.joints >= shop.original.joints) {
        lose(Loss::no_gain);
      } else {
        const Loss loss = shop.measure(built, candidate);
        lose(loss);
        if (loss == Loss::none) found[index(task)].push_back(std::move(candidate));
      }
    }
  });
  std::vector<Candidate> all;
  for (std::vector<Candidate>& task : found)
    std::move(task.begin(), task.end(), std::back_inserter(all));
  for (const Losses& task : lost)
    for (std::size_t i = 0; i < losses.size(); ++i) losses[i] += task[i];
  return all;
}

/// The best few of each structure, all that meet the demands before all that do not.
std::vector<Candidate> choose_shortlist(std::vector<Candidate> all, const Demands& demands,
                                        bool for_joints, std::size_t most) {
  const Aim aim = for_joints ? Aim::look : Aim::stiffness;
  const auto is_better = [&](const Candidate& a, const Candidate& b) {
    const double p = demands.miss(a), q = demands.miss(b);
    if (p != q) return p < q;
    return find_merit(a, aim) > find_merit(b, aim);
  };
  std::map<JointKey, std::vector<Candidate>> by_joints;
  for (Candidate& c : all) {
    const JointKey key{c.joints, c.elements};
    by_joints[key].push_back(std::move(c));
  }
  std::vector<Candidate> shortlist;
  for (auto& [key, group] : by_joints) {
    std::stable_sort(group.begin(), group.end(), is_better);
    // The best by look are near to each other; the stiffest is another choice.
    std::size_t kept = std::min<std::size_t>(group.size(), 4);
    if (for_joints && group.size() > kept) {
      const auto stiffest =
          std::max_element(group.begin() + static_cast<std::ptrdiff_t>(kept), group.end(),
                           [&](const Candidate& a, const Candidate& b) {
                             if ((demands.miss(a) == 0) != (demands.miss(b) == 0))
                               return demands.miss(a) > 0;
                             return find_merit(a, Aim::stiffness) < find_merit(b, Aim::stiffness);
                           });
      std::swap(group[kept++], *stiffest);
    }
    for (std::size_t i = 0; i < kept; ++i) shortlist.push_back(std::move(group[i]));
  }
  std::stable_sort(shortlist.begin(), shortlist.end(), [&](const Candidate& a, const Candidate& b) {
    const bool p = demands.miss(a) == 0, q = demands.miss(b) == 0;
    if (p != q) return p;
    if (p && for_joints && a.joints != b.joints) return a.joints < b.joints;
    return is_better(a, b);
  });
  if (shortlist.size() > most) shortlist.resize(most);
  return shortlist;
}

/// The first of each structure, at most `most`.
std::vector<Candidate> choose_starts(const std::vector<Candidate>& shortlist, int most) {
  std::vector<Candidate> starts;
  for (const Candidate& c : shortlist)
    if (static_cast<int>(starts.size()) < most &&
        std::none_of(starts.begin(), starts.end(), [&](const Candidate& s) {
          return s.joints == c.joints && s.elements == c.elements;
        }))
      starts.push_back(c);
  return starts;
}

/// Why there is no variant: the limit that the nearest change misses.
std::string explain_none(const TuneOptions& options, const std::vector<Candidate>& shortlist,
                         const Demands& demands, const std::string& refusal, const Losses& losses) {
  const bool for_joints = options.purpose == TunePurpose::joints;
  if (shortlist.empty()) {
    int all = 0;
    for (const int count : losses) all += count;
    const std::pair<Loss, const char*> reasons[] = {
        {Loss::no_gain, "have as many joints as before"},
        {Loss::pieces, "fall apart with fewer"},
        {Loss::body, "lose the middle of the panel or a hole"},
        {Loss::limits, "fall apart or miss a limit on joints, plane angles, width or size by far"},
        {Loss::rigidity, "are not rigid"},
        {Loss::look, "keep far less of the look than --keep-look asks for"},
        {Loss::trimming, "leave copies that pass through each other"}};
    std::string text = format("Of %d changes tried", all);
    const char* separator = " ";
    for (const auto& [loss, what] : reasons)
      if (const int count = losses[static_cast<std::size_t>(loss)]; count > 0) {
        text += separator + std::to_string(count) + " " + what;
        separator = ", ";
      }
    return text + ".";
  }
  if (!refusal.empty())
    return "Of the changes that help none passes the full check; the first: " + refusal + ".";
  const Candidate& nearest = shortlist.front();
  std::vector<std::string> reasons;
  if (nearest.overlap < demands.look)
    reasons.push_back(format("keeps %.0f %% of the outline (--keep-look asks for %.0f %%)",
                             std::floor(100 * nearest.overlap), 100 * demands.look));
  if (nearest.share < demands.stiffness)
    reasons.push_back(format("%s %.0f %% of the stiffness (%s %.0f %%)",
                             for_joints ? "keeps" : "has", std::floor(100 * nearest.share),
                             for_joints ? "--keep-stiffness asks for" : "wanted are at least",
                             100 * demands.stiffness));
  if (nearest.missed.joint_length > 0)
    reasons.push_back("has a joint shorter than --min-joint allows");
  if (nearest.missed.angle > 0) reasons.push_back("has a plane angle beyond --angles");
  if (nearest.missed.width > 0) reasons.push_back("is thinner than --min-width allows");
  if (nearest.missed.diameter > 0) reasons.push_back("is outside the --diameter wanted");
  std::string text =
      format("The nearest change, %s%d joints, ", for_joints ? "to " : "with ", nearest.joints);
  for (std::size_t i = 0; i < reasons.size(); ++i)
    text += (i == 0 ? "" : i + 1 == reasons.size() ? " and " : ", ") + reasons[i];
  return text + ".";
}

/// The proof, where the meeting lines in reach allow no fewer joints, and what else was tried.
std::string explain_least(const TuneJob& job, const TuneResult& result) {
  return format(
      "It has %d joints, and no set of meeting lines in reach holds all %d panels together%s with "
      "fewer "
      "than %d: as its plane stands, any other would need outlines that reach out for each other "
      "by more "
      "than %.0f mm together, or a plane angle beyond the limits. Planes slightly turned and moved "
      "were "
      "tried, too, and gave none that passes.",
      result.before.design.score.joints, result.before.design.score.panels,
      is_rigid_wanted(job) ? " rigidly" : "", result.least.least, result.reach_mm);
}

}  // namespace

std::string TuneOptions::find_fault() const {
  if (!(0 <= keep_look && keep_look <= 1))
    return format("the look to keep is %g; it must lie from 0 to 1", keep_look);
  if (!(0 <= keep_stiffness && keep_stiffness <= 10))
    return format("the share of stiffness to keep is %g; it must lie from 0 to 10", keep_stiffness);
  if (!(0 <= placings && placings <= 100000))
    return format("the number of placings is %d; it must lie from 0 to 100000", placings);
  if (!(1 <= count && count <= 100))
    return format("the number of variants is %d; it must lie from 1 to 100", count);
  if (!(0 <= refinements && refinements <= 100))
    return format("the number of refinements is %d; it must lie from 0 to 100", refinements);
  return {};
}

namespace {

/// What all parts of one tuning share.
struct Tuning {
  const Design& design;
  const TuneOptions& options;
  Evaluator& evaluator;
  TuneJob& job;
  const Placed& original;
  const Demands& demands;
  bool for_joints;
  bool is_broken;  ///< the original breaks limits of its own
};

/// What the rounds of placing and refining found.
struct Found {
  std::vector<Candidate> pool, seen;
  Losses losses{};
};

/// Places and refines, round by round; `parts` grows by what the best of a round make possible.
Found find_in_rounds(const Tuning& t, const Workshop& shop, std::vector<DrawnPart>& parts,
                     int fewest) {
  // Each round goes on from the best of the one before: a contact that is there now may be what
  // another can be given up for.
  constexpr int rounds = 3;
  Found found;
  int first_part = 0;
  for (int round = 0; round < rounds; ++round) {
    std::vector<Candidate> all =
        find_candidates(shop, t.options, round, first_part, fewest, t.evaluator, found.losses);
    std::vector<Candidate> starts =
        choose_starts(choose_shortlist(all, t.demands, t.for_joints, 64), t.options.refinements);
    std::vector<std::optional<Candidate>> improved(2 * starts.size());
    t.evaluator.run(static_cast<int>(improved.size()), [&](int task, int) {
      improved[index(task)] =
          refine_candidate(shop, t.demands, starts[index(task / 2)],
                           task % 2 == 0 ? Aim::stiffness : Aim::look, refine_evaluations);
    });
    for (std::optional<Candidate>& c : improved)
      if (c) all.push_back(std::move(*c));
    found.seen.insert(found.seen.end(), all.begin(), all.end());
    std::move(all.begin(), all.end(), std::back_inserter(found.pool));
    found.pool = choose_shortlist(std::move(found.pool), t.demands, t.for_joints, 200);
    if (round + 1 == rounds) break;
    if (found.pool.empty()) continue;  // other placings of the same parts
    first_part = static_cast<int>(parts.size());
    for (const Candidate& best : choose_starts(found.pool, 2)) {
      Placed placed;
      if (!shop.build(best, placed)) continue;
      const std::vector<DrawnPart> more = find_drawn_parts(t.job, placed);
      parts.insert(parts.end(), more.begin(), more.end());
    }
    if (static_cast<int>(parts.size()) == first_part) break;
  }
  return found;
}

/// One candidate by the whole truth; none, with the reason, when it does not pass. `eased`: the
/// original under the limits that it keeps, which no variant may be worse than.
std::optional<TunedVariant> confirm(const Tuning& t, const Workshop& shop,
                                    const Candidate& candidate, const Design& before,
                                    const Inspection& eased, std::string& refusal) {
  Placed placed;
  if (t.demands.miss(candidate) > 0 || !shop.build(candidate, placed)) return std::nullopt;
  const std::string in_the_way = mend_clearance(t.job, t.design, placed);
  Design changed = make_placed_design(t.job, t.design, placed);
  changed.limits = t.job.limits;
  Inspection inspection = inspect(changed);
  if (inspection.buildable()) {
    measure_building(inspection.design, eased.design.score.hard_steps, limits_day(changed.limits));
    inspection.faults = find_building_faults(inspection.design);
    if (inspection.design.score.hard_steps > eased.design.score.hard_steps)
      inspection.faults.push_back("more steps of its assembly have no way in than before");
  }
  if (!is_no_worse(inspection, eased)) {
    refusal = !in_the_way.empty()         ? in_the_way
              : inspection.faults.empty() ? std::string("a fault")
                                          : inspection.faults.front();
    return std::nullopt;
  }
  TunedVariant variant;
  variant.design = inspection.design;
  fill_width(variant.design);
  variant.design.limits = t.job.own_limits;
  variant.look = measure_look_overlap(before, variant.design);
  variant.stiffness_share =
      before.score.stiffness > 0 ? variant.design.score.stiffness / before.score.stiffness : 0;
  if (variant.stiffness_share < t.demands.stiffness) {
    refusal =
        format("with the clearance it needs it has %.0f %% of the stiffness (wanted are %.0f %%)",
               100 * variant.stiffness_share, 100 * t.demands.stiffness);
    return std::nullopt;
  }
  if (variant.look.kept() < t.options.keep_look) {
    refusal = format("it keeps %.0f %% of the look (--keep-look asks for %.0f %%)",
                     100 * variant.look.kept(), 100 * t.options.keep_look);
    return std::nullopt;
  }
  if (t.is_broken) {
    Design as_asked = variant.design;
    variant.faults = inspect(as_asked).faults;
  }
  add_steps(t.job, t.original, placed, variant);
  return variant;
}

/// A person would call them the same.
bool is_twin(const Design& a, const Design& b) {
  const Panel &p = a.orbits.front().panel, &q = b.orbits.front().panel;
  return a.score.joints == b.score.joints &&
         measure_overlap(p.outline_mm, make_laid(q.outline_mm, q.frame, p.frame)) > 0.985;
}

void sort_by_purpose(const TuneOptions& options, std::vector<TunedVariant>& passed) {
  const bool for_joints = options.purpose == TunePurpose::joints;
  std::stable_sort(passed.begin(), passed.end(), [&](const TunedVariant& a, const TunedVariant& b) {
    const Score &p = a.design.score, &q = b.design.score;
    if (for_joints && p.joints != q.joints) return p.joints < q.joints;
    for (const Criterion* also : options.also) {
      const double x = measure_also(*also, p, options.taste);
      const double y = measure_also(*also, q, options.taste);
      if (std::abs(x - y) > 0.01 * std::max(std::abs(x), std::abs(y))) return x < y;
    }
    if (!for_joints && p.stiffness != q.stiffness) return p.stiffness > q.stiffness;
    return a.look.kept() > b.look.kept();
  });
}

/// The best of the list that pass, in order, until enough have; `refusal`: why the first did not.
std::vector<TunedVariant> confirm_best(const Tuning& t, const Workshop& shop,
                                       const std::vector<Candidate>& shortlist,
                                       const Design& before, const Inspection& eased,
                                       std::string& refusal) {
  // The whole truth about the best, in order, a few at a time, until enough have passed.
  constexpr int batch = 6;
  std::map<int, int> of_joints;
  std::vector<TunedVariant> passed;
  for (std::size_t first = 0; first < shortlist.size() && first < 8 * batch; first += batch) {
    const std::size_t end = std::min(first + batch, shortlist.size());
    std::vector<std::optional<TunedVariant>> made(end - first);
    std::vector<std::string> refusals(end - first);
    t.evaluator.run(static_cast<int>(made.size()), [&](int task, int) {
      made[index(task)] =
          confirm(t, shop, shortlist[first + index(task)], before, eased, refusals[index(task)]);
    });
    for (std::size_t i = 0; i < made.size(); ++i) {
      if (refusal.empty()) refusal = refusals[i];
      if (!made[i] || static_cast<int>(passed.size()) >= t.options.count) continue;
      const int joints = made[i]->design.score.joints;
      if (of_joints[joints] >= std::max(1, t.options.count / 2)) continue;
      if (std::any_of(passed.begin(), passed.end(),
                      [&](const TunedVariant& v) { return is_twin(v.design, made[i]->design); }))
        continue;
      ++of_joints[joints];
      passed.push_back(std::move(*made[i]));
    }
    if (static_cast<int>(passed.size()) >= t.options.count) break;
  }
  sort_by_purpose(t.options, passed);
  return passed;
}

}  // namespace

TuneResult tune(const Design& design, const TuneOptions& options, Evaluator& evaluator) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (std::any_of(options.also.begin(), options.also.end(),
                  [](const Criterion* also) { return also->name == "cost"; }) &&
      !(design.limits.sheet_price > 0))
    throw std::invalid_argument(
        "the cost is to decide, but no price of a sheet is known; give --price, or a material that "
        "has one");
  TuneResult result;
  result.asked = options;
  Placed original;
  TuneJob job = make_tune_job(design, original);
  result.before = inspect(design);
  fill_width(result.before.design);
  const Score old = result.before.design.score;
  if (old.collisions > 0)
    throw std::invalid_argument(
        format("the design's panels collide (%d pairs); tune starts from one that can be built",
               old.collisions));
  ease_limits(old, job.limits, result.notes);
  job.room = std::min(1.0, measure_room(job, original));
  Inspection eased = result.before;
  if (!result.before.buildable()) {
    Design as_allowed = design;
    as_allowed.limits = job.limits;
    eased = inspect(as_allowed);
    for (const std::string& fault : eased.faults)
      result.notes.push_back("The original has a fault that is not made worse: " + fault + ".");
  }
  measure_building(eased.design, std::numeric_limits<int>::max(), false);
  const bool for_joints = options.purpose == TunePurpose::joints;

  add_possible_steps(job, original, result.notes);
  find_least(job, original, result);
  const TradeOffPoint start{old.joints, 1, 1, true, false};
  result.curve = {start};
  if (for_joints && old.joints <= result.least_anywhere) {
    result.why_none = format(
        "It has %d joints, and no set of meeting lines of its symmetry, in whatever plane of its "
        "kind, holds all %d panels together%s with fewer than %d.",
        old.joints, old.panels, is_rigid_wanted(job) ? " rigidly" : "", result.least_anywhere);
    return result;
  }

  std::vector<DrawnPart> parts = find_drawn_parts(job, original);
  for (const DrawnPart& part : parts)
    if (!part.change.empty()) result.notes.push_back("Possible: " + part.change);
  Workshop shop{job, original, parts, {}, old.stiffness};
  if (!for_joints) shop.reach.most_growth = 0.15;
  Demands demands;
  demands.look = options.keep_look;
  if (old.stiffness > 0)
    demands.stiffness =
        for_joints ? options.keep_stiffness : std::max(1.02, options.keep_stiffness);

  const Tuning tuning{design,   options, evaluator,  job,
                      original, demands, for_joints, !result.before.buildable()};
  Found found = find_in_rounds(tuning, shop, parts, result.least_anywhere);
  std::vector<TradeOffPoint> front;
  for (const Candidate& c : found.seen)
    if (c.missed.total() == 0)
      front.push_back({c.joints, c.share, c.overlap, demands.miss(c) == 0, false});
  keep_front(front);
  result.curve.insert(result.curve.end(), front.begin(), front.end());
  const std::vector<Candidate> shortlist =
      choose_shortlist(std::move(found.pool), demands, for_joints, 64);

  std::string refusal;
  result.variants = confirm_best(tuning, shop, shortlist, result.before.design, eased, refusal);
  for (const TunedVariant& variant : result.variants)
    result.curve.push_back(
        {variant.design.score.joints, variant.stiffness_share, variant.look.kept(), true, true});
  if (result.variants.empty())
    result.why_none = for_joints && result.proved_least
                          ? explain_least(job, result)
                          : explain_none(options, shortlist, demands, refusal, found.losses);
  return result;
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
