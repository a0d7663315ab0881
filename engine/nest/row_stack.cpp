#include "engine/nest/row_stack.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/nest/lowest_shift.h"
#include "engine/nest/upper_border.h"

namespace sixtyfold {

namespace {

constexpr double slack_mm = 1e-6;
constexpr int most_per_row = 4000, most_rows = 4000;
// Of parts of a millimetre a sheet holds millions; no design has so many copies.
constexpr std::size_t most_parts = 20000;
constexpr double least_for_lattices = 6;

/// Two kinds of rows that alternate.
struct Pattern {
  bool turned = true;  ///< the second kind is turned by half a turn
  double spacing = 0;
  int first_count = 0, second_count = 0;
  double first_from = 0, second_from = 0;  ///< where rows begin
  double to_second = 0, to_first = 0;      ///< heights from row to row
  bool lattice = false;  ///< offsets are taken modulo the spacing; rows hold what there is room for
  double drift = 0;      ///< of a lattice: added to both for every two rows
  bool second_below = false;  ///< the lowest row is of the second kind
};

class Search {
 public:
  Search(const StackInput& input, const LatticeEffort& effort)
      : input_(input),
        effort_(effort),
        same_(input.regions.same),
        // Both kinds are placed by the middle of the box, not by the origin they turn about.
        turned_(input.regions.turned, -2 * input.box_middle),
        turned_back_(make_reflected(input.regions.turned), 2 * input.box_middle),
        section_(input.regions.same),
        tight_spacings_(section_.find_tight_spacings()) {}

  RowStack run(const Vec2& room) {
    room_ = room.cwiseMax(0.0);
    best_ = {};
    best_value_ = potential_ = 0;
    const double x = room_.x();
    try_rows(1, std::max(x, 1.0) * 2);
    for (const double tight : tight_spacings_) {
      if (tight > x + slack_mm) continue;
      const int most =
          1 + static_cast<int>(std::min<double>(most_per_row - 1, (x + slack_mm) / tight));
      try_rows(most, tight);
      for (const int count : {most, most - 1}) {
        if (count < 2) continue;
        const double flush = x / (count - 1), staggered = x / (count - 0.5);
        if (flush > tight && section_.allows(flush)) try_rows(count, flush);
        if (staggered > tight && section_.allows(staggered)) try_rows(count, staggered);
      }
    }
    // Rows of a lattice drift; a few parts lie in too few rows to gain by that.
    if (best_value_ >= least_for_lattices) try_lattices();
    RowStack best;
    best.value = best_value_;
    best.potential = potential_;
    if (best_.first_count > 0)
      visit_rows(best_, [&](double y, double from, int count, bool turned) {
        for (int i = 0; i < count && best.parts.size() < most_parts; ++i)
          best.parts.push_back({{std::min(from + i * best_.spacing, x), y}, turned});
      });
    return best;
  }

 private:
  static std::vector<Polygon> make_reflected(std::vector<Polygon> region) {
    for (Polygon& polygon : region)
      for (Vec2& p : polygon) p = -p;
    return region;
  }

  void try_rows(int count, double spacing) {
    const double rest = std::max(0.0, room_.x() - (count - 1) * spacing);
    const double own = measure_row_height(same_, {spacing, 0, count, count});
    for (const bool turned : {true, false}) {
      const UpperBorder& up = turned ? turned_ : same_;
      const UpperBorder& back = turned ? turned_back_ : same_;
      // Rows of equal number, then every second one shorter.
      for (const int second : {count, count - 1}) {
        if (second < 1) continue;
        Pattern pattern;
        pattern.turned = turned;
        pattern.spacing = spacing;
        pattern.first_count = count;
        pattern.second_count = second;
        const auto rise = [&](double shift) {
          pattern.to_second = measure_row_height(up, {spacing, shift, count, second});
          pattern.to_first = measure_row_height(back, {spacing, -shift, second, count});
          // Two rows up lies the same kind again.
          pattern.to_first = std::max(pattern.to_first, own - pattern.to_second);
          return pattern.to_second + pattern.to_first;
        };
        const double high = room_.x() - (second - 1) * spacing;
        const double shift = find_lowest_shift(
            {-rest, high, effort_.offsets, effort_.refinements, &up.stops()}, rise);
        rise(shift);
        pattern.first_from = std::max(0.0, -shift);
        pattern.second_from = pattern.first_from + shift;
        offer(pattern);
      }
    }
  }

  void try_lattices() {
    if (lattices_.empty()) lattices_ = find_lattices(input_.regions, effort_);
    for (const Lattice& lattice : lattices_) {
      Pattern pattern;
      pattern.lattice = true;
      pattern.turned = lattice.second_turned;
      pattern.spacing = lattice.a.x();
      pattern.first_count = pattern.second_count = 1;
      // From origins to middles of boxes.
      const Vec2 second_at =
          lattice.second_at - (lattice.second_turned ? Vec2{2 * input_.box_middle} : Vec2{0, 0});
      pattern.to_second = second_at.y();
      pattern.to_first = lattice.b.y() - second_at.y();
      if (!(pattern.to_second >= 0 && pattern.to_first >= 0)) continue;
      pattern.drift = lattice.b.x();
      constexpr int starts = 12;
      for (int i = 0; i < starts; ++i) {
        pattern.first_from = pattern.spacing * i / starts;
        pattern.second_from = pattern.first_from + second_at.x();
        offer(pattern);
      }
    }
  }

  /// Calls visit(y, from, count, turned) for every row that has room; returns where the next would
  /// lie.
  template <class Visit>
  double visit_rows(const Pattern& pattern, Visit visit) const {
    double y = 0, drift = 0;
    if (!(pattern.to_first + pattern.to_second > slack_mm)) return 0;
    for (int row = 0; row < most_rows && y <= room_.y() + slack_mm; ++row) {
      const bool second = (row % 2 == 1) != pattern.second_below;
      double from = second ? pattern.second_from : pattern.first_from;
      int count = second ? pattern.second_count : pattern.first_count;
      if (pattern.lattice) {
        if (!second && row > 0) drift += pattern.drift;
        from = std::fmod(from + drift, pattern.spacing);
        if (from < 0) from += pattern.spacing;
        if (pattern.spacing - from < slack_mm) from = 0;
        count = from > room_.x() + slack_mm
                    ? 0
                    : 1 + static_cast<int>((room_.x() - from + slack_mm) / pattern.spacing);
      }
      visit(std::min(y, room_.y()), from, count, second && pattern.turned);
      y += second ? pattern.to_first : pattern.to_second;
    }
    return y;
  }

  void offer(Pattern pattern) {
    for (const bool second_below : {false, true}) {
      pattern.second_below = second_below;
      int count = 0, row = 0;
      double last = 0;
      const double next = visit_rows(pattern, [&](double y, double, int in_row, bool) {
        count += in_row;
        row = in_row;
        last = y;
      });
      const double share =
          next > last ? std::clamp((room_.y() - last) / (next - last), 0.0, 1.0) : 0.0;
      const double value = count + 0.999 * share;
      if (value > best_value_) best_value_ = value, best_ = pattern;
      potential_ = std::max(potential_, count + 0.999 * share * row);
    }
  }

  const StackInput& input_;
  LatticeEffort effort_;
  UpperBorder same_, turned_, turned_back_;
  RowSection section_;
  std::vector<double> tight_spacings_;
  std::vector<Lattice> lattices_;
  Vec2 room_ = Vec2::Zero();
  Pattern best_;
  double best_value_ = 0, potential_ = 0;
};

}  // namespace

std::vector<RowStack> find_row_stacks(const StackInput& input, std::span<const Vec2> rooms,
                                      const LatticeEffort& effort) {
  std::vector<RowStack> stacks(rooms.size());
  std::optional<Search> search;
  for (std::size_t i = 0; i < rooms.size(); ++i) {
    if (!(rooms[i].minCoeff() >= -slack_mm)) continue;
    if (!search) search.emplace(input, effort);
    stacks[i] = search->run(rooms[i]);
  }
  return stacks;
}

}  // namespace sixtyfold
