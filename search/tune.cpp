#include "search/tune.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <stdexcept>
#include <string>

#include "engine/shape/width.h"
#include "engine/structure/stiffness.h"
#include "engine/symmetry/subgroup.h"
#include "engine/text.h"
#include "engine/tolerance.h"
#include "search/random.h"
#include "search/refine.h"
#include "search/tune_moves.h"

namespace sixtyfold {
namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// The thinnest place, where the inspection does not tell it.
void fill_width(Design& design) {
  const Panel& panel = design.orbits.front().panel;
  if (design.score.min_width_mm == 0)
    design.score.min_width_mm = measure_min_width(panel.outline_mm, panel.holes_mm);
}

Design make_candidate(const TuneJob& job, const Design& original, const Placed& placed) {
  Design design = make_design(job.scheme, placed.variant, job.own_limits);
  design.name = original.name;
  design.thickness_mm = original.thickness_mm;
  design.orbits.front().panel.holes_mm = placed.holes;
  design.orbits.front().panel.outline_mm = placed.outline;
  design.recipe = Recipe{};
  design.recipe.symmetry = original.symmetry;
  return design;
}

double measure_stiffness_of(const TuneJob& job, const Design& original, const Placed& placed) {
  return measure_stiffness(make_structure(make_candidate(job, original, placed))).value;
}

/// Overlap of two placed outlines, one laid into the other's plane as it stands.
double measure_overlap_with(const Placed& a, const Placed& b) {
  return measure_overlap(a.outline, make_laid(b.outline, b.variant.frame, a.variant.frame));
}

/// A candidate before the dear measures.
struct Rough {
  Placed placed;
  KeptContacts structure;
  UnitPoint moves;
  double overlap = 0;  ///< of the outlines as they lie
  double stiffness = 0;
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
  const KeptLook& look = variant.look;
  if (look.plane_turn_deg > 0.05 || std::abs(look.distance_change) > 5e-4)
    variant.steps.push_back(
        format("The panel's plane is turned by %.1f degrees and moved by %.1f %% of the radius.",
               look.plane_turn_deg, 100 * look.distance_change));
  variant.steps.push_back(format("The outline has %.0f %% of its old area.",
                                 100 * measure_area(after.outline) / measure_area(before.outline)));
}

/// Eases every limit that the original breaks to what it has, and says so.
void ease_limits(const Inspection& before, const Placed& original, Limits& limits,
                 std::vector<std::string>& notes) {
  const Score& score = before.design.score;
  const auto ease = [&](bool broken, double& limit, double has, const char* what) {
    if (!broken) return;
    notes.push_back(
        format("The original breaks a limit: %s is %.4g, the limit is %.4g. It is not made worse.",
               what, has, limit));
    limit = has;
  };
  const double width =
      measure_min_width(original.outline, original.holes, std::max(limits.min_width_mm * 1.01, 1.0));
  ease(!(width >= limits.min_width_mm), limits.min_width_mm, 0.97 * width,
       "the thinnest place");
  ease(!(score.shortest_joint_mm >= limits.min_joint_mm - 1e-6), limits.min_joint_mm,
       score.shortest_joint_mm, "the shortest joint");
  ease(!(score.min_angle_deg >= limits.min_angle_deg), limits.min_angle_deg, score.min_angle_deg,
       "the sharpest plane angle");
  ease(!(score.max_angle_deg <= limits.max_angle_deg), limits.max_angle_deg, score.max_angle_deg,
       "the flattest plane angle");
  ease(!(score.diameter_mm <= limits.max_diameter_mm), limits.max_diameter_mm, score.diameter_mm,
       "the diameter");
  ease(!(score.diameter_mm >= limits.min_diameter_mm), limits.min_diameter_mm, score.diameter_mm,
       "the diameter");
  ease(!(score.stiffness >= limits.min_stiffness), limits.min_stiffness, score.stiffness,
       "the stiffness number");
  if (score.joints > limits.max_joints && !limits.allow_flexible)
    notes.push_back(format("The original has %d joints, more than the %d allowed.", score.joints,
                           limits.max_joints));
  if (score.internal_dof > 0 && !limits.allow_flexible) {
    notes.push_back(format(
        "The original is not rigid: %d internal degrees of freedom. It is not made more flexible.",
        score.internal_dof));
    limits.allow_flexible = true;
  }
}

double measure_also(const AlsoWanted also, const Score& score) {
  switch (also) {
    case AlsoWanted::sheets:
      return score.sheets > 0 ? score.sheets : 1e9;
    case AlsoWanted::diameter:
      return -score.diameter_mm;
    case AlsoWanted::stiffness:
      return -score.stiffness;
    case AlsoWanted::angles:
      return std::abs(score.min_angle_deg - 90) + std::abs(score.max_angle_deg - 90);
  }
  return 0;
}

}  // namespace

std::string TuneOptions::find_fault() const {
  if (!(0 <= keep_look && keep_look <= 1))
    return format("the look to keep is %g; it must lie from 0 to 1", keep_look);
  if (!(0 <= min_stiffness && min_stiffness <= 10))
    return format("the share of stiffness to keep is %g; it must lie from 0 to 10", min_stiffness);
  if (!(0 <= placings && placings <= 100000))
    return format("the number of placings is %d; it must lie from 0 to 100000", placings);
  if (!(1 <= count && count <= 100))
    return format("the number of variants is %d; it must lie from 1 to 100", count);
  if (!(0 <= refinements && refinements <= 100))
    return format("the number of refinements is %d; it must lie from 0 to 100", refinements);
  return {};
}

TuneResult tune(const Design& design, const TuneOptions& options, Evaluator& evaluator) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  TuneResult result;
  Placed original;
  TuneJob job = make_tune_job(design, original);
  result.before = inspect(design);
  fill_width(result.before.design);
  const Score& old = result.before.design.score;
  if (old.collisions > 0)
    throw std::invalid_argument(
        format("the design's panels collide (%d pairs); tune starts from one that can be built",
               old.collisions));
  ease_limits(result.before, original, job.limits, result.notes);
  const bool for_joints = options.purpose == TunePurpose::joints;

  // What is possible at all.
  std::vector<int> in_reach;
  for (std::size_t i = 0; i < job.scheme.pairs.size(); ++i) {
    const MeetingLine& line = original.variant.lines[index(job.scheme.pairs[i].element)];
    if (line.exists && std::abs(line.height_of(original.hub)) < 1.1 * job.radius_mm)
      in_reach.push_back(static_cast<int>(i));
  }
  result.least = find_least_joints(job.scheme, in_reach, is_rigid_wanted(job));
  result.proved_least = result.least.least > 0 && old.joints <= result.least.least;
  for (const PairClass& pair : job.scheme.pairs) {
    const std::vector<PairJoint> joints = find_class_joints(original, pair);
    if (joints.empty()) continue;
    std::vector<int> rest = job.scheme.outline_stabiliser;
    for (const PairJoint& joint : original.variant.joints)
      if (joint.element != pair.element && joint.contact.length() >= least_joint_mm)
        rest.push_back(joint.element);
    const int pieces = job.scheme.group->order() /
                       static_cast<int>(make_generated_subgroup(*job.scheme.group, rest).size());
    result.notes.push_back(describe_class(job, pair, joints) +
                           (pieces == 1
                                ? ": could be dropped without it falling apart."
                                : format(": without them it falls into %d pieces.", pieces)));
  }
  TradeOffPoint start{old.joints, 1, 1, false};
  result.curve.push_back(start);
  if (for_joints && result.proved_least) {
    result.why_none = format(
        "It has %d joints, and no set of meeting lines in reach holds all %d panels together%s "
        "with fewer than %d.",
        old.joints, old.panels, is_rigid_wanted(job) ? " rigidly" : "", result.least.least);
    return result;
  }

  // Placings: the given one, then slightly moved ones; each with all structures.
  MoveReach reach;
  if (!for_joints) reach.most_growth = 0.25;
  const int tasks = options.placings + 1;
  std::vector<std::vector<Rough>> found(index(tasks));
  std::vector<std::array<int, 3>> turned_down(index(tasks),
                                              std::array<int, 3>{});  // built, limits, look
  evaluator.run(tasks, [&](int task, int) {
    UnitPoint moves(move_count, 0.5);
    Placed placed;
    if (task == 0) {
      placed = original;
    } else {
      RandomStream random(options.seed, Purpose::perturb, static_cast<std::uint64_t>(task));
      for (double& u : moves)
        u = 0.5 + 0.5 * (2 * random.uniform() - 1) * std::sqrt(random.uniform());
      if (!make_moved(job, original, reach, moves, placed)) return;
      if (measure_overlap_with(original, placed) < options.keep_look) return;
    }
    std::vector<KeptContacts> structures{KeptContacts(job.scheme.pairs.size(), -1)};
    if (for_joints) {
      // A placing with twice the joints is no way to fewer.
      structures = find_structures(job, placed, result.least.least, task == 0 ? 4000 : 40);
    }
    for (const KeptContacts& structure : structures) {
      Rough rough;
      if (!apply_structure(job, structure, placed, rough.placed)) continue;
      ++turned_down[index(task)][0];
      if (for_joints && rough.placed.joints >= old.joints) continue;
      if (!is_within_limits(job, rough.placed)) {
        ++turned_down[index(task)][1];
        continue;
      }
      rough.overlap = measure_overlap_with(original, rough.placed);
      if (rough.overlap < options.keep_look) {
        ++turned_down[index(task)][2];
        continue;
      }
      rough.structure = structure;
      rough.moves = moves;
      found[index(task)].push_back(std::move(rough));
    }
  });
  int built = 0, beyond_limits = 0, beyond_look = 0;
  for (const auto& counts : turned_down) {
    built += counts[0];
    beyond_limits += counts[1];
    beyond_look += counts[2];
  }

  // Of those with the same joints the ones that keep most of the outline, or glue most, go on.
  std::map<std::pair<int, std::vector<int>>, std::vector<Rough>> by_joints;
  for (std::vector<Rough>& task : found)
    for (Rough& rough : task) {
      std::vector<int> elements;
      for (const PairJoint& joint : rough.placed.variant.joints)
        if (joint.contact.length() >= least_joint_mm) elements.push_back(joint.element);
      by_joints[{rough.placed.joints, elements}].push_back(std::move(rough));
    }
  std::vector<Rough> shortlist;
  for (auto& [key, group] : by_joints) {
    std::stable_sort(group.begin(), group.end(), [&](const Rough& a, const Rough& b) {
      return for_joints ? a.overlap > b.overlap : a.placed.total_mm > b.placed.total_mm;
    });
    for (std::size_t i = 0; i < group.size() && i < 4; ++i)
      shortlist.push_back(std::move(group[i]));
  }
  std::stable_sort(shortlist.begin(), shortlist.end(), [&](const Rough& a, const Rough& b) {
    return for_joints ? a.placed.joints < b.placed.joints : a.placed.total_mm > b.placed.total_mm;
  });
  if (shortlist.size() > 48) shortlist.resize(48);
  evaluator.run(static_cast<int>(shortlist.size()), [&](int task, int) {
    Rough& rough = shortlist[index(task)];
    rough.stiffness = measure_stiffness_of(job, design, rough.placed);
  });
  const double least_stiffness = std::max(
      job.limits.min_stiffness,
      old.stiffness * (for_joints ? options.min_stiffness : std::max(1.02, options.min_stiffness)));
  const auto serves = [&](const Rough& a) {
    return a.stiffness >= least_stiffness && (is_rigid_wanted(job) ? a.stiffness > 0 : true);
  };
  const auto is_better = [&](const Rough& a, const Rough& b) {
    if (serves(a) != serves(b)) return serves(a);
    if (for_joints && a.placed.joints != b.placed.joints) return a.placed.joints < b.placed.joints;
    return a.stiffness > b.stiffness;
  };
  std::stable_sort(shortlist.begin(), shortlist.end(), is_better);

  // Refinement: the same structure, the plane and the outline moved a little, for stiffness.
  const int refined = std::min<int>(options.refinements, static_cast<int>(shortlist.size()));
  std::vector<std::optional<Rough>> improved(index(refined));
  evaluator.run(refined, [&](int task, int) {
    const Rough& from = shortlist[index(task)];
    std::optional<Rough> best;
    const auto loss = [&](const UnitPoint& moves) {
      Placed placed;
      Rough rough;
      if (!make_moved(job, original, reach, moves, placed) ||
          !apply_structure(job, from.structure, placed, rough.placed) ||
          rough.placed.joints > from.placed.joints || !is_within_limits(job, rough.placed))
        return std::numeric_limits<double>::infinity();
      rough.overlap = measure_overlap_with(original, rough.placed);
      if (rough.overlap < options.keep_look) return std::numeric_limits<double>::infinity();
      rough.stiffness = measure_stiffness_of(job, design, rough.placed);
      rough.structure = from.structure;
      rough.moves = moves;
      const double value = -rough.stiffness;
      if (!best || is_better(rough, *best)) best = std::move(rough);
      return value;
    };
    RefineOptions how;
    how.evaluations = 40;
    how.first_step = 0.15;
    refine(loss, from.moves, how);
    if (best && is_better(*best, from)) improved[index(task)] = std::move(best);
  });
  for (std::optional<Rough>& rough : improved)
    if (rough) shortlist.push_back(std::move(*rough));
  std::stable_sort(shortlist.begin(), shortlist.end(), is_better);

  // The whole truth about the best, in order, until enough have passed.
  int too_weak = 0, too_different = 0, refused = 0;
  std::string refusal;
  std::map<int, int> of_joints;
  for (const Rough& rough : shortlist) {
    result.curve.push_back({rough.placed.joints,
                            old.stiffness > 0 ? rough.stiffness / old.stiffness : 0, rough.overlap,
                            false});
    if (!serves(rough)) {
      ++too_weak;
      continue;
    }
    if (static_cast<int>(result.variants.size()) >= options.count) continue;
    if (of_joints[rough.placed.joints] >= std::max(1, options.count / 2)) continue;
    TunedVariant variant;
    Design candidate = make_candidate(job, design, rough.placed);
    candidate.limits = job.limits;
    const Inspection inspection = inspect(candidate);
    if (inspection.faults.size() > 0 &&
        inspection.faults.size() >=
            result.before.faults.size() + (result.before.faults.empty() ? 0 : 1)) {
      ++refused;
      if (refusal.empty()) refusal = inspection.faults.front();
      continue;
    }
    variant.design = inspection.design;
    fill_width(variant.design);
    variant.design.limits = job.own_limits;
    variant.look = measure_kept_look(result.before.design, variant.design);
    variant.stiffness_share =
        old.stiffness > 0 ? variant.design.score.stiffness / old.stiffness : 0;
    if (variant.look.kept() < options.keep_look) {
      ++too_different;
      continue;
    }
    // A near twin of one that is already there says nothing new.
    const auto is_twin = [&](const TunedVariant& other) {
      const Panel& panel = other.design.orbits.front().panel;
      return other.design.score.joints == variant.design.score.joints &&
             measure_overlap(rough.placed.outline, make_laid(panel.outline_mm, panel.frame,
                                                             rough.placed.variant.frame)) > 0.985;
    };
    if (std::any_of(result.variants.begin(), result.variants.end(), is_twin)) continue;
    ++of_joints[rough.placed.joints];
    add_steps(job, original, rough.placed, variant);
    result.curve.back() = {variant.design.score.joints, variant.stiffness_share,
                           variant.look.kept(), true};
    result.variants.push_back(std::move(variant));
  }
  std::stable_sort(result.variants.begin(), result.variants.end(),
                   [&](const TunedVariant& a, const TunedVariant& b) {
                     const Score &p = a.design.score, &q = b.design.score;
                     if (for_joints && p.joints != q.joints) return p.joints < q.joints;
                     for (const AlsoWanted also : options.also) {
                       const double x = measure_also(also, p), y = measure_also(also, q);
                       if (std::abs(x - y) > 0.01 * std::max(std::abs(x), std::abs(y)))
                         return x < y;
                     }
                     if (!for_joints && p.stiffness != q.stiffness)
                       return p.stiffness > q.stiffness;
                     return a.look.kept() > b.look.kept();
                   });
  if (result.variants.empty()) {
    if (built == 0 || (shortlist.empty() && beyond_limits + beyond_look == 0))
      result.why_none = for_joints ? "No contact can be given up without the construction falling "
                                     "apart or losing the panel's middle."
                                   : "No slightly changed placing could be built.";
    else if (shortlist.empty() && beyond_look >= beyond_limits)
      result.why_none = format(
          "All %d changes that help keep less than %.0f %% of the outline; --keep-look prevents "
          "it.",
          beyond_look, 100 * options.keep_look);
    else if (shortlist.empty())
      result.why_none =
          format("All %d changes that help break a limit on joint length, plane angle or width.",
                 beyond_limits);
    else if (too_weak >= refused && too_weak >= too_different)
      result.why_none = format(
          "The changes that help leave it %s than %.0f %% of its stiffness; --min-stiffness "
          "prevents it.",
          for_joints ? "less" : "no stiffer", 100 * options.min_stiffness);
    else if (refused >= too_different)
      result.why_none = "The changes that help can not be built: " + refusal + ".";
    else
      result.why_none = format(
          "The changes that help keep less than %.0f %% of the look; --keep-look prevents it.",
          100 * options.keep_look);
  }
  return result;
}

}  // namespace sixtyfold
