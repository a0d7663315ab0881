#include "tests/support/plain_stock.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace sixtyfold::plain {

namespace {

constexpr int strips = 32;
constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double slack = 1e-9;

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// The part's reach to the left and right along u, in all and in strips of equal height, within the
/// gap above and below each strip.
struct Profile {
  double height = 0, left = infinity, right = -infinity;
  std::vector<double> lefts = std::vector<double>(strips, infinity);
  std::vector<double> rights = std::vector<double>(strips, -infinity);
};

Profile make_profile(const std::vector<Segment>& border, const Vec2& u, double gap) {
  const Vec2 v(-u.y(), u.x());
  Profile profile;
  double low = infinity, high = -infinity;
  for (const Segment& segment : border)
    for (const Vec2& p : {segment.from, segment.to}) {
      low = std::min(low, v.dot(p)), high = std::max(high, v.dot(p));
      profile.left = std::min(profile.left, u.dot(p));
      profile.right = std::max(profile.right, u.dot(p));
    }
  profile.height = high - low;
  const double per_height = strips / profile.height;
  for (const Segment& segment : border) {
    Vec2 a(u.dot(segment.from), v.dot(segment.from) - low);
    Vec2 b(u.dot(segment.to), v.dot(segment.to) - low);
    if (a.y() > b.y()) std::swap(a, b);
    for (int k = 0; k < strips; ++k) {
      const double from = std::max(a.y(), k / per_height - gap);
      const double to = std::min(b.y(), (k + 1) / per_height + gap);
      if (from > to) continue;
      double x = a.x(), x2 = b.x();
      if (a.y() < b.y()) {
        const double slope = (b.x() - a.x()) / (b.y() - a.y());
        x = a.x() + slope * (from - a.y()), x2 = a.x() + slope * (to - a.y());
      }
      profile.lefts[index(k)] = std::min({profile.lefts[index(k)], x, x2});
      profile.rights[index(k)] = std::max({profile.rights[index(k)], x, x2});
    }
  }
  return profile;
}

/// Parts P, T, P, T ... in a row of the given length, every second one turned by half a turn and
/// `up` strips higher.
double count_in_row(const Profile& p, int up, double gap, double length) {
  double to_turned = -infinity, back = -infinity, same = -infinity;
  for (int k = 0; k < strips; ++k) {
    same = std::max(same, p.rights[index(k)] - p.lefts[index(k)]);
    // Strip k of P meets strip k - up of T, which is P's strip from the other end.
    const int other = strips - 1 - (k - up);
    if (other < 0 || other >= strips) continue;
    to_turned = std::max(to_turned, p.rights[index(k)] + p.rights[index(other)]);
    back = std::max(back, -p.lefts[index(k)] - p.lefts[index(other)]);
  }
  const double step = to_turned + gap;
  const double period = std::max(to_turned + back + 2 * gap, same + gap);
  if (!(period > 0)) return 0;
  double best = 0;
  // The row may begin with either; seen from the other side T, P, T is P, T, P.
  for (const bool turned_first : {false, true}) {
    double from = infinity, to = -infinity, taken = 0;
    for (int count = 0; count < 4000; ++count) {
      const bool is_second = count % 2 == 1, is_turned = is_second != turned_first;
      const double shift = (count / 2) * period;
      const double left = is_turned ? -p.right : p.left, right = is_turned ? -p.left : p.right;
      const double offset = !is_second ? 0 : turned_first ? period - step : step;
      from = std::min(from, offset + left + shift);
      to = std::max(to, offset + right + shift);
      if (to - from > length * (1 + slack)) {
        // The share of the next part's length that is left.
        best =
            std::max(best, count + std::clamp((length - taken) / (to - from - taken), 0.0, 0.999));
        break;
      }
      taken = to - from;
      best = std::max(best, count + 1.0);
    }
  }
  return best;
}

int count_rows(double room, double height, double gap) {
  if (height > room * (1 + slack)) return 0;
  return static_cast<int>((room + gap) / (height + gap) * (1 + slack));
}

}  // namespace

Interlocked find_interlocked(const std::vector<Segment>& border,
                             const std::vector<Vec2>& directions, const Sheet& sheet) {
  Interlocked best;
  for (const Vec2& direction : directions)
    for (const bool crosswise : {false, true}) {
      const Vec2 u = crosswise ? Vec2(-direction.y(), direction.x()) : direction;
      const Profile profile = make_profile(border, u, sheet.gap_mm);
      for (const bool turned : {false, true}) {
        if (turned && sheet.grain != Grain::none) continue;
        const bool along = crosswise == turned;
        const double length = along ? sheet.along_mm() : sheet.across_mm();
        const double rise = along ? sheet.across_mm() : sheet.along_mm();
        if (profile.right - profile.left > length * (1 + slack)) continue;
        const int rows = count_rows(rise, profile.height, sheet.gap_mm);
        if (rows == 0) continue;
        // Every second part may stand higher by some strips as long as no row is lost.
        const double room = (rise + sheet.gap_mm) / rows - sheet.gap_mm - profile.height;
        const int highest = std::min(strips / 2, static_cast<int>(room * strips / profile.height));
        for (int up = -highest; up <= highest; ++up) {
          const double in_row = count_in_row(profile, up, sheet.gap_mm, length);
          const int whole = static_cast<int>(in_row);
          best.parts = std::max(best.parts, rows * whole);
          best.room = std::max(best.room, rows * in_row);
          if (up == 0)
            best.room = std::max(best.room,
                                 whole * (rise + sheet.gap_mm) / (profile.height + sheet.gap_mm));
        }
      }
    }
  return best;
}

}  // namespace sixtyfold::plain
