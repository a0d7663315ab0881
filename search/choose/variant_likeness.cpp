#include "search/choose/variant_likeness.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace sixtyfold {

namespace {

/// About `count` points spread evenly over the polygon: a square grid that lies symmetric in its
/// least rectangle, so that turned and mirrored polygons get turned and mirrored points.
std::vector<Vec2> find_sample_points(const Polygon& polygon, double count) {
  const double direction = measure_least_rectangle(polygon).direction_rad;
  const Vec2 along(std::cos(direction), std::sin(direction)), across(-along.y(), along.x());
  const Box box = measure_box_along(polygon, direction);
  const double cell = std::sqrt(measure_area(polygon) / count);
  const int columns = std::max(1, static_cast<int>(std::ceil(box.size().x() / cell)));
  const int rows = std::max(1, static_cast<int>(std::ceil(box.size().y() / cell)));
  const Vec2 middle = (box.low + box.high) / 2;
  std::vector<Vec2> points;
  for (int i = 0; i < columns; ++i)
    for (int k = 0; k < rows; ++k) {
      const Vec2 place = middle + cell * Vec2(i - (columns - 1) / 2.0, k - (rows - 1) / 2.0);
      const Vec2 p = place.x() * along + place.y() * across;
      if (contains(polygon, p)) points.push_back(p);
    }
  if (points.empty()) points.push_back(measure_centroid(polygon));
  return points;
}

template <std::size_t Bins>
void add(std::array<double, Bins>& bins, double share, double weight) {
  const double place = std::clamp(share, 0.0, 1.0) * Bins;
  bins[std::min(Bins - 1, static_cast<std::size_t>(place))] += weight;
}

/// To cumulative shares.
template <std::size_t Bins>
void accumulate(std::array<double, Bins>& bins) {
  double total = 0, sum = 0;
  for (const double bin : bins) total += bin;
  for (double& bin : bins) {
    sum += bin;
    bin = total > 0 ? sum / total : 0;
  }
}

/// Mean absolute difference of cumulative shares: the earth mover's distance in whole ranges.
template <std::size_t Bins>
double measure_gap(const std::array<double, Bins>& a, const std::array<double, Bins>& b) {
  double sum = 0;
  for (std::size_t i = 0; i < Bins; ++i) sum += std::abs(a[i] - b[i]);
  return sum / Bins;
}

}  // namespace

Signature make_signature(const OrbitScheme& scheme, const Variant& variant) {
  Signature signature;
  signature.symmetry = scheme.group->symbol;
  signature.panels = variant.score.panels;
  const Polygon polygon = variant.outline.to_polygon();
  double radius = 0;
  for (const Vec2& p : polygon) radius = std::max(radius, variant.frame.to_space(p).norm());
  const Rectangle box = measure_least_rectangle(polygon);
  const double length = std::hypot(box.long_mm, box.short_mm);

  const std::vector<Vec2> points = find_sample_points(polygon, 96);
  for (std::size_t i = 0; i < points.size(); ++i) {
    add(signature.radii, variant.frame.to_space(points[i]).norm() / radius, 1);
    for (std::size_t k = 0; k < i; ++k)
      add(signature.outline, (points[i] - points[k]).norm() / length, 1);
  }
  std::vector<Vec3> placed;
  for (const Vec2& p : find_sample_points(polygon, 16)) placed.push_back(variant.frame.to_space(p));
  for (const int copy : scheme.copies) {
    const Mat3& g = scheme.group->elements[static_cast<std::size_t>(copy)];
    for (const Vec3& p : placed) {
      const Vec3 image = g * p;
      for (const Vec3& q : placed) add(signature.pairs, (q - image).norm() / (2 * radius), 1);
    }
  }
  for (const PairJoint& joint : variant.joints)
    add(signature.angles, joint.angle_rad / pi, joint.pairs * joint.contact.length());
  accumulate(signature.radii);
  accumulate(signature.pairs);
  accumulate(signature.outline);
  accumulate(signature.angles);
  signature.slenderness = box.short_mm / box.long_mm;
  signature.depth = variant.frame.origin.norm() / radius;
  signature.joints_per_panel = double(variant.score.joints) / variant.score.panels;
  signature.openness = variant.score.openness;
  double windows = 0;
  for (const Polygon& window : variant.windows_mm) windows += measure_area(window);
  signature.windows = windows / (measure_area(polygon) * variant.scale_mm * variant.scale_mm);
  return signature;
}

double measure_difference(const Signature& a, const Signature& b) {
  double difference = 0;
  if (a.symmetry != b.symmetry || a.panels != b.panels) difference += 0.3;
  difference += 2.0 * measure_gap(a.radii, b.radii);
  difference += 2.0 * measure_gap(a.pairs, b.pairs);
  difference += 1.5 * measure_gap(a.outline, b.outline);
  difference += 0.5 * measure_gap(a.angles, b.angles);
  difference += 0.3 * std::abs(a.slenderness - b.slenderness);
  difference += 0.5 * std::abs(a.depth - b.depth);
  difference += 0.04 * std::abs(a.joints_per_panel - b.joints_per_panel);
  difference += 0.4 * std::abs(a.openness - b.openness);
  difference += 0.4 * std::abs(a.windows - b.windows);
  return difference;
}

}  // namespace sixtyfold
