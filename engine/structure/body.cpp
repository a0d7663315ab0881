#include "engine/structure/body.h"

#include "engine/design.h"

namespace sixtyfold {
namespace {

/// Area, first and second moments about the origin of the plane, holes counted negative.
struct PlaneMoments {
  double area = 0;
  Vec2 first = Vec2::Zero();
  Eigen::Matrix2d second = Eigen::Matrix2d::Zero();
};

void add_polygon(const Polygon& polygon, double sign, PlaneMoments& sum) {
  PlaneMoments one;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    // Triangle of the origin and one edge: moments of its vertices (0, a, b).
    const Vec2 &a = polygon[i], &b = polygon[i + 1 == polygon.size() ? 0 : i + 1];
    const double doubled = cross(a, b);
    one.area += doubled / 2;
    one.first += doubled / 6 * (a + b);
    one.second +=
        doubled / 24 * (a * a.transpose() + b * b.transpose() + (a + b) * (a + b).transpose());
  }
  const double factor = one.area < 0 ? -sign : sign;  // either sense of running round is accepted
  sum.area += factor * one.area;
  sum.first += factor * one.first;
  sum.second += factor * one.second;
}

}  // namespace

PanelBody measure_body(const Frame& frame, const Polygon& outline_mm,
                       const std::vector<Polygon>& holes_mm) {
  // About a vertex of the outline, not the foot: no cancellation for panels far from the foot.
  const Vec2 shift = outline_mm.empty() ? Vec2(0, 0) : outline_mm[0];
  const auto moved = [&shift](Polygon polygon) {
    for (Vec2& p : polygon) p -= shift;
    return polygon;
  };
  PlaneMoments sum;
  add_polygon(moved(outline_mm), 1, sum);
  for (const Polygon& hole : holes_mm) add_polygon(moved(hole), -1, sum);
  PanelBody body;
  if (!(sum.area > 0)) return body;
  const Vec2 centroid = sum.first / sum.area;
  const Eigen::Matrix2d central = sum.second - sum.area * centroid * centroid.transpose();
  Eigen::Matrix<double, 3, 2> axes;
  axes << frame.x_axis, frame.y_axis;
  body.area_mm2 = sum.area;
  body.centroid_mm = frame.to_space(centroid + shift);
  body.second_moments_mm4 = axes * central * axes.transpose();
  return body;
}

PanelBody make_image(const PanelBody& body, const Mat3& orthogonal) {
  return {body.area_mm2, orthogonal * body.centroid_mm,
          orthogonal * body.second_moments_mm4 * orthogonal.transpose()};
}

std::vector<PanelBody> find_bodies(const Design& design) {
  std::vector<PanelBody> bodies;
  for (const Orbit& orbit : design.orbits) {
    const PanelBody body =
        measure_body(orbit.panel.frame, orbit.panel.outline_mm, orbit.panel.holes_mm);
    for (const Mat3& copy : orbit.copies) bodies.push_back(make_image(body, copy));
  }
  return bodies;
}

Vec3 find_centre_of_mass(const Design& design) {
  Vec3 sum = Vec3::Zero();
  double area = 0;
  for (const PanelBody& body : find_bodies(design))
    sum += body.area_mm2 * body.centroid_mm, area += body.area_mm2;
  return sum / area;
}

std::vector<std::vector<Vec3>> find_corners(const Design& design) {
  std::vector<std::vector<Vec3>> corners;
  for (const Orbit& orbit : design.orbits)
    for (const Mat3& copy : orbit.copies) {
      corners.emplace_back();
      for (const Vec2& p : orbit.panel.outline_mm)
        corners.back().push_back(copy * orbit.panel.frame.to_space(p));
    }
  return corners;
}

}  // namespace sixtyfold
