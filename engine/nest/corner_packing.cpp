#include "engine/nest/corner_packing.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <unordered_map>

namespace sixtyfold {

namespace {

constexpr double slack = 1e-6;
constexpr std::size_t most_stops = 250;  // four numbers of stops make one key

/// [0, X] x [0, y] and [0, x] x [0, Y] together: X >= x, Y >= y, the corner at the top right is
/// missing. x = X and y = Y: a rectangle.
struct Corner {
  double X = 0, Y = 0, x = 0, y = 0;

  double area() const { return X * y + x * (Y - y); }
  bool is_rectangle() const { return x >= X - slack || y >= Y - slack; }
};

/// A piece of a division: mirrored where told, with its box's lowest left corner at (left, low).
struct Piece {
  Corner shape;
  double left = 0, low = 0;
  bool mirror_x = false, mirror_y = false;
};

struct Division {
  Piece pieces[2];
};

/// Sums i a + j b up to the size.
std::vector<double> find_sums(double size, const Vec2& part) {
  std::vector<double> sums;
  for (double a = 0; a <= size + slack; a += part.x())
    for (double b = a; b <= size + slack && sums.size() < 100'000; b += part.y()) sums.push_back(b);
  std::sort(sums.begin(), sums.end());
  sums.erase(
      std::unique(sums.begin(), sums.end(), [](double p, double q) { return q - p < slack; }),
      sums.end());
  return sums;
}

/// Which cuts are looked at.
enum class Cuts {
  all,
  down,   ///< from the inner corner down, aside, down
  aside,  ///< from the inner corner to the left, up or down, to the left
};

/// Calls visit(division) for divisions of the shape into two such shapes by a cut of at most two
/// bends, all corners at `xs` and `ys`. A piece may be empty. Stops when visit returns true.
template <class Visit>
void visit_divisions(const Corner& s, Cuts cuts, const std::vector<double>& xs,
                     const std::vector<double>& ys, Visit visit) {
  const double X = s.X, Y = s.Y, x = s.x, y = s.y;
  for (const double a : xs) {
    if (a > X + slack) break;
    for (const double b : ys) {
      if (b > Y + slack) break;
      if (cuts == Cuts::all) {
        // One bend at (a, b): towards the top and the right, around the missing corner.
        if (a <= x && b <= y &&
            visit(Division{{{{X, Y, a, b}, 0, 0}, {{X - a, Y - b, x - a, y - b}, a, b}}}))
          return;
        // From the left border to (a, b) and up.
        if (a >= x && b <= y &&
            visit(Division{{{{a, Y - b, x, y - b}, 0, b}, {{X, y, X - a, b}, 0, 0, true, false}}}))
          return;
        // From the lower border to (a, b) and to the right.
        if (a <= x && b >= y &&
            visit(Division{{{{X - a, b, x - a, y}, a, 0}, {{x, Y, a, Y - b}, 0, 0, false, true}}}))
          return;
      }
      if (cuts != Cuts::aside && b <= y) {
        if (a <= x && visit(Division{{{{x, Y, a, Y - b}, 0, 0, false, true},
                                      {{X - a, y, X - x, b}, a, 0, true, false}}}))
          return;
        if (a >= x &&
            visit(Division{{{{a, Y, x, b}, 0, 0}, {{X - x, y, X - a, y - b}, x, 0, true, true}}}))
          return;
      }
      if (cuts != Cuts::down && a <= x) {
        if (b <= y && visit(Division{{{{x, Y - b, a, Y - y}, 0, b, false, true},
                                      {{X, y, X - a, b}, 0, 0, true, false}}}))
          return;
        if (b >= y &&
            visit(Division{{{{X, b, a, y}, 0, 0}, {{x, Y - y, x - a, Y - b}, 0, y, true, true}}}))
          return;
      }
    }
  }
}

class CornerPacker {
 public:
  CornerPacker(const Vec2& room, const Vec2& part, long effort)
      : part_(part),
        effort_(effort),
        xs_(find_sums(room.x(), part)),
        ys_(find_sums(room.y(), part)) {}

  std::vector<PackedRectangle> run(const Vec2& room, int wanted) {
    if (xs_.size() > most_stops || ys_.size() > most_stops) return {};
    std::vector<PackedRectangle> packed;
    const Corner all{room.x(), room.y(), room.x(), room.y()};
    if (!can_hold(all, wanted)) return {};
    lay(all, wanted, Piece{all}, packed);
    return packed;
  }

 private:
  /// What is known of one shape.
  struct Known {
    int surely = 0;  ///< so many fit
    int at_most = 0;
    bool divided = false;
    Division division;  ///< how `surely` fit, if divided; else one plain block
  };

  static double below(const std::vector<double>& stops, double size) {
    return *(std::upper_bound(stops.begin(), stops.end(), size + slack) - 1);
  }
  static std::uint64_t number(const std::vector<double>& stops, double size) {
    return static_cast<std::uint64_t>(std::upper_bound(stops.begin(), stops.end(), size + slack) -
                                      stops.begin() - 1);
  }
  /// Every side at a sum of the parts' sides: what packs into the shape packs into this.
  Corner round_down(const Corner& s) const {
    Corner r{below(xs_, s.X), below(ys_, s.Y), below(xs_, s.x), below(ys_, s.y)};
    // An arm too thin for anything is dropped.
    if (r.x < slack) r = {r.X, r.y, r.X, r.y};
    if (r.y < slack) r = {r.x, r.Y, r.x, r.Y};
    if (r.is_rectangle()) r.x = r.X, r.y = r.Y;
    return r;
  }
  int bound(const Corner& s) const { return static_cast<int>((s.area() + slack) / part_.prod()); }
  int count_plain(double w, double h, bool upright) const {
    const Vec2 size = upright ? Vec2{part_.y(), part_.x()} : part_;
    return static_cast<int>((w + slack) / size.x()) * static_cast<int>((h + slack) / size.y());
  }

  Known& look_up(const Corner& s) {
    const std::uint64_t key =
        number(xs_, s.X) << 24 | number(ys_, s.Y) << 16 | number(xs_, s.x) << 8 | number(ys_, s.y);
    const auto [place, is_new] = known_.try_emplace(key);
    Known& known = place->second;
    if (is_new) {
      known.at_most = bound(s);
      if (s.is_rectangle())
        known.surely = std::max(count_plain(s.X, s.Y, false), count_plain(s.X, s.Y, true));
    }
    return known;
  }

  /// Whether `wanted` parts can be packed; remembers how.
  bool can_hold(const Corner& given, int wanted) {
    if (wanted <= 0) return true;
    const Corner s = round_down(given);
    {
      const Known& known = look_up(s);
      if (known.surely >= wanted) return true;
      if (known.at_most < wanted) return false;
    }
    bool found = false;
    const auto look = [&](const Division& division) {
      const Corner &whole_a = division.pieces[0].shape, &whole_b = division.pieces[1].shape;
      if (bound(whole_a) + bound(whole_b) < wanted) return false;
      if (--effort_ < 0) return true;
      const Corner a = round_down(whole_a), b = round_down(whole_b);
      // A division that leaves all to one piece is none.
      if (!(a.area() < s.area() - slack && b.area() < s.area() - slack)) return false;
      const int most_a = look_up(a).at_most, most_b = look_up(b).at_most;
      for (int in_a = std::max(0, wanted - most_b); in_a <= std::min(most_a, wanted); ++in_a) {
        if (!can_hold(a, in_a)) break;
        if (!can_hold(b, wanted - in_a)) continue;
        Known& known = look_up(s);
        known.surely = wanted;
        known.divided = true;
        known.division = division;
        found = true;
        return true;
      }
      return false;
    };
    visit_divisions(s, Cuts::all, xs_, ys_, look);
    // A rectangle may be thought to miss an empty corner anywhere at its top or right.
    if (s.is_rectangle()) {
      for (const double x : xs_) {
        if (found || effort_ < 0 || x >= s.X - slack) break;
        visit_divisions({s.X, s.Y, x, s.Y}, Cuts::down, xs_, ys_, look);
      }
      for (const double y : ys_) {
        if (found || effort_ < 0 || y >= s.Y - slack) break;
        visit_divisions({s.X, s.Y, s.X, y}, Cuts::aside, xs_, ys_, look);
      }
    }
    if (!found && effort_ >= 0) look_up(s).at_most = wanted - 1;
    return found;
  }

  /// `placed` tells where the shape lies in the room.
  void lay(const Corner& given, int wanted, const Piece& placed,
           std::vector<PackedRectangle>& packed) {
    if (wanted <= 0) return;
    const Corner s = round_down(given);
    const Known known = look_up(s);
    // Mirrored shapes keep their own corner: what rounding cut off lies on its far side.
    const auto place = [&](double left, double low, double w, double h) {
      return Vec2{placed.left + (placed.mirror_x ? placed.shape.X - left - w : left),
                  placed.low + (placed.mirror_y ? placed.shape.Y - low - h : low)};
    };
    if (!known.divided) {
      const bool upright = count_plain(s.X, s.Y, true) > count_plain(s.X, s.Y, false);
      const Vec2 size = upright ? Vec2{part_.y(), part_.x()} : part_;
      for (double left = 0; left + size.x() <= s.X + slack; left += size.x())
        for (double low = 0; low + size.y() <= s.Y + slack; low += size.y())
          packed.push_back({place(left, low, size.x(), size.y()), upright});
      return;
    }
    const Piece &a = known.division.pieces[0], &b = known.division.pieces[1];
    const int in_a = std::min(look_up(round_down(a.shape)).surely, known.surely);
    for (const auto& [piece, count] : {std::pair{&a, in_a}, std::pair{&b, known.surely - in_a}}) {
      const Vec2 at = place(piece->left, piece->low, piece->shape.X, piece->shape.Y);
      lay(piece->shape, count,
          {piece->shape, at.x(), at.y(), piece->mirror_x != placed.mirror_x,
           piece->mirror_y != placed.mirror_y},
          packed);
    }
  }

  Vec2 part_;
  long effort_;
  std::vector<double> xs_, ys_;
  std::unordered_map<std::uint64_t, Known> known_;
};

}  // namespace

std::vector<PackedRectangle> pack_rectangles_by_corners(const Vec2& room, const Vec2& part,
                                                        int wanted, long effort) {
  if (!(part.minCoeff() > slack && room.minCoeff() > 0 && room.maxCoeff() < 1e6)) return {};
  return CornerPacker(room, part, effort).run(room, wanted);
}

}  // namespace sixtyfold
