#include "engine/part/finished.h"

#include <algorithm>
#include <map>
#include <set>

#include "engine/part/slab.h"
#include "engine/shape/boolean.h"
#include "engine/shape/convex_pieces.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// A piece of a tab, as it lies when flat, folded about the tab's fold; in the part's own frame.
ConvexPlate make_folded(const Polygon& flat, const Vec2& fold_from, const Vec2& fold_to,
                        const Vec3& direction, double thickness) {
  const Vec2 along = (fold_to - fold_from).normalized(), out(along.y(), -along.x());
  ConvexPlate plate;
  for (const Vec2& p : flat) {
    const Vec2 local = p - fold_from;
    const Vec2 on_fold = fold_from + along.dot(local) * along;
    plate.middle.push_back(Vec3(on_fold.x(), on_fold.y(), 0) + out.dot(local) * direction);
  }
  plate.half = 0.5 * thickness * Vec3(along.x(), along.y(), 0).cross(direction).normalized();
  return plate;
}

FlatOptions make_folded_options(FlatOptions options) {
  options.fold_allowance_mm = 0;  // a crushed fold gives back what the allowance took
  return options;
}

FinishedPart make_part(const PartToCut& cut, const FlatOptions& options) {
  FinishedPart part;
  part.pattern = make_flat_pattern(cut, options);
  const FlatPattern nominal = options.fold_allowance_mm == 0
                                  ? part.pattern
                                  : make_flat_pattern(cut, make_folded_options(options));
  std::vector<Polygon> rings{nominal.body_mm};
  rings.insert(rings.end(), nominal.holes_mm.begin(), nominal.holes_mm.end());
  for (const Polygon& piece : find_convex_pieces(rings)) {
    ConvexPlate plate;
    for (const Vec2& p : piece) plate.middle.emplace_back(p.x(), p.y(), 0);
    plate.half = Vec3(0, 0, options.thickness_mm / 2);
    part.plates.push_back(plate);
    part.tab_of.push_back(-1);
  }
  for (std::size_t i = 0; i < nominal.tabs.size(); ++i) {
    const Tab& tab = nominal.tabs[i];
    const ConvexPlate plate = make_folded(tab.outline_mm, tab.fold_from_mm, tab.fold_to_mm,
                                          tab.direction, options.thickness_mm);
    part.plates.push_back(plate);
    part.tab_of.push_back(static_cast<int>(i));
  }
  return part;
}

void make_parts(const Design& design, const FlatOptions& options, Finished& finished) {
  finished.parts.clear();
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const Panel& panel = design.orbits[o].panel;
    finished.parts.push_back(make_part({panel.outline_mm, panel.holes_mm, finished.joints.joints[o],
                                        finished.shapes[o], finished.reliefs_mm[o]},
                                       options));
  }
}

/// What each tab covers of the face it is glued to.
void place_on_seats(const FlatOptions& options, Finished& finished) {
  for (const JointPair& pair : finished.joints.pairs) {
    const int side = find_tab_side(finished.joints, pair);
    if (side < 0) continue;
    const TabShape& shape = finished.shapes[at(pair.orbit[side])][at(pair.index[side])];
    if (!(shape.depth_mm > 0)) continue;
    for (Seat& seat : finished.parts[at(pair.orbit[1 - side])].pattern.seats)
      if (seat.joint == pair.index[1 - side])
        seat.tab_mm = make_footprint(finished.joints, pair, side, shape, options).tab_mm;
  }
}

/// Area of copy `self`'s plane, in its own coordinates, that the bodies of copy `other` take up
/// within half a thickness and a little more of it, where self has a body: corners of the clipped
/// prisms.
PolygonSet find_taken_area(const Design& design, const Finished& finished, int self, int other) {
  const Frame own = make_copy_frame(design, self), mate = make_copy_frame(design, other);
  const FinishedPart& part = finished.parts[at(find_copy(design, self).orbit)];
  const FinishedPart& mate_part = finished.parts[at(find_copy(design, other).orbit)];
  const double layer = 0.5 * design.thickness_mm + slab_tolerance_mm;
  PolygonSet taken;
  for (std::size_t k = 0; k < mate_part.plates.size(); ++k) {
    if (mate_part.tab_of[k] >= 0) continue;
    const ConvexPlate& plate = mate_part.plates[k];
    std::vector<Vec3> top, bottom;  // in own coordinates
    for (const Vec3& q : plate.middle)
      for (const double sign : {1.0, -1.0}) {
        const Vec3 p = mate.origin + q.x() * mate.x_axis + q.y() * mate.y_axis +
                       sign * (plate.half.z() + slab_tolerance_mm) * mate.normal;
        const Vec2 flat = own.to_plane(p);
        (sign > 0 ? top : bottom).emplace_back(flat.x(), flat.y(), own.height_of(p));
      }
    Polygon corners;
    const auto add_edge = [&](const Vec3& a, const Vec3& b) {
      double from = 0, to = 1;
      const double rise = b.z() - a.z();
      for (const double sign : {1.0, -1.0}) {  // keep sign * z <= layer
        const double start = sign * a.z() - layer, slope = sign * rise;
        if (std::abs(slope) < 1e-12) {
          if (start > 0) return;
        } else if (slope > 0) {
          to = std::min(to, -start / slope);
        } else {
          from = std::max(from, -start / slope);
        }
      }
      if (from > to) return;
      corners.push_back((a + from * (b - a)).head<2>());
      corners.push_back((a + to * (b - a)).head<2>());
    };
    for (std::size_t i = 0; i < top.size(); ++i) {
      add_edge(top[i], top[(i + 1) % top.size()]);
      add_edge(bottom[i], bottom[(i + 1) % top.size()]);
      add_edge(top[i], bottom[i]);
    }
    if (corners.size() < 3) continue;
    const Polygon hull = make_convex_hull(corners);
    if (hull.size() >= 3) taken.push_back(hull);
  }
  if (taken.empty()) return {};
  return make_offset(
      make_intersection(make_offset(taken, slab_tolerance_mm), {part.pattern.body_mm}),
      slab_tolerance_mm);
}

/// Relieves one of the two copies of an overlap of bodies; false when too much would go.
bool relieve(const Design& design, const SlabPair& pair, Finished& finished) {
  PolygonSet best;
  double best_area = 0;
  int best_orbit = -1;
  for (int side = 0; side < 2; ++side) {
    const PolygonSet taken =
        find_taken_area(design, finished, pair.copies[side], pair.copies[1 - side]);
    const double area = measure_set_area(taken);
    const int orbit = find_copy(design, pair.copies[side]).orbit;
    if (taken.empty() || area > 0.01 * measure_area(design.orbits[at(orbit)].panel.outline_mm))
      continue;
    if (best_orbit >= 0 && area >= best_area) continue;
    best = taken;
    best_area = area;
    best_orbit = orbit;
  }
  if (best_orbit < 0) return false;
  auto& reliefs = finished.reliefs_mm[at(best_orbit)];
  reliefs.insert(reliefs.end(), best.begin(), best.end());
  return true;
}

/// A tab that runs into another copy or comes too close to it.
struct Conflict {
  int self = 0, other = 0;  ///< copies; the tab is the first one's
  std::size_t orbit = 0, joint = 0;
  Vec3 direction = Vec3::Zero();
  bool overlaps = false;
};

double measure_tab(const TabShape& shape, double joint_mm) {
  const double fold = joint_mm - shape.from_inset_mm - shape.to_inset_mm;
  return shape.depth_mm * (fold - 0.5 * (shape.from_cut_mm + shape.to_cut_mm));
}

/// The largest tab within this one that has none of the conflicts, shorter or shallower; without
/// depth when there is none of use. Columns across the tab are looked at, so it may be a little
/// smaller than it need be.
TabShape find_smaller(const Design& design, const Finished& finished, const FlatOptions& options,
                      const TabShape& shape, const std::vector<Conflict>& conflicts) {
  constexpr int columns = 32;
  std::vector<double> depths;
  for (double depth = shape.depth_mm; depth > options.least_tab_depth_mm; depth *= 0.8)
    depths.push_back(depth);
  if (shape.depth_mm >= options.least_tab_depth_mm) depths.push_back(options.least_tab_depth_mm);
  std::vector<bool> taken(depths.size() * at(columns), false);
  double length = 0, fold = 0;
  for (const Conflict& conflict : conflicts) {
    const PanelJoint& joint = finished.joints.joints[conflict.orbit][conflict.joint];
    length = (joint.to_mm - joint.from_mm).norm();
    Vec2 from, to;
    place_fold(joint, shape, make_folded_options(options), from, to);
    fold = (to - from).norm();
    std::vector<ConvexPlate> plates;
    for (const double depth : depths)
      for (int c = 0; c < columns; ++c) {
        const Vec2 start = from + double(c) / columns * (to - from);
        const Vec2 end = from + double(c + 1) / columns * (to - from);
        const Polygon flat = make_tab_outline(start, end, {depth, 0, 0, 0, 0, shape.far_side});
        plates.push_back(make_folded(flat, start, end, conflict.direction, options.thickness_mm));
      }
    const std::vector<bool> conflicting =
        find_conflicts(design, finished, conflict.self, conflict.other, plates);
    for (std::size_t i = 0; i < taken.size(); ++i) taken[i] = taken[i] || conflicting[i];
  }
  const bool even = meets_its_turned_like(finished.joints, static_cast<int>(conflicts[0].orbit),
                                          static_cast<int>(conflicts[0].joint));
  TabShape best;
  double best_area = 0;
  const double own_area = measure_tab(shape, length);
  for (std::size_t d = 0; d < depths.size(); ++d)
    for (int low = 0; low < columns;) {
      int high = low;
      while (high < columns && !taken[d * at(columns) + at(high)]) ++high;
      TabShape smaller = shape;
      smaller.depth_mm = depths[d];
      smaller.from_cut_mm *= depths[d] / shape.depth_mm;
      smaller.to_cut_mm *= depths[d] / shape.depth_mm;
      smaller.from_inset_mm += double(low) / columns * fold;
      smaller.to_inset_mm += double(columns - high) / columns * fold;
      if (even) smaller = make_even(smaller);
      low = high + 1;
      const double edge = length - smaller.from_inset_mm - smaller.to_inset_mm -
                          smaller.from_cut_mm - smaller.to_cut_mm;
      const double area = measure_tab(smaller, length);
      if (edge < options.least_tab_edge_mm || area <= best_area || area > 0.9999 * own_area)
        continue;
      best = smaller;
      best_area = area;
    }
  return best;
}

/// By the tabs' letters, of one copy of each pair. Of two tabs with different letters that meet the
/// larger one gives way.
std::map<int, std::vector<Conflict>> find_tab_conflicts(const Design& design,
                                                        const Finished& finished,
                                                        const SlabReport& report) {
  std::map<int, std::vector<Conflict>> result;
  for (const auto* pairs : {&report.overlaps, &report.too_close})
    for (const SlabPair& pair : *pairs) {
      if (report.by_symmetry && pair.copies[0] != 0) continue;
      Conflict sides[2];
      int letters[2] = {-1, -1};
      double areas[2] = {0, 0};
      for (int side = 0; side < 2; ++side) {
        if (pair.tabs[side] < 0) continue;
        const std::size_t orbit = at(find_copy(design, pair.copies[side]).orbit);
        const Tab& tab = finished.parts[orbit].pattern.tabs[at(pair.tabs[side])];
        const std::size_t joint = at(tab.joint);
        const PanelJoint& edge = finished.joints.joints[orbit][joint];
        letters[side] = finished.joints.letter[orbit][joint];
        areas[side] =
            measure_tab(finished.shapes[orbit][joint], (edge.to_mm - edge.from_mm).norm());
        sides[side] = {pair.copies[side], pair.copies[1 - side],    orbit, joint,
                       tab.direction,     pairs == &report.overlaps};
      }
      const bool one_only = letters[0] >= 0 && letters[1] >= 0 && letters[0] != letters[1];
      for (int side = 0; side < 2; ++side)
        if (letters[side] >= 0 && !(one_only && areas[side] < areas[1 - side]))
          result[letters[side]].push_back(sides[side]);
    }
  return result;
}
}  // namespace

bool Finished::leaves_nothing() const {
  return std::any_of(parts.begin(), parts.end(), [](const FinishedPart& part) {
    return part.pattern.body_mm.size() < 3 || part.plates.empty();
  });
}

Finished make_finished(const Design& design, const FlatOptions& options) {
  Finished finished;
  finished.hinge_depth_mm = options.thickness_mm / 2 - options.fold_allowance_mm;
  finished.joints = find_part_joints(design);
  finished.reliefs_mm.resize(design.orbits.size());
  std::vector<Polygon> outlines;
  std::vector<std::vector<Polygon>> holes;
  for (const Orbit& orbit : design.orbits) {
    outlines.push_back(orbit.panel.outline_mm);
    holes.push_back(orbit.panel.holes_mm);
  }
  finished.shapes = fit_tabs(outlines, finished.joints, options, holes);
  const TabShapes fitted = finished.shapes;
  make_parts(design, options, finished);
  std::set<int> turned;
  for (int round = 0; round < 20; ++round) {
    const SlabReport report = measure_slabs(design, finished);
    bool mended = false;
    std::map<int, TabShape> changes;
    for (const auto& [letter, conflicts] : find_tab_conflicts(design, finished, report)) {
      const auto [self, other, orbit, joint, direction, overlaps] = conflicts[0];
      const TabShape& shape = finished.shapes[orbit][joint];
      TabShape changed = find_smaller(design, finished, options, shape, conflicts);
      if (!(changed.depth_mm > 0)) {
        // Too close is better than no tab.
        if (std::none_of(conflicts.begin(), conflicts.end(),
                         [](const Conflict& c) { return c.overlaps; }))
          continue;
        if (finished.joints.joints[orbit][joint].role == JointRole::double_tab &&
            !fitted[orbit][joint].far_side && turned.insert(letter).second) {
          changed = fitted[orbit][joint];
          changed.far_side = true;
        }
      }
      changes[letter] = changed;
    }
    for (const SlabPair& pair : report.overlaps)
      if (pair.tabs[0] < 0 && pair.tabs[1] < 0 && !(report.by_symmetry && pair.copies[0] != 0))
        mended = relieve(design, pair, finished) || mended;
    if (changes.empty() && !mended) break;
    for (std::size_t o = 0; o < finished.shapes.size(); ++o)
      for (std::size_t i = 0; i < finished.shapes[o].size(); ++i)
        if (const auto change = changes.find(finished.joints.letter[o][i]);
            change != changes.end() && finished.shapes[o][i].depth_mm > 0)
          finished.shapes[o][i] = change->second;
    make_parts(design, options, finished);
  }
  place_on_seats(options, finished);
  return finished;
}
}  // namespace sixtyfold
