#include "engine/contact/symmetry_copies.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "engine/text.h"

namespace sixtyfold {

namespace {

/// How far a place may be off, as a share of the construction's size: files carry rotations to
/// 1e-5.
constexpr double place_tolerance = 1e-4;
/// Corners looked at where a shape is compared with itself.
constexpr std::size_t most_corners = 256;

/// A panel where some orthogonal matrix has carried it.
struct Place {
  Mat3 matrix;
  Vec3 centroid, normal;
};

/// One panel type: its shape, and how near counts as equal.
struct Shape {
  explicit Shape(const Panel& given) : panel(given), middle(measure_centroid(given.outline_mm)) {
    for (const Vec2& p : panel.outline_mm) size = std::max(size, panel.frame.to_space(p).norm());
  }
  Place at(const Mat3& matrix) const {
    return {matrix, matrix * panel.frame.to_space(middle), matrix * panel.frame.normal};
  }
  bool is_near(const Place& a, const Place& b) const {
    return (a.centroid - b.centroid).norm() <= place_tolerance * size &&
           std::abs(a.normal.dot(b.normal)) >= 1 - 1e-7;
  }
  /// Whether both matrices carry the panel to one and the same place, shape and all.
  bool is_same(const Place& a, const Place& b) const {
    if (!is_near(a, b)) return false;
    if ((a.matrix - b.matrix).cwiseAbs().maxCoeff() <= place_tolerance) return true;
    return keeps_shape(b.matrix.transpose() * a.matrix);
  }

  const Panel& panel;
  Vec2 middle;
  double size = 1;

 private:
  bool keeps_shape(const Mat3& matrix) const {
    if (!keeps_loop(panel.outline_mm, matrix)) return false;
    return std::all_of(panel.holes_mm.begin(), panel.holes_mm.end(),
                       [&](const Polygon& hole) { return keeps_loop(hole, matrix); });
  }
  /// Corners of a loop land on the border of the panel again.
  bool keeps_loop(const Polygon& loop, const Mat3& matrix) const {
    const std::size_t step = 1 + loop.size() / most_corners;
    for (std::size_t i = 0; i < loop.size(); i += step) {
      const Vec2 image = panel.frame.to_plane(matrix * panel.frame.to_space(loop[i]));
      if (!is_on_border(image)) return false;
    }
    return true;
  }
  bool is_on_border(const Vec2& p) const {
    const auto is_on = [&](const Polygon& loop) {
      return distance_to_boundary(loop, p) <= place_tolerance * size;
    };
    return is_on(panel.outline_mm) ||
           std::any_of(panel.holes_mm.begin(), panel.holes_mm.end(), is_on);
  }
};

struct PlacedOrbit {
  Shape shape;
  std::vector<Place> places;

  explicit PlacedOrbit(const Orbit& orbit) : shape(orbit.panel) {
    for (const Mat3& copy : orbit.copies) places.push_back(shape.at(copy));
  }
  int find(const Place& place) const {
    for (std::size_t i = 0; i < places.size(); ++i)
      if (shape.is_same(place, places[i])) return static_cast<int>(i);
    return -1;
  }
  /// Whether the matrix carries every copy to a copy.
  bool is_kept_by(const Mat3& matrix) const {
    return std::all_of(places.begin(), places.end(), [&](const Place& place) {
      return find(shape.at(matrix * place.matrix)) >= 0;
    });
  }
};

/// Which copies the elements carry the first one to.
std::vector<bool> find_reached(const PlacedOrbit& orbit, const std::vector<Mat3>& elements) {
  std::vector<bool> reached(orbit.places.size());
  for (const Mat3& g : elements)
    if (const int i = orbit.find(orbit.shape.at(g * orbit.places.front().matrix)); i >= 0)
      reached[static_cast<std::size_t>(i)] = true;
  return reached;
}

/// Orthogonal matrices that carry a panel onto itself, at most as many as the largest group has:
/// its farthest corner goes to one as far away, turned or mirrored about the foot of its plane.
std::vector<Mat3> find_own_symmetries(const Shape& shape) {
  std::vector<Mat3> own{Mat3::Identity()};
  const Place here = shape.at(Mat3::Identity());
  const Frame& frame = shape.panel.frame;
  const Polygon& outline = shape.panel.outline_mm;
  Mat3 axes;
  axes << frame.x_axis, frame.y_axis, frame.normal;
  const Vec2 corner = *std::max_element(
      outline.begin(), outline.end(),
      [](const Vec2& a, const Vec2& b) { return a.squaredNorm() < b.squaredNorm(); });
  const bool through_centre = frame.origin.norm() <= place_tolerance * shape.size;
  for (const Vec2& p : outline) {
    if (std::abs(p.norm() - corner.norm()) > place_tolerance * shape.size) continue;
    for (const double handedness : {1.0, -1.0})
      for (const double up : {1.0, -1.0}) {
        if (own.size() >= 240 || (up < 0 && !through_centre)) continue;
        // Turned by the difference of the two directions, or mirrored at their bisector.
        const double turn =
            std::atan2(p.y(), p.x()) - handedness * std::atan2(corner.y(), corner.x());
        Mat3 in_plane;
        in_plane << std::cos(turn), -handedness * std::sin(turn), 0,  //
            std::sin(turn), handedness * std::cos(turn), 0,           //
            0, 0, up;
        const Mat3 matrix = axes * in_plane * axes.transpose();
        if (shape.is_same(shape.at(matrix), here) &&
            std::none_of(own.begin(), own.end(), [&](const Mat3& known) {
              return (known - matrix).cwiseAbs().maxCoeff() <= place_tolerance;
            }))
          own.push_back(matrix);
      }
  }
  return own;
}

/// All orthogonal matrices that carry the construction onto itself: the first copy goes to some
/// copy, after a symmetry of the panel's own.
std::vector<Mat3> find_kept_by(const std::vector<PlacedOrbit>& orbits) {
  const PlacedOrbit& first = orbits.front();
  const std::vector<Mat3> own = find_own_symmetries(first.shape);
  const Mat3 back = first.places.front().matrix.transpose();
  std::vector<Mat3> kept;
  for (const Place& place : first.places)
    for (const Mat3& turn : own) {
      const Mat3 matrix = place.matrix * turn * back;
      if (std::all_of(orbits.begin(), orbits.end(),
                      [&](const PlacedOrbit& orbit) { return orbit.is_kept_by(matrix); }))
        kept.push_back(matrix);
    }
  return kept;
}

/// How many elements have each determinant and trace: the same for a group in any orientation.
std::map<std::pair<int, long>, int> count_kinds(const std::vector<Mat3>& elements) {
  std::map<std::pair<int, long>, int> kinds;
  for (const Mat3& g : elements)
    ++kinds[{g.determinant() > 0 ? 1 : -1, std::lround(1000 * g.trace())}];
  return kinds;
}

bool holds_kinds(const std::map<std::pair<int, long>, int>& all,
                 const std::map<std::pair<int, long>, int>& some) {
  return std::all_of(some.begin(), some.end(), [&](const auto& kind) {
    // Rounding may tip a trace to the next thousandth.
    int count = 0;
    for (long d = -1; d <= 1; ++d)
      if (const auto found = all.find({kind.first.first, kind.first.second + d});
          found != all.end())
        count += found->second;
    return count >= kind.second;
  });
}

}  // namespace

std::vector<Mat3> make_copies(const PointGroup& group, const Panel& panel) {
  const Shape shape(panel);
  std::vector<Place> places;
  std::vector<Mat3> copies;
  for (const Mat3& g : group.elements) {
    const Place place = shape.at(g);
    if (std::any_of(places.begin(), places.end(),
                    [&](const Place& known) { return shape.is_same(place, known); }))
      continue;
    places.push_back(place);
    copies.push_back(g);
  }
  return copies;
}

std::string find_symmetry_fault(const Design& design) {
  const PointGroup group = make_point_group(design.symmetry);
  std::vector<PlacedOrbit> orbits;
  for (const Orbit& orbit : design.orbits) orbits.emplace_back(orbit);
  for (const PlacedOrbit& orbit : orbits) {
    const auto count = static_cast<int>(orbit.places.size());
    if (group.order() % count != 0)
      return format("its %d copies can not be those that the symmetry %s makes of a panel", count,
                    design.symmetry.c_str());
  }
  const auto makes_all = [&](const std::vector<Mat3>& elements) {
    return std::all_of(orbits.begin(), orbits.end(), [&](const PlacedOrbit& orbit) {
      const std::vector<bool> reached = find_reached(orbit, elements);
      return std::all_of(reached.begin(), reached.end(), [](bool is) { return is; });
    });
  };
  const auto keeps_all = [&](const Mat3& g) {
    return std::all_of(orbits.begin(), orbits.end(),
                       [&](const PlacedOrbit& orbit) { return orbit.is_kept_by(g); });
  };
  // As the program itself lays the group, which is quick to see.
  if (makes_all(group.elements) &&
      std::all_of(group.elements.begin(), group.elements.end(), keeps_all))
    return "";
  const std::vector<Mat3> kept = find_kept_by(orbits);
  if (makes_all(kept) && holds_kinds(count_kinds(kept), count_kinds(group.elements))) return "";
  return format("its copies are not those that the symmetry %s makes of its panel",
                design.symmetry.c_str());
}

}  // namespace sixtyfold
