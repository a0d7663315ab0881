#include "engine/contact/slab.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "engine/contact/rebuild.h"
#include "engine/shape/boolean.h"
#include "engine/shape/convex_pieces.h"
#include "engine/tolerance.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// A plate of one copy in space, with its bounding box.
struct PlacedPlate {
  ConvexPlate plate;
  Vec3 low, high;
  int tab;
};

std::vector<PlacedPlate> place_plates(const FinishedPart& part, const Frame& frame) {
  std::vector<PlacedPlate> placed;
  placed.reserve(part.plates.size());
  for (std::size_t i = 0; i < part.plates.size(); ++i) {
    PlacedPlate p;
    p.tab = part.tab_of[i];
    const Vec3 h = part.plates[i].half;
    p.plate.half = h.x() * frame.x_axis + h.y() * frame.y_axis + h.z() * frame.normal;
    p.low = Vec3::Constant(std::numeric_limits<double>::infinity());
    p.high = -p.low;
    for (const Vec3& q : part.plates[i].middle) {
      const Vec3 point = frame.origin + q.x() * frame.x_axis + q.y() * frame.y_axis + q.z() * frame.normal;
      p.plate.middle.push_back(point);
      p.low = p.low.cwiseMin(point);
      p.high = p.high.cwiseMax(point);
    }
    p.low -= p.plate.half.cwiseAbs();
    p.high += p.plate.half.cwiseAbs();
    placed.push_back(std::move(p));
  }
  return placed;
}

double measure_box_gap(const PlacedPlate& a, const PlacedPlate& b) {
  return (a.low - b.high).cwiseMax(b.low - a.high).cwiseMax(0).norm();
}

ConvexPlate make_thinner(ConvexPlate plate) {
  plate.half -= 0.5 * slab_tolerance_mm * plate.half.normalized();
  return plate;
}

/// Where the mid-surfaces of two plates come closest: these do not cross where the slabs do.
void find_closest_points(ConvexPlate a, ConvexPlate b, SlabPair& pair) {
  for (ConvexPlate* plate : {&a, &b}) plate->half = 1e-6 * plate->half.normalized();
  const ConvexDistance d = measure_distance(a, b);
  if (!(d.distance > 0)) return;
  pair.points_mm[0] = d.first;
  pair.points_mm[1] = d.second;
}

/// Corners of either outline that lie on the other panel, boundary included.
std::vector<Vec3> find_shared_points(const PlacedPanel& a, const PlacedPanel& b) {
  std::vector<Vec3> shared;
  const auto search = [&shared](const PlacedPanel& from, const PlacedPanel& to) {
    for (const Vec2& p : from.panel->outline_mm) {
      const Vec3 point = from.frame.to_space(p);
      if (std::abs(to.frame.height_of(point)) > 2 * contact_band_mm) continue;
      const Vec2 q = to.frame.to_plane(point);
      if (contains(to.panel->outline_mm, q) || distance_to_boundary(to.panel->outline_mm, q) < 2 * contact_band_mm)
        shared.push_back(point);
    }
  };
  search(a, b);
  search(b, a);
  return shared;
}

/// Tells copies apart: centroid and normal, the latter up to its sign.
struct Signature {
  Vec3 centroid, normal;
  bool equals(const Signature& other) const {
    return (centroid - other.centroid).norm() < 1e-3 && std::abs(normal.dot(other.normal)) > 1 - 1e-9;
  }
};

class SlabCheck {
 public:
  SlabCheck(const Design& design, const Finished& finished)
      : design_(design), finished_(finished), panels_(find_placed_panels(design)) {
    const int count = static_cast<int>(panels_.size());
    plates_.resize(at(count));
    joined_.assign(at(count) * at(count), false);
    for (const Joint& joint : design.joints)
      joined_[at(joint.panels[0]) * at(count) + at(joint.panels[1])] =
          joined_[at(joint.panels[1]) * at(count) + at(joint.panels[0])] = true;
    for (int i = 0; i < count; ++i) {
      const Panel& panel = *panels_[at(i)].panel;
      signatures_.push_back({panels_[at(i)].frame.to_space(measure_centroid(panel.outline_mm)),
                             panels_[at(i)].frame.normal});
    }
  }

  SlabReport measure() {
    SlabReport report;
    const int count = static_cast<int>(panels_.size());
    nearest_ = clearance_cap * design_.thickness_mm;
    closest_.distance_mm = 0;
    bool any_clearance = false;
    report.by_symmetry = is_orbit();
    std::set<std::pair<int, int>> seen;
    for (int i = 0; i < (report.by_symmetry ? 1 : count); ++i)
      for (int j = i + 1; j < count; ++j) {
        if (report.by_symmetry) {
          const int inverse = find_image(panels_[at(j)].copy.transpose() * panels_[0].copy, 0);
          if (inverse > 0 && inverse < j) continue;
        }
        check_pair(i, j, report, seen);
        any_clearance = any_clearance || !is_joined(i, j);
      }
    if (any_clearance) report.min_clearance_mm = nearest_;
    report.closest = closest_;
    return report;
  }

 private:
  bool is_joined(int i, int j) const { return joined_[at(i) * panels_.size() + at(j)]; }

  /// The copy onto which `turn` (about the centre) carries copy i; -1 when there is none.
  int find_image(const Mat3& turn, int i) const {
    const Signature image{turn * signatures_[at(i)].centroid, turn * signatures_[at(i)].normal};
    for (std::size_t k = 0; k < signatures_.size(); ++k)
      if (signatures_[k].equals(image)) return static_cast<int>(k);
    return -1;
  }

  /// Are the copies one orbit of the turns that carry the first copy to each of them?
  bool is_orbit() const {
    if (design_.orbits.size() != 1) return false;
    const int count = static_cast<int>(panels_.size());
    for (int i = 1; i < count; ++i) {
      const Mat3 turn = panels_[at(i)].copy * panels_[0].copy.transpose();
      for (int j = 0; j < count; ++j)
        if (find_image(turn, j) < 0) return false;
    }
    return true;
  }

  const std::vector<PlacedPlate>& plates_of(int i) {
    if (plates_[at(i)].empty())
      plates_[at(i)] = place_plates(finished_.parts[at(find_copy(design_, i).orbit)], panels_[at(i)].frame);
    return plates_[at(i)];
  }

  void check_pair(int i, int j, SlabReport& report, std::set<std::pair<int, int>>& seen) {
    const double t = design_.thickness_mm;
    const bool joined = is_joined(i, j);
    const double reach = panels_[at(i)].radius_mm + panels_[at(j)].radius_mm + 2 * 300.0;
    if ((panels_[at(i)].centre_mm - panels_[at(j)].centre_mm).norm() > reach + nearest_) return;
    const auto &first = plates_of(i), &second = plates_of(j);
    bool overlaps = false, have_shared = false;
    std::vector<Vec3> shared;
    SlabPair close;
    close.distance_mm = std::numeric_limits<double>::infinity();
    SlabPair overlap;
    for (const PlacedPlate& a : first)
      for (const PlacedPlate& b : second) {
        const double limit = joined ? 0.0 : std::max(t, nearest_);
        if (measure_box_gap(a, b) > limit) continue;
        ConvexDistance d;
        if (!joined) {
          d = measure_distance(a.plate, b.plate);
          if (d.distance > limit) continue;
        }
        if (joined || d.distance <= 0) {
          if (measure_distance(make_thinner(a.plate), make_thinner(b.plate)).distance <= 0) {
            // A tab is named before a body, since a tab can give way.
            if (!overlaps || (overlap.tabs[0] < 0 && overlap.tabs[1] < 0)) {
              overlap = {{i, j}, {a.tab, b.tab}, 0};
              if (!joined) find_closest_points(a.plate, b.plate, overlap);
            }
            overlaps = true;
          }
        }
        if (joined || (a.tab >= 0 && b.tab >= 0) || !(d.distance < close.distance_mm)) continue;
        if (!have_shared) {
          shared = find_shared_points(panels_[at(i)], panels_[at(j)]);
          have_shared = true;
        }
        const bool at_shared = std::any_of(shared.begin(), shared.end(), [&](const Vec3& p) {
          return d.distance > 0 && (d.first - p).norm() <= shared_reach * t &&
                 (d.second - p).norm() <= shared_reach * t;
        });
        if (at_shared) continue;
        close = {{i, j}, {a.tab, b.tab}, d.distance};
        if (d.distance < t) find_closest_points(a.plate, b.plate, close);
      }
    if (close.distance_mm < nearest_) {
      nearest_ = close.distance_mm;
      closest_ = close;
    }
    if (overlaps) add_everywhere(overlap, report.overlaps, report.by_symmetry, seen);
    else if (close.distance_mm < t) add_everywhere(close, report.too_close, report.by_symmetry, seen);
  }

  void add_everywhere(const SlabPair& pair, std::vector<SlabPair>& list, bool by_symmetry,
                      std::set<std::pair<int, int>>& seen) const {
    const int count = by_symmetry ? static_cast<int>(panels_.size()) : 1;
    for (int k = 0; k < count; ++k) {
      SlabPair image = pair;
      if (by_symmetry) {
        const Mat3 turn = panels_[at(k)].copy * panels_[0].copy.transpose();
        image.copies[0] = find_image(turn, pair.copies[0]);
        image.copies[1] = find_image(turn, pair.copies[1]);
        for (Vec3& point : image.points_mm) point = turn * point;
      }
      if (image.copies[0] > image.copies[1]) {
        std::swap(image.copies[0], image.copies[1]);
        std::swap(image.tabs[0], image.tabs[1]);
        std::swap(image.points_mm[0], image.points_mm[1]);
      }
      if (seen.insert({image.copies[0], image.copies[1]}).second) list.push_back(image);
    }
  }

  const Design& design_;
  const Finished& finished_;
  std::vector<PlacedPanel> panels_;
  std::vector<std::vector<PlacedPlate>> plates_;
  std::vector<bool> joined_;
  std::vector<Signature> signatures_;
  double nearest_ = 0;
  SlabPair closest_;
};

FinishedPart make_part(const PartToCut& cut, const FlatOptions& options) {
  FinishedPart part;
  part.pattern = make_flat_pattern(cut, options);
  FlatOptions folded = options;  // a crushed fold gives back what the allowance took
  folded.fold_allowance_mm = 0;
  const FlatPattern nominal = options.fold_allowance_mm == 0 ? part.pattern : make_flat_pattern(cut, folded);
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
    const Vec2 along = (tab.fold_to_mm - tab.fold_from_mm).normalized(), out(along.y(), -along.x());
    ConvexPlate plate;
    for (const Vec2& p : tab.outline_mm) {
      const Vec2 local = p - tab.fold_from_mm;
      const Vec2 on_fold = tab.fold_from_mm + along.dot(local) * along;
      plate.middle.push_back(Vec3(on_fold.x(), on_fold.y(), 0) + out.dot(local) * tab.direction);
    }
    plate.half = 0.5 * options.thickness_mm * Vec3(along.x(), along.y(), 0).cross(tab.direction).normalized();
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

/// Area of copy `self`'s plane, in its own coordinates, that the bodies of copy `other` take up within
/// half a thickness and a little more of it, where self has a body: corners of the clipped prisms.
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
  return make_offset(make_intersection(make_offset(taken, slab_tolerance_mm), {part.pattern.body_mm}),
                     slab_tolerance_mm);
}

/// Relieves one of the two copies of an overlap of bodies; false when too much would go.
bool relieve(const Design& design, const SlabPair& pair, Finished& finished) {
  PolygonSet best;
  double best_area = 0;
  int best_orbit = -1;
  for (int side = 0; side < 2; ++side) {
    const PolygonSet taken = find_taken_area(design, finished, pair.copies[side], pair.copies[1 - side]);
    const double area = measure_set_area(taken);
    const int orbit = find_copy(design, pair.copies[side]).orbit;
    if (taken.empty() || area > 0.01 * measure_area(design.orbits[at(orbit)].panel.outline_mm)) continue;
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

constexpr double kept_depth = 0.8;  // of a tab that gives way

/// The tab loses a fifth of its depth and its ends, its sides keep their slope.
void make_shallower(const FlatOptions& options, TabShape& shape) {
  shape.depth_mm *= kept_depth;
  shape.from_inset_mm += 0.1 * shape.from_cut_mm;
  shape.to_inset_mm += 0.1 * shape.to_cut_mm;
  shape.from_cut_mm *= kept_depth;
  shape.to_cut_mm *= kept_depth;
  if (shape.depth_mm < options.least_tab_depth_mm) shape = TabShape{};
}

/// Calls visit(orbit, joint of its part) for each of the pair's two sides that is a tab.
template <typename Visit>
void visit_tabs(const Design& design, const Finished& finished, const SlabPair& pair, Visit visit) {
  for (int side = 0; side < 2; ++side) {
    if (pair.tabs[side] < 0) continue;
    const std::size_t orbit = at(find_copy(design, pair.copies[side]).orbit);
    visit(orbit, at(finished.parts[orbit].pattern.tabs[at(pair.tabs[side])].joint));
  }
}

}  // namespace

Finished make_finished(const Design& design, const FlatOptions& options) {
  Finished finished;
  finished.joints = find_part_joints(design);
  finished.reliefs_mm.resize(design.orbits.size());
  std::vector<Polygon> outlines;
  for (const Orbit& orbit : design.orbits) outlines.push_back(orbit.panel.outline_mm);
  finished.shapes = fit_tabs(outlines, finished.joints, options);
  const TabShapes fitted = finished.shapes;
  make_parts(design, options, finished);
  std::set<int> turned;
  for (int round = 0; round < 20; ++round) {
    const SlabReport report = measure_slabs(design, finished);
    std::set<int> letters;  // of tabs that run into something
    std::set<int> near;     // of tabs that come too close: shallower, but not left off
    bool mended = false;
    for (const SlabPair& pair : report.overlaps) {
      if (pair.tabs[0] < 0 && pair.tabs[1] < 0) {
        const bool again = report.by_symmetry && pair.copies[0] != 0;
        if (!again) mended = relieve(design, pair, finished) || mended;
      }
      visit_tabs(design, finished, pair, [&](std::size_t orbit, std::size_t joint) {
        letters.insert(finished.joints.letter[orbit][joint]);
      });
    }
    for (const SlabPair& pair : report.too_close)
      visit_tabs(design, finished, pair, [&](std::size_t orbit, std::size_t joint) {
        if (finished.shapes[orbit][joint].depth_mm * kept_depth >= options.least_tab_depth_mm)
          near.insert(finished.joints.letter[orbit][joint]);
      });
    if (letters.empty() && near.empty() && !mended) break;
    std::set<int> turn_now;
    for (std::size_t o = 0; o < finished.shapes.size(); ++o)
      for (std::size_t i = 0; i < finished.shapes[o].size(); ++i) {
        TabShape& shape = finished.shapes[o][i];
        const int letter = finished.joints.letter[o][i];
        if (!(shape.depth_mm > 0)) continue;
        if (!letters.count(letter)) {
          if (near.count(letter)) make_shallower(options, shape);
          continue;
        }
        make_shallower(options, shape);
        const bool can_turn = finished.joints.joints[o][i].role == JointRole::double_tab &&
                              !fitted[o][i].far_side && !turned.count(letter);
        if (shape.depth_mm > 0 || !can_turn) continue;
        shape = fitted[o][i];
        shape.far_side = true;
        turn_now.insert(letter);
      }
    turned.insert(turn_now.begin(), turn_now.end());
    make_parts(design, options, finished);
  }
  return finished;
}

SlabReport measure_slabs(const Design& design, const Finished& finished) {
  return SlabCheck(design, finished).measure();
}

}  // namespace sixtyfold
