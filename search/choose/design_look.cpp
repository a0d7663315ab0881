#include "search/choose/design_look.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <limits>

namespace sixtyfold {
namespace {

constexpr int raster = 40;    // pixels across a silhouette
constexpr int rings = 6;      // about the centre of a silhouette
constexpr int sectors = 24;   // of a ring
constexpr int bins = 8;       // of a distribution
constexpr int harmonics = 6;  // of an outline
constexpr int outline_rays = 64;

// Weights bring the parts to about the same spread over random designs.
constexpr double silhouette_weight = 0.5, variation_weight = 0.7, area_weight = 0.8,
                 tilt_weight = 0.6, outline_weight = 0.7, harmonic_weight = 1.2,
                 panels_weight = 0.35;

// Along the axes that T, O and I have in common, and between them.
const std::array<Vec3, 5> directions = {
    Vec3(0, 0, 1), Vec3(1, 1, 1).normalized(), Vec3(0, 1, 1.618033988749895).normalized(),
    Vec3(1, 0.35, 0.2).normalized(), Vec3(0.3, 0.8, 0.45).normalized()};

struct Placed {
  std::vector<std::vector<Vec3>> rings;  // outline and holes, scaled to radius 1
};

std::vector<Placed> place_panels(const Design& design) {
  const double radius = measure_enclosing_radius(design);
  assert(radius > 0);
  std::vector<Placed> panels;
  for (const Orbit& orbit : design.orbits)
    for (const Mat3& copy : orbit.copies) {
      Placed panel;
      const auto add = [&](const Polygon& ring) {
        panel.rings.emplace_back();
        for (const Vec2& p : ring)
          panel.rings.back().push_back(copy * orbit.panel.frame.to_space(p) / radius);
      };
      add(orbit.panel.outline_mm);
      for (const Polygon& hole : orbit.panel.holes_mm) add(hole);
      panels.push_back(std::move(panel));
    }
  return panels;
}

// Which pixels of the square [-1, 1] the panels cover, seen along a direction; even-odd scan lines.
std::vector<char> draw_silhouette(const std::vector<Placed>& panels, const Vec3& direction) {
  const Vec3 across = direction.unitOrthogonal(), up = direction.cross(across);
  std::vector<char> covered(static_cast<std::size_t>(raster * raster), 0);
  std::vector<double> crossings;
  std::vector<std::vector<Vec2>> flat;
  for (const Placed& panel : panels) {
    flat.clear();
    double low = 1, high = -1;
    for (const auto& ring : panel.rings) {
      flat.emplace_back();
      for (const Vec3& p : ring) {
        flat.back().emplace_back(across.dot(p), up.dot(p));
        low = std::min(low, flat.back().back().y());
        high = std::max(high, flat.back().back().y());
      }
    }
    const int first = std::max(0, static_cast<int>((low + 1) / 2 * raster - 0.5));
    const int last = std::min(raster - 1, static_cast<int>((high + 1) / 2 * raster + 0.5));
    for (int row = first; row <= last; ++row) {
      const double y = -1 + 2 * (row + 0.5) / raster;
      crossings.clear();
      for (const auto& ring : flat)
        for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
          if ((ring[i].y() > y) != (ring[j].y() > y))
            crossings.push_back(ring[i].x() + (y - ring[i].y()) * (ring[j].x() - ring[i].x()) /
                                                  (ring[j].y() - ring[i].y()));
      std::sort(crossings.begin(), crossings.end());
      for (std::size_t k = 0; k + 1 < crossings.size(); k += 2)
        for (int column =
                 std::max(0, static_cast<int>(std::ceil((crossings[k] + 1) / 2 * raster - 0.5)));
             column < raster && -1 + 2 * (column + 0.5) / raster < crossings[k + 1]; ++column)
          covered[static_cast<std::size_t>(row * raster + column)] = 1;
    }
  }
  return covered;
}

void add_silhouette(const std::vector<char>& covered, Look& look) {
  std::array<double, rings * sectors> hit{}, all{};
  for (int row = 0; row < raster; ++row)
    for (int column = 0; column < raster; ++column) {
      const double x = -1 + 2 * (column + 0.5) / raster, y = -1 + 2 * (row + 0.5) / raster;
      const double distance = std::hypot(x, y);
      if (distance >= 1) continue;
      const int ring = static_cast<int>(distance * rings);
      const int sector = static_cast<int>((std::atan2(y, x) / (2 * pi) + 0.5) * sectors) % sectors;
      const auto cell = static_cast<std::size_t>(ring * sectors + sector);
      all[cell] += 1;
      hit[cell] += covered[static_cast<std::size_t>(row * raster + column)];
    }
  for (int ring = 0; ring < rings; ++ring) {
    double sum = 0, square = 0, weight = 0;
    for (int sector = 0; sector < sectors; ++sector) {
      const auto cell = static_cast<std::size_t>(ring * sectors + sector);
      if (all[cell] == 0) continue;
      const double share = hit[cell] / all[cell];
      sum += all[cell] * share;
      square += all[cell] * share * share;
      weight += all[cell];
    }
    const double mean = sum / weight;
    look.push_back(silhouette_weight * mean);
    look.push_back(variation_weight * std::sqrt(std::max(0.0, square / weight - mean * mean)));
  }
}

// Spread of the board's area over distance from the centre and over tilt, from the panel alone:
// all copies of an orbit have the same.
void add_area(const Design& design, Look& look) {
  std::array<double, bins> far{}, tilted{};
  double total = 0;
  const double radius = measure_enclosing_radius(design);
  for (const Orbit& orbit : design.orbits) {
    const Panel& panel = orbit.panel;
    const Box box = measure_box(panel.outline_mm);
    constexpr int steps = 32;
    for (int i = 0; i < steps; ++i)
      for (int j = 0; j < steps; ++j) {
        const Vec2 p =
            box.low + Vec2((i + 0.5) / steps * box.size().x(), (j + 0.5) / steps * box.size().y());
        if (!contains(panel.outline_mm, p) ||
            std::any_of(panel.holes_mm.begin(), panel.holes_mm.end(),
                        [&](const Polygon& hole) { return contains(hole, p); }))
          continue;
        const double part =
            box.size().prod() / (steps * steps) * static_cast<double>(orbit.copies.size());
        const Vec3 q = panel.frame.to_space(p);
        const double distance = q.norm();
        const double tilt =
            distance > 0 ? std::acos(std::min(1.0, std::abs(panel.frame.normal.dot(q)) / distance))
                         : 0;
        far[static_cast<std::size_t>(std::min(bins - 1.0, distance / radius * bins))] += part;
        tilted[static_cast<std::size_t>(std::min(bins - 1.0, tilt / (pi / 2) * bins))] += part;
        total += part;
      }
  }
  // Cumulated, so that a small shift is a small difference.
  double far_sum = 0, tilt_sum = 0;
  for (std::size_t b = 0; b < bins; ++b) {
    look.push_back(area_weight * (far_sum += far[b] / std::max(total, 1e-300)) / std::sqrt(bins));
    look.push_back(tilt_weight * (tilt_sum += tilted[b] / std::max(total, 1e-300)) /
                   std::sqrt(bins));
  }
}

void add_outline(const Polygon& outline, Look& look) {
  const double area = std::abs(measure_area(outline)), perimeter = measure_perimeter(outline);
  const Rectangle rectangle = measure_least_rectangle(outline);
  look.push_back(outline_weight * std::sqrt(4 * pi * area) / std::max(perimeter, 1e-300));
  look.push_back(outline_weight * rectangle.short_mm / std::max(rectangle.long_mm, 1e-300));
  look.push_back(outline_weight * area /
                 std::max(std::abs(measure_area(make_convex_hull(outline))), 1e-300));
  // Distance of the farthest boundary in each direction from the centroid; sizes of harmonics
  // depend on neither the turn nor the mirror image.
  const Vec2 centre = measure_centroid(outline);
  std::array<double, outline_rays> reach{};
  double mean = 0;
  for (int ray = 0; ray < outline_rays; ++ray) {
    const double angle = 2 * pi * ray / outline_rays;
    const Vec2 along(std::cos(angle), std::sin(angle));
    for (std::size_t i = 0, j = outline.size() - 1; i < outline.size(); j = i++) {
      const Vec2 a = outline[j] - centre, b = outline[i] - centre;
      const double ha = cross(along, a), hb = cross(along, b);
      if ((ha > 0) == (hb > 0)) continue;
      const double distance = along.dot(a + (b - a) * (ha / (ha - hb)));
      reach[static_cast<std::size_t>(ray)] =
          std::max(reach[static_cast<std::size_t>(ray)], distance);
    }
    mean += reach[static_cast<std::size_t>(ray)] / outline_rays;
  }
  for (int k = 1; k <= harmonics; ++k) {
    Vec2 sum = Vec2::Zero();
    for (int ray = 0; ray < outline_rays; ++ray) {
      const double angle = 2 * pi * k * ray / outline_rays;
      sum += reach[static_cast<std::size_t>(ray)] * Vec2(std::cos(angle), std::sin(angle));
    }
    look.push_back(harmonic_weight * sum.norm() / (outline_rays * std::max(mean, 1e-300)));
  }
}

}  // namespace

Look find_look(const Design& design) {
  Look look;
  const std::vector<Placed> panels = place_panels(design);
  for (const Vec3& direction : directions) add_silhouette(draw_silhouette(panels, direction), look);
  for (double& value : look) value /= std::sqrt(static_cast<double>(directions.size()));
  add_area(design, look);
  add_outline(design.orbits[0].panel.outline_mm, look);
  look.push_back(panels_weight * std::log2(static_cast<double>(panels.size()) + 1) / 2);
  return look;
}

double measure_look_difference(const Look& a, const Look& b) {
  assert(a.size() == b.size());
  double sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += (a[i] - b[i]) * (a[i] - b[i]);
  return std::sqrt(sum);
}

double measure_smallest_difference(const std::vector<Look>& looks, const std::vector<int>& chosen) {
  double smallest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < chosen.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      smallest =
          std::min(smallest, measure_look_difference(looks[static_cast<std::size_t>(chosen[i])],
                                                     looks[static_cast<std::size_t>(chosen[j])]));
  return smallest;
}

std::vector<int> choose_different(const std::vector<Look>& looks, int count) {
  const int all = static_cast<int>(looks.size());
  std::vector<int> chosen;
  if (all <= count) {
    for (int i = 0; i < all; ++i) chosen.push_back(i);
    return chosen;
  }
  if (count <= 0) return chosen;
  const auto difference = [&](int a, int b) {
    return measure_look_difference(looks[static_cast<std::size_t>(a)],
                                   looks[static_cast<std::size_t>(b)]);
  };
  std::vector<double> nearest(looks.size(), std::numeric_limits<double>::infinity());
  for (int next = 0; static_cast<int>(chosen.size()) < count;) {
    chosen.push_back(next);
    for (int i = 0; i < all; ++i)
      nearest[static_cast<std::size_t>(i)] =
          std::min(nearest[static_cast<std::size_t>(i)], difference(i, next));
    nearest[static_cast<std::size_t>(next)] = -1;  // equal looks: never the same one twice
    next = static_cast<int>(std::max_element(nearest.begin(), nearest.end()) - nearest.begin());
  }

  // Put another in the place of one of the closest pair while the smallest difference grows.
  for (int round = 0; round < 4 * count; ++round) {
    double smallest = std::numeric_limits<double>::infinity();
    std::size_t first = 0, second = 0;
    for (std::size_t i = 0; i < chosen.size(); ++i)
      for (std::size_t j = 0; j < i; ++j)
        if (const double d = difference(chosen[i], chosen[j]); d < smallest) {
          smallest = d;
          first = i;
          second = j;
        }
    double best = smallest;
    std::size_t best_slot = 0;
    int best_look = -1;
    for (const std::size_t slot : {first, second})
      for (int i = 0; i < all; ++i) {
        double least = std::numeric_limits<double>::infinity();
        for (std::size_t j = 0; j < chosen.size() && least > best; ++j)
          if (j != slot) least = std::min(least, difference(i, chosen[j]));
        if (least > best) {
          // The rest may hold a pair that is as close; it is met in a later round.
          best = least;
          best_slot = slot;
          best_look = i;
        }
      }
    if (best_look < 0) break;
    chosen[best_slot] = best_look;
  }
  std::sort(chosen.begin(), chosen.end());
  return chosen;
}

}  // namespace sixtyfold
