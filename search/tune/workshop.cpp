#include "search/tune/workshop.h"

#include <algorithm>
#include <cmath>
#include <memory>

#include "engine/building/day.h"
#include "engine/tolerance.h"
#include "search/tune/look_overlap.h"

namespace sixtyfold {
namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

double miss_of(double has, double wanted) {
  return has < wanted ? 1 - std::max(has, 0.0) / wanted : 0;
}

/// The outline with the lines that its edges lie on.
void fill_draft(const TuneJob& job, const Placed& placed, Draft& draft) {
  const Variant& variant = placed.variant;
  draft.normal = variant.frame.normal;
  draft.distance = variant.frame.origin.dot(variant.frame.normal);
  draft.outline = placed.outline;
  draft.hub = placed.hub;
  draft.lines.assign(placed.outline.size(), LabelledOutline::drawn);
  for (std::size_t i = 0; i < placed.outline.size(); ++i) {
    const Vec2 &a = placed.outline[i], &b = placed.outline[(i + 1) % placed.outline.size()];
    for (std::size_t e = 0; e < variant.lines.size(); ++e)
      if (const MeetingLine& line = variant.lines[e];
          line.exists && std::abs(line.height_of(a)) < contact_band_mm &&
          std::abs(line.height_of(b)) < contact_band_mm)
        draft.lines[i] = static_cast<std::int16_t>(job.scheme.line_of[e]);
  }
}

Limits make_easy_limits(Limits limits) {
  limits.min_joint_mm = limits.min_width_mm = limits.min_angle_deg = limits.min_diameter_mm = 0;
  limits.max_angle_deg = 180;
  limits.max_diameter_mm = 1e6;
  limits.min_openness = limits.min_stiffness = 0;
  limits.max_openness = 1;
  limits.min_panels = 1;
  limits.max_panels = limits.max_joints = std::numeric_limits<int>::max();
  limits.allow_flexible = true;
  return limits;
}

}  // namespace

Score measure_placed_score(const TuneJob& job, const Placed& placed, const Taste& taste) {
  Draft draft;
  fill_draft(job, placed, draft);
  Limits limits = make_easy_limits(job.limits);
  MakeOptions options;
  options.most_scale = 1;
  options.taste = &taste;
  const auto work = std::make_unique<VariantWorkspace>();
  Variant variant;
  make_variant(job.scheme, draft, limits, *work, variant, options);
  if (variant.status == Status::clearance) {  // the later numbers, too: told of thin board
    const double clearance = variant.score.min_clearance_mm;
    limits.thickness_mm = 0.05;
    make_variant(job.scheme, draft, limits, *work, variant, options);
    variant.score.min_clearance_mm = clearance;
  }
  variant.score.hours = find_least_hours(variant.score.panels, variant.score.joints, job.limits);
  return variant.score;
}

double measure_overlap_with(const Placed& a, const Placed& b) {
  return measure_overlap(a.outline, make_laid(b.outline, b.variant.frame, a.variant.frame));
}

double Demands::miss(const Change& c) const {
  return c.missed.total() + miss_of(c.overlap, look) + miss_of(c.share, stiffness);
}

bool Workshop::place(int part, const UnitPoint& moves, Placed& placed) const {
  if (!moves.empty()) return make_moved(job, parts[index(part)], reach, moves, placed);
  placed = original;
  return true;
}

bool Workshop::build(const Change& change, Placed& built) const {
  Placed placed;
  return place(change.part, change.moves, placed) &&
         apply_structure(job, change.structure, placed, built) &&
         widen_openings(job, original, built);
}

Loss Workshop::measure(const Placed& placed, Change& change) const {
  const std::optional<Shortfalls> missed = measure_shortfalls(job, placed);
  if (!missed) return Loss::limits;
  change.missed = *missed;
  change.joints = placed.joints;
  change.elements.clear();
  for (const PairJoint& joint : placed.variant.joints)
    if (joint.contact.length() >= least_joint_mm) change.elements.push_back(joint.element);
  const double stiffness = measure_placed_stiffness(job, placed);
  if (is_rigid_wanted(job) && !(stiffness > 0)) return Loss::rigidity;
  if (!(stiffness >= job.limits.min_stiffness)) return Loss::rigidity;
  change.share = old_stiffness > 0 ? stiffness / old_stiffness : 1;
  change.overlap = measure_overlap_with(original, placed);
  Score score;
  if (goal.asks_for_score()) score = measure_placed_score(job, placed, goal.taste);
  score.joints = placed.joints;
  score.stiffness = stiffness;
  change.gain = goal.measure_gain(old_score, score);
  change.also = goal.measure_also(score);
  return Loss::none;
}

double Workshop::find_merit(const Change& c, Aim aim) const {
  // Of fewest joints there are steps alone: what helps is to be stiff.
  const double serves = goal.is_only_for("joints") || goal.is_only_for("stiffness")
                            ? std::min(c.share, 4.0)
                            : 4 * std::min(c.gain, 1.0);
  return aim == Aim::goal ? serves + 0.2 * c.overlap : c.overlap + 0.05 * std::min(serves, 2.0);
}

}  // namespace sixtyfold
