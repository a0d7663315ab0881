#include "engine/part/tab_fit.h"

#include <algorithm>
#include <cmath>

#include "engine/part/setback.h"
#include "engine/shape/boolean.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }
Vec2 left_of(const Vec2& v) { return {-v.y(), v.x()}; }
bool wants_tab(JointRole role) {
  return role == JointRole::tab_edge || role == JointRole::double_tab;
}

bool boxes_near(const Box& a, const Box& b, double gap) {
  return a.low.x() <= b.high.x() + gap && b.low.x() <= a.high.x() + gap &&
         a.low.y() <= b.high.y() + gap && b.low.y() <= a.high.y() + gap;
}

/// Area shared by a grown by gap and b, more than a speck.
bool come_near(const Polygon& a, const Polygon& b, double gap) {
  if (!boxes_near(measure_box(a), measure_box(b), gap)) return false;
  return measure_set_area(make_intersection(gap > 0 ? make_offset({a}, gap) : PolygonSet{a}, {b})) >
         0.01;
}

bool lies_inside(const Polygon& a, const Polygon& b) {
  return measure_set_area(make_difference({a}, {b})) < 0.01;
}

/// What a tab keeps clear of on a part's face: a tab already placed, the body of a copy that lands
/// there, or a hole.
struct Obstacle {
  int part, side, joint;  ///< joint of this part that it belongs to, -1: none
  Polygon area;
};

/// Strip of a face that a copy landing on it covers, between the face and a tab's thickness above.
Polygon make_landing_strip(const PanelJoint& joint, double thickness) {
  const Vec2 along = (joint.to_mm - joint.from_mm).normalized();
  // A seat names the way the tab runs, which is away from the leaning body.
  const bool is_seat = joint.role == JointRole::seat;
  const Vec2 lean = (is_seat ? -std::cos(joint.angle_rad) : 1.0) * joint.mate_side.head<2>();
  const double rise = is_seat ? std::sin(joint.angle_rad) : std::abs(joint.mate_side.z());
  // The mate's mid-surface leaves the line by lean/rise for each millimetre of height; heights run
  // from t/2 to 3t/2, and the mate is t/(2 rise) wide to both sides of its mid-surface.
  const Vec2 across = left_of(along);
  const double slope = across.dot(lean) / std::max(rise, 1e-3);
  const double half = 0.5 * thickness / std::max(rise, 1e-3);
  const double low = std::min(0.5 * thickness * slope, 1.5 * thickness * slope) - half;
  const double high = std::max(0.5 * thickness * slope, 1.5 * thickness * slope) + half;
  return {joint.from_mm + low * across, joint.to_mm + low * across, joint.to_mm + high * across,
          joint.from_mm + high * across};
}

struct Range {
  double low = 0, high = 0;
};

/// Of [low, high], what is in none of the blocked ranges and at least so long.
std::vector<Range> find_free(Range whole, std::vector<Range> blocked, double least) {
  std::sort(blocked.begin(), blocked.end(),
            [](const Range& a, const Range& b) { return a.low < b.low; });
  blocked.push_back({whole.high, whole.high});
  std::vector<Range> free;
  double low = whole.low;
  for (const Range& range : blocked) {
    if (const double high = std::min(range.low, whole.high); high - low >= least)
      free.push_back({low, high});
    low = std::max(low, range.high);
  }
  return free;
}

/// Part of the joint's length over which the body has its moved edge; empty when there is none.
Range find_edge_range(const Polygon& body, const PanelJoint& joint, const FlatOptions& options) {
  Vec2 from, to;
  place_fold(joint, TabShape{1, 0, 0, 0, 0, false}, options, from, to);
  const Vec2 along = (to - from).normalized();
  const double length = (to - from).norm();
  Range best;
  for (std::size_t i = 0; i < body.size(); ++i) {
    const Vec2 a = body[i] - from, b = body[(i + 1) % body.size()] - from;
    if (std::abs(cross(along, a)) > 0.25 || std::abs(cross(along, b)) > 0.25) continue;
    const double low = std::max(0.0, along.dot(a)), high = std::min(length, along.dot(b));
    if (high - low > best.high - best.low) best = {low, high};
  }
  return best;
}

class Fitter {
 public:
  Fitter(const std::vector<Polygon>& outlines, const PartJoints& joints, const FlatOptions& options,
         const std::vector<std::vector<Polygon>>& holes)
      : joints_(joints),
        options_(options),
        shapes_(joints.joints.size()),
        flat_(joints.joints.size()) {
    for (std::size_t o = 0; o < outlines.size(); ++o) {
      for (const PanelJoint& joint : joints.joints[o])
        shapes_[o].push_back(make_plain_tab(joint, options));
      double lost = 0;
      bodies_.push_back(
          make_body({outlines[o], {}, joints.joints[o], shapes_[o], {}}, options, lost));
      grown_.push_back(make_offset({bodies_.back()}, options.gap_mm));
      for (std::size_t i = 0; i < joints.joints[o].size(); ++i) {
        const PanelJoint& joint = joints.joints[o][i];
        if (joint.face == 0) continue;
        faces_.push_back({static_cast<int>(o), joint.face, static_cast<int>(i),
                          make_landing_strip(joint, options.thickness_mm)});
      }
      if (o < holes.size())
        for (const Polygon& hole : holes[o])
          for (const int side : {1, -1}) faces_.push_back({static_cast<int>(o), side, -1, hole});
    }
  }

  TabShapes fit() {
    struct Group {
      int letter;
      double length;
      std::vector<std::pair<int, int>> members;  // part, joint
    };
    std::vector<Group> groups;
    for (std::size_t o = 0; o < shapes_.size(); ++o)
      for (std::size_t i = 0; i < shapes_[o].size(); ++i) {
        const PanelJoint& joint = joints_.joints[o][i];
        if (!wants_tab(joint.role)) continue;
        shapes_[o][i] = TabShape{};
        const int letter = joints_.letter[o][i];
        auto group = std::find_if(groups.begin(), groups.end(),
                                  [&](const Group& g) { return g.letter == letter; });
        if (group == groups.end()) group = groups.insert(groups.end(), {letter, 1e300, {}});
        group->members.emplace_back(static_cast<int>(o), static_cast<int>(i));
        group->length = std::min(group->length, (joint.to_mm - joint.from_mm).norm());
      }
    // Short joints first: long ones have room to give way.
    std::stable_sort(groups.begin(), groups.end(),
                     [](const Group& a, const Group& b) { return a.length < b.length; });
    for (const Group& group : groups) {
      const TabShape shape = find_shape(group.members, group.length);
      if (!(shape.depth_mm > 0)) continue;
      for (const auto& [o, i] : group.members) {
        shapes_[at(o)][at(i)] = shape;
        flat_[at(o)].push_back(make_flat_tab(o, i, shape));
        for (const auto& [part, footprint] : make_footprints(o, i, shape))
          faces_.push_back({part, footprint.side, -1, footprint.area_mm});
      }
    }
    return shapes_;
  }

 private:
  TabShape find_shape(const std::vector<std::pair<int, int>>& members, double length) const {
    double from_least = 0, to_least = 0;
    for (const auto& [o, i] : members) {
      const PanelJoint& joint = joints_.joints[at(o)][at(i)];
      const Range range = find_edge_range(bodies_[at(o)], joint, options_);
      from_least = std::max(from_least, range.low);
      to_least = std::max(to_least, (joint.to_mm - joint.from_mm).norm() - range.high);
    }
    const double t = options_.thickness_mm;
    TabShape best;
    double best_area = 0;
    const bool even = std::any_of(members.begin(), members.end(), [&](const auto& m) {
      return meets_its_turned_like(joints_, m.first, m.second);
    });
    const auto try_shape = [&](TabShape shape) {
      if (even) shape = make_even(shape);
      const double fold = length - shape.from_inset_mm - shape.to_inset_mm;
      const double edge = fold - shape.from_cut_mm - shape.to_cut_mm;
      const double area = 0.5 * shape.depth_mm * (fold + edge);
      if (edge < options_.least_tab_edge_mm || area <= best_area) return;
      if (!std::all_of(members.begin(), members.end(),
                       [&](const auto& m) { return is_free(m.first, m.second, shape, members); }))
        return;
      best = shape;
      best_area = area;
    };
    const bool can_turn =
        joints_.joints[at(members[0].first)][at(members[0].second)].kind == JointKind::tab ||
        joints_.joints[at(members[0].first)][at(members[0].second)].role == JointRole::double_tab;
    const bool far_first =
        can_turn && wants_far(joints_.joints[at(members[0].first)][at(members[0].second)]);
    for (const bool far_side : {far_first, !far_first}) {
      if (best.depth_mm > 0) break;
      if (far_side && !can_turn) continue;
      for (double depth = options_.tab_depth_mm; depth >= options_.least_tab_depth_mm - 1e-9;
           depth -= 2.5) {
        for (const double inset : {0.0, t, 3 * t, 0.15 * length})
          for (const double from_cut : {1.0, 1.6, 2.4})
            for (const double to_cut : {1.0, 1.6, 2.4}) {
              TabShape shape;
              shape.depth_mm = depth;
              shape.from_inset_mm = from_least + inset;
              shape.to_inset_mm = to_least + inset;
              shape.from_cut_mm = from_cut * depth;
              shape.to_cut_mm = to_cut * depth;
              shape.far_side = far_side;
              try_shape(shape);
            }
        // Between what stands in the way, wherever along the joint that is.
        if (depth * (length - from_least - to_least - depth) <= best_area) continue;
        std::vector<Range> blocked;
        for (const auto& [o, i] : members) add_blocked(o, i, depth, far_side, blocked);
        for (const Range& free : find_free({from_least, length - to_least}, std::move(blocked),
                                           2 * depth + options_.least_tab_edge_mm))
          try_shape({depth, free.low, length - free.high, depth, depth, far_side});
      }
    }
    return best;
  }

  /// Whether the side that bends the board more is asked for and can be had without creasing it.
  bool wants_far(const PanelJoint& joint) const {
    if (options_.tab_side == TabSide::shortest ||
        measure_fold(joint, true) > to_radians(most_far_fold_deg))
      return false;
    const double near_rise =
        joint.role == JointRole::double_tab ? -joint.mate_side.z() : joint.mate_side.z();
    return options_.tab_side == TabSide::inside ? near_rise > 1e-6 : near_rise < -1e-6;
  }

  Polygon make_flat_tab(int o, int i, const TabShape& shape) const {
    Vec2 from, to;
    place_fold(joints_.joints[at(o)][at(i)], shape, options_, from, to);
    return make_tab_outline(from, to, shape);
  }

  /// Ranges along the joint where a tab so deep comes near something that is not a tab of its
  /// letter.
  void add_blocked(int o, int i, double depth, bool far_side, std::vector<Range>& blocked) const {
    constexpr double beside = 0.05;  // kept off what touches
    const double gap = options_.gap_mm;
    const TabShape whole{depth, 0, 0, 0, 0, far_side};
    const auto add = [&](const PolygonSet& areas, const Vec2& from, const Vec2& along) {
      for (const Polygon& area : areas) {
        if (std::abs(measure_area(area)) < 1e-3) continue;
        Range range{1e300, -1e300};
        for (const Vec2& p : area) {
          range.low = std::min(range.low, along.dot(p - from) - beside);
          range.high = std::max(range.high, along.dot(p - from) + beside);
        }
        blocked.push_back(range);
      }
    };
    const Polygon tab = make_flat_tab(o, i, whole);
    const Vec2 along = (tab[1] - tab[0]).normalized();
    const double lift = std::min(0.4, (gap + 0.02) / depth);
    const Polygon outer = {tab[0] + lift * (tab[3] - tab[0]), tab[1] + lift * (tab[2] - tab[1]),
                           tab[2], tab[3]};
    const auto add_near = [&](const Polygon& strip, const Polygon& other, const Vec2& from,
                              const Vec2& way) {
      if (boxes_near(measure_box(strip), measure_box(other), gap))
        add(make_intersection(make_offset({other}, gap), {strip}), from, way);
    };
    if (boxes_near(measure_box(outer), measure_box(bodies_[at(o)]), gap))
      add(make_intersection(grown_[at(o)], {outer}), tab[0], along);
    for (const Polygon& other : flat_[at(o)]) add_near(tab, other, tab[0], along);
    for (const JointPair& pair : joints_.pairs) {
      const int side = find_tab_side(joints_, pair);
      if (side < 0 || pair.orbit[side] != o || pair.index[side] != i) continue;
      const int part = pair.orbit[1 - side];
      const PanelJoint& seat = joints_.joints[at(part)][at(pair.index[1 - side])];
      const Vec2 from = pair.reversed ? seat.to_mm : seat.from_mm;
      const Vec2 way = ((pair.reversed ? seat.from_mm : seat.to_mm) - from).normalized();
      const TabFootprint footprint = make_footprint(joints_, pair, side, whole, options_);
      add(make_difference({footprint.glue_mm}, {bodies_[at(part)]}), from, way);
      for (const Obstacle& obstacle : faces_)
        if (obstacle.part == part && obstacle.side == footprint.side &&
            obstacle.joint != pair.index[1 - side])
          add_near(footprint.area_mm, obstacle.area, from, way);
    }
  }

  std::vector<std::pair<int, TabFootprint>> make_footprints(int o, int i,
                                                            const TabShape& shape) const {
    std::vector<std::pair<int, TabFootprint>> result;
    for (const JointPair& pair : joints_.pairs) {
      const int side = find_tab_side(joints_, pair);
      if (side < 0 || pair.orbit[side] != o || pair.index[side] != i) continue;
      result.emplace_back(pair.orbit[1 - side],
                          make_footprint(joints_, pair, side, shape, options_));
    }
    return result;
  }

  bool is_free(int o, int i, const TabShape& shape,
               const std::vector<std::pair<int, int>>& members) const {
    const double gap = options_.gap_mm;
    const Polygon tab = make_flat_tab(o, i, shape);
    // The tab grows out of its own edge, so it is looked at from a little past the fold.
    const double lift = std::min(0.4, (gap + 0.02) / shape.depth_mm);
    const Polygon outer = {tab[0] + lift * (tab[3] - tab[0]), tab[1] + lift * (tab[2] - tab[1]),
                           tab[2], tab[3]};
    if (come_near(outer, bodies_[at(o)], gap)) return false;
    for (const Polygon& other : flat_[at(o)])
      if (come_near(tab, other, gap)) return false;
    for (const auto& [part, joint] : members)
      if (part == o && joint < i && come_near(tab, make_flat_tab(part, joint, shape), gap))
        return false;
    for (const JointPair& pair : joints_.pairs) {
      const int side = find_tab_side(joints_, pair);
      if (side < 0 || pair.orbit[side] != o || pair.index[side] != i) continue;
      const int part = pair.orbit[1 - side];
      const TabFootprint footprint = make_footprint(joints_, pair, side, shape, options_);
      if (!lies_inside(footprint.glue_mm, bodies_[at(part)])) return false;
      for (const Obstacle& obstacle : faces_)
        if (obstacle.part == part && obstacle.side == footprint.side &&
            obstacle.joint != pair.index[1 - side] &&
            come_near(footprint.area_mm, obstacle.area, gap))
          return false;
      for (const JointPair& other : joints_.pairs) {  // the same letter's tab on this face again
        const int other_side = find_tab_side(joints_, other);
        if (&other >= &pair || other_side < 0 || other.orbit[1 - other_side] != part) continue;
        if (std::find(members.begin(), members.end(),
                      std::make_pair(other.orbit[other_side], other.index[other_side])) ==
            members.end())
          continue;
        if (other.index[1 - other_side] == pair.index[1 - side]) continue;
        const TabFootprint second = make_footprint(joints_, other, other_side, shape, options_);
        if (second.side == footprint.side && come_near(footprint.area_mm, second.area_mm, gap))
          return false;
      }
    }
    return true;
  }

  const PartJoints& joints_;
  const FlatOptions& options_;
  TabShapes shapes_;
  std::vector<Polygon> bodies_;
  std::vector<PolygonSet> grown_;  ///< the bodies, by the gap that tabs keep from them
  std::vector<std::vector<Polygon>> flat_;
  std::vector<Obstacle> faces_;
};

}  // namespace

TabShapes fit_tabs(const std::vector<Polygon>& outlines, const PartJoints& joints,
                   const FlatOptions& options, const std::vector<std::vector<Polygon>>& holes) {
  return Fitter(outlines, joints, options, holes).fit();
}

bool meets_its_turned_like(const PartJoints& joints, int part, int joint) {
  return std::any_of(joints.pairs.begin(), joints.pairs.end(), [&](const JointPair& pair) {
    return pair.reversed && pair.orbit[0] == part && pair.orbit[1] == part &&
           pair.index[0] == joint && pair.index[1] == joint;
  });
}

TabShape make_even(TabShape shape) {
  shape.from_inset_mm = shape.to_inset_mm = std::max(shape.from_inset_mm, shape.to_inset_mm);
  shape.from_cut_mm = shape.to_cut_mm = std::max(shape.from_cut_mm, shape.to_cut_mm);
  return shape;
}

int find_tab_side(const PartJoints& joints, const JointPair& pair) {
  for (int side = 0; side < 2; ++side)
    if (joints.joints[at(pair.orbit[side])][at(pair.index[side])].role == JointRole::tab_edge)
      return side;
  return -1;
}

TabFootprint make_footprint(const PartJoints& joints, const JointPair& pair, int tab_side,
                            const TabShape& shape, const FlatOptions& options) {
  const PanelJoint& tab = joints.joints[at(pair.orbit[tab_side])][at(pair.index[tab_side])];
  const PanelJoint& seat =
      joints.joints[at(pair.orbit[1 - tab_side])][at(pair.index[1 - tab_side])];
  const Vec2 from = pair.reversed ? seat.to_mm : seat.from_mm;
  const Vec2 to = pair.reversed ? seat.from_mm : seat.to_mm;
  const Vec2 along = (to - from).normalized();
  const double t = options.thickness_mm;
  TabFootprint result;
  result.side = seat.face;
  Vec2 run;
  if (tab.kind == JointKind::edge) {
    run = left_of((seat.to_mm - seat.from_mm).normalized());
  } else {
    run = shape.far_side ? Vec2(-pair.run) : pair.run;
  }
  const double behind =
      crease_behind_line(t, measure_fold(tab, shape.far_side), options.fold_allowance_mm);
  const double length = (to - from).norm();
  const auto trapezoid = [&](double start) {  // from `start` of the depth to the outer edge
    const double share = start / shape.depth_mm;
    const double low = shape.from_inset_mm, high = length - shape.to_inset_mm;
    return Polygon{from + (low + share * shape.from_cut_mm) * along + (start - behind) * run,
                   from + (high - share * shape.to_cut_mm) * along + (start - behind) * run,
                   from + (high - shape.to_cut_mm) * along + (shape.depth_mm - behind) * run,
                   from + (low + shape.from_cut_mm) * along + (shape.depth_mm - behind) * run};
  };
  // An edge-to-edge fold may lie past the mate's own cut edge; what must be covered starts there.
  double start = 0;
  if (tab.kind == JointKind::edge)
    start = std::clamp(behind + edge_to_edge_setback(t, tab.angle_rad), 0.0, 0.9 * shape.depth_mm);
  result.tab_mm = trapezoid(0);
  result.area_mm = make_counter_clockwise(result.tab_mm);
  result.glue_mm = make_counter_clockwise(trapezoid(start + 1e-3));
  return result;
}

}  // namespace sixtyfold
