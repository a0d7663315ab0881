#include "engine/shape/section.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace sixtyfold {

namespace {

using Mat2 = Eigen::Matrix2d;

constexpr double same_point = 1e-9;  // of the section's size

enum class Part { solid, hollow, facet };

/// A circle, an ellipse, or the line normal . p = offset. The body lies on the left of the way
/// along it: to the inside of a solid's circle, to the outside of a hollow's, against a facet's
/// normal.
struct Curve {
  Part part;
  Vec2 centre = Vec2::Zero();  ///< of a line: its normal
  double radius = 1;           ///< of a line: its offset; of an ellipse: its long half axis
  bool is_ellipse = false;
  /// Of an ellipse, symmetric: carries the unit circle about 0 onto it about its centre; and back.
  Mat2 shape = Mat2::Identity(), back = Mat2::Identity();

  bool is_line() const { return part == Part::facet; }
  /// In its own measure, in which an ellipse is the unit circle about 0.
  Vec2 to_own(const Vec2& p) const { return back * (p - centre); }
  Vec2 to_turning(double place) const {
    const double angle = part == Part::solid ? place : -place;
    return {std::cos(angle), std::sin(angle)};
  }
  /// Whether the body may be there.
  bool allows(const Vec2& p) const {
    if (is_line()) return radius > centre.dot(p);
    if (is_ellipse) return (to_own(p).squaredNorm() < 1) == (part == Part::solid);
    const double square = (p - centre).squaredNorm(), limit = radius * radius;
    return part == Part::solid ? square < limit : square > limit;
  }
  /// Angle on a circle, position along a line; grows on the way.
  double place_of(const Vec2& p) const {
    if (is_line()) return cross(centre, p);
    const Vec2 v = is_ellipse ? to_own(p) : Vec2(p - centre);
    const double angle = std::atan2(v.y(), v.x());
    return part == Part::solid ? angle : -angle;
  }
  Vec2 point_at(double place) const {
    if (is_line()) return radius * centre + place * Vec2(-centre.y(), centre.x());
    if (is_ellipse) return centre + shape * to_turning(place);
    return centre + radius * to_turning(place);
  }
  Vec2 heading_at(double place) const {
    if (is_line()) return {-centre.y(), centre.x()};
    const Vec2 on = to_turning(place);
    Vec2 turning(-on.y(), on.x());
    if (is_ellipse) turning = (shape * turning).normalized();
    return part == Part::solid ? turning : Vec2(-turning);
  }
};

/// A stretch of a curve on the section's border.
struct Arc {
  std::size_t curve;
  double from, to;  ///< places, from < to
  Vec2 start, end;
  bool is_circle = false, is_used = false;
};

/// The ellipse in which a plane meets a stretched ball; false where it does not.
bool make_ellipse(const Ball& ball, const Frame& frame, Curve& ellipse) {
  // Points p of the plane with (p - c)^T M (p - c) = 1, M = (1 + (1/s^2 - 1) a a^T) / r^2.
  const double pull = 1 / (ball.stretch * ball.stretch) - 1, r2 = ball.radius * ball.radius;
  const Vec2 centre = frame.to_plane(ball.centre),
             a(frame.x_axis.dot(ball.axis), frame.y_axis.dot(ball.axis));
  const double height = -frame.height_of(ball.centre), a_up = frame.normal.dot(ball.axis);
  const Mat2 form = (Mat2::Identity() + pull * a * a.transpose()) / r2;
  const Vec2 linear = pull * a_up * height / r2 * a;
  const double rest = height * height * (1 + pull * a_up * a_up) / r2;
  const Vec2 shift = -form.inverse() * linear;
  const double room = 1 - rest - linear.dot(shift);
  if (!(room > 1e-12)) return false;
  // Its axes lie along a and across it.
  const double length = a.norm();
  const Vec2 along = length > 1e-12 ? Vec2(a / length) : Vec2::UnitX();
  const double half_along = std::sqrt(room * r2 / (1 + pull * length * length)),
               half_across = std::sqrt(room * r2);
  const Mat2 onto = along * along.transpose(), beside = Mat2::Identity() - onto;
  ellipse.centre = centre + shift;
  ellipse.radius = std::max(half_along, half_across);
  ellipse.is_ellipse = true;
  ellipse.shape = half_along * onto + half_across * beside;
  ellipse.back = onto / half_along + beside / half_across;
  return true;
}

/// Once round the unit circle, not from where symmetry likes its crossings to lie.
struct Round {
  static constexpr int steps = 180;
  std::array<double, steps + 1> angles;
  std::array<Vec2, steps + 1> points;

  Round() {
    constexpr double start = 0.0123;
    for (int k = 0; k <= steps; ++k) {
      const auto i = static_cast<std::size_t>(k);
      angles[i] = start + 2 * pi * k / steps;
      points[i] = {std::cos(angles[i]), std::sin(angles[i])};
    }
  }
};

/// Where an ellipse meets a circle or another ellipse: up to four points, found by halving on the
/// way round the ellipse. Two closer than a hundredth of a turn are a touch and left out.
void meet_round(const Curve& ellipse, const Curve& other, std::vector<Vec2>& points) {
  static const Round round;
  const double reach = ellipse.radius + other.radius;
  if ((ellipse.centre - other.centre).squaredNorm() > reach * reach) return;
  const auto point_at = [&](const Vec2& on_circle) -> Vec2 {
    return ellipse.centre + ellipse.shape * on_circle;
  };
  const auto miss_at = [&](const Vec2& on_circle) {
    const Vec2 p = point_at(on_circle);
    return other.is_ellipse ? other.to_own(p).squaredNorm() - 1
                            : (p - other.centre).squaredNorm() / (other.radius * other.radius) - 1;
  };
  const auto turn = [](double angle) { return Vec2(std::cos(angle), std::sin(angle)); };
  double miss = miss_at(round.points[0]);
  for (std::size_t k = 1; k <= Round::steps; ++k) {
    const double next = miss_at(round.points[k]);
    if ((miss > 0) != (next > 0)) {
      double from = round.angles[k - 1], to = round.angles[k];
      for (int i = 0; i < 60; ++i) {
        const double middle = (from + to) / 2;
        ((miss_at(turn(middle)) > 0) == (miss > 0) ? from : to) = middle;
      }
      points.push_back(point_at(turn(from)));
    }
    miss = next;
  }
}

void meet_line(const Curve& ellipse, const Curve& line, std::vector<Vec2>& points) {
  // In the ellipse's own measure: n . (c + S w) = offset.
  const Vec2 across = ellipse.shape * line.centre;
  const double length = across.norm(),
               height = (line.radius - line.centre.dot(ellipse.centre)) / length;
  const double square = 1 - height * height;
  if (!(square > 0)) return;
  const Vec2 normal = across / length, along(-normal.y(), normal.x());
  for (const double sign : {1.0, -1.0})
    points.push_back(ellipse.centre +
                     ellipse.shape * (height * normal + sign * std::sqrt(square) * along));
}

void meet(const Curve& a, const Curve& b, std::vector<Vec2>& points) {
  if (a.is_ellipse || b.is_ellipse) {
    const Curve &ellipse = a.is_ellipse ? a : b, &other = a.is_ellipse ? b : a;
    return other.is_line() ? meet_line(ellipse, other, points) : meet_round(ellipse, other, points);
  }
  if (a.is_line() && b.is_line()) {
    const double sine = cross(a.centre, b.centre);
    if (std::abs(sine) < 1e-9) return;
    points.push_back((a.radius * Vec2(b.centre.y(), -b.centre.x()) +
                      b.radius * Vec2(-a.centre.y(), a.centre.x())) /
                     sine);
    return;
  }
  if (a.is_line() || b.is_line()) {
    const Curve &line = a.is_line() ? a : b, &circle = a.is_line() ? b : a;
    const double height = line.radius - line.centre.dot(circle.centre);
    const double square = circle.radius * circle.radius - height * height;
    if (!(square > 0)) return;
    const Vec2 foot = circle.centre + height * line.centre;
    const Vec2 along(-line.centre.y(), line.centre.x());
    points.push_back(foot + std::sqrt(square) * along);
    points.push_back(foot - std::sqrt(square) * along);
    return;
  }
  const Vec2 way = b.centre - a.centre;
  const double distance = way.norm();
  if (!(distance > 1e-12)) return;
  const double along =
      (distance * distance + a.radius * a.radius - b.radius * b.radius) / (2 * distance);
  const double square = a.radius * a.radius - along * along;
  if (!(square > 0)) return;
  const Vec2 foot = a.centre + along / distance * way;
  const Vec2 aside = std::sqrt(square) / distance * Vec2(-way.y(), way.x());
  points.push_back(foot + aside);
  points.push_back(foot - aside);
}

class Cutting {
 public:
  Cutting(const Body& body, const Frame& frame, const SectionSymmetry& symmetry)
      : symmetry_(symmetry), has_solids_(!body.solids.empty()) {
    const auto add_balls = [&](const std::vector<Ball>& balls, Part part) {
      for (const Ball& ball : balls) {
        if (ball.stretch != 1) {
          Curve ellipse{part};
          if (make_ellipse(ball, frame, ellipse)) curves_.push_back(ellipse);
          continue;
        }
        const double height = frame.height_of(ball.centre);
        const double square = ball.radius * ball.radius - height * height;
        if (square > 1e-12 * ball.radius * ball.radius)
          curves_.push_back({part, frame.to_plane(ball.centre), std::sqrt(square)});
      }
    };
    add_balls(body.solids, Part::solid);
    add_balls(body.hollows, Part::hollow);
    for (const HalfSpace& facet : body.facets) {
      const Vec2 across(frame.x_axis.dot(facet.normal), frame.y_axis.dot(facet.normal));
      const double room = facet.distance - facet.normal.dot(frame.origin), sine = across.norm();
      if (sine > 1e-9)
        curves_.push_back({Part::facet, across / sine, room / sine});
      else if (room < 0)
        is_empty_ = true;
    }
    drop_hollows_beside();
    // Equal curves once.
    for (std::size_t i = 0; i < curves_.size(); ++i)
      for (std::size_t k = curves_.size() - 1; k > i; --k)
        if (curves_[i].part == curves_[k].part &&
            (curves_[i].centre - curves_[k].centre).norm() < same_point &&
            std::abs(curves_[i].radius - curves_[k].radius) < same_point &&
            (curves_[i].shape - curves_[k].shape).norm() < same_point)
          curves_.erase(curves_.begin() + static_cast<std::ptrdiff_t>(k));
  }

  bool holds(const Vec2& p) const { return !is_empty_ && is_in_body(p, curves_.size()); }

  void cut(const Vec2& hub, Section& section) {
    find_arcs();
    std::vector<Polygon> loops = trace_loops();
    double least = std::numeric_limits<double>::infinity();
    for (const Polygon& loop : loops) {
      const double area = measure_area(loop);
      if (area > 0 && area < least && contains(loop, hub)) {
        least = area;
        section.outline = loop;
      }
    }
    if (section.outline.empty()) return;
    for (Polygon& loop : loops)
      if (measure_area(loop) < 0 && contains(section.outline, loop.front())) {
        std::reverse(loop.begin(), loop.end());
        section.holes.push_back(std::move(loop));
      }
  }

 private:
  /// Hollows that reach no solid ball take nothing away. The solids come first and stay.
  void drop_hollows_beside() {
    if (!has_solids_) return;
    std::erase_if(curves_, [&](const Curve& hollow) {
      return hollow.part == Part::hollow &&
             std::none_of(curves_.begin(), curves_.end(), [&](const Curve& solid) {
               const double reach = solid.radius + hollow.radius;
               return solid.part == Part::solid &&
                      (solid.centre - hollow.centre).squaredNorm() < reach * reach;
             });
    });
  }

  /// `on`: the curve the point is known to lie on.
  bool is_in_body(const Vec2& p, std::size_t on) const {
    bool is_in_solid = !has_solids_ || (on < curves_.size() && curves_[on].part == Part::solid);
    for (std::size_t i = 0; i < curves_.size(); ++i) {
      if (i == on) continue;
      const bool allows = curves_[i].allows(p);
      if (curves_[i].part == Part::solid)
        is_in_solid = is_in_solid || allows;
      else if (!allows)
        return false;
    }
    return is_in_solid;
  }
  bool is_on_border(const Vec2& p, std::size_t on) const {
    if (curves_[on].part == Part::solid)
      for (std::size_t i = 0; i < curves_.size(); ++i)
        if (i != on && curves_[i].part == Part::solid && curves_[i].allows(p)) return false;
    return is_in_body(p, on);
  }

  void find_arcs() {
    if (is_empty_) return;
    std::vector<Vec2> points;
    std::vector<double> places;
    for (std::size_t i = 0; i < curves_.size(); ++i) {
      const Curve& curve = curves_[i];
      points.clear();
      for (std::size_t k = 0; k < curves_.size(); ++k)
        if (k != i) meet(i < k ? curve : curves_[k], i < k ? curves_[k] : curve, points);
      places.clear();
      for (const Vec2& p : points) places.push_back(curve.place_of(p));
      std::sort(places.begin(), places.end());
      places.erase(std::unique(places.begin(), places.end(),
                               [](double a, double b) { return b - a < same_point; }),
                   places.end());
      if (places.empty()) {
        if (curve.is_line()) continue;
        const double start =
            curve.part == Part::solid ? symmetry_.mirror_rad : -symmetry_.mirror_rad;
        if (is_on_border(curve.point_at(start), i))
          arcs_.push_back(
              {i, start, start + 2 * pi, curve.point_at(start), curve.point_at(start), true});
        continue;
      }
      if (!curve.is_line()) places.push_back(places.front() + 2 * pi);
      for (std::size_t k = 0; k + 1 < places.size(); ++k) {
        const double from = places[k], to = places[k + 1];
        if (to - from < same_point || !is_on_border(curve.point_at((from + to) / 2), i)) continue;
        arcs_.push_back({i, from, to, curve.point_at(from), curve.point_at(to)});
      }
    }
  }

  /// The arc that goes on where one ends; of several the one that turns most to the left.
  Arc* find_next(const Arc& arc) {
    const Vec2 heading = curves_[arc.curve].heading_at(arc.to);
    Arc* best = nullptr;
    double most = -4;
    for (Arc& next : arcs_) {
      if (next.is_circle || (next.start - arc.end).norm() > 10 * same_point) continue;
      const Vec2 on = curves_[next.curve].heading_at(next.from);
      const double turn = std::atan2(cross(heading, on), heading.dot(on));
      if (turn > most) most = turn, best = &next;
    }
    return best;
  }

  void add_corners(const Arc& arc, Polygon& loop) const {
    const Curve& curve = curves_[arc.curve];
    int steps = 1;
    if (!curve.is_line()) {
      // Chords of about one sagitta, whatever the radius: where a cut meets an arc, it ends there.
      const double step = std::clamp(0.08 / std::sqrt(curve.radius), 0.04, 0.3);
      steps = std::max(2, static_cast<int>(std::ceil((arc.to - arc.from) / step - 1e-6)));
      if (arc.is_circle) {
        const int even = 2 * symmetry_.fold;
        steps = std::max(12 / even + 1, (steps + even - 1) / even) * even;
      }
    }
    for (int i = 0; i < steps; ++i)
      loop.push_back(i == 0 ? arc.start
                            : curve.point_at(arc.from + (arc.to - arc.from) * i / steps));
  }

  std::vector<Polygon> trace_loops() {
    std::vector<Polygon> loops;
    for (Arc& first : arcs_) {
      if (first.is_used) continue;
      Polygon loop;
      Arc* arc = &first;
      while (arc && !arc->is_used) {
        arc->is_used = true;
        add_corners(*arc, loop);
        arc = arc->is_circle ? arc : find_next(*arc);
      }
      if (arc == &first && loop.size() >= 3) loops.push_back(std::move(loop));
    }
    return loops;
  }

  SectionSymmetry symmetry_;
  bool has_solids_, is_empty_ = false;
  std::vector<Curve> curves_;
  std::vector<Arc> arcs_;
};

}  // namespace

void cut_section(const Body& body, const Frame& frame, const Vec2& hub,
                 const SectionSymmetry& symmetry, Section& section) {
  section.outline.clear();
  section.holes.clear();
  Cutting cutting(body, frame, symmetry);
  if (cutting.holds(hub)) cutting.cut(hub, section);
}

}  // namespace sixtyfold
