#include "engine/part/slab.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "engine/contact/rebuild.h"
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
      const Vec3 point =
          frame.origin + q.x() * frame.x_axis + q.y() * frame.y_axis + q.z() * frame.normal;
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

/// A box about all of them.
PlacedPlate find_box(const std::vector<PlacedPlate>& plates) {
  PlacedPlate box;
  box.low.setConstant(std::numeric_limits<double>::infinity());
  box.high = -box.low;
  for (const PlacedPlate& plate : plates) {
    box.low = box.low.cwiseMin(plate.low);
    box.high = box.high.cwiseMax(plate.high);
  }
  return box;
}

/// Those whose boxes are no farther than the limit from another: of ragged outlines few are.
std::vector<const PlacedPlate*> find_near(const std::vector<PlacedPlate>& plates,
                                          const PlacedPlate& box, double limit) {
  std::vector<const PlacedPlate*> near;
  for (const PlacedPlate& plate : plates)
    if (!(measure_box_gap(plate, box) > limit)) near.push_back(&plate);
  return near;
}

ConvexPlate make_thinner(ConvexPlate plate) {
  plate.half -= 0.5 * slab_tolerance_mm * plate.half.normalized();
  return plate;
}

/// How far the faces of `a` keep `b` away: no more than their distance.
double measure_gap_over(const PlacedPlate& a, const PlacedPlate& b) {
  const double half = a.plate.half.norm();
  const Vec3 normal = a.plate.half / half;
  const double middle = normal.dot(a.plate.middle.front());
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (const Vec3& p : b.plate.middle) {
    const double height = normal.dot(p) - middle;
    low = std::min(low, height), high = std::max(high, height);
  }
  const double own = half + std::abs(normal.dot(b.plate.half));
  return std::max({0.0, low - own, -high - own});
}

/// A bound below the distance that costs a hundredth of it.
double find_least_distance(const PlacedPlate& a, const PlacedPlate& b) {
  const double rounding = 1e-9 * (a.plate.middle.front() - b.plate.middle.front()).norm() + 1e-6;
  return std::max(measure_gap_over(a, b), measure_gap_over(b, a)) - rounding;
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
      if (contains(to.panel->outline_mm, q) ||
          distance_to_boundary(to.panel->outline_mm, q) < 2 * contact_band_mm)
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
    return (centroid - other.centroid).norm() < 1e-3 &&
           std::abs(normal.dot(other.normal)) > 1 - 1e-9;
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

  std::vector<bool> find_conflicts(int self, int other, const std::vector<ConvexPlate>& tabs) {
    FinishedPart part;
    part.plates = tabs;
    part.tab_of.assign(tabs.size(), 0);
    const double t = design_.thickness_mm;
    const bool joined = is_joined(self, other);
    const std::vector<Vec3> shared =
        joined ? std::vector<Vec3>{} : find_shared_points(panels_[at(self)], panels_[at(other)]);
    std::vector<bool> conflicting;
    for (const PlacedPlate& a : place_plates(part, panels_[at(self)].frame))
      conflicting.push_back(
          std::any_of(plates_of(other).begin(), plates_of(other).end(), [&](const PlacedPlate& b) {
            if (measure_box_gap(a, b) > (joined ? 0 : t)) return false;
            if (do_meet(make_thinner(a.plate), make_thinner(b.plate))) return true;
            if (joined || b.tab >= 0) return false;
            const ConvexDistance d = measure_distance(a.plate, b.plate);
            return d.distance < t && !is_at_shared(d, shared);
          }));
    return conflicting;
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
      plates_[at(i)] =
          place_plates(finished_.parts[at(find_copy(design_, i).orbit)], panels_[at(i)].frame);
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
    const double limit = joined ? 0.0 : std::max(t, nearest_);
    const auto near_first = find_near(first, find_box(second), limit),
               near_second = find_near(second, find_box(first), limit);
    for (const PlacedPlate* near_a : near_first)
      for (const PlacedPlate* near_b : near_second) {
        const PlacedPlate &a = *near_a, &b = *near_b;
        if (measure_box_gap(a, b) > limit) continue;
        // What is known already can not be bettered by this pair.
        const bool names_a_tab = a.tab >= 0 || b.tab >= 0;
        const bool is_settled =
            overlaps && (!names_a_tab || overlap.tabs[0] >= 0 || overlap.tabs[1] >= 0);
        if (is_settled && (joined || !(close.distance_mm > 0))) continue;
        const double least = find_least_distance(a, b);
        if (joined ? least > 0 : least > std::min(limit, close.distance_mm)) continue;
        ConvexDistance d;
        if (!joined) {
          const double wanted = std::min(limit, close.distance_mm);
          d = measure_distance(a.plate, b.plate, wanted);
          if (d.distance > wanted) continue;
        }
        if (joined || d.distance <= 0) {
          if (!is_settled && do_meet(make_thinner(a.plate), make_thinner(b.plate))) {
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
        if (is_at_shared(d, shared)) continue;
        close = {{i, j}, {a.tab, b.tab}, d.distance};
        if (d.distance < t) find_closest_points(a.plate, b.plate, close);
      }
    if (close.distance_mm < nearest_) {
      nearest_ = close.distance_mm;
      closest_ = close;
    }
    if (overlaps)
      add_everywhere(overlap, report.overlaps, report.by_symmetry, seen);
    else if (close.distance_mm < t)
      add_everywhere(close, report.too_close, report.by_symmetry, seen);
  }

  /// Whether the closest points lie beside one that both outlines share.
  bool is_at_shared(const ConvexDistance& d, const std::vector<Vec3>& shared) const {
    const double reach = shared_reach * design_.thickness_mm;
    return d.distance > 0 && std::any_of(shared.begin(), shared.end(), [&](const Vec3& p) {
             return (d.first - p).norm() <= reach && (d.second - p).norm() <= reach;
           });
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

}  // namespace

SlabReport measure_slabs(const Design& design, const Finished& finished) {
  return SlabCheck(design, finished).measure();
}

std::vector<bool> find_conflicts(const Design& design, const Finished& finished, int self,
                                 int other, const std::vector<ConvexPlate>& plates) {
  return SlabCheck(design, finished).find_conflicts(self, other, plates);
}

}  // namespace sixtyfold
