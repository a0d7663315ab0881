#include "engine/nest/nest.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "engine/nest/block_packing.h"
#include "engine/nest/corner_packing.h"
#include "engine/nest/no_fit_table.h"
#include "engine/nest/offcut.h"
#include "engine/nest/row_stack.h"
#include "engine/nest/sheet_filler.h"
#include "engine/nest/sheet_fit.h"
#include "engine/nest/spaced_outline.h"

namespace sixtyfold {

namespace {

constexpr std::size_t most_parts_filled = 2000;

// Fewer parts lie in too few rows to gain by rows that do not run along the sheet.
constexpr std::size_t least_for_lattices = 5;
// Up to so many parts a sheet are laid at any angle, each its own.
constexpr std::size_t most_loose_parts = 10;

// A quick look at a part of which the sheet's area holds no more than this tries fewer angles.
constexpr int few_parts = 12;

struct Effort {
  int angles, offsets, finalists, refinements;
  long blocks, corners;  ///< divisions tried for rectangles
  int loose;             ///< fills with parts at any angle
};

Effort make_effort(int level, bool few) {
  if (level <= 1 && few) return {30, 16, 1, 3, 200'000, 0, 0};
  if (level <= 1) return {45, 24, 1, 4, 200'000, 0, 0};
  if (level == 2) return {90, 40, 3, 6, 2'000'000, 500'000, 24};
  return {360, 80, 8, 9, 20'000'000, 20'000'000, 150};
}

Polygon make_moved(const Polygon& polygon, const Vec2& by) {
  Polygon moved;
  for (const Vec2& p : polygon) moved.push_back(p + by);
  return moved;
}

/// A row stack at an angle; rows run along the sheet or across it.
struct Candidate {
  double angle_rad = 0;
  bool across = false;
  RowStack stack;

  double rotation() const { return angle_rad + (across ? pi / 2 : 0); }
};

class Nester {
 public:
  Nester(const Polygon& outline, const NestOptions& options, const Vec2& piece)
      : sheet_(options.sheet),
        origin_(measure_centroid(outline)),
        part_(make_moved(outline, -origin_)),
        table_(make_spaced_outline(part_, {sheet_.gap_mm})) {
    hull_ = make_convex_hull(part_);
    regions_ = {table_.find({0, false}), table_.find({pi, false})};
    usable_.low = Vec2::Constant(sheet_.edge_margin_mm);
    usable_.high = piece - usable_.low;
    most_ = static_cast<int>(std::min<double>(
        most_parts_filled, piece.prod() / std::max(1.0, measure_area(part_)) + 1e-9));
    effort_ = make_effort(options.effort, most_ <= few_parts);
  }

  std::vector<Placement> run() {
    if (table_.spaced().empty() || !(usable_.size().minCoeff() > 0)) return {};
    std::vector<Candidate> candidates;
    const std::vector<double> angles = find_angles();
    for (std::size_t i = 0; i < angles.size(); ++i) {
      // With grain the first angle serves rows along the sheet, the second rows across it.
      const std::vector<bool> ways = has_grain() ? std::vector{i == 1} : std::vector{false, true};
      for (Candidate& candidate : make_candidates(angles[i], ways, {effort_.offsets, 0}))
        candidates.push_back(std::move(candidate));
    }
    std::vector<Candidate> finalists = choose_finalists(std::move(candidates));
    std::vector<Placement> best;
    double best_extent = 0;
    const auto offer = [&](std::vector<std::vector<Placement>> results) {
      for (std::vector<Placement>& placements : results) {
        const double extent = measure_extent(placements);
        if (placements.size() < best.size() ||
            (placements.size() == best.size() && !(extent < best_extent - 1e-6)))
          continue;
        best = std::move(placements);
        best_extent = extent;
      }
    };
    for (Candidate& finalist : finalists) {
      refine(finalist);
      offer(make_filled(finalist));
      if (static_cast<int>(best.size()) >= most_) break;
    }
    if (static_cast<int>(best.size()) < most_) {
      if (!has_grain())
        offer(make_filled_blocks());
      else if (best.size() >= least_for_lattices)
        offer(make_filled_lattices());
    }
    if (best.size() <= most_loose_parts && has_room_for(best.size() + 1))
      offer(make_filled_loosely(best.size() + 1));
    std::stable_sort(best.begin(), best.end(), [&](const Placement& a, const Placement& b) {
      return left_of(a) < left_of(b) - 1e-6;
    });
    return best;
  }

 private:
  bool has_grain() const { return sheet_.grain != Grain::none; }

  /// Direction of the long side of the least rectangle, as the fast tier sees it.
  double long_axis() const {
    Sheet huge = sheet_;
    huge.grain = Grain::along_long_side;
    return measure_largest_scale(hull_, 0, huge).direction_rad;
  }

  /// Angles by which the part is turned before it is laid in rows.
  std::vector<double> find_angles() const {
    if (has_grain()) {
      const double along = sheet_.grain == Grain::along_long_side ? 0 : pi / 2;
      return {along - long_axis(), along - long_axis() - pi / 2};
    }
    // Remarkable directions come to lie along the rows or across them.
    std::vector<double> angles;
    const auto add = [&](double direction) {
      angles.push_back(-direction);
      angles.push_back(pi / 2 - direction);
    };
    add(measure_largest_scale(hull_, 0, sheet_).direction_rad);
    add(long_axis());
    // An edge flush with the rows.
    const double shortest = 0.08 * measure_perimeter(hull_);
    for (std::size_t i = 0; i < part_.size(); ++i) {
      const Vec2 edge = part_[(i + 1) % part_.size()] - part_[i];
      if (edge.norm() >= shortest) add(std::atan2(edge.y(), edge.x()));
    }
    for (int i = 0; i < effort_.angles; ++i) angles.push_back(pi * i / effort_.angles);
    return angles;
  }

  /// One for each way the rows may run: along the sheet (false) or across it.
  std::vector<Candidate> make_candidates(double angle, const std::vector<bool>& ways,
                                         const LatticeEffort& effort) const {
    const Eigen::Rotation2Dd turn(angle);
    Vec2 low = turn * hull_[0], high = low;
    for (const Vec2& p : hull_) {
      const Vec2 q = turn * p;
      low = low.cwiseMin(q), high = high.cwiseMax(q);
    }
    std::vector<Vec2> rooms;
    bool fits = false;
    for (const bool across : ways) {
      Vec2 size = usable_.size();
      if (across) std::swap(size.x(), size.y());
      rooms.push_back(size - (high - low));
      fits = fits || rooms.back().minCoeff() >= -1e-6;
    }
    if (!fits) return {};
    std::vector<RowStack> stacks =
        find_row_stacks({regions_.turned_by(angle), (low + high) / 2}, rooms, effort);
    std::vector<Candidate> candidates;
    for (std::size_t i = 0; i < ways.size(); ++i)
      candidates.push_back({angle, ways[i], std::move(stacks[i])});
    return candidates;
  }

  /// Those with the most parts, and those nearest to one more row.
  std::vector<Candidate> choose_finalists(std::vector<Candidate> candidates) const {
    std::vector<Candidate> chosen;
    for (const auto measure : {&RowStack::value, &RowStack::potential}) {
      std::stable_sort(candidates.begin(), candidates.end(),
                       [&](const Candidate& a, const Candidate& b) {
                         return a.stack.*measure > b.stack.*measure;
                       });
      const std::size_t most = chosen.size() + static_cast<std::size_t>(effort_.finalists);
      for (const Candidate& candidate : candidates) {
        if (candidate.stack.parts.empty() || chosen.size() >= most) continue;
        const bool near = std::any_of(chosen.begin(), chosen.end(), [&](const Candidate& other) {
          const double apart =
              std::abs(std::remainder(candidate.rotation() - other.rotation(), pi));
          return other.across == candidate.across && apart < 0.035;
        });
        if (!near) chosen.push_back(candidate);
      }
    }
    return chosen;
  }

  void refine(Candidate& candidate) const {
    const LatticeEffort fine{3 * effort_.offsets, 12};
    Candidate nearest = candidate;
    const auto offer = [&](double angle) {
      std::vector<Candidate> others = make_candidates(angle, {candidate.across}, fine);
      if (others.empty()) return;
      Candidate& other = others[0];
      if (other.stack.value > candidate.stack.value) candidate = other;
      if (other.stack.potential > nearest.stack.potential) nearest = std::move(other);
    };
    offer(candidate.angle_rad);
    if (has_grain()) return;
    double step = pi / effort_.angles / 2;
    for (int i = 0; i < effort_.refinements; ++i, step /= 2) {
      const double about = nearest.angle_rad;
      offer(about - step);
      offer(about + step);
    }
  }

  /// The stack as placements of the origin, on the sheet piece.
  std::vector<FilledPart> make_parts(const Candidate& candidate) const {
    const Eigen::Rotation2Dd turn(candidate.angle_rad);
    Polygon turned;
    for (const Vec2& p : hull_) turned.push_back(turn * p);
    const Box box = measure_box(turned);
    const Vec2 middle = (box.low + box.high) / 2;
    std::vector<FilledPart> parts;
    for (const StackedPart& stacked : candidate.stack.parts) {
      Vec2 at = stacked.centre + box.size() / 2 + (stacked.turned ? middle : Vec2{-middle});
      if (candidate.across) at = Vec2{usable_.size().x() - at.y(), at.x()};
      parts.push_back({usable_.low + at, stacked.turned ? std::size_t{1} : std::size_t{0}});
    }
    return parts;
  }

  std::vector<Attitude> make_attitudes(double rotation) const {
    std::vector<Attitude> attitudes{{rotation, false}, {rotation + pi, false}};
    if (sheet_.both_faces_alike) {
      const double back = has_grain() ? pi - rotation + 2 * grain_angle() : -rotation;
      attitudes.push_back({back, true});
      attitudes.push_back({back + pi, true});
    }
    if (!has_grain()) {
      attitudes.push_back({rotation + pi / 2, false});
      attitudes.push_back({rotation - pi / 2, false});
    }
    return attitudes;
  }

  double grain_angle() const { return sheet_.grain == Grain::along_long_side ? 0 : pi / 2; }

  std::vector<std::vector<Placement>> make_filled(const Candidate& candidate) const {
    const std::vector<Attitude> attitudes = make_attitudes(candidate.rotation());
    SheetFiller filler(part_, table_, attitudes, usable_);
    std::vector<std::vector<Placement>> results;
    const std::vector<FilledPart> stacked = make_parts(candidate);
    const auto finish = [&](const std::vector<FilledPart>& start, const Vec2& direction) {
      filler.start(start);
      filler.fill({direction}, static_cast<std::size_t>(most_));
      results.push_back(make_placements(filler.parts(), attitudes));
    };
    const Vec2 upward = candidate.across ? Vec2{-1, 0.01} : Vec2{0.01, 1};
    finish(stacked, upward);
    finish(stacked, candidate.across ? Vec2{0.01, 1} : Vec2{1, 0.01});
    if (effort_.finalists == 1) return results;
    // Without the last row there may be room for better.
    std::vector<FilledPart> shorter;
    const double last_y = candidate.stack.parts.back().centre.y();
    for (std::size_t i = 0; i < stacked.size(); ++i)
      if (candidate.stack.parts[i].centre.y() < last_y - 1e-6) shorter.push_back(stacked[i]);
    if (!has_grain()) finish(shorter, upward);
    // Few parts: from an empty sheet as well.
    if (stacked.size() <= 12) {
      finish({}, {0.01, 1});
      finish({}, {1, 0.01});
    }
    return results;
  }

  /// With grain the rows of the best lattice need not run along the sheet.
  std::vector<std::vector<Placement>> make_filled_lattices() const {
    const double rotation = grain_angle() - long_axis();
    const PairRegions regions = regions_.turned_by(rotation);
    const std::vector<Attitude> attitudes = make_attitudes(rotation);
    Polygon lying;
    for (const Vec2& p : hull_) lying.push_back(attitudes[0].apply(p));
    const Box box = measure_box(lying);
    const Box first{usable_.low - box.low, usable_.high - box.high};
    const Box second{usable_.low + box.high, usable_.high + box.low};
    if (!((first.high - first.low).minCoeff() >= 0)) return {};
    struct Cut {
      double direction;
      std::vector<LatticePart> parts;
      double area;
    };
    std::vector<Cut> cuts;
    const auto offer = [&](double direction, const LatticeEffort& effort) {
      int looked = 0;
      for (const Lattice& lattice : find_lattices(regions.turned_by(-direction), effort)) {
        if (++looked > 4) break;
        const Lattice turned = make_turned(lattice, direction);
        const Box& room = lattice.second_turned ? second : first;
        cuts.push_back({direction, cut_lattice(turned, first, room), lattice.area_per_part()});
        for (LatticePart& part : cuts.back().parts)
          part.second = part.second && lattice.second_turned;
      }
    };
    const auto order = [&] {
      std::stable_sort(cuts.begin(), cuts.end(), [](const Cut& a, const Cut& b) {
        return a.parts.size() != b.parts.size() ? a.parts.size() > b.parts.size() : a.area < b.area;
      });
    };
    for (int i = 0; i < effort_.angles; ++i) offer(pi * i / effort_.angles, {effort_.offsets, 2});
    if (cuts.empty()) return {};
    order();
    double step = pi / effort_.angles / 2;
    for (int i = 0; i < effort_.refinements; ++i, step /= 2) {
      const double about = cuts[0].direction;
      offer(about - step, {effort_.offsets, 12});
      offer(about + step, {effort_.offsets, 12});
      order();
    }
    SheetFiller filler(part_, table_, attitudes, usable_);
    std::vector<std::vector<Placement>> results;
    for (std::size_t i = 0; i < cuts.size() && i < 2; ++i) {
      std::vector<FilledPart> parts;
      for (const LatticePart& part : cuts[i].parts)
        parts.push_back({part.at, part.second ? std::size_t{1} : std::size_t{0}});
      filler.start(parts);
      filler.fill({{1, 0.01}}, static_cast<std::size_t>(most_));
      results.push_back(make_placements(filler.parts(), attitudes));
    }
    return results;
  }

  /// As if the part filled its least rectangle.
  std::vector<std::vector<Placement>> make_filled_blocks() const {
    const std::vector<Attitude> attitudes = make_attitudes(-long_axis());
    Polygon lying;
    for (const Vec2& p : hull_) lying.push_back(attitudes[0].apply(p));
    const Box box = measure_box(lying);
    const Vec2 gap = Vec2::Constant(sheet_.gap_mm);
    const double filled = measure_area(part_) / box.size().prod();
    const Vec2 room = usable_.size() + gap, size = box.size() + gap;
    std::vector<PackedRectangle> rectangles =
        pack_rectangles(room, size, filled > 0.9 ? effort_.blocks : 0);
    while (filled > 0.999 && effort_.corners > 0) {
      std::vector<PackedRectangle> better = pack_rectangles_by_corners(
          room, size, static_cast<int>(rectangles.size()) + 1, effort_.corners);
      if (better.empty()) break;
      rectangles = std::move(better);
    }
    std::vector<FilledPart> parts;
    for (const PackedRectangle& rectangle : rectangles) {
      // Upright: turned by a quarter, so the box's lowest left corner is (-high.y, low.x).
      const Vec2 low = rectangle.upright ? Vec2{-box.high.y(), box.low.x()} : box.low;
      const std::size_t attitude = rectangle.upright ? attitudes.size() - 2 : 0;
      parts.push_back({usable_.low + rectangle.low - low, attitude});
    }
    SheetFiller filler(part_, table_, attitudes, usable_);
    filler.start(parts);
    filler.fill({{0.01, 1}}, static_cast<std::size_t>(most_));
    return {make_placements(filler.parts(), attitudes)};
  }

  /// No shape but those that tile comes nearer to the whole sheet.
  bool has_room_for(std::size_t parts) const {
    return static_cast<double>(parts) * measure_area(part_) < 0.92 * usable_.size().prod();
  }

  /// A sheet of few parts need not hold them in rows: each lies at the angle at which it comes
  /// furthest into a corner, with grain at those allowed. Ends with the first fill that has the
  /// parts wanted.
  std::vector<std::vector<Placement>> make_filled_loosely(std::size_t wanted) const {
    constexpr int angles = 24;
    // Points spread evenly over a square, however many: multiples of the powers of the root of
    // x^3 = x + 1, modulo 1.
    constexpr double first = 0.7548776662466927, second = 0.5698402909980532;
    const int rounds = has_grain() ? std::max(3, effort_.loose) : effort_.loose;
    for (int round = 0; round < rounds; ++round) {
      const double toward = pi * std::fmod(0.5 + second * round, 1.0);
      std::vector<Attitude> attitudes;
      if (has_grain())
        attitudes = make_attitudes(grain_angle() - long_axis());
      else
        for (int i = 0; i < angles; ++i) {
          const double angle = 2 * pi / angles * (i + std::fmod(0.5 + first * round, 1.0));
          attitudes.push_back({angle, false});
          if (sheet_.both_faces_alike) attitudes.push_back({angle, true});
        }
      SheetFiller filler(part_, table_, attitudes, usable_);
      filler.start({});
      filler.fill({{std::cos(toward), std::sin(toward)}}, static_cast<std::size_t>(most_));
      if (filler.parts().size() >= wanted) return {make_placements(filler.parts(), attitudes)};
    }
    return {};
  }

  std::vector<Placement> make_placements(const std::vector<FilledPart>& parts,
                                         const std::vector<Attitude>& attitudes) const {
    std::vector<Placement> placements;
    for (const FilledPart& part : parts) {
      const Attitude& attitude = attitudes[part.attitude];
      placements.push_back(
          {part.position - attitude.apply(origin_), attitude.rotation_rad, attitude.turned_over});
    }
    return placements;
  }

  double left_of(const Placement& placement) const {
    double low = 1e300;
    for (const Vec2& p : hull_) {
      const Attitude attitude{placement.rotation_rad, placement.turned_over};
      low = std::min(low, (placement.position_mm + attitude.apply(p + origin_)).x());
    }
    return low;
  }

  /// How far along the sheet the parts reach: the shorter, the larger the offcut.
  double measure_extent(const std::vector<Placement>& placements) const {
    double high = 0;
    for (const Placement& placement : placements) {
      const Attitude attitude{placement.rotation_rad, placement.turned_over};
      for (const Vec2& p : hull_)
        high = std::max(high, (placement.position_mm + attitude.apply(p + origin_)).x());
    }
    return high;
  }

  Sheet sheet_;
  Effort effort_{};
  Vec2 origin_;
  Polygon part_, hull_;       ///< about the part's centroid
  mutable NoFitTable table_;  ///< of the part with half the gap around it; fills as it is asked
  PairRegions regions_;
  Box usable_;
  int most_ = 0;
};

/// The pieces a sheet is first cut into: their size and where they lie.
std::vector<Box> make_pieces(const Sheet& sheet, FirstCut cut) {
  const int columns = cut == FirstCut::none ? 1 : 2, rows = cut == FirstCut::quarters ? 2 : 1;
  const Vec2 size{sheet.long_mm / columns, sheet.short_mm / rows};
  std::vector<Box> pieces;
  for (int i = 0; i < columns; ++i)
    for (int j = 0; j < rows; ++j) {
      const Vec2 low{i * size.x(), j * size.y()};
      pieces.push_back({low, low + size});
    }
  return pieces;
}

std::vector<Box> find_offcuts_of(const Nest& nest, const Polygon& flat_pattern, std::size_t parts,
                                 int effort) {
  std::vector<Polygon> polygons;
  for (std::size_t i = 0; i < parts; ++i)
    polygons.push_back(nest.placements[i].place(flat_pattern));
  OffcutOptions options;
  options.least_side_mm = std::max(100.0, nest.sheet.short_mm / 8);
  if (effort == 1) options.cells /= 2;
  return find_offcuts(polygons, {nest.sheet.long_mm, nest.sheet.short_mm}, options);
}

}  // namespace

std::string NestOptions::find_fault() const {
  if (std::string fault = sheet.find_fault(); !fault.empty()) return fault;
  if (!(1 <= copies && copies <= 100000))
    return "the number of copies is " + std::to_string(copies) +
           "; it must lie between 1 and 100000";
  if (!(1 <= effort && effort <= 3))
    return "the effort is " + std::to_string(effort) + "; it must be 1, 2 or 3";
  return {};
}

Polygon Placement::place(const Polygon& flat_pattern) const {
  const Attitude attitude{rotation_rad, turned_over};
  Polygon placed;
  for (const Vec2& p : flat_pattern) placed.push_back(position_mm + attitude.apply(p));
  if (turned_over) std::reverse(placed.begin(), placed.end());
  return placed;
}

Nest make_nest(const Polygon& flat_pattern, const NestOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (flat_pattern.size() < 3 || !is_simple(flat_pattern))
    throw std::invalid_argument(
        "the flat pattern must be a closed outline of at least three corners that does not cross "
        "itself");
  Nest nest;
  nest.sheet = options.sheet;
  nest.first_cut = options.first_cut;
  nest.copies = options.copies;
  const std::vector<Box> pieces = make_pieces(options.sheet, options.first_cut);
  // What is longer than the sheet's diagonal fits in no way: no more work, and no numbers beyond
  // what the no-fit grid holds.
  if (!(measure_least_rectangle(flat_pattern).short_mm <= pieces[0].size().norm() &&
        measure_box(flat_pattern).size().maxCoeff() <= pieces[0].size().norm()))
    return nest;
  const std::vector<Placement> one = Nester(flat_pattern, options, pieces[0].size()).run();
  for (const Box& piece : pieces)
    for (Placement placement : one) {
      placement.position_mm += piece.low;
      nest.placements.push_back(placement);
    }
  nest.parts_per_sheet = static_cast<int>(nest.placements.size());
  nest.sheets = measure_sheets(options.copies, nest.parts_per_sheet);
  if (nest.sheets == 0) return nest;
  nest.parts_on_last_sheet = options.copies - (nest.sheets - 1) * nest.parts_per_sheet;
  const double area = std::abs(measure_area(flat_pattern)), sheet_area = options.sheet.area_mm2();
  nest.utilisation = options.copies * area / (nest.sheets * sheet_area);
  nest.full_utilisation = nest.parts_per_sheet * area / sheet_area;
  nest.offcuts_mm = find_offcuts_of(nest, flat_pattern, nest.placements.size(), options.effort);
  nest.last_offcuts_mm =
      nest.parts_on_last_sheet == nest.parts_per_sheet
          ? nest.offcuts_mm
          : find_offcuts_of(nest, flat_pattern, static_cast<std::size_t>(nest.parts_on_last_sheet),
                            options.effort);
  return nest;
}

}  // namespace sixtyfold
