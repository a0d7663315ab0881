#include "engine/nest/profile_fit.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "engine/lanes.h"

namespace sixtyfold {

namespace {

constexpr int strips = 32;
constexpr double nowhere = 1e18;
constexpr double slack = 1e-9;

/// A piece of the border in the frame (u, v), from below to above.
struct Rise {
  double x, y, x2, y2;
};

/// The part's reach to the left and right in strips of equal height, in the frame (u, v).
class Profile {
 public:
  double height = 0, left = nowhere, right = -nowhere;
  std::array<double, strips> rights, against_lefts;  ///< reach, within the gap round the strip
  std::array<double, strips> turned_rights, turned_lefts;  ///< the same from the other end
  double widest = -nowhere;                                ///< of a strip

  Profile(std::span<const Segment> border, const Vec2& u, std::vector<Rise>& rises)
      : rises_(rises) {
    const Vec2 v{-u.y(), u.x()};
    rises.clear();
    double high = -nowhere;
    for (const Segment& s : border) {
      Rise rise{u.dot(s.from), v.dot(s.from), u.dot(s.to), v.dot(s.to)};
      if (rise.y > rise.y2) std::swap(rise.x, rise.x2), std::swap(rise.y, rise.y2);
      low_ = std::min(low_, rise.y), high = std::max(high, rise.y2);
      left = std::min({left, rise.x, rise.x2}), right = std::max({right, rise.x, rise.x2});
      rises.push_back(rise);
    }
    height = high - low_;
  }

  void fill_strips(double gap) {
    std::array<double, strips> lefts;
    lefts.fill(nowhere), rights.fill(-nowhere);
    const double per_height = strips / height;
    std::array<double, strips> lows, highs;
    for (int k = 0; k < strips; ++k) {
      lows[static_cast<std::size_t>(k)] = k / per_height - gap;
      highs[static_cast<std::size_t>(k)] = (k + 1) / per_height + gap;
    }
    for (const Rise& rise : rises_) {
      const double x = rise.x, y = rise.y - low_, x2 = rise.x2, y2 = rise.y2 - low_;
      const double slope = y2 > y ? (x2 - x) / (y2 - y) : 0;
      const int first = std::max(0, static_cast<int>((y - gap) * per_height) - 1);
      const int last = std::min(strips - 1, static_cast<int>((y2 + gap) * per_height) + 1);
      for (int k = first; k <= last; ++k) {
        const auto i = static_cast<std::size_t>(k);
        const double from = std::max(y, lows[i]), to = std::min(y2, highs[i]);
        if (from > to) continue;
        const double at = x + slope * (from - y), then = y2 > y ? x + slope * (to - y) : x2;
        lefts[i] = std::min({lefts[i], at, then});
        rights[i] = std::max({rights[i], at, then});
      }
    }
    for (std::size_t i = 0; i < strips; ++i) {
      widest = std::max(widest, rights[i] - lefts[i]);
      against_lefts[i] = turned_lefts[strips - 1 - i] = -lefts[i];
      turned_rights[strips - 1 - i] = rights[i];
    }
  }

 private:
  const std::vector<Rise>& rises_;
  double low_ = nowhere;
};

/// Parts P, T, P, T ... in a row, T turned by half a turn and `up` strips higher.
struct Row {
  double to_turned = 0;  ///< from a part's origin to the next turned one's
  double period = 0;     ///< from a part to the part after the next
};

/// Largest first[k] + second[k] of a stretch.
SIXTYFOLD_LANES
double find_largest_sum(const double* first, const double* second, int count) {
  Four largest = Four{} - nowhere;
  int k = 0;
  for (; k + four <= count; k += four) {
    Four a, b;
    load(first + k, a), load(second + k, b);
    const Four sum = a + b;
    largest = largest < sum ? sum : largest;
  }
  double result = find_largest_of(largest);
  for (; k < count; ++k) result = std::max(result, first[k] + second[k]);
  return result;
}

Row make_row(const Profile& p, int up, double gap) {
  // Strip k of P meets strip k - up of T, which is P's strip from the other end.
  const int begin = std::max(0, up), count = strips - std::abs(up);
  const double to_turned =
      find_largest_sum(p.rights.data() + begin, p.turned_rights.data() + begin - up, count);
  const double back =
      find_largest_sum(p.against_lefts.data() + begin, p.turned_lefts.data() + begin - up, count);
  return {to_turned + gap, std::max(to_turned + back + 2 * gap, p.widest + gap)};
}

/// Parts of a row in a length, and the share of the next one's length that is left.
double count_in_row(const Profile& p, const Row& row, double room) {
  if (!(row.period > 0)) return 0;
  double best = 0;
  // The row may begin with either; seen from the other side T, P, T is P, T, P.
  for (const bool turned_first : {false, true}) {
    const double first_left = turned_first ? -p.right : p.left;
    const double first_right = turned_first ? -p.left : p.right;
    const double step = turned_first ? row.period - row.to_turned : row.to_turned;
    const double second_left = step + (turned_first ? p.left : -p.right);
    const double second_right = step + (turned_first ? p.right : -p.left);
    double from = first_left, to = first_right;
    int count = 0;
    double taken = 0;
    while (to - from <= room * (1 + slack) && count < 4000) {
      ++count;
      taken = to - from;
      const double shift = (count / 2) * row.period;
      from = std::min(from, count % 2 == 0 ? first_left + shift : second_left + shift);
      to = std::max(to, count % 2 == 0 ? first_right + shift : second_right + shift);
    }
    const double next = to - from;
    best = std::max(
        best, count + (next > taken ? std::clamp((room - taken) / (next - taken), 0.0, 0.999) : 0));
  }
  return best;
}

int count_rows(double room, double height, double gap) {
  return height > room * (1 + slack)
             ? 0
             : static_cast<int>((room + gap) / (height + gap) * (1 + slack));
}

}  // namespace

Interlocked find_interlocked(std::span<const Segment> border, std::span<const Vec2> directions,
                             const Sheet& sheet, int least, int most) {
  const double along = sheet.along_mm(), across = sheet.across_mm(), gap = sheet.gap_mm;
  Interlocked best{least, static_cast<double>(least)};
  if (border.empty() || !(along > 0 && across > 0)) return best;
  std::vector<Rise> rises;
  rises.reserve(border.size());
  for (const Vec2& direction : directions)
    for (const bool crosswise : {false, true}) {
      if (best.parts >= most) return best;
      // Rows along the part's direction, or across it.
      const Vec2 u = crosswise ? Vec2{-direction.y(), direction.x()} : direction;
      Profile profile(border, u, rises);
      if (!(profile.height > 0)) continue;
      bool filled = false;
      for (const bool turned : {false, true}) {
        if (turned && sheet.grain != Grain::none) continue;
        const double length = crosswise != turned ? across : along;
        const double rise = crosswise != turned ? along : across;
        if (profile.height > rise * (1 + slack) ||
            profile.right - profile.left > length * (1 + slack))
          continue;
        if (!filled) profile.fill_strips(gap);
        filled = true;
        const int rows = count_rows(rise, profile.height, gap);
        // Higher rows are worth looking at as long as no row is lost.
        const double room = (rise + gap) / rows - gap - profile.height;
        const int highest = std::min(strips / 2, static_cast<int>(room * strips / profile.height));
        for (int up = -highest; up <= highest && best.parts < most; ++up) {
          const double in_row = count_in_row(profile, make_row(profile, up, gap), length);
          best.parts = std::max(best.parts, rows * static_cast<int>(in_row));
          best.room = std::max(best.room, rows * in_row);
          if (up == 0)
            best.room =
                std::max(best.room, std::floor(in_row) * (rise + gap) / (profile.height + gap));
        }
      }
    }
  return best;
}

}  // namespace sixtyfold
