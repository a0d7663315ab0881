#include "engine/nest/sheet_fit.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

namespace sixtyfold {

namespace {

// A part that fits to within this share of the side fits: rounding, not board.
constexpr double slack = 1e-9;
constexpr int most_parts = 1'000'000;

Vec2 turn_left(const Vec2& u) { return {-u.y(), u.x()}; }

double direction_of(const Vec2& u) {
  double angle = std::atan2(u.y(), u.x());
  if (angle < 0) angle += pi;
  return angle >= pi ? 0 : angle;
}

/// Rotating calipers (Shamos 1978): calls visit(from, to, across, along) for every span of
/// directions u over a quarter turn in which the same four vertices are extreme. Between `from`
/// and `to` the width along u is along.dot(u), the width along turn_left(u) is across.dot(u).
template <class Visit>
void sweep_directions(std::span<const Vec2> hull, Visit visit) {
  const std::size_t count = hull.size();
  assert(count >= 3);
  const auto edge = [&](std::size_t i) -> Vec2 { return hull[(i + 1) % count] - hull[i]; };
  const Vec2 first = edge(0).normalized();
  // extreme[k] is the vertex farthest along u turned left k times.
  std::array<std::size_t, 4> extreme{};
  std::array<Vec2, 4> axes{first, turn_left(first), -first, -turn_left(first)};
  for (std::size_t i = 1; i < count; ++i)
    for (std::size_t k = 0; k < 4; ++k)
      if (axes[k].dot(hull[i]) > axes[k].dot(hull[extreme[k]])) extreme[k] = i;
  Vec2 from = first;
  for (std::size_t step = 0; step < count + 4; ++step) {
    // The vertex whose next edge is reached by the smallest turn.
    Vec2 turn{-1, 0};
    std::size_t turning = 0;
    for (std::size_t k = 0; k < 4; ++k) {
      const Vec2 flush = axes[(k + 1) % 4];
      const Vec2 e = edge(extreme[k]);
      Vec2 by{flush.dot(e), cross(flush, e)};
      by.y() = std::max(by.y(), 0.0);
      if (by.x() < 0 && by.y() == 0) by = {1, 0};  // a flush edge just passed, seen with rounding
      if (k == 0 || cross(by, turn) > 0) {
        turn = by;
        turning = k;
      }
    }
    turn.normalize();
    Vec2 to{turn.x() * from.x() - turn.y() * from.y(), turn.x() * from.y() + turn.y() * from.x()};
    to.normalize();
    const bool last = to.dot(first) <= 0;
    if (last) to = turn_left(first);
    const Vec2 along = hull[extreme[0]] - hull[extreme[2]];
    const Vec2 across_diagonal = hull[extreme[1]] - hull[extreme[3]];
    visit(from, to, along, Vec2{across_diagonal.y(), -across_diagonal.x()});
    if (last) return;
    extreme[turning] = (extreme[turning] + 1) % count;
    from = to;
    axes = {from, turn_left(from), -from, -turn_left(from)};
  }
}

struct Placing {
  Vec2 direction = Vec2::UnitX();  ///< of the part, laid along the sheet
  double along_mm = 0, across_mm = 0;
};

/// Keeps the least rectangle of a sweep, long side along its direction. Of equal areas the longest.
struct LeastRectangle {
  Placing placing;
  double area_mm2 = -1;

  void offer(const Vec2& u, double along, double across) {
    const double area = along * across, longest = std::max(along, across);
    if (area_mm2 >= 0 && !(area < area_mm2 * (1 - slack)) &&
        !(area <= area_mm2 * (1 + slack) && longest > placing.along_mm * (1 + slack)))
      return;
    area_mm2 = area;
    placing = {along >= across ? u : turn_left(u), longest, std::min(along, across)};
  }
};

/// Keeps the direction in which the hull could be scaled most within a box.
struct RoomiestDirection {
  double side_along, side_across;
  Vec2 direction = Vec2::UnitX();
  double need = -1;  ///< share of the box taken in the tighter direction; 1 / scale

  void offer(const Vec2& u, double along, double across) {
    const double straight = std::max(along / side_along, across / side_across);
    const double turned = std::max(across / side_along, along / side_across);
    if (need < 0 || straight < need) need = straight, direction = u;
    if (turned < need) need = turned, direction = turn_left(u);
  }

  /// Both widths are concave over the span, so their maximum is least at an end or where the two
  /// are equal: along.u / a = across.u / b.
  void offer_span(const Vec2& from, const Vec2& to, const Vec2& along, const Vec2& across) {
    offer(from, along.dot(from), across.dot(from));
    for (const Vec2& balance : {Vec2{along / side_along - across / side_across},
                                Vec2{across / side_along - along / side_across}}) {
      Vec2 u = turn_left(balance);
      if (u.dot(from) < 0) u = -u;
      if (!(cross(from, u) > 0 && cross(u, to) > 0)) continue;
      u.normalize();
      offer(u, along.dot(u), across.dot(u));
    }
  }
};

Placing find_least_rectangle(std::span<const Vec2> hull) {
  LeastRectangle least;
  sweep_directions(hull, [&](const Vec2& from, const Vec2&, const Vec2& along, const Vec2& across) {
    least.offer(from, along.dot(from), across.dot(from));
  });
  return least.placing;
}

int count_steps(double room, double size, double gap) {
  if (!(size > 0) || room < size * (1 - slack)) return 0;
  return static_cast<int>(
      std::min<double>(most_parts, std::floor((room + gap) / (size + gap) * (1 + slack))));
}

/// Rectangles in two blocks side by side, the second turned by a quarter where turning is allowed.
int count_blocks(double room_x, double room_y, const Placing& part, const Sheet& sheet) {
  const double gap = sheet.gap_mm;
  const int columns = count_steps(room_x, part.along_mm, gap);
  const int rows = count_steps(room_y, part.across_mm, gap);
  if (sheet.grain != Grain::none) return columns * rows;
  int best = 0;
  constexpr int most_splits = 64;
  for (int used = rows; used >= std::max(0, rows - most_splits); --used) {
    const double rest = room_y - used * (part.across_mm + gap);
    best = std::max(best, used * columns + count_steps(room_x, part.across_mm, gap) *
                                               count_steps(rest, part.along_mm, gap));
  }
  for (int used = columns; used >= std::max(0, columns - most_splits); --used) {
    const double rest = room_x - used * (part.along_mm + gap);
    best = std::max(best, used * rows + count_steps(rest, part.across_mm, gap) *
                                            count_steps(room_y, part.along_mm, gap));
  }
  return best;
}

/// A row of parts along a direction, every second turned by half a turn about the row's middle.
///
/// The right boundary of a convex set over a strip is concave, so of the set and its half-turned
/// image the closest approach is at half height: two parts take twice the chord at half height
/// (the half-length chords of Kuperberg and Kuperberg 1990). There both have parallel supporting
/// lines, so moving them apart by gap / n_x keeps the gap.
class Row {
 public:
  Row(std::span<const Vec2> hull, const Vec2& u, double gap) : gap_(gap) {
    const Vec2 v = turn_left(u);
    double low = v.dot(hull[0]), high = low;
    left_ = right_ = u.dot(hull[0]);
    for (const Vec2& p : hull) {
      const double x = u.dot(p), y = v.dot(p);
      low = std::min(low, y), high = std::max(high, y);
      left_ = std::min(left_, x), right_ = std::max(right_, x);
    }
    height_ = high - low;
    const double middle = (low + high) / 2;
    for (std::size_t i = 0; i < hull.size(); ++i) {
      const Vec2& p = hull[i];
      const Vec2& q = hull[i + 1 == hull.size() ? 0 : i + 1];
      const double py = v.dot(p) - middle, qy = v.dot(q) - middle;
      if (py == qy || (py < 0) == (qy < 0)) continue;
      const double x = u.dot(p) + py / (py - qy) * (u.dot(q) - u.dot(p));
      const double needed = gap * (q - p).norm() / std::abs(qy - py);
      if (qy > py)
        chord_right_ = x, gap_right_ = needed;
      else
        chord_left_ = x, gap_left_ = needed;
    }
    period_ = 2 * (chord_right_ - chord_left_) + gap_left_ + gap_right_;
  }

  /// Parts in all the rows a box takes, rows running along its first side.
  int count_in_box(double room_x, double room_y) const {
    const int rows = count_steps(room_y, height_, gap_);
    if (rows == 0 || right_ - left_ > room_x * (1 + slack)) return 0;
    const int plain = count_steps(room_x, right_ - left_, gap_);
    if (!(period_ > 0)) return rows * plain;
    // Starting with the turned part is the mirror image, with the other end of the chord.
    return rows * std::max({plain, count(room_x, 2 * chord_right_ + gap_right_, left_, right_),
                            count(room_x, gap_left_ - 2 * chord_left_, -right_, -left_)});
  }

 private:
  /// Length of so many parts, the first spanning [l, r], the turned ones [shift - r, shift - l].
  double length(int parts, double shift, double l, double r) const {
    const int straight = (parts + 1) / 2, turned = parts / 2;
    double from = l, to = r + (straight - 1) * period_;
    if (turned > 0) {
      from = std::min(from, shift - r);
      to = std::max(to, shift - l + (turned - 1) * period_);
    }
    return to - from;
  }

  int count(double room, double shift, double l, double r) const {
    const double guess = std::floor(2 * (room - length(2, shift, l, r)) / period_) - 1;
    int parts = static_cast<int>(std::clamp<double>(guess, 1, most_parts));
    while (parts < most_parts && length(parts + 1, shift, l, r) <= room * (1 + slack)) ++parts;
    return length(parts, shift, l, r) <= room * (1 + slack) ? parts : 0;
  }

  double gap_, left_ = 0, right_ = 0, height_ = 0, period_ = 0;
  double chord_left_ = 0, chord_right_ = 0, gap_left_ = 0, gap_right_ = 0;
};

}  // namespace

SheetFit measure_sheet_fit(std::span<const Vec2> hull, const Sheet& sheet) {
  const double along = sheet.along_mm(), across = sheet.across_mm();
  SheetFit fit;
  if (!(along > 0 && across > 0)) return fit;
  const bool free = sheet.grain == Grain::none;
  LeastRectangle rectangle;
  RoomiestDirection roomiest{along, across};
  sweep_directions(hull, [&](const Vec2& from, const Vec2& to, const Vec2& u, const Vec2& v) {
    rectangle.offer(from, u.dot(from), v.dot(from));
    if (free) roomiest.offer_span(from, to, u, v);
  });
  const Placing least = rectangle.placing;
  const Placing turned{turn_left(least.direction), least.across_mm, least.along_mm};
  fit.length_mm = least.along_mm;
  fit.width_mm = least.across_mm;
  fit.direction_rad = fit.long_axis_rad = fit.roomiest_rad = direction_of(least.direction);
  if (free) fit.roomiest_rad = direction_of(roomiest.direction);
  fit.fits = free
                 ? roomiest.need <= 1 + slack
                 : least.along_mm <= along * (1 + slack) && least.across_mm <= across * (1 + slack);
  if (!fit.fits) return fit;
  const auto offer = [&](int count, const Vec2& direction) {
    if (count <= fit.parts_per_sheet) return;
    fit.parts_per_sheet = count;
    fit.direction_rad = direction_of(direction);
  };
  if (free) offer(1, roomiest.direction);
  offer(count_blocks(along, across, least, sheet), least.direction);
  if (free) offer(count_blocks(along, across, turned, sheet), turned.direction);
  const Row lying(hull, least.direction, sheet.gap_mm),
      standing(hull, turned.direction, sheet.gap_mm);
  offer(lying.count_in_box(along, across), least.direction);
  offer(standing.count_in_box(across, along), least.direction);
  if (free) offer(lying.count_in_box(across, along), turned.direction);
  if (free) offer(standing.count_in_box(along, across), turned.direction);
  return fit;
}

int measure_sheets(int copies, int parts_per_sheet) {
  if (parts_per_sheet <= 0 || copies <= 0) return 0;
  return (copies - 1) / parts_per_sheet + 1;
}

double measure_utilisation(double part_area_mm2, int copies, const SheetFit& fit,
                           const Sheet& sheet) {
  const int sheets = measure_sheets(copies, fit.parts_per_sheet);
  return sheets == 0 ? 0 : copies * part_area_mm2 / (sheets * sheet.area_mm2());
}

LargestScale measure_largest_scale(std::span<const Vec2> hull, double allowance_mm,
                                   const Sheet& sheet) {
  const double along = sheet.along_mm() - allowance_mm, across = sheet.across_mm() - allowance_mm;
  if (!(along > 0 && across > 0)) return {};
  if (sheet.grain != Grain::none) {
    const Placing least = find_least_rectangle(hull);
    return {std::min(along / least.along_mm, across / least.across_mm),
            direction_of(least.direction)};
  }
  RoomiestDirection roomiest{along, across};
  sweep_directions(hull, [&](const Vec2& from, const Vec2& to, const Vec2& u, const Vec2& v) {
    roomiest.offer_span(from, to, u, v);
  });
  return {1 / roomiest.need, direction_of(roomiest.direction)};
}

}  // namespace sixtyfold
