#include "search/tune/parts.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

#include "engine/shape/segment.h"
#include "engine/text.h"
#include "engine/tolerance.h"
#include "search/space/parameter_space.h"

namespace sixtyfold {
namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// Where the side of a flange ends that starts at corner `from`: on along the edge that comes to it
/// from `before`, so that a line that cuts the flange leaves no step; square to the flange where
/// that edge leads elsewhere. `in`: along the glued edge, away from the corner.
Vec2 find_flange_corner(const Vec2& before, const Vec2& from, const Vec2& out, const Vec2& in,
                        double flange) {
  const Vec2 way = (from - before).normalized();
  const double rise = way.dot(out);
  if (rise > 0.35) return from + flange / rise * way;
  // A little narrower than the edge, so that neighbours at a convex corner stay apart.
  return from + flange * out + 0.05 * flange * in;
}

/// Which edges lie on a meeting line.
std::vector<char> find_glued_edges(const Placed& placed) {
  const Polygon& outline = placed.outline;
  std::vector<char> glued(outline.size(), 0);
  for (std::size_t i = 0; i < outline.size(); ++i)
    for (const MeetingLine& line : placed.variant.lines)
      if (line.exists && std::abs(line.height_of(outline[i])) < contact_band_mm &&
          std::abs(line.height_of(outline[(i + 1) % outline.size()])) < contact_band_mm)
        glued[i] = 1;
  return glued;
}

/// With material past the glued edges: of a flange that crosses another less and less is left.
Polygon make_flanged(const TuneJob& job, const Placed& placed) {
  const Polygon& outline = placed.outline;
  const std::size_t count = outline.size();
  const std::vector<char> glued = find_glued_edges(placed);
  for (double flange = 0.08 * job.radius_mm; flange > 0.004 * job.radius_mm; flange /= 2) {
    Polygon drawn;
    for (std::size_t i = 0; i < count; ++i) {
      const Vec2 &a = outline[i], &b = outline[(i + 1) % count];
      drawn.push_back(a);
      if (!glued[i] || (b - a).norm() < 0.02 * job.radius_mm) continue;
      const Vec2 along = (b - a).normalized(), out(along.y(), -along.x());
      const std::size_t last = (i + count - 1) % count, next = (i + 1) % count;
      // Beside another glued edge both flanges stand square.
      const Vec2& before = glued[last] ? b : outline[last];
      const Vec2& behind = glued[next] ? a : outline[(i + 2) % count];
      drawn.push_back(find_flange_corner(before, a, out, along, flange));
      drawn.push_back(find_flange_corner(behind, b, out, -along, flange));
    }
    if (is_simple(drawn)) return drawn;
  }
  return outline;
}

/// Points of the outline far from each other, the farthest from the hub first (Gonzalez 1985).
std::vector<Vec2> find_handles(const TuneJob& job, const Placed& placed) {
  std::vector<Vec2> handles;
  const std::vector<Eigen::Matrix2d> turns = find_own_turns(job.scheme, placed.variant.frame);
  const int wanted = turns.size() > 1 ? 2 : handle_count;
  std::vector<Vec2> taken{placed.hub};
  while (static_cast<int>(handles.size()) < wanted) {
    const Vec2* best = nullptr;
    double farthest = 0;
    for (const Vec2& p : placed.outline) {
      double nearest = std::numeric_limits<double>::infinity();
      for (const Vec2& q : taken) nearest = std::min(nearest, (p - q).norm());
      if (nearest > farthest) {
        farthest = nearest;
        best = &p;
      }
    }
    if (!best) break;
    if (handles.empty()) taken.clear();
    handles.push_back(*best);
    for (const Eigen::Matrix2d& turn : turns) taken.push_back(turn * *best);
  }
  return handles;
}

double distance_outside(const Polygon& outline, const Vec2& p) {
  return contains(outline, p) ? 0 : distance_to_boundary(outline, p);
}

Vec2 nearest_on_boundary(const Polygon& outline, const Vec2& p) {
  Vec2 best = outline[0];
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2 &a = outline[i], &b = outline[(i + 1) % outline.size()];
    const Vec2 q = a + find_nearest_share(a, b, p) * (b - a);
    if ((q - p).norm() < (best - p).norm()) best = q;
  }
  return best;
}

/// The outline with a lobe that carries the boundary past `target`: rounded where the outline is
/// curved, straight-sided where its edges are long.
Polygon make_lobe(const TuneJob& job, const Polygon& outline, const Vec2& target) {
  const Vec2 foot = nearest_on_boundary(outline, target);
  const double gap = (target - foot).norm();
  if (!(gap > 1e-6 * job.radius_mm)) return outline;
  const Vec2 way = (target - foot) / gap;
  const double reach = 1.5 * gap + 0.03 * job.radius_mm;
  const double width = std::max({0.8 * job.limits.min_joint_mm, 0.12 * job.radius_mm, 0.7 * gap});
  Polygon dense;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2 &a = outline[i], &b = outline[(i + 1) % outline.size()];
    dense.push_back(a);
    const double length = (b - a).norm();
    if (length < width) continue;
    // Corners of the lobe, where they fall on this edge.
    const Vec2 along = (b - a) / length;
    const double middle = (foot - a).dot(along);
    if (std::abs((foot - a - middle * along).norm()) > 1e-6 * job.radius_mm) continue;
    for (const double from_foot : {-1.3 * width, -0.8 * width, 0.8 * width, 1.3 * width})
      if (const double s = middle + from_foot; 0.02 * length < s && s < 0.98 * length)
        dense.push_back(a + s * along);
  }
  // Flat on top, so that the edge the line cuts is long, and smooth at the sides.
  for (Vec2& p : dense) {
    const double off = (p - foot).norm() / width;
    p += reach * std::exp(-std::pow(off, 4) / 2) * way;
  }
  return dense;
}

struct Reach {
  double gap = 0;   ///< of both copies together
  Vec2 own, other;  ///< points of the panel's plane that must come to lie on it
};

/// Where the copies of the class come nearest to touching, looked at along the meeting line.
Reach find_reach(const TuneJob& job, const Placed& placed, const PairClass& pair) {
  const MeetingLine &line = placed.variant.lines[index(pair.element)],
                    &other = placed.variant.lines[index(pair.inverse)];
  const double sign = pair.proper ? -1 : 1;
  Reach best;
  best.gap = std::numeric_limits<double>::infinity();
  const double middle = line.position_of(placed.hub);
  for (int i = -60; i <= 60; ++i) {
    const double s = middle + 0.025 * i * job.radius_mm;
    Reach reach{0, line.point_at(s), other.point_at(sign * s)};
    reach.gap =
        distance_outside(placed.outline, reach.own) + distance_outside(placed.outline, reach.other);
    if (reach.gap < best.gap) best = reach;
  }
  return best;
}

std::string name_class(const TuneJob& job, const PairClass& pair) {
  return format("%d joints (order %d)", pair.pairs,
                find_element_order(*job.scheme.group, pair.element));
}

}  // namespace

double measure_gap(const TuneJob& job, const Placed& placed, const PairClass& pair) {
  if (!placed.variant.lines[index(pair.element)].exists)
    return std::numeric_limits<double>::infinity();
  const std::vector<PairJoint> joints = find_class_joints(placed, pair);
  if (!joints.empty() && joints.front().contact.length() >= least_joint_mm) return 0;
  return find_reach(job, placed, pair).gap;
}

std::optional<DrawnOutline> find_drawn_outline(const Design& design, const Placed& original) {
  const Recipe& recipe = design.recipe;
  if (recipe.plane.empty() || recipe.family.empty()) return std::nullopt;
  try {
    const Branch branch = make_branch(recipe.symmetry, recipe.plane, recipe.family);
    if (static_cast<int>(recipe.parameters.size()) != branch.dimension() ||
        !find_fault(branch, recipe.parameters).empty())
      return std::nullopt;
    Draft draft;
    make_draft(branch, recipe.parameters, draft);
    const Frame& frame = original.variant.frame;
    const double distance = frame.origin.dot(frame.normal);
    if (draft.outline.size() < 3 || (draft.normal - frame.normal).norm() > 1e-6)
      return std::nullopt;
    // The size is told by the distance of the plane; through the centre by trimming alone.
    if (!(draft.distance > 0 && distance > 0)) return std::nullopt;
    DrawnOutline drawn{draft.outline, draft.style};
    for (Vec2& p : drawn.outline) p *= distance / draft.distance;
    for (const Vec2& p : original.outline)
      if (!contains(drawn.outline, p) && distance_to_boundary(drawn.outline, p) > 0.5)
        return std::nullopt;  // changed since
    return drawn;
  } catch (const std::invalid_argument&) {
    return std::nullopt;  // a recipe of another program
  }
}

std::vector<DrawnPart> find_drawn_parts(const TuneJob& job, const Placed& placed,
                                        const std::optional<DrawnOutline>& drawn) {
  DrawnPart as_it_is;
  as_it_is.frame = placed.variant.frame;
  as_it_is.outline = drawn ? drawn->outline : make_flanged(job, placed);
  if (drawn) as_it_is.style = drawn->style;
  as_it_is.holes = placed.holes;
  as_it_is.hub = placed.hub;
  as_it_is.handles = find_handles(job, placed);
  std::vector<DrawnPart> parts{as_it_is};
  if (drawn) {  // what is glued now can be had a little farther out, too
    parts.push_back(as_it_is);
    parts.back().outline = make_flanged(job, placed);
    parts.back().style = TrimStyle::lean;
  }

  std::vector<std::pair<double, DrawnPart>> reaching;
  for (const PairClass& pair : job.scheme.pairs) {
    if (!placed.variant.lines[index(pair.element)].exists) continue;
    const std::vector<PairJoint> joints = find_class_joints(placed, pair);
    if (!joints.empty() && joints.front().contact.length() >= least_joint_mm) continue;
    const Reach reach = find_reach(job, placed, pair);
    if (!(reach.gap <= most_reach * job.radius_mm)) continue;
    DrawnPart part = as_it_is;
    for (const Vec2& target : {reach.own, reach.other})
      for (const Eigen::Matrix2d& turn : find_own_turns(job.scheme, placed.variant.frame))
        if (const Vec2 to = turn * target; !contains(part.outline, to))
          part.outline = make_lobe(job, part.outline, to);
    if (!is_simple(part.outline)) continue;
    part.change =
        format("The outline reaches out by %.0f mm for ", reach.gap) + name_class(job, pair) + ".";
    reaching.emplace_back(reach.gap, std::move(part));
  }
  std::stable_sort(reaching.begin(), reaching.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  for (auto& [gap, part] : reaching) parts.push_back(std::move(part));

  for (const PairJoint& joint : placed.variant.joints) {
    const PointGroup& group = *job.scheme.group;
    const bool on_first = joint.contact.kind == ContactKind::edge_first;
    if (joint.contact.length() < least_joint_mm || group.is_involution(joint.element) ||
        (!on_first && joint.contact.kind != ContactKind::edge_second))
      continue;
    // The face that is leant on becomes an edge: on the line of the other element of the pair.
    const bool proper = group.elements[index(joint.element)].determinant() > 0;
    DrawnPart part = as_it_is;
    for (const OwnSymmetry& own : job.scheme.own_symmetries) {
      SeatCut cut;
      cut.element =
          group.multiply(own.element, on_first ? group.invert(joint.element) : joint.element);
      const bool turned = (on_first && proper) != own.mirrors;
      cut.from = turned ? -joint.contact.to : joint.contact.from;
      cut.to = turned ? -joint.contact.from : joint.contact.to;
      cut.above = placed.variant.lines[index(cut.element)].height_of(placed.hub) > 0;
      part.cuts.push_back(cut);
    }
    part.change =
        format("The other copy of each pair is cut back at a joint of %.0f mm (order %d).",
               joint.contact.length(), find_element_order(group, joint.element));
    parts.push_back(std::move(part));
  }
  return parts;
}

}  // namespace sixtyfold
