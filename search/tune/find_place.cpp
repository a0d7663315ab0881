#include "search/tune/find_place.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <stdexcept>

#include "engine/building/day.h"
#include "engine/random.h"
#include "engine/shape/hub.h"
#include "engine/stock/stock_use.h"
#include "engine/text.h"
#include "engine/variant/variant.h"
#include "search/propose/refine.h"
#include "search/propose/transfer_point.h"
#include "search/tune/leave.h"

namespace sixtyfold {
namespace {

constexpr double sampled = 0.3;         // of the budget goes to random places
constexpr int most_climbers = 48;       // places that are made better
constexpr int climb_evaluations = 200;  // each, in one round
constexpr double shake = 0.05;          // standard deviation of a unit coordinate
constexpr int block = 2048;             // random places between two questions to go on
constexpr std::size_t most_checked = 12, check_batch = 4;
constexpr double other_size = 0.02;     // as bad as so much of the drawing cut off
constexpr double as_much = 0.01;        // of the drawing: then the look decides
constexpr double nearly_as_much = 0.1;  // of the drawing, for going together without hard steps
/// The plane's distance from the centre over the part's radius.
constexpr double least_ratio = 0.1, most_ratio = 3;

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// A little inside the limits, so that a place whose numbers are rounded keeps them.
Limits make_search_limits(Limits limits) {
  limits.min_joint_mm = 1.01 * limits.min_joint_mm + 0.2;
  limits.min_width_mm = 1.02 * limits.min_width_mm + 0.1;
  limits.min_angle_deg += 0.1;
  limits.max_angle_deg -= 0.1;
  limits.sheet_width_mm -= 1;
  limits.sheet_height_mm -= 1;
  limits.min_diameter_mm *= 1.002;
  limits.max_diameter_mm *= 0.998;
  return limits;
}

/// To so many parts of one: the double that the decimal number reads as.
double round_to(double value, double parts) { return std::round(value * parts) / parts; }

/// A place as the search moves it: where the plane lies to the drawing. Lengths in the drawing's
/// millimetres times `scale`.
struct Trial {
  Vec3 normal = Vec3::UnitZ();
  double distance = 0, scale = 1, turn_deg = 0;
  Vec2 shift = Vec2::Zero();
};

struct Climber {
  UnitPoint point;
  double value = std::numeric_limits<double>::infinity();
};

struct Workspace {
  VariantWorkspace work;
  Variant variant;
  Draft draft;
  std::vector<Polygon> holes;
};

class PlaceSearch {
 public:
  PlaceSearch(const OwnPart& part, const PlaceWish& wish, const Limits& limits,
              const PlaceOptions& options, Evaluator& evaluator,
              const std::function<bool(const PlaceProgress&)>& go_on)
      : part_(part),
        wish_(wish),
        limits_(limits),
        tight_(make_search_limits(limits)),
        options_(options),
        evaluator_(evaluator),
        leave_(go_on, progress_),
        spaces_(index(evaluator.threads())) {
    for (const Vec2& p : part.outline_mm) radius_ = std::max(radius_, p.norm());
    sketch_ = make_simplified(part.outline_mm, 2e-3 * radius_);
    if (sketch_.size() < 3 || !is_simple(sketch_)) sketch_ = part.outline_mm;
    area_ = measure_area(sketch_);
    hub_ = find_hub(sketch_);
    const auto group = std::make_shared<const PointGroup>(make_point_group(wish.symmetry));
    // No axis of a group comes near to this direction: a plane anywhere.
    const Vec3 anywhere = Vec3(0.3141, 0.1773, 0.9327);
    scheme_ = make_orbit_scheme(group, wish.normal.value_or(anywhere).normalized(),
                                wish.distance_mm == 0.0, OnAxis::own_sector);
    has_ratio_ = wish.distance_mm != 0.0 && !(wish.distance_mm && is_scale_fixed());
    dimension_ = (wish.normal ? 0 : 2) + (has_ratio_ ? 1 : 0) + (wish.turn_deg ? 0 : 1) +
                 (wish.shift_mm ? 0 : 2);
  }

  std::optional<FoundPlace> run() {
    sample();
    climb();
    return confirm();
  }
  const std::string& why_none() const { return why_none_; }

 private:
  /// A shift in millimetres means nothing without a scale.
  bool is_scale_fixed() const { return wish_.scale || wish_.shift_mm; }
  /// Whether the whole may be made larger and smaller.
  bool is_size_free() const {
    return !is_scale_fixed() && (!wish_.distance_mm || *wish_.distance_mm == 0);
  }

  Trial make_trial(const UnitPoint& point) const {
    std::size_t next = 0;
    const auto take = [&] { return point[next++]; };
    Trial trial;
    if (wish_.normal) {
      trial.normal = wish_.normal->normalized();
    } else {
      const double z = 2 * take() - 1, azimuth = 2 * pi * take();
      const double across = std::sqrt(std::max(0.0, 1 - z * z));
      trial.normal = Vec3(across * std::cos(azimuth), across * std::sin(azimuth), z);
    }
    trial.scale = wish_.scale.value_or(1);
    trial.distance = wish_.distance_mm.value_or(0);
    if (has_ratio_) {
      const double ratio = least_ratio * std::pow(most_ratio / least_ratio, take());
      if (wish_.distance_mm)
        trial.scale = *wish_.distance_mm / (ratio * radius_);
      else
        trial.distance = ratio * trial.scale * radius_;
    }
    trial.turn_deg = wish_.turn_deg ? *wish_.turn_deg : 360 * take();
    if (wish_.shift_mm)
      trial.shift = *wish_.shift_mm;
    else
      for (int i = 0; i < 2; ++i) trial.shift[i] = 1.2 * (2 * take() - 1) * trial.scale * radius_;
    return trial;
  }

  /// Numbers as a person would type them; what the design is made of.
  PartPlacing make_placing(const Trial& trial, double size) const {
    PartPlacing placing;
    placing.symmetry = wish_.symmetry;
    placing.normal =
        wish_.normal.value_or(trial.normal.unaryExpr([](double v) { return round_to(v, 1e4); }));
    placing.distance_mm = wish_.distance_mm.value_or(round_to(size * trial.distance, 10));
    placing.scale = wish_.scale.value_or(round_to(size * trial.scale, 1e4));
    placing.turn_deg = wish_.turn_deg.value_or(round_to(trial.turn_deg, 100));
    placing.shift_mm = wish_.shift_mm.value_or(
        (size * trial.shift).unaryExpr([](double v) { return round_to(v, 10); }));
    return placing;
  }

  /// Below 1: the share of the drawing that is cut off, all limits kept. Else the more the earlier
  /// it was turned down and the farther it misses.
  double judge(const Trial& trial, Workspace& space) const {
    const double as_drawn = judge_at(trial, 1, space);
    if (!is_size_free() || as_drawn < 1) return as_drawn;
    // What is turned down for its shape alone is so at any size.
    const Status status = space.variant.status;
    if (status == Status::bad_outline || status == Status::hub_lost || status == Status::panels ||
        status == Status::angle || status == Status::openness || status == Status::joints)
      return as_drawn;
    const double grown = judge_at(trial, std::numeric_limits<double>::infinity(), space);
    return std::min(as_drawn, grown < 1 ? std::min(grown + other_size, 0.999) : grown);
  }

  /// The same at no more than so many times the drawn size.
  double judge_at(const Trial& trial, double most_scale, Workspace& space) const {
    const Eigen::Rotation2Dd turn(to_radians(trial.turn_deg));
    const auto lay = [&](const Vec2& p) -> Vec2 { return trial.scale * (turn * p) + trial.shift; };
    Draft& draft = space.draft;
    draft.normal = trial.normal;
    draft.distance = trial.distance;
    draft.outline.clear();
    for (const Vec2& p : sketch_) draft.outline.push_back(lay(p));
    draft.hub = lay(hub_);
    MakeOptions options;
    options.stock = StockEstimate::left_out;
    options.most_scale = most_scale;
    Variant& variant = space.variant;
    make_variant(scheme_, draft, tight_, space.work, variant, options);
    constexpr int stages = static_cast<int>(Status::count_);
    const auto miss = [](Status status, double shortfall) {
      return 2 + stages - static_cast<int>(status) + std::clamp(shortfall, 0.0, 1.0);
    };
    if (variant.status == Status::bad_outline || variant.status == Status::hub_lost ||
        variant.status == Status::panels)
      return miss(variant.status, variant.shortfall);
    const double lost = 1 - variant.outline.area() / (trial.scale * trial.scale * area_);
    if (!part_.holes_mm.empty()) {
      std::vector<Polygon>& holes = space.holes = part_.holes_mm;
      for (Polygon& hole : holes)
        for (Vec2& p : hole) p = lay(p);
      if (!are_holes_inside(variant.outline.to_polygon(), holes))
        return miss(Status::hub_lost, lost);
    }
    if (variant.status != Status::ok) return miss(variant.status, variant.shortfall) + lost;
    if (!is_size_free() && variant.scale_mm < 1 - 1e-9)
      return miss(Status::sheet, 1 - variant.scale_mm) + lost;
    return lost;
  }
  double most_scale() const { return is_size_free() ? std::numeric_limits<double>::infinity() : 1; }

  void count(const PlaceProgress& more) {
    progress_.tried += more.tried;
    progress_.fitting += more.fitting;
    progress_.kept = std::max(progress_.kept, more.kept);
  }
  static void note(double value, PlaceProgress& progress) {
    ++progress.tried;
    if (value >= 1) return;
    ++progress.fitting;
    progress.kept = std::max(progress.kept, 1 - value);
  }

  void keep_best(std::vector<Climber>& climbers) const {
    std::stable_sort(climbers.begin(), climbers.end(),
                     [](const Climber& a, const Climber& b) { return a.value < b.value; });
    if (climbers.size() > most_climbers) climbers.resize(most_climbers);
  }

  void sample() {
    const auto wanted =
        dimension_ == 0
            ? 1
            : static_cast<std::uint64_t>(sampled * static_cast<double>(options_.budget));
    for (std::uint64_t first = 0; first < wanted && leave_.ask(); first += block) {
      const int tasks = static_cast<int>(std::min<std::uint64_t>(block, wanted - first));
      std::vector<Climber> tried(index(tasks));
      evaluator_.run(tasks, [&](int task, int worker) {
        RandomStream random(options_.seed, Purpose::sample,
                            first + static_cast<std::uint64_t>(task));
        Climber& climber = tried[index(task)];
        for (int k = 0; k < dimension_; ++k) climber.point.push_back(random.uniform());
        climber.value = judge(make_trial(climber.point), spaces_[index(worker)]);
      });
      PlaceProgress more;
      for (const Climber& climber : tried) note(climber.value, more);
      count(more);
      climbers_.insert(climbers_.end(), tried.begin(), tried.end());
      keep_best(climbers_);
    }
  }

  /// Turns have no walls: what leaves at one end comes in at the other. So has the azimuth.
  UnitPoint make_shaken(const UnitPoint& point, RandomStream& random) const {
    UnitPoint shaken = point;
    const std::size_t turn = (wish_.normal ? 0u : 2u) + (has_ratio_ ? 1u : 0u);
    for (std::size_t k = 0; k < point.size(); ++k) {
      const double moved = point[k] + shake * random.normal();
      const bool is_round = (k == 1 && !wish_.normal) || (k == turn && !wish_.turn_deg);
      shaken[k] = is_round ? moved - std::floor(moved) : reflect(moved);
    }
    return shaken;
  }

  void climb() {
    if (dimension_ == 0) return;
    for (std::uint64_t round = 0;
         progress_.tried < options_.budget && !climbers_.empty() && leave_.ask(); ++round) {
      // Of what is left the best few are given as much as always rather than all of them little.
      const std::uint64_t left = options_.budget - progress_.tried;
      const int tasks = static_cast<int>(
          std::clamp<std::uint64_t>(left / climb_evaluations, 1, climbers_.size()));
      const int evaluations = static_cast<int>(std::min<std::uint64_t>(left, climb_evaluations));
      std::vector<Climber> better(index(tasks));
      std::vector<PlaceProgress> told(index(tasks));
      evaluator_.run(tasks, [&](int task, int worker) {
        RandomStream random(options_.seed, Purpose::refine,
                            round * most_climbers + static_cast<std::uint64_t>(task));
        const UnitPoint& from = climbers_[index(task)].point;
        RefineOptions how;
        how.evaluations = evaluations;
        const Refined refined = refine(
            [&](const UnitPoint& point) {
              if (!leave_.ask()) return std::numeric_limits<double>::infinity();
              const double value = judge(make_trial(point), spaces_[index(worker)]);
              note(value, told[index(task)]);
              return value;
            },
            round == 0 ? from : make_shaken(from, random), how);
        better[index(task)] = {refined.point, refined.value};
      });
      for (const PlaceProgress& more : told) count(more);
      for (std::size_t i = 0; i < better.size(); ++i)
        if (better[i].value < climbers_[i].value) climbers_[i] = std::move(better[i]);
      keep_best(climbers_);
      // The last quarter starts again from where the first stands.
      const std::size_t quarter = climbers_.size() / 4;
      for (std::size_t i = 0; i < quarter; ++i)
        climbers_[climbers_.size() - 1 - i].point = climbers_[i].point;
    }
  }

  /// The drawn size where that works, else the least that does; as large as there is room for at
  /// most.
  double find_size(const Trial& trial, Workspace& space) const {
    if (!is_size_free()) return 1;
    if (judge_at(trial, 1, space) < 1) return space.variant.scale_mm;
    const double value = judge_at(trial, std::numeric_limits<double>::infinity(), space);
    double low = 1, high = space.variant.scale_mm;
    if (!(value < 1) || high <= low) return high;
    for (int i = 0; i < 8; ++i) {
      const double middle = std::sqrt(low * high);
      (judge_at(trial, middle, space) < value + 0.01 ? high : low) = middle;
    }
    return high;
  }

  struct Checked {
    std::optional<FoundPlace> found;
    std::string why_none;
    bool passes = false;
  };

  Checked check(const Climber& climber, Workspace& space) const {
    Checked checked;
    const Trial trial = make_trial(climber.point);
    FoundPlace found;
    found.placing = make_placing(trial, find_size(trial, space));
    try {
      found.part = place_part(part_, found.placing, limits_);
    } catch (const std::invalid_argument& fault) {
      checked.why_none = fault.what();
      return checked;
    }
    found.inspection = inspect(found.part.design, 1);
    checked.passes = found.inspection.buildable();
    if (checked.passes) {
      measure_building(found.inspection.design, std::numeric_limits<int>::max(),
                       limits_day(limits_));
      found.inspection.faults = find_building_faults(found.inspection.design);
      checked.passes = found.inspection.buildable();
    }
    checked.found = std::move(found);
    return checked;
  }

  static bool is_better(const FoundPlace& a, const FoundPlace& b) {
    const bool a_goes = a.inspection.design.score.hard_steps == 0;
    const bool b_goes = b.inspection.design.score.hard_steps == 0;
    if (a_goes != b_goes) {
      const double more = a.part.kept - b.part.kept;
      return a_goes ? more > -nearly_as_much : more > nearly_as_much;
    }
    if (std::abs(a.part.kept - b.part.kept) > as_much) return a.part.kept > b.part.kept;
    return a.inspection.design.score.appeal > b.inspection.design.score.appeal;
  }

  std::optional<FoundPlace> confirm() {
    if (climbers_.empty()) why_none_ = "the search was ended before the first was tried";
    std::vector<Climber> list;
    for (const Climber& climber : climbers_)
      if (std::none_of(list.begin(), list.end(), [&](const Climber& other) {
            return std::abs(other.value - climber.value) < 1e-5;
          }))
        list.push_back(climber);
    if (list.size() > most_checked) list.resize(most_checked);
    std::optional<FoundPlace> best, nearest;
    std::vector<std::string> refused;
    for (std::size_t first = 0; first < list.size(); first += check_batch) {
      const std::size_t end = std::min(first + check_batch, list.size());
      std::vector<Checked> batch(end - first);
      evaluator_.run(static_cast<int>(batch.size()), [&](int task, int worker) {
        batch[index(task)] = check(list[first + index(task)], spaces_[index(worker)]);
      });
      for (Checked& checked : batch) {
        if (!checked.found) {
          if (why_none_.empty()) why_none_ = checked.why_none;
          continue;
        }
        if (!checked.passes) {
          refused.push_back(checked.found->inspection.faults.front());
          if (!nearest) nearest = std::move(checked.found);
        } else if (!best || is_better(*checked.found, *best)) {
          best = std::move(checked.found);
        }
      }
      if (best && !leave_.ask()) break;
      // Those that come are no better unless they go together where the best does not.
      if (best &&
          1 - list[end - 1].value <
              best->part.kept -
                  (best->inspection.design.score.hard_steps == 0 ? as_much : nearly_as_much))
        break;
    }
    std::optional<FoundPlace> found = best ? std::move(best) : std::move(nearest);
    if (!found) return found;
    // With a patient nest, as `check` does.
    measure_stock_use(found->inspection.design, 2).put_into(found->inspection.design.score);
    found->progress = progress_;
    found->refused = std::move(refused);
    return found;
  }

  const OwnPart& part_;
  const PlaceWish& wish_;
  const Limits &limits_, tight_;
  const PlaceOptions& options_;
  Evaluator& evaluator_;
  PlaceProgress progress_;
  Leave<PlaceProgress> leave_;
  std::vector<Workspace> spaces_;
  double radius_ = 0, area_ = 0;
  Polygon sketch_;
  Vec2 hub_ = Vec2::Zero();
  OrbitScheme scheme_;
  bool has_ratio_ = false;
  int dimension_ = 0;
  std::vector<Climber> climbers_;
  std::string why_none_;
};

/// What the given normal does by itself, wherever the part lies in its plane.
void add_advice(const PlaceWish& wish, const Limits& limits, FoundPlace& found) {
  if (found.inspection.buildable() || !wish.normal) return;
  const PointGroup group = make_point_group(wish.symmetry);
  const Vec3 normal = wish.normal->normalized();
  double flattest = 90;
  for (const Mat3& g : group.elements) {
    const double between = to_degrees(std::acos(std::clamp(normal.dot(g * normal), -1.0, 1.0)));
    const double acute = std::min(between, 180 - between);
    if (acute > 1e-4) flattest = std::min(flattest, acute);
  }
  if (flattest < limits.min_angle_deg)
    found.advice.push_back(format(
        "Some planes of this normal meet at as little as %.1f degrees, and %.1f are the least "
        "allowed: leave --normal out, or --turn, --shift or --scale, to have a place searched "
        "where those copies stay apart.",
        flattest, limits.min_angle_deg));
}

}  // namespace

std::optional<FoundPlace> find_place(const OwnPart& part, const PlaceWish& wish,
                                     const Limits& limits, const PlaceOptions& options,
                                     Evaluator& evaluator,
                                     const std::function<bool(const PlaceProgress&)>& go_on,
                                     std::string* why_none) {
  if (!(1000 <= options.budget && options.budget <= 1000000000))
    throw std::invalid_argument(format("the budget is %llu places; it must lie from 1000 to 1e9",
                                       static_cast<unsigned long long>(options.budget)));
  PlaceWish asked = wish;
  if (asked.is_all_given() && !asked.shift_mm) asked.shift_mm = Vec2::Zero();
  PartPlacing given;  // what is given has to make sense
  given.symmetry = asked.symmetry;
  given.normal = asked.normal.value_or(given.normal);
  given.distance_mm = asked.distance_mm.value_or(0);
  given.scale = asked.scale.value_or(1);
  make_laid_part(part, given);
  PlaceSearch search(part, asked, limits, options, evaluator, go_on);
  std::optional<FoundPlace> found = search.run();
  if (!found && why_none) *why_none = search.why_none();
  if (found) add_advice(asked, limits, *found);
  return found;
}

}  // namespace sixtyfold
