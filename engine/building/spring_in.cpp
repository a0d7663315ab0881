#include "engine/building/spring_in.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/contact/slot.h"
#include "engine/part/part_joints.h"
#include "engine/shape/segment.h"
#include "engine/tolerance.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

constexpr double no_limit = std::numeric_limits<double>::infinity();

/// The strip's formula holds for small deflections; this share of its length is the most it is used
/// for.
constexpr double most_deflection_share = 0.25;

/// Pushes looked at: steps in the panel's own plane, and this many evenly over the sphere.
constexpr int steps_in_plane = 120, over_sphere = 60;

double distance_to_joint(const Vec3& p, const Joint& joint) {
  const double share = find_nearest_share(joint.from_mm, joint.to_mm, p);
  return (p - joint.from_mm - share * (joint.to_mm - joint.from_mm)).norm();
}

/// One panel on its way out of what stands.
class Springing {
 public:
  Springing(const SpringTask& task, int copy, const std::vector<bool>& standing)
      : task_(task),
        design_(*task.design),
        copy_(copy),
        standing_(standing),
        frame_(make_copy_frame(design_, copy)) {
    for (std::size_t n = 0; n < design_.joints.size(); ++n) {
      const Joint& joint = design_.joints[n];
      for (const int s : {0, 1}) {
        const int mate = joint.panels[1 - s];
        if (joint.panels[s] != copy || !standing[at(mate)] || mate == copy) continue;
        made_.push_back(static_cast<int>(n));
        if (joint.kind == JointKind::slot)
          slots_.push_back({static_cast<int>(n), mate, find_way_out(joint)});
      }
    }
  }

  std::optional<SpringIn> find_best() const {
    std::optional<SpringIn> best;
    double bound = std::nextafter(task_.working_strain, no_limit);
    for (const Vec3& push : list_pushes())
      if (auto spring = measure(push, bound); spring) {
        bound = spring->strain;
        best = std::move(spring);
      }
    return best;
  }

 private:
  struct SlotSeen {
    int joint = 0, mate = 0;
    Vec3 out = Vec3::Zero();  ///< unit, along the crossing: where the slot lets this panel go
  };

  /// The panel ends where its slot opens and goes on at the other end; it leaves that way.
  Vec3 find_way_out(const Joint& joint) const {
    const Polygon& outline = design_.orbits[at(find_copy(design_, copy_).orbit)].panel.outline_mm;
    const Vec3 along = (joint.to_mm - joint.from_mm).normalized();
    const bool opens = opens_at(frame_.to_plane(joint.from_mm), frame_.to_plane(joint.to_mm),
                                outline, 2 * contact_band_mm);
    return opens ? along : Vec3(-along);
  }

  std::vector<Vec3> list_pushes() const {
    std::vector<Vec3> pushes;
    for (int k = 0; k < steps_in_plane; ++k) {
      const double a = 2 * pi * k / steps_in_plane;
      pushes.push_back(std::cos(a) * frame_.x_axis + std::sin(a) * frame_.y_axis);
    }
    // A slot lets go in its own plane only.
    if (slots_.empty())
      for (int k = 0; k < over_sphere; ++k) {
        const double z = 1 - (2 * k + 1.0) / over_sphere, r = std::sqrt(1 - z * z),
                     a = pi * (3 - std::sqrt(5.0)) * k;
        const Vec3 own(r * std::cos(a), r * std::sin(a), z);
        pushes.push_back(own.x() * frame_.x_axis + own.y() * frame_.y_axis +
                         own.z() * frame_.normal);
      }
    return pushes;
  }

  /// From a place on a copy to where it is held nearest; where nothing holds it, to its farthest
  /// corner.
  double measure_free_length(int copy, const Vec3& place, int but_for) const {
    double nearest = no_limit;
    for (std::size_t n = 0; n < design_.joints.size(); ++n) {
      const Joint& joint = design_.joints[n];
      if (static_cast<int>(n) == but_for || (joint.panels[0] != copy && joint.panels[1] != copy))
        continue;
      const int other = joint.panels[joint.panels[0] == copy ? 1 : 0];
      if (standing_[at(other)] && (copy == copy_ || other != copy_))
        nearest = std::min(nearest, distance_to_joint(place, joint));
    }
    if (nearest < no_limit) return nearest;
    const Frame frame = make_copy_frame(design_, copy);
    double farthest = 0;
    for (const Vec2& p : design_.orbits[at(find_copy(design_, copy).orbit)].panel.outline_mm)
      farthest = std::max(farthest, (frame.to_space(p) - place).norm());
    return farthest;
  }

  bool add(SpringIn& spring, Bend bend, double bound) const {
    bend.strain =
        measure_strip_strain(design_.thickness_mm, bend.deflection_mm, bend.free_length_mm);
    if (!(bend.strain < bound) ||
        !(bend.deflection_mm <= most_deflection_share * bend.free_length_mm))
      return false;
    spring.strain = std::max(spring.strain, bend.strain);
    spring.bends.push_back(bend);
    return true;
  }

  std::optional<SpringIn> measure(const Vec3& push, double bound) const {
    SpringIn spring;
    spring.push = push;
    for (const SlotSeen& slot : slots_) {
      const double cosine = std::min(1.0, push.dot(slot.out));
      if (!(cosine > 0.05)) return std::nullopt;
      const Joint& joint = design_.joints[at(slot.joint)];
      const SlotMisfit misfit = measure_slot_misfit(joint.length_mm() / 2, std::acos(cosine),
                                                    to_radians(joint.angle_deg));
      const Vec3 middle = (joint.from_mm + joint.to_mm) / 2;
      if (!add(spring,
               {slot.mate, slot.joint, misfit.partner_mm,
                measure_free_length(slot.mate, middle, slot.joint), 0},
               bound))
        return std::nullopt;
      // Nothing else holds the mover when this is its only joint.
      if (made_.size() > 1 && !add(spring,
                                   {copy_, slot.joint, misfit.mover_mm,
                                    measure_free_length(copy_, middle, slot.joint), 0},
                                   bound))
        return std::nullopt;
    }
    for (std::size_t j = 0; j < standing_.size(); ++j) {
      const int other = static_cast<int>(j);
      if (!standing_[j] || other == copy_) continue;
      const auto slot = std::find_if(slots_.begin(), slots_.end(),
                                     [&](const SlotSeen& one) { return one.mate == other; });
      // Past a partner only what it meets once the slots let go counts.
      const Vec3 start =
          slot == slots_.end()
              ? Vec3(Vec3::Zero())
              : Vec3((design_.joints[at(slot->joint)].length_mm() / 2 + 1) * slot->out);
      if (!lift(spring, other, start, push, bound)) return std::nullopt;
    }
    std::stable_sort(spring.bends.begin(), spring.bends.end(),
                     [](const Bend& a, const Bend& b) { return a.strain > b.strain; });
    return spring;
  }

  static bool is_tab_of_this_step(const StandingPlate& plate, int other) {
    return plate.tab >= 0 && plate.tab_mate == other;
  }

  /// Bends one panel in the way to the side that takes less; false when that is too much.
  bool lift(SpringIn& spring, int other, const Vec3& start, const Vec3& push, double bound) const {
    const Vec3 normal = make_copy_frame(design_, other).normal;
    std::optional<Bend> best;
    for (const double side : {1.0, -1.0}) {
      const auto bend = measure_lift(other, start, push, side * normal, bound);
      if (!bend) continue;
      if (!(bend->deflection_mm > 0)) return true;
      if (!best || bend->deflection_mm < best->deflection_mm) best = bend;
    }
    return best && add(spring, *best, bound);
  }

  /// The least shift of `other` that lets the moving panel pass; none within what the strain
  /// allows.
  std::optional<Bend> measure_lift(int other, const Vec3& start, const Vec3& push,
                                   const Vec3& normal, double bound) const {
    const auto& own = task_.copies->plates[at(copy_)];
    const auto& still = task_.copies->plates[at(other)];
    double length = 0, reach = 0;
    for (const StandingPlate& a : own)
      for (const StandingPlate& b : still)
        length = std::max(length, 2 * ((a.centre - b.centre).norm() + a.radius_mm + b.radius_mm));
    for (const StandingPlate& b : still)
      reach = std::max(reach, 2 * b.radius_mm + (b.centre - still.front().centre).norm());
    const double most = 2 * reach * reach * bound / (3 * design_.thickness_mm);
    Bend bend{other, -1, 0, 0, 0};
    const auto measure_gap = [&](const StandingPlate& a, const StandingPlate& b, double shift) {
      ConvexPlate swept = a.plate;
      const std::size_t n = swept.middle.size();
      for (std::size_t i = 0; i < n; ++i) swept.middle.push_back(swept.middle[i] + length * push);
      for (Vec3& p : swept.middle) p += start - shift * normal;  // the same as shifting what stands
      return measure_distance(swept, b.plate);
    };
    for (bool clear = false; !clear;) {
      clear = true;
      for (const StandingPlate& a : own)
        for (const StandingPlate& b : still) {
          if (is_tab_of_this_step(a, other) || is_tab_of_this_step(b, copy_)) continue;
          const Vec3 apart = b.centre - a.centre - start + bend.deflection_mm * normal;
          if ((apart - std::clamp(push.dot(apart), 0.0, length) * push).norm() >
              a.radius_mm + b.radius_mm)
            continue;
          if (measure_gap(a, b, bend.deflection_mm).distance > 0) continue;
          if (!(measure_gap(a, b, most).distance > 0)) return std::nullopt;
          double low = bend.deflection_mm, high = most;
          while (high - low > 0.05) {
            const double middle = (low + high) / 2;
            (measure_gap(a, b, middle).distance > 0 ? high : low) = middle;
          }
          bend.deflection_mm = high;
          bend.free_length_mm =
              measure_free_length(other, measure_gap(a, b, high).second, find_joint(other));
          clear = false;
        }
    }
    return bend;
  }

  int find_joint(int other) const {
    for (const int n : made_)
      for (const int panel : design_.joints[at(n)].panels)
        if (panel == other) return n;
    return -1;
  }

  const SpringTask& task_;
  const Design& design_;
  int copy_;
  const std::vector<bool>& standing_;
  Frame frame_;
  std::vector<int> made_;
  std::vector<SlotSeen> slots_;
};

}  // namespace

double measure_strip_strain(double thickness_mm, double deflection_mm, double free_length_mm) {
  if (!(deflection_mm > 0)) return 0;
  if (!(free_length_mm > 0)) return no_limit;
  return 1.5 * thickness_mm * deflection_mm / (free_length_mm * free_length_mm);
}

SlotMisfit measure_slot_misfit(double depth_mm, double theta_rad, double phi_rad) {
  const double across = depth_mm * std::tan(theta_rad);
  return {depth_mm / std::cos(theta_rad), across / std::sin(phi_rad),
          across * std::abs(std::cos(phi_rad) / std::sin(phi_rad))};
}

std::optional<SpringIn> find_spring_in(const SpringTask& task, int copy,
                                       const std::vector<bool>& standing) {
  if (!(task.working_strain > 0)) return std::nullopt;
  return Springing(task, copy, standing).find_best();
}

}  // namespace sixtyfold
