#include "engine/shape/openness.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>
#include <limits>

#include "engine/lanes.h"

namespace sixtyfold {

namespace {

using Work = OpennessWorkspace;

constexpr int cells = Work::cells;
constexpr std::size_t block_size = 64;  // images looked at together

/// Position across the box in cells, kept inside it.
int clamp_cell(double at) { return std::clamp(static_cast<int>(at), 0, cells - 1); }

void set_box(Work& work) {
  Vec2 high = Vec2::Constant(-std::numeric_limits<double>::infinity()), low = -high;
  for (std::size_t i = 0; i < work.low_x.size(); ++i) {
    const Vec2 start(work.low_x[i], work.low_y[i]);
    const Vec2 end = start + Vec2(work.rise_x[i], work.rise_y[i]);
    low = low.cwiseMin(start).cwiseMin(end);
    high = high.cwiseMax(start).cwiseMax(end);
  }
  work.corner = low;
  for (int k = 0; k < 2; ++k)
    work.cells_per_mm[k] = high[k] > low[k] ? cells / (high[k] - low[k]) : 0;
}

std::uint64_t make_mask(int from, int to) {
  return (~std::uint64_t{0} >> (63 - (to - from))) << from;
}

/// Marks the cells an edge passes through, and what lies to the right of it along the rows' middle
/// lines.
void mark_cells(std::size_t edge, Work& work) {
  constexpr double margin = 1e-6;  // of a cell: what rounding may shift
  const Vec2 scale = work.cells_per_mm;
  const Vec2 low = (Vec2(work.low_x[edge], work.low_y[edge]) - work.corner).cwiseProduct(scale);
  const double high_y = (work.high_y[edge] - work.corner.y()) * scale.y();
  const double end_x = low.x() + work.rise_x[edge] * scale.x();
  const double slope = high_y > low.y() ? (end_x - low.x()) / (high_y - low.y()) : 0;
  const int first = clamp_cell(low.y() - margin), last = clamp_cell(high_y + margin);
  for (int row = first; row <= last; ++row) {
    const double bottom = std::max(low.y(), row - margin), top = std::min(high_y, row + 1 + margin);
    double from = low.x() + slope * (bottom - low.y()), to = low.x() + slope * (top - low.y());
    if (!(high_y > low.y())) from = low.x(), to = end_x;
    if (from > to) std::swap(from, to);
    work.mixed[static_cast<std::size_t>(row)] |=
        make_mask(clamp_cell(from - margin), clamp_cell(to + margin));
    const double middle = row + 0.5;
    if (!(low.y() <= middle && middle < high_y)) continue;
    const int column = clamp_cell(low.x() + slope * (middle - low.y()));
    if (column < cells - 1)
      work.inside[static_cast<std::size_t>(row)] ^= make_mask(column + 1, cells - 1);
  }
}

void add_edges(const Polygon& loop, Work& work) {
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Vec2 &a = loop[i], &b = loop[i + 1 == loop.size() ? 0 : i + 1];
    const Vec2 &low = a.y() < b.y() ? a : b, &high = a.y() < b.y() ? b : a;
    work.low_x.push_back(low.x());
    work.low_y.push_back(low.y());
    work.rise_x.push_back(high.x() - low.x());
    work.rise_y.push_back(high.y() - low.y());
    work.high_y.push_back(high.y());
  }
}

/// Even-odd over all loops: a hole takes away what the outline adds. As `contains` for a polygon.
SIXTYFOLD_LANES
bool is_inside(const double* low_x, const double* low_y, const double* rise_x, const double* rise_y,
               const double* high_y, std::size_t count, double x, double y) {
  const Four zero{};
  auto crossed = zero > zero;
  for (std::size_t i = 0; i < count; i += four) {
    Four lx, ly, rx, ry, hy;
    load(low_x + i, lx), load(low_y + i, ly), load(rise_x + i, rx), load(rise_y + i, ry);
    load(high_y + i, hy);
    // Crossed by the ray to the right when the point lies left of the edge, seen upwards.
    crossed ^= (ly <= y) & (hy > y) & (rx * (y - ly) - ry * (x - lx) > zero);
  }
  return ((crossed[0] ^ crossed[1]) ^ (crossed[2] ^ crossed[3])) != 0;
}

/// Where rays meet the panel's plane, and in which cell of the grid.
struct Meetings {
  std::array<double, block_size> x, y;
  std::array<std::int32_t, block_size> row, column;
};

/// Is the point on the panel? Nearly always told by its cell.
bool covers(const Work& work, const Meetings& points, std::size_t i) {
  const auto row = static_cast<std::size_t>(points.row[i]);
  if ((work.mixed[row] >> points.column[i]) & 1)
    return is_inside(work.low_x.data(), work.low_y.data(), work.rise_x.data(), work.rise_y.data(),
                     work.high_y.data(), work.low_x.size(), points.x[i], points.y[i]);
  return (work.inside[row] >> points.column[i]) & 1;
}

void lay_grid(const Shade& panel, Work& work) {
  const auto all_numbers = {&work.low_x, &work.low_y, &work.rise_x, &work.rise_y, &work.high_y};
  for (std::vector<double>* numbers : all_numbers) numbers->clear();
  add_edges(panel.outline_mm, work);
  for (const Polygon& hole : panel.holes_mm) add_edges(hole, work);
  set_box(work);
  work.mixed.fill(0);
  work.inside.fill(0);
  const std::size_t count = work.low_x.size();
  for (std::size_t edge = 0; edge < count; ++edge) mark_cells(edge, work);
  for (std::vector<double>* numbers : all_numbers)
    numbers->resize((count + four - 1) / four * four, -std::numeric_limits<double>::infinity());
}

/// A cone from the centre that holds the panel.
struct Cone {
  Vec3 axis;
  double least_cosine;  ///< of the angle to the axis; -1 when no narrow cone was found
};

Cone find_cone(const Shade& panel) {
  const Frame& frame = panel.frame;
  Vec2 low = panel.outline_mm.front(), high = low;
  for (const Vec2& v : panel.outline_mm) low = low.cwiseMin(v), high = high.cwiseMax(v);
  Cone cone{frame.to_space((low + high) / 2).normalized(), 1};
  const Vec2 across(cone.axis.dot(frame.x_axis), cone.axis.dot(frame.y_axis));
  const Vec2 origin(frame.origin.dot(frame.x_axis), frame.origin.dot(frame.y_axis));
  const double ahead = cone.axis.dot(frame.origin), far2 = frame.origin.squaredNorm();
  double least = 1;  // square of the cosine
  for (const Vec2& v : panel.outline_mm) {
    const double along = ahead + across.dot(v);
    if (!(along > 0)) return {cone.axis, -1};
    least = std::min(least, along * along / (far2 + v.dot(2 * origin + v)));
  }
  // Less what rounding may have added.
  cone.least_cosine = std::sqrt(least) - 1e-9;
  return cone;
}

using Numbers = std::array<double, block_size>;

SIXTYFOLD_LANES
void measure_cosines(const double* x, const double* y, const double* z, std::size_t count,
                     const Vec3& axis, double* cosine) {
  const double ax = axis.x(), ay = axis.y(), az = axis.z();
  for (std::size_t i = 0; i < count; ++i) cosine[i] = x[i] * ax + y[i] * ay + z[i] * az;
}

/// Bit i: cosine[i] >= least, of the first `count`.
std::uint64_t mark_near_plainly(const Numbers& cosine, std::size_t count, double least) {
  std::uint64_t mask = 0;
  for (std::size_t i = 0; i < count; i += 8)
    mask |= std::uint64_t{mark_at_least(&cosine[i], least)} << i;
  return mask;
}

#ifdef SIXTYFOLD_WIDE
SIXTYFOLD_WIDE std::uint64_t mark_near_wide(const Numbers& cosine, std::size_t count,
                                            double least) {
  std::uint64_t mask = 0;
  for (std::size_t i = 0; i < count; i += 8)
    mask |= std::uint64_t{mark_at_least_wide(&cosine[i], least)} << i;
  return mask;
}
#endif

std::uint64_t mark_near(const Numbers& cosine, std::size_t count, double least) {
#ifdef SIXTYFOLD_WIDE
  const std::uint64_t mask = has_wide_lanes() ? mark_near_wide(cosine, count, least)
                                              : mark_near_plainly(cosine, count, least);
#else
  const std::uint64_t mask = mark_near_plainly(cosine, count, least);
#endif
  return count < block_size ? mask & ((std::uint64_t{1} << count) - 1) : mask;
}

/// The first `count` of the images with these numbers, for whole fours, in the panel's coordinates;
/// what is behind the centre meets nothing. `kept` has room for three numbers more.
SIXTYFOLD_LANES
void meet_plane(const RayImages& images, std::int32_t* kept, std::size_t count, const Frame& frame,
                double distance, const Vec2& foot, const Work& work, Meetings& meetings) {
  const double nx = frame.normal.x(), ny = frame.normal.y(), nz = frame.normal.z();
  const double ax = frame.x_axis.x(), ay = frame.x_axis.y(), az = frame.x_axis.z();
  const double bx = frame.y_axis.x(), by = frame.y_axis.y(), bz = frame.y_axis.z();
  const double foot_x = foot.x(), foot_y = foot.y();
  const double corner_x = work.corner.x(), corner_y = work.corner.y();
  const double scale_x = work.cells_per_mm.x(), scale_y = work.cells_per_mm.y();
  const double *const image_x = images.x.data(), *const image_y = images.y.data(),
                      *const image_z = images.z.data();
  const Four zero{}, size = zero + cells, far = zero + std::numeric_limits<double>::infinity();
  for (std::size_t i = count; i < count + 3; ++i) kept[i] = kept[0];
  for (std::size_t i = 0; i < count; i += four) {
    const std::int32_t a = kept[i], b = kept[i + 1], c = kept[i + 2], d = kept[i + 3];
    const Four x = {image_x[a], image_x[b], image_x[c], image_x[d]};
    const Four y = {image_y[a], image_y[b], image_y[c], image_y[d]};
    const Four z = {image_z[a], image_z[b], image_z[c], image_z[d]};
    const Four cosine = x * nx + y * ny + z * nz;
    const Four reach = cosine > zero ? distance / cosine : far;
    const Four u = foot_x + reach * (x * ax + y * ay + z * az);
    const Four v = foot_y + reach * (x * bx + y * by + z * bz);
    const Four column = (u - corner_x) * scale_x, row = (v - corner_y) * scale_y;
    const auto in_box = (column >= zero) & (column < size) & (row >= zero) & (row < size);
    const FourInts columns = __builtin_convertvector(in_box ? column : zero, FourInts);
    const FourInts rows = __builtin_convertvector(in_box ? row : size, FourInts);
    store(u, &meetings.x[i]), store(v, &meetings.y[i]);
    std::memcpy(&meetings.column[i], &columns, sizeof columns);
    std::memcpy(&meetings.row[i], &rows, sizeof rows);
  }
}

/// Marks in work.blocked the rays that meet the panel's images. Returns how many more they are.
int block_rays(const Shade& panel, const RayImages& images, Work& work) {
  const double distance = panel.frame.origin.dot(panel.frame.normal);
  double farthest = 0;
  for (const Vec2& v : panel.outline_mm) farthest = std::max(farthest, v.squaredNorm());
  if (!(distance > 1e-9 * std::sqrt(farthest + panel.frame.origin.squaredNorm()))) return 0;
  lay_grid(panel, work);
  const Cone cone = find_cone(panel);
  const Mat3& turn = images.find_turn(cone.axis);
  const Vec3 axis = turn * cone.axis;
  const Vec2 foot = panel.frame.to_plane(distance * panel.frame.normal);
  Frame frame = panel.frame;
  frame.normal = turn * frame.normal;
  frame.x_axis = turn * frame.x_axis;
  frame.y_axis = turn * frame.y_axis;

  // Beyond this angle from the seed no image lies in the cone.
  std::size_t count = images.size();
  const double reach = std::acos(std::clamp(images.seed.dot(axis), -1.0, 1.0)) +
                       std::acos(std::clamp(cone.least_cosine, -1.0, 1.0)) + 1e-9;
  if (reach < pi && !images.seed_cosine.empty())
    count = static_cast<std::size_t>(
        std::partition_point(images.seed_cosine.begin(), images.seed_cosine.end(),
                             [least = std::cos(reach)](double c) { return c >= least; }) -
        images.seed_cosine.begin());
  Numbers cosine{};
  Meetings meetings;
  std::array<std::int32_t, block_size + 3> kept;  // numbers of images
  int blocked = 0;
  for (std::size_t start = 0; start < count && blocked < images.rays; start += block_size) {
    const std::size_t length = std::min(block_size, count - start);
    measure_cosines(&images.x[start], &images.y[start], &images.z[start], length, axis,
                    cosine.data());
    std::size_t found = 0;
    for (std::uint64_t near = mark_near(cosine, length, cone.least_cosine); near;
         near &= near - 1) {
      const std::size_t k = start + static_cast<std::size_t>(std::countr_zero(near));
      kept[found] = static_cast<std::int32_t>(k);
      found += !work.blocked[static_cast<std::size_t>(images.ray[k])];
    }
    if (found == 0) continue;
    meet_plane(images, kept.data(), found, frame, distance, foot, work, meetings);
    for (std::size_t i = 0; i < found; ++i) {
      const auto ray = static_cast<std::size_t>(images.ray[static_cast<std::size_t>(kept[i])]);
      unsigned char& is_blocked = work.blocked[ray];
      const bool hit = covers(work, meetings, i);
      blocked += hit & !is_blocked;
      is_blocked |= hit;
    }
  }
  return blocked;
}

}  // namespace

double measure_openness(const Shade& panel, const RayImages& images, OpennessWorkspace& work) {
  work.blocked.assign(static_cast<std::size_t>(images.rays), 0);
  return static_cast<double>(images.rays - block_rays(panel, images, work)) / images.rays;
}

double measure_openness(std::span<const ShadeOrbit> orbits, int rays) {
  assert(rays > 0);
  const std::vector<Vec3> directions = make_spiral_rays(rays);
  OpennessWorkspace work;
  work.blocked.assign(directions.size(), 0);
  int blocked = 0;
  for (const ShadeOrbit& orbit : orbits)
    blocked += block_rays(orbit.panel, make_unsorted_ray_images(orbit.copies, directions), work);
  return static_cast<double>(rays - blocked) / rays;
}

double measure_openness(std::span<const Mat3> copies, const Shade& panel, int rays) {
  const ShadeOrbit orbit{copies, panel};
  return measure_openness(std::span(&orbit, 1), rays);
}

}  // namespace sixtyfold
