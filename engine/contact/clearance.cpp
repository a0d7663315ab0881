#include "engine/contact/clearance.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/lanes.h"
#include "engine/tolerance.h"

namespace sixtyfold {

namespace {

using Wall = ClearanceWorkspace::Wall;

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// Heights over a line and positions along it of so many vertices.
SIXTYFOLD_LANES
void measure_along(const double* x, const double* y, std::size_t count, const Vec2& side,
                   double offset, double* heights, double* positions) {
  const double a = side.x(), b = side.y();
  for (std::size_t i = 0; i < count; ++i) {
    heights[i] = a * x[i] + b * y[i] - offset;
    positions[i] = a * y[i] - b * x[i];
  }
}

struct Closest {
  Vec3 first, second;
};

/// Of two segments (Ericson 2005, 5.1.9). One without length stands for itself.
Closest find_closest(const Wall& a, const Wall& b) {
  const Vec3 u = a.to - a.from, v = b.to - b.from, w = a.from - b.from;
  const double uu = u.squaredNorm(), vv = v.squaredNorm(), uv = u.dot(v), uw = u.dot(w),
               vw = v.dot(w);
  const double area = uu * vv - uv * uv;
  if (!(uu > 0 && vv > 0)) return {a.from, b.from};
  double s = 0;
  if (area > 1e-14 * uu * vv) {
    s = std::clamp((uv * vw - uw * vv) / area, 0.0, 1.0);
  } else {  // parallel: in the middle of where they run side by side
    const double p = std::clamp(-uw / uu, 0.0, 1.0), q = std::clamp((uv - uw) / uu, 0.0, 1.0);
    s = (p + q) / 2;
  }
  double t = (uv * s + vw) / vv;
  if (t < 0 || t > 1) {
    t = std::clamp(t, 0.0, 1.0);
    s = std::clamp((uv * t - uw) / uu, 0.0, 1.0);
  }
  return {a.from + s * u, b.from + t * v};
}

class ClearanceMeter {
 public:
  ClearanceMeter(const PlacedBody& placed, double up_to_mm, ClearanceWorkspace& work)
      : placed_(placed),
        work_(work),
        body_(placed.body_mm),
        half_(placed.thickness_mm / 2),
        nearest_(up_to_mm) {
    // The first vertex once more at the end.
    for (auto* numbers : {&work.x, &work.y, &work.heights, &work.positions})
      numbers->resize(body_.size() + 1);
    for (std::size_t i = 0; i < body_.size(); ++i) {
      work.x[i] = body_[i].x();
      work.y[i] = body_[i].y();
      middle_ += body_[i] / static_cast<double>(body_.size());
    }
    work.x.back() = work.x.front();
    work.y.back() = work.y.front();
    double square = 0;
    for (const Vec2& p : body_) square = std::max(square, (p - middle_).squaredNorm());
    radius_ = std::sqrt(square);
    axes_.col(0) = placed.frame.x_axis;
    axes_.col(1) = placed.frame.y_axis;
    axes_.col(2) = placed.frame.normal;
  }

  double measure() {
    const OrbitScheme& scheme = placed_.scheme;
    bool any = !scheme.coplanar.empty();
    for (std::size_t i = 0; i < scheme.pairs.size(); ++i) {
      if (work_.joined[i]) continue;
      any = true;
      if (find_walls(scheme.pairs[i])) compare();
    }
    for (const int element : scheme.coplanar) {
      place(element);
      find_parallel_walls();
      compare();
    }
    return any ? nearest_ : 0;
  }

 private:
  /// Mid-surfaces farther from each other than this can not be nearer than what was found.
  double reach() const { return nearest_ + 2 * half_; }

  /// Where the copy of this element lies in the coordinates of P's frame.
  void place(int element) {
    const Mat3& g = placed_.scheme.group->elements[index(element)];
    turn_ = axes_.transpose() * g * axes_;
    shift_ = axes_.transpose() * (g * placed_.frame.origin - placed_.frame.origin);
  }
  Vec3 to_other(const Vec2& p) const { return turn_.leftCols<2>() * p + shift_; }

  /// Of copies in parallel planes: those near the other copy, as seen along the way from one middle
  /// to the other.
  void find_parallel_walls() {
    const Vec2 way = to_other(middle_).head<2>() - middle_;
    const double length = way.norm();
    const Vec2 ahead = length > 0 ? Vec2(way / length) : Vec2(Vec2::UnitX()),
               aside(-ahead.y(), ahead.x());
    double last = -std::numeric_limits<double>::infinity(), first = -last;
    for (const Vec2& p : body_) {
      last = std::max(last, ahead.dot(p));
      first = std::min(first, ahead.dot(to_other(p).head<2>()));
    }
    for (auto& walls : work_.walls) walls.clear();
    const auto add = [&](int self, const Vec3& from, const Vec3& to) {
      const double a = ahead.dot(from.head<2>()), b = ahead.dot(to.head<2>());
      if (self == 0 ? std::max(a, b) < first - reach() : std::min(a, b) > last + reach()) return;
      const double p = aside.dot(from.head<2>()), q = aside.dot(to.head<2>());
      work_.walls[index(self)].push_back({from, to, std::min(p, q), std::max(p, q)});
    };
    for (std::size_t i = 0; i < body_.size(); ++i) {
      const Vec2 &from = body_[i], &to = body_[i + 1 < body_.size() ? i + 1 : 0];
      add(0, {from.x(), from.y(), 0}, {to.x(), to.y(), 0});
      add(1, to_other(from), to_other(to));
    }
  }

  /// Half the length of the line, moved anywhere within the strip, that lies in the disc about the
  /// middle; negative: none.
  double measure_half_chord(const MeetingLine& line) const {
    const double height = std::abs(line.side.dot(middle_) - line.offset * placed_.scale_mm);
    const double nearest = std::max(0.0, height - reach() / line.sine);
    return nearest > radius_ ? -1 : std::sqrt(radius_ * radius_ - nearest * nearest);
  }

  /// False: the discs' parts beside the lines are too far from each other.
  bool may_be_near(const MeetingLine& line, const MeetingLine& other, bool proper) const {
    const double half = measure_half_chord(line);
    if (half < 0) return false;
    const double other_half = measure_half_chord(other);
    if (other_half < 0) return false;
    const double apart = line.position_of(middle_) - (proper ? -1 : 1) * other.position_of(middle_);
    return std::abs(apart) <= (half + other_half + reach()) * (1 + 1e-9);
  }

  /// Those near the meeting line, of which nothing else can be near. False: nothing is.
  bool find_walls(const PairClass& pair) {
    const MeetingLine &line = placed_.lines[index(pair.element)],
                      &other = placed_.lines[index(pair.inverse)];
    if (!line.exists) {
      place(pair.element);
      if (std::abs(shift_.z()) >= reach()) return false;
      find_parallel_walls();
      return true;
    }
    if (!may_be_near(line, other, pair.proper) || !find_walls(line, work_.walls[0])) return false;
    const double low = low_, high = high_;
    if (!find_walls(other, work_.walls[1])) return false;
    // Positions along the other's line run the other way round.
    if (pair.proper) {
      std::swap(low_, high_);
      low_ = -low_, high_ = -high_;
    }
    if (low_ - high > reach() || low - high_ > reach()) return false;
    place(pair.element);
    for (Wall& wall : work_.walls[1]) {
      wall.from = to_other(wall.from.head<2>());
      wall.to = to_other(wall.to.head<2>());
      if (!pair.proper) continue;
      std::swap(wall.low, wall.high);
      wall.low = -wall.low, wall.high = -wall.high;
    }
    return true;
  }

  /// In the outline's own coordinates; `low_` and `high_` are the positions of all of them.
  bool find_walls(const MeetingLine& line, std::vector<Wall>& walls) {
    double *const heights = work_.heights.data(), *const positions = work_.positions.data();
    measure_along(work_.x.data(), work_.y.data(), body_.size() + 1, line.side,
                  line.offset * placed_.scale_mm, heights, positions);
    const double strip = reach() / line.sine;
    walls.clear();
    low_ = std::numeric_limits<double>::infinity();
    high_ = -low_;
    for (std::size_t i = 0; i < body_.size(); ++i) {
      const double a = heights[i], b = heights[i + 1];
      if (std::min(a, b) > strip || std::max(a, b) < -strip) continue;
      const auto position_at = [&](double height) {
        const double share = a == b ? 0 : std::clamp((height - a) / (b - a), 0.0, 1.0);
        return positions[i] + share * (positions[i + 1] - positions[i]);
      };
      const double p = std::abs(a) <= strip ? positions[i] : position_at(a > 0 ? strip : -strip);
      const double q =
          std::abs(b) <= strip ? positions[i + 1] : position_at(b > 0 ? strip : -strip);
      const Vec2 &from = body_[i], &to = body_[i + 1 < body_.size() ? i + 1 : 0];
      walls.push_back(
          {{from.x(), from.y(), 0}, {to.x(), to.y(), 0}, std::min(p, q), std::max(p, q)});
      low_ = std::min(low_, walls.back().low);
      high_ = std::max(high_, walls.back().high);
    }
    return !walls.empty();
  }

  void compare() {
    has_shared_ = false;
    for (const Wall& a : work_.walls[0])
      for (const Wall& b : work_.walls[1]) {
        if (a.low - b.high > reach() || b.low - a.high > reach()) continue;
        const Closest closest = find_closest(a, b);
        if ((closest.first - closest.second).squaredNorm() >= reach() * reach()) continue;
        if (is_at_shared(closest)) continue;
        nearest_ = std::min(nearest_, measure_walls(a, b));
      }
    compare_corners();
  }

  double measure_walls(const Wall& a, const Wall& b) {
    work_.plates[0].middle.assign({a.from, a.to});
    work_.plates[0].half = {0, 0, half_};
    work_.plates[1].middle.assign({b.from, b.to});
    work_.plates[1].half = half_ * turn_.col(2);
    return measure_distance(work_.plates[0], work_.plates[1]).distance;
  }

  /// Of each copy over the other's face.
  void compare_corners() {
    const Vec3 other_normal = turn_.col(2);
    for (int self = 0; self < 2; ++self)
      for (const Wall& wall : work_.walls[index(self)]) {
        const Vec3& corner = wall.from;
        const double height = self == 0 ? other_normal.dot(corner - shift_) : corner.z();
        const double distance = std::abs(height) - half_ * (1 + std::abs(turn_(2, 2)));
        if (!(distance < nearest_)) continue;
        // The end of the wall that is nearer to the face.
        const Vec3 normal = self == 0 ? Vec3::UnitZ() : other_normal;
        const bool downwards = (height > 0) == (turn_(2, 2) > 0);
        if (!contains(body_, find_foot(self, corner + (downwards ? -half_ : half_) * normal)))
          continue;
        if (is_at_shared({corner, corner - height * (self == 0 ? other_normal : Vec3::UnitZ())}))
          continue;
        nearest_ = std::min(nearest_, std::max(0.0, distance));
      }
  }

  /// Of a point of copy `self` in the plane of the other one, in the outline's coordinates.
  Vec2 find_foot(int self, const Vec3& point) const {
    if (self == 1) return point.head<2>();
    return (turn_.transpose() * (point - shift_)).head<2>();
  }

  bool is_at_shared(const Closest& closest) {
    if (!has_shared_) find_shared();
    const double excused = shared_reach * 2 * half_;
    return std::any_of(work_.shared.begin(), work_.shared.end(), [&](const Vec3& p) {
      return (closest.first - p).squaredNorm() <= excused * excused &&
             (closest.second - p).squaredNorm() <= excused * excused;
    });
  }

  /// Corners of either outline that lie on the other, boundary included. In one plane or in
  /// parallel ones nothing is excused.
  void find_shared() {
    has_shared_ = true;
    work_.shared.clear();
    if (turn_.col(2).head<2>().norm() < 1e-7) return;
    const double band = 2 * contact_band_mm;
    for (int self = 0; self < 2; ++self)
      for (const Vec2& corner : placed_.outline_mm) {
        const double height = self == 0 ? turn_.col(2).dot(Vec3(corner.x(), corner.y(), 0) - shift_)
                                        : turn_.row(2).head<2>().dot(corner) + shift_.z();
        if (std::abs(height) > band) continue;
        const Vec3 point = self == 0 ? Vec3(corner.x(), corner.y(), 0) : to_other(corner);
        const Vec2 foot = find_foot(self, point);
        if (contains(placed_.outline_mm, foot) ||
            distance_to_boundary(placed_.outline_mm, foot) < band)
          work_.shared.push_back(point);
      }
  }

  const PlacedBody& placed_;
  ClearanceWorkspace& work_;
  const Polygon& body_;
  double half_, nearest_;
  Vec2 middle_ = Vec2::Zero();  ///< of a disc that holds the body
  double radius_ = 0;
  Mat3 axes_;  ///< columns: those of P's frame
  Mat3 turn_;  ///< of the other copy, in the coordinates of P's frame
  Vec3 shift_;
  double low_ = 0, high_ = 0;
  bool has_shared_ = false;
};

}  // namespace

double measure_clearance(const PlacedBody& placed, double up_to_mm, ClearanceWorkspace& work) {
  return ClearanceMeter(placed, up_to_mm, work).measure();
}

}  // namespace sixtyfold
