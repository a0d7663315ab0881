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

/// What the panel looks like from the middle, roughly.
struct Extent {
  Vec3 middle;         ///< of a ball that holds the panel
  double radius;       ///< of the ball
  double half_angle;   ///< of a cone from the centre about the middle that holds it; pi: none found
  double least_reach;  ///< no point of the panel is nearer to the centre
};

Extent find_extent(const Shade& panel, double distance) {
  const Frame& frame = panel.frame;
  Vec2 low = panel.outline_mm.front(), high = low;
  for (const Vec2& v : panel.outline_mm) low = low.cwiseMin(v), high = high.cwiseMax(v);
  const Vec2 middle = (low + high) / 2;
  Extent extent{frame.to_space(middle), 0, 0, 0};
  const Vec3 axis = extent.middle.normalized();
  const Vec2 across(axis.dot(frame.x_axis), axis.dot(frame.y_axis));
  const Vec2 origin(frame.origin.dot(frame.x_axis), frame.origin.dot(frame.y_axis));
  const double ahead = axis.dot(frame.origin), far2 = frame.origin.squaredNorm();
  double least = 1, radius2 = 0;  // squares of the cosine and of the radius
  for (const Vec2& v : panel.outline_mm) {
    const double along = ahead + across.dot(v);
    if (!(along > 0)) least = -1;
    if (least > 0) least = std::min(least, along * along / (far2 + v.dot(2 * origin + v)));
    radius2 = std::max(radius2, (v - middle).squaredNorm());
  }
  extent.radius = std::sqrt(radius2);
  extent.half_angle = least > 0 ? std::acos(std::sqrt(std::min(least, 1.0))) : pi;
  extent.least_reach = std::max(distance, extent.middle.norm() - extent.radius);
  return extent;
}

using Eight = float __attribute__((vector_size(32)));

inline __attribute__((always_inline)) void load_eight(const float* from, Eight& to) {
  std::memcpy(&to, from, sizeof to);
}

/// A ball that rays may pass into, in units of the rays' starts.
struct Target {
  float x, y, z;
  float least_depth;
};

/// Of eight images from `at` on, for each how deep it passes: the square of the ball's radius less
/// that of the ray's distance from the middle is this less |middle|^2. Of a ray that leaves the
/// ball behind it is the start that counts.
inline __attribute__((always_inline)) void measure_depths(const RayImages& images, std::size_t at,
                                                          const Target& target, Eight& depth) {
  const auto& numbers = images.rounded;
  Eight x, y, z, sx, sy, sz;
  load_eight(&numbers[0][at], x), load_eight(&numbers[1][at], y), load_eight(&numbers[2][at], z);
  load_eight(&numbers[3][at], sx), load_eight(&numbers[4][at], sy);
  load_eight(&numbers[5][at], sz);
  const Eight along = x * target.x + y * target.y + z * target.z, zero{};
  const Eight forwards = along > zero ? along : zero;
  depth = forwards * forwards + sx * (2 * target.x - sx) + sy * (2 * target.y - sy) +
          sz * (2 * target.z - sz);
}

/// Bit i: image start + i may pass into the ball; of the first `count`.
std::uint64_t mark_near_plainly(const RayImages& images, std::size_t start, std::size_t count,
                                const Target& target) {
  std::uint64_t mask = 0;
  for (std::size_t i = 0; i < count; i += 8) {
    Eight depth;
    measure_depths(images, start + i, target, depth);
    for (std::size_t k = 0; k < 8; ++k)
      mask |= std::uint64_t{depth[k] >= target.least_depth} << (i + k);
  }
  return mask;
}

#ifdef SIXTYFOLD_WIDE
SIXTYFOLD_WIDE std::uint64_t mark_near_wide(const RayImages& images, std::size_t start,
                                            std::size_t count, const Target& target) {
  std::uint64_t mask = 0;
  for (std::size_t i = 0; i < count; i += 8) {
    Eight depth;
    measure_depths(images, start + i, target, depth);
    const Eight least = Eight{} + target.least_depth;
    const auto bits = static_cast<unsigned>(
        _mm256_movemask_ps(_mm256_cmp_ps(reinterpret_cast<const __m256&>(depth),
                                         reinterpret_cast<const __m256&>(least), _CMP_GE_OQ)));
    mask |= std::uint64_t{bits} << i;
  }
  return mask;
}
#endif

/// Both ways may differ in the last bits: more is marked than need be, so that nothing is lost.
std::uint64_t mark_near(const RayImages& images, std::size_t start, std::size_t count,
                        const Target& target) {
#ifdef SIXTYFOLD_WIDE
  const std::uint64_t mask = has_wide_lanes() ? mark_near_wide(images, start, count, target)
                                              : mark_near_plainly(images, start, count, target);
#else
  const std::uint64_t mask = mark_near_plainly(images, start, count, target);
#endif
  return count < block_size ? mask & ((std::uint64_t{1} << count) - 1) : mask;
}

/// The first `count` of the images with these numbers, for whole fours, in the panel's coordinates;
/// what is behind a ray's start meets nothing. `kept` has room for three numbers more.
SIXTYFOLD_LANES
void meet_plane(const RayImages& images, double unit, std::int32_t* kept, std::size_t count,
                const Frame& frame, double distance, const Vec2& foot, const Work& work,
                Meetings& meetings) {
  const double nx = frame.normal.x(), ny = frame.normal.y(), nz = frame.normal.z();
  const double ax = frame.x_axis.x(), ay = frame.x_axis.y(), az = frame.x_axis.z();
  const double bx = frame.y_axis.x(), by = frame.y_axis.y(), bz = frame.y_axis.z();
  const double foot_x = foot.x(), foot_y = foot.y();
  const double corner_x = work.corner.x(), corner_y = work.corner.y();
  const double scale_x = work.cells_per_mm.x(), scale_y = work.cells_per_mm.y();
  const double *const image_x = images.x.data(), *const image_y = images.y.data(),
                      *const image_z = images.z.data();
  const double *const start_x = images.start_x.data(), *const start_y = images.start_y.data(),
                      *const start_z = images.start_z.data();
  const Four zero{}, size = zero + cells, far = zero + std::numeric_limits<double>::infinity();
  for (std::size_t i = count; i < count + 3; ++i) kept[i] = kept[0];
  for (std::size_t i = 0; i < count; i += four) {
    const std::int32_t a = kept[i], b = kept[i + 1], c = kept[i + 2], d = kept[i + 3];
    const Four x = {image_x[a], image_x[b], image_x[c], image_x[d]};
    const Four y = {image_y[a], image_y[b], image_y[c], image_y[d]};
    const Four z = {image_z[a], image_z[b], image_z[c], image_z[d]};
    const Four sx = unit * Four{start_x[a], start_x[b], start_x[c], start_x[d]};
    const Four sy = unit * Four{start_y[a], start_y[b], start_y[c], start_y[d]};
    const Four sz = unit * Four{start_z[a], start_z[b], start_z[c], start_z[d]};
    const Four to_plane = (distance - (sx * nx + sy * ny + sz * nz)) / (x * nx + y * ny + z * nz);
    const Four reach = to_plane > zero ? to_plane : far;
    const Four u = foot_x + (sx * ax + sy * ay + sz * az) + reach * (x * ax + y * ay + z * az);
    const Four v = foot_y + (sx * bx + sy * by + sz * bz) + reach * (x * bx + y * by + z * bz);
    const Four column = (u - corner_x) * scale_x, row = (v - corner_y) * scale_y;
    const auto in_box = (column >= zero) & (column < size) & (row >= zero) & (row < size);
    const FourInts columns = __builtin_convertvector(in_box ? column : zero, FourInts);
    const FourInts rows = __builtin_convertvector(in_box ? row : size, FourInts);
    store(u, &meetings.x[i]), store(v, &meetings.y[i]);
    std::memcpy(&meetings.column[i], &columns, sizeof columns);
    std::memcpy(&meetings.row[i], &rows, sizeof rows);
  }
}

double measure_radius(const Shade& panel) {
  double square = 0;
  for (const Vec2& v : panel.outline_mm)
    square = std::max(square, panel.frame.to_space(v).squaredNorm());
  return std::sqrt(square);
}

/// Marks in work.blocked the rays that meet the panel's images; `unit` is that of their starts.
/// Returns how many more they are.
int block_rays(const Shade& panel, const RayImages& images, double unit, Work& work) {
  const double distance = panel.frame.origin.dot(panel.frame.normal);
  lay_grid(panel, work);
  const Extent extent = find_extent(panel, distance);
  const Mat3& turn = images.find_turn(extent.middle);
  const Vec3 middle = turn * extent.middle;
  const Vec2 foot = panel.frame.to_plane(distance * panel.frame.normal);
  Frame frame = panel.frame;
  frame.normal = turn * frame.normal;
  frame.x_axis = turn * frame.x_axis;
  frame.y_axis = turn * frame.y_axis;

  // A ray reaches the panel at one of its points, and this from a little aside. Beyond this angle
  // from the seed no image does.
  std::size_t count = images.size();
  const double aside = images.farthest * unit;
  const double reach =
      std::acos(std::clamp(images.seed.dot(middle.normalized()), -1.0, 1.0)) + extent.half_angle +
      (aside < extent.least_reach ? std::asin(aside / extent.least_reach) : pi) + 1e-8;
  if (reach < pi && !images.seed_cosine.empty())
    count = static_cast<std::size_t>(
        std::partition_point(images.seed_cosine.begin(), images.seed_cosine.end(),
                             [least = std::cos(reach)](double c) { return c >= least; }) -
        images.seed_cosine.begin());
  const Vec3 scaled = middle / unit;
  const double radius = extent.radius / unit;
  const double least_depth =
      scaled.squaredNorm() - radius * radius - 1e-5 * (1 + scaled.squaredNorm());
  const Target target{static_cast<float>(scaled.x()), static_cast<float>(scaled.y()),
                      static_cast<float>(scaled.z()), static_cast<float>(least_depth)};
  Meetings meetings;
  std::array<std::int32_t, block_size + 3> kept;  // numbers of images
  int blocked = 0;
  for (std::size_t start = 0; start < count && blocked < images.rays; start += block_size) {
    const std::size_t length = std::min(block_size, count - start);
    std::size_t found = 0;
    for (std::uint64_t near = mark_near(images, start, length, target); near; near &= near - 1) {
      const std::size_t k = start + static_cast<std::size_t>(std::countr_zero(near));
      kept[found] = static_cast<std::int32_t>(k);
      found += !work.blocked[static_cast<std::size_t>(images.ray[k])];
    }
    if (found == 0) continue;
    meet_plane(images, unit, kept.data(), found, frame, distance, foot, work, meetings);
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
  const int blocked = block_rays(panel, images, measure_radius(panel), work);
  return static_cast<double>(images.rays - blocked) / images.rays;
}

double measure_openness(std::span<const ShadeOrbit> orbits, std::span<const Ray> rays) {
  assert(!rays.empty());
  OpennessWorkspace work;
  work.blocked.assign(rays.size(), 0);
  double radius = 0;
  for (const ShadeOrbit& orbit : orbits) radius = std::max(radius, measure_radius(orbit.panel));
  int blocked = 0;
  for (const ShadeOrbit& orbit : orbits)
    blocked += block_rays(orbit.panel, make_unsorted_ray_images(orbit.copies, rays), radius, work);
  const double all = static_cast<double>(rays.size());
  return (all - blocked) / all;
}

double measure_openness(std::span<const ShadeOrbit> orbits, int rays) {
  return measure_openness(orbits, make_sight_rays(rays));
}

double measure_openness(std::span<const Mat3> copies, const Shade& panel, int rays) {
  const ShadeOrbit orbit{copies, panel};
  return measure_openness(std::span(&orbit, 1), rays);
}

}  // namespace sixtyfold
