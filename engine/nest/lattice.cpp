#include "engine/nest/lattice.h"

#include <algorithm>
#include <cmath>

#include "engine/nest/lowest_shift.h"
#include "engine/nest/upper_border.h"

namespace sixtyfold {

namespace {

std::vector<Polygon> make_reflected(std::vector<Polygon> region) {
  for (Polygon& polygon : region)
    for (Vec2& p : polygon) p = -p;
  return region;
}

}  // namespace

PairRegions PairRegions::turned_by(double angle_rad) const {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  const auto turn = [&](const std::vector<Polygon>& region) {
    std::vector<Polygon> result = region;
    for (Polygon& polygon : result)
      for (Vec2& p : polygon) p = Vec2{c * p.x() - s * p.y(), s * p.x() + c * p.y()};
    return result;
  };
  return {turn(same), turn(turned)};
}

std::vector<Lattice> find_lattices(const PairRegions& regions, const LatticeEffort& effort) {
  const UpperBorder same(regions.same), turned(regions.turned),
      turned_back(make_reflected(regions.turned));
  std::vector<Lattice> lattices;
  for (const double spacing : RowSection(regions.same).find_tight_spacings()) {
    const auto height = [&](const UpperBorder& border, double shift) {
      return measure_row_height(border, {spacing, shift, endless_row, endless_row});
    };
    const auto lowest = [&](const UpperBorder& border) {
      // Corners count modulo the spacing.
      std::vector<double> corners;
      if (effort.refinements > 0)
        for (const double stop : border.stops()) {
          const double corner = std::fmod(stop, spacing);
          corners.push_back(corner < 0 ? corner + spacing : corner);
        }
      return find_lowest_shift({0, spacing, effort.offsets, effort.refinements, &corners},
                               [&](double shift) { return height(border, shift); });
    };
    for (const bool second_turned : {true, false}) {
      const UpperBorder& up = second_turned ? turned : same;
      const UpperBorder& back = second_turned ? turned_back : same;
      const double out = lowest(up), home = second_turned ? lowest(back) : out;
      Lattice lattice;
      lattice.second_turned = second_turned;
      lattice.a = {spacing, 0};
      lattice.second_at = {out, height(up, out)};
      double rise = lattice.second_at.y() + height(back, home);
      // Rows of one kind two rows apart must not meet through the row between.
      rise = std::max(rise, height(same, out + home));
      for (int rows = 2; rows <= 3; ++rows)
        rise = std::max(rise, height(same, rows * (out + home)) / rows);
      lattice.b = {std::fmod(out + home, spacing), rise};
      if (rise > 1e-6) lattices.push_back(lattice);
    }
  }
  std::sort(lattices.begin(), lattices.end(), [](const Lattice& p, const Lattice& q) {
    return p.area_per_part() < q.area_per_part();
  });
  return lattices;
}

Lattice find_densest_lattice(const PairRegions& regions, int directions) {
  Lattice densest;
  double least = -1, best_angle = 0;
  const auto offer = [&](double angle, const LatticeEffort& effort) {
    const auto lattices = find_lattices(regions.turned_by(-angle), effort);
    if (lattices.empty() || !(least < 0 || lattices[0].area_per_part() < least)) return;
    least = lattices[0].area_per_part();
    best_angle = angle;
    densest = make_turned(lattices[0], angle);
  };
  for (int i = 0; i < directions; ++i) offer(pi * i / directions, {40, 6});
  for (const Polygon& polygon : regions.same)
    for (const Vec2& corner : polygon)
      if (corner.y() >= 0) offer(std::atan2(corner.y(), corner.x()), {40, 6});
  double step = pi / directions / 2;
  for (int i = 0; i < 20; ++i, step /= 2) {
    const double about = best_angle;
    for (const double angle : {about - step, about + step}) offer(angle, {120, 24});
  }
  return densest;
}

Lattice make_turned(const Lattice& lattice, double angle_rad) {
  const Eigen::Rotation2Dd turn(angle_rad);
  return {turn * lattice.a, turn * lattice.b, turn * lattice.second_at, lattice.second_turned};
}

std::vector<LatticePart> cut_lattice(const Lattice& lattice, const Box& first, const Box& second) {
  constexpr double slack = 1e-6;
  const Vec2 room = first.size();
  const double cell = cross(lattice.a, lattice.b);
  std::vector<LatticePart> best;
  if (!(room.minCoeff() >= -slack && std::abs(cell) > slack)) return best;
  // From the lowest left place a part may take, so that both kinds have the same room.
  const Vec2 second_at = lattice.second_at - second.low + first.low;
  struct Point {
    Vec2 at;
    bool second;
  };
  // Some part touches the left border; moving by a lattice vector makes it the origin's part or the
  // first second one. The other shift is found by sliding a window over the heights.
  for (const Vec2& pinned : {Vec2{0, 0}, second_at}) {
    std::vector<Point> points;
    for (const bool is_second : {false, true}) {
      const Vec2 base = (is_second ? second_at : Vec2{0, 0}) - pinned;
      // Corners of [0, room.x] x [-room.y, room.y] in lattice coordinates.
      Vec2 low{1e300, 1e300}, high{-1e300, -1e300};
      for (const double x : {0.0, room.x()})
        for (const double y : {-room.y(), room.y()}) {
          const Vec2 p = Vec2{x, y} - base;
          const Vec2 steps{cross(p, lattice.b) / cell, cross(lattice.a, p) / cell};
          low = low.cwiseMin(steps), high = high.cwiseMax(steps);
        }
      constexpr double most_points = 200'000;
      if ((high - low).prod() > most_points) return {};
      for (double i = std::floor(low.x()); i <= high.x() + 1; ++i)
        for (double j = std::floor(low.y()); j <= high.y() + 1; ++j) {
          const Vec2 p = base + i * lattice.a + j * lattice.b;
          if (p.x() >= -slack && p.x() <= room.x() + slack && std::abs(p.y()) <= room.y() + slack)
            points.push_back({p, is_second});
        }
    }
    std::sort(points.begin(), points.end(),
              [](const Point& p, const Point& q) { return p.at.y() < q.at.y(); });
    std::size_t end = 0;
    for (std::size_t begin = 0; begin < points.size(); ++begin) {
      const double bottom = points[begin].at.y();
      while (end < points.size() && points[end].at.y() <= bottom + room.y() + slack) ++end;
      if (end - begin <= best.size()) continue;
      best.clear();
      for (std::size_t k = begin; k < end; ++k) {
        const Vec2 at = (points[k].at - Vec2{0, bottom}).cwiseMax(0.0).cwiseMin(room);
        best.push_back({at + (points[k].second ? second.low : first.low), points[k].second});
      }
    }
  }
  std::stable_sort(best.begin(), best.end(),
                   [](const LatticePart& p, const LatticePart& q) { return p.at.x() < q.at.x(); });
  return best;
}

}  // namespace sixtyfold
