#include "engine/contact/rebuild.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numeric>
#include <tuple>
#include <utility>

#include "engine/contact/coplanar_overlap.h"
#include "engine/contact/slot.h"
#include "engine/tolerance.h"

namespace sixtyfold {

namespace {

/// Meeting line of the plane of `self` with the plane of `other`, in self's coordinates, without
/// any use of symmetry.
MeetingLine make_general_line(const PlacedPanel& self, const PlacedPanel& other) {
  MeetingLine line;
  const Vec2 projected(self.frame.x_axis.dot(other.frame.normal),
                       self.frame.y_axis.dot(other.frame.normal));
  const double sine = projected.norm();
  if (!(sine > 1e-7)) return line;
  line.exists = true;
  line.side = projected / sine;
  line.offset = -other.frame.height_of(self.frame.origin) / sine;
  line.sine = sine;
  line.cosine = self.frame.normal.dot(other.frame.normal);
  return line;
}

std::vector<Polygon> loops_of(const Panel& panel) {
  std::vector<Polygon> loops{panel.outline_mm};
  loops.insert(loops.end(), panel.holes_mm.begin(), panel.holes_mm.end());
  return loops;
}

/// Overlaps of panels in one plane; those that lie to each other as a pair before did are measured
/// once (in a group every pair has many images).
class PlaneOverlaps {
 public:
  /// In the plane of a.
  const std::optional<Overlap>& find(const PlacedPanel& a, const PlacedPanel& b) {
    const auto step = [](double value, double unit) { return std::llround(value / unit); };
    const Vec2 origin = a.frame.to_plane(b.frame.origin),
               along = a.frame.to_plane(a.frame.origin + b.frame.x_axis),
               across = a.frame.to_plane(a.frame.origin + b.frame.y_axis);
    const Key key{a.panel,
                  b.panel,
                  {step(origin.x(), 1e-6), step(origin.y(), 1e-6), step(along.x(), 1e-9),
                   step(along.y(), 1e-9), step(across.x(), 1e-9), step(across.y(), 1e-9)}};
    const auto [entry, is_new] = known_.try_emplace(key);
    if (is_new) {
      std::vector<Polygon> laid = loops_of(*b.panel);
      for (Polygon& loop : laid)
        for (Vec2& p : loop) p = a.frame.to_plane(b.frame.to_space(p));
      entry->second = find_overlap(loops_of(*a.panel), laid);
    }
    return entry->second;
  }

 private:
  using Key = std::tuple<const Panel*, const Panel*, std::array<long long, 6>>;
  std::map<Key, std::optional<Overlap>> known_;
};

struct Components {
  std::vector<int> parent;
  explicit Components(int count) : parent(static_cast<std::size_t>(count)) {
    std::iota(parent.begin(), parent.end(), 0);
  }
  int find(int i) {
    while (parent[static_cast<std::size_t>(i)] != i) {
      auto& up = parent[static_cast<std::size_t>(i)];
      up = parent[static_cast<std::size_t>(up)];
      i = up;
    }
    return i;
  }
  void join(int a, int b) { parent[static_cast<std::size_t>(find(a))] = find(b); }
};

}  // namespace

std::vector<PlacedPanel> find_placed_panels(const Design& design) {
  std::vector<PlacedPanel> placed;
  for (const Orbit& orbit : design.orbits) {
    const Box box = measure_box(orbit.panel.outline_mm);
    const Vec2 centre = (box.low + box.high) / 2;
    double radius = 0;
    for (const Vec2& p : orbit.panel.outline_mm) radius = std::max(radius, (p - centre).norm());
    for (const Mat3& copy : orbit.copies) {
      PlacedPanel panel;
      panel.panel = &orbit.panel;
      panel.copy = copy;
      const Frame& frame = orbit.panel.frame;
      panel.frame = {copy * frame.origin, copy * frame.x_axis, copy * frame.y_axis,
                     copy * frame.normal};
      panel.radius_mm = radius;
      panel.centre_mm = panel.frame.to_space(centre);
      placed.push_back(panel);
    }
  }
  return placed;
}

namespace {

/// Looks at every pair of copies.
class Rebuilder {
 public:
  explicit Rebuilder(const Design& design)
      : placed_(find_placed_panels(design)),
        slots_(design.limits.joints_by != JointsBy::tab),
        components_(static_cast<int>(placed_.size())) {}
  Rebuilt rebuild();

 private:
  const PlacedPanel& panel(int i) const { return placed_[static_cast<std::size_t>(i)]; }
  void meet(int i, int j);
  void overlap(int i, int j);
  bool find_line_contacts(const PlacedPanel& a, const PlacedPanel& b, const MeetingLine& line);
  void add_collision(const Collision& collision);
  void add_contact(int i, int j, const MeetingLine& line, const Contact& contact);

  const std::vector<PlacedPanel> placed_;
  const bool slots_;
  Components components_;
  PlaneOverlaps overlaps_;
  Rebuilt rebuilt_;
  // Of the pair that is looked at.
  SideSpans first_, second_;
  std::vector<Contact> contacts_;
  bool halved_ = false;  ///< crossings are slots
};

void Rebuilder::add_collision(const Collision& collision) {
  rebuilt_.collision_length_mm += collision.length_mm;
  rebuilt_.collisions.push_back(collision);
}

/// Two copies in parallel planes.
void Rebuilder::overlap(int i, int j) {
  const PlacedPanel &a = panel(i), &b = panel(j);
  if (std::abs(a.frame.height_of(b.centre_mm)) > contact_band_mm) return;
  if (const std::optional<Overlap>& found = overlaps_.find(a, b))
    add_collision({{i, j}, std::sqrt(found->area_mm2), true, a.frame.to_space(found->place_mm)});
}

/// Fills contacts_ with positions along a's line. False where one of the two does not reach it.
bool Rebuilder::find_line_contacts(const PlacedPanel& a, const PlacedPanel& b,
                                   const MeetingLine& line) {
  // b's own line, re-measured so that positions agree with a's: a point of the line in space, and
  // the direction, turned if need be.
  const MeetingLine other = make_general_line(b, a);
  find_spans(loops_of(*a.panel), line, contact_band_mm, first_);
  if (first_.empty()) return false;
  find_spans(loops_of(*b.panel), other, contact_band_mm, second_);
  if (second_.empty()) return false;
  const Vec3 direction = a.frame.to_space(line.along()) - a.frame.origin;
  const Vec3 other_direction = b.frame.to_space(other.along()) - b.frame.origin;
  const bool reversed = direction.dot(other_direction) < 0;
  const double shift = line.position_of(a.frame.to_plane(b.frame.to_space(other.point_at(0))));
  for (auto* set : {&second_.above, &second_.below})
    for (Crossing& crossing : *set) crossing.at += reversed ? -shift : shift;
  find_contacts(first_, second_, reversed, 1e-6, contacts_);
  halved_ =
      slots_ && find_halved_slot(first_, second_, reversed, contacts_, contact_band_mm).has_value();
  return true;
}

void Rebuilder::add_contact(int i, int j, const MeetingLine& line, const Contact& contact) {
  const Frame& frame = panel(i).frame;
  const Vec3 from = frame.to_space(line.point_at(contact.from));
  const Vec3 to = frame.to_space(line.point_at(contact.to));
  if (contact.kind == ContactKind::crossing && !halved_) {
    if (contact.length() > contact_band_mm)
      add_collision({{i, j}, contact.length(), false, (from + to) / 2});
    return;
  }
  Joint joint;
  joint.kind = contact.kind == ContactKind::edges      ? JointKind::edge
               : contact.kind == ContactKind::crossing ? JointKind::slot
                                                       : JointKind::tab;
  const bool owner_second = contact.kind == ContactKind::edge_second;
  joint.panels[0] = owner_second ? j : i;
  joint.panels[1] = owner_second ? i : j;
  joint.from_mm = from;
  joint.to_mm = to;
  joint.angle_deg = to_degrees(measure_contact_angle(contact, line.theta_rad()));
  if (contact.length() < least_joint_mm) {
    if (contact.length() > contact_band_mm) rebuilt_.touches.push_back(joint);
    return;
  }
  rebuilt_.joints.push_back(joint);
  components_.join(i, j);
}

void Rebuilder::meet(int i, int j) {
  const PlacedPanel &a = panel(i), &b = panel(j);
  if ((a.centre_mm - b.centre_mm).norm() > a.radius_mm + b.radius_mm + contact_band_mm) return;
  const MeetingLine line = make_general_line(a, b);
  if (!line.exists) {
    overlap(i, j);
  } else if (find_line_contacts(a, b, line)) {
    for (const Contact& contact : contacts_) add_contact(i, j, line, contact);
  }
}

Rebuilt Rebuilder::rebuild() {
  const int count = static_cast<int>(placed_.size());
  for (int i = 0; i < count; ++i)
    for (int j = i + 1; j < count; ++j) meet(i, j);
  for (int i = 0; i < count; ++i) rebuilt_.pieces += components_.find(i) == i;
  return std::move(rebuilt_);
}

}  // namespace

Rebuilt rebuild(const Design& design) { return Rebuilder(design).rebuild(); }

}  // namespace sixtyfold
