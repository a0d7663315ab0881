#include "engine/nest/block_packing.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <unordered_map>

namespace sixtyfold {

namespace {

constexpr double slack = 1e-6;
constexpr std::size_t most_stops = 400;

class Packer {
 public:
  Packer(const Vec2& room, const Vec2& part, long effort)
      : part_(part), effort_(effort), xs_(find_sums(room.x())), ys_(find_sums(room.y())) {}

  std::vector<PackedRectangle> run() {
    std::vector<PackedRectangle> packed;
    if (xs_.size() > most_stops || ys_.size() > most_stops) {
      xs_ = {0, xs_.back()}, ys_ = {0, ys_.back()};  // too many small parts: one plain block
    }
    const int w = last(xs_), h = last(ys_);
    solve(w, h);
    lay(w, h, {0, 0}, packed);
    return packed;
  }

 private:
  enum class Kind { flat, upright, across, along, five };
  struct Plan {
    int count = 0;
    Kind kind = Kind::flat;
    int x1 = 0, x2 = 0, y1 = 0, y2 = 0;  ///< numbers of stops
  };

  static int last(const std::vector<double>& stops) { return static_cast<int>(stops.size()) - 1; }

  /// Sums i a + j b up to the size, ascending, with the size itself rounded down to the last.
  std::vector<double> find_sums(double size) const {
    std::vector<double> sums;
    for (double a = 0; a <= size + slack; a += part_.x())
      for (double b = a; b <= size + slack; b += part_.y()) {
        sums.push_back(b);
        if (sums.size() > 100'000) break;
      }
    std::sort(sums.begin(), sums.end());
    sums.erase(
        std::unique(sums.begin(), sums.end(), [](double p, double q) { return q - p < slack; }),
        sums.end());
    return sums;
  }

  /// Number of the largest stop not above the size.
  static int below(const std::vector<double>& stops, double size) {
    return static_cast<int>(std::upper_bound(stops.begin(), stops.end(), size + slack) -
                            stops.begin()) -
           1;
  }
  double x(int i) const { return xs_[static_cast<std::size_t>(i)]; }
  double y(int j) const { return ys_[static_cast<std::size_t>(j)]; }
  int rest_x(int all, int taken) const { return below(xs_, x(all) - x(taken)); }
  int rest_y(int all, int taken) const { return below(ys_, y(all) - y(taken)); }
  static int steps(double room, double size) { return static_cast<int>((room + slack) / size); }
  int bound(int w, int h) const { return static_cast<int>((x(w) * y(h) + slack) / part_.prod()); }

  int solve(int w, int h) {
    const std::uint64_t key = (static_cast<std::uint64_t>(w) << 32) | static_cast<std::uint32_t>(h);
    if (const auto known = plans_.find(key); known != plans_.end()) return known->second.count;
    Plan best;
    const auto offer = [&](int count, Kind kind, int x1, int x2, int y1, int y2) {
      if (count > best.count) best = {count, kind, x1, x2, y1, y2};
    };
    offer(steps(x(w), part_.x()) * steps(y(h), part_.y()), Kind::flat, 0, 0, 0, 0);
    offer(steps(x(w), part_.y()) * steps(y(h), part_.x()), Kind::upright, 0, 0, 0, 0);
    const int most = bound(w, h);
    for (int i = 1; i < w && x(i) <= x(w) / 2 + slack && best.count < most; ++i)
      if (const int r = rest_x(w, i); bound(i, h) + bound(r, h) > best.count)
        offer(solve(i, h) + solve(r, h), Kind::across, i, r, 0, 0);
    for (int j = 1; j < h && y(j) <= y(h) / 2 + slack && best.count < most; ++j)
      if (const int r = rest_y(h, j); bound(w, j) + bound(w, r) > best.count)
        offer(solve(w, j) + solve(w, r), Kind::along, 0, 0, j, r);
    for (int x1 = 1; x1 < w && best.count < most; ++x1)
      for (int x2 = x1 + 1; x2 < w && best.count < most; ++x2)
        for (int y1 = 1; y1 < h && best.count < most && effort_ > 0; ++y1)
          for (int y2 = y1 + 1; y2 < h; ++y2) {
            --effort_;
            const int right = rest_x(w, x1), far = rest_x(w, x2), top = rest_y(h, y1),
                      over = rest_y(h, y2), middle_x = rest_x(x2, x1), middle_y = rest_y(y2, y1);
            int sum = bound(x1, y2) + bound(right, y1) + bound(far, top) + bound(x2, over) +
                      bound(middle_x, middle_y);
            if (sum <= best.count) continue;
            sum += solve(x1, y2) - bound(x1, y2);
            if (sum <= best.count) continue;
            sum += solve(right, y1) - bound(right, y1);
            if (sum <= best.count) continue;
            sum += solve(far, top) - bound(far, top);
            if (sum <= best.count) continue;
            sum += solve(x2, over) - bound(x2, over);
            if (sum <= best.count) continue;
            sum += solve(middle_x, middle_y) - bound(middle_x, middle_y);
            offer(sum, Kind::five, x1, x2, y1, y2);
          }
    plans_[key] = best;
    return best.count;
  }

  void lay(int w, int h, const Vec2& at, std::vector<PackedRectangle>& packed) {
    const std::uint64_t key = (static_cast<std::uint64_t>(w) << 32) | static_cast<std::uint32_t>(h);
    const auto known = plans_.find(key);
    if (known == plans_.end() || known->second.count == 0) return;
    const Plan plan = known->second;
    switch (plan.kind) {
      case Kind::flat:
      case Kind::upright: {
        const bool upright = plan.kind == Kind::upright;
        const Vec2 size = upright ? Vec2{part_.y(), part_.x()} : part_;
        for (int i = 0; i < steps(x(w), size.x()); ++i)
          for (int j = 0; j < steps(y(h), size.y()); ++j)
            packed.push_back({at + Vec2{i * size.x(), j * size.y()}, upright});
        return;
      }
      case Kind::across:
        lay(plan.x1, h, at, packed);
        lay(plan.x2, h, at + Vec2{x(plan.x1), 0}, packed);
        return;
      case Kind::along:
        lay(w, plan.y1, at, packed);
        lay(w, plan.y2, at + Vec2{0, y(plan.y1)}, packed);
        return;
      case Kind::five: {
        const double x1 = x(plan.x1), x2 = x(plan.x2), y1 = y(plan.y1), y2 = y(plan.y2);
        lay(plan.x1, plan.y2, at, packed);
        lay(rest_x(w, plan.x1), plan.y1, at + Vec2{x1, 0}, packed);
        lay(rest_x(w, plan.x2), rest_y(h, plan.y1), at + Vec2{x2, y1}, packed);
        lay(plan.x2, rest_y(h, plan.y2), at + Vec2{0, y2}, packed);
        lay(rest_x(plan.x2, plan.x1), rest_y(plan.y2, plan.y1), at + Vec2{x1, y1}, packed);
        return;
      }
    }
  }

  Vec2 part_;
  long effort_;
  std::vector<double> xs_, ys_;
  std::unordered_map<std::uint64_t, Plan> plans_;
};

}  // namespace

std::vector<PackedRectangle> pack_rectangles(const Vec2& room, const Vec2& part, long effort) {
  if (!(part.minCoeff() > slack && room.minCoeff() > 0 && room.maxCoeff() < 1e6)) return {};
  return Packer(room, part, effort).run();
}

}  // namespace sixtyfold
