#include "search/alike/fit.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <stdexcept>

#include "engine/random.h"
#include "engine/text.h"
#include "search/alike/alike.h"
#include "search/propose/refine.h"
#include "search/propose/transfer_point.h"
#include "search/space/task.h"
#include "search/tune/look_overlap.h"

namespace sixtyfold {

namespace {

constexpr double reach_mm = 1000;            // both outlines are brought to this size
constexpr double finest = 0.004;             // of the reach: what an eye sees of an outline
constexpr double most_turn_rad = 0.25;       // of planes that are looked at
constexpr int samples = 8000;                // in all branches together
constexpr int starts = 40, of_one = 5;       // that are climbed from, and those of one branch
constexpr int climb = 600;                   // evaluations of one start
constexpr int finalists = 12, polish = 500;  // the best of them, and evaluations of each
constexpr int frames = 6;                    // of windows, tried at the end
constexpr double limit_loss = 0.03;          // of a start whose joints break a limit
constexpr double infinite = std::numeric_limits<double>::infinity();

/// A variant is judged by its outline: nothing after its scale is worth its time.
struct UpToScale : StageGate {
  bool lets_through(Stage next, const Score&) override { return next <= Stage::scale; }
};

bool has_joints(const Variant& variant) {
  return variant.status == Status::ok || variant.status >= Status::joints;
}

/// The given design's panel as one kind of plane sees it.
struct Pose {
  UnitPoint normal;        ///< values of the normal, the first of the branch's
  double turn_rad = 0;     ///< between the given normal's image and what the kind can draw
  Design design;           ///< with the image as its panel, of true size
  Panel panel;             ///< the image, of reach 1000 mm, in what detail an eye sees
  double distance_mm = 0;  ///< of its plane
};

int find_parameter(const Branch& branch, const char* name) {
  for (std::size_t k = 0; k < branch.parameters.size(); ++k)
    if (branch.parameters[k].name == name) return static_cast<int>(k);
  return -1;
}

/// How many parameters tell the normal: those before the hub's.
int count_normal_parameters(const Branch& branch) {
  // A mirrored upright plane has none: its tilt is the hub's, as in all others.
  for (const char* name : {"tilt_deg", "hub_deg", "size"})
    if (const int k = find_parameter(branch, name); k >= 0) return k;
  return 0;
}

/// The design with the image of its panel under one of the group's elements as the panel.
Design make_image(const Design& design, const Mat3& element) {
  Design image = design;
  Orbit& orbit = image.orbits.front();
  const Frame& from = design.orbits.front().panel.frame;
  const Vec3 foot = element * from.origin;
  Vec3 normal = element * from.normal;
  if (normal.dot(foot) < 0) normal = -normal;
  const Frame onto = make_frame(normal, std::max(0.0, normal.dot(foot)));
  const auto carry = [&](Polygon& polygon) {
    for (Vec2& p : polygon) p = onto.to_plane(element * from.to_space(p));
    polygon = make_counter_clockwise(std::move(polygon));
  };
  orbit.panel.frame = onto;
  carry(orbit.panel.outline_mm);
  for (Polygon& hole : orbit.panel.holes_mm) carry(hole);
  orbit.panel.flat_pattern_mm.clear();
  for (Mat3& copy : orbit.copies) copy = copy * element.transpose();
  return image;
}

Panel make_eye_panel(const Panel& panel) {
  Panel sized;
  const double scale = reach_mm / std::max(1e-9, measure_reach(panel));
  sized.frame = panel.frame;
  sized.frame.origin *= scale;
  for (const Vec2& p : panel.outline_mm) sized.outline_mm.push_back(scale * p);
  sized.outline_mm = make_simplified(sized.outline_mm, reach_mm * finest);
  return sized;
}

/// The image of the panel whose plane lies nearest to one that the branch can draw.
Pose find_pose(const Branch& branch, const Design& design, RandomStream random) {
  const Vec3 given = design.orbits.front().panel.frame.normal;
  const bool is_two_sided = branch.scheme.through_centre;
  const std::vector<Mat3>& elements = branch.scheme.group->elements;
  const auto count = static_cast<std::size_t>(count_normal_parameters(branch));
  UnitPoint point(branch.parameters.size(), 0.5);
  double most = -2;
  std::size_t best_element = 0;
  UnitPoint best(count, 0.5);
  const auto look = [&](const UnitPoint& normal_values) {
    std::copy(normal_values.begin(), normal_values.end(), point.begin());
    const Vec3 normal = make_placing(branch, point).normal;
    for (std::size_t g = 0; g < elements.size(); ++g) {
      double along = normal.dot(elements[g] * given);
      if (is_two_sided) along = std::abs(along);
      if (!(along > most + 1e-12)) continue;
      most = along;
      best_element = g;
      best = normal_values;
    }
  };
  look(best);
  if (count > 0) {
    UnitPoint trial(count);
    for (int k = 0; k < 600; ++k) {
      for (double& value : trial) value = random.uniform();
      look(trial);
    }
    for (int k = 0; k < 300; ++k) {
      trial = best;
      const double step = 0.05 * std::pow(0.975, k);
      for (double& value : trial) value = std::clamp(value + step * random.normal(), 0.0, 1.0);
      look(trial);
    }
  }
  Pose pose;
  pose.normal = best;
  pose.turn_rad = std::acos(std::clamp(most, -1.0, 1.0));
  pose.design = make_image(design, elements[best_element]);
  pose.panel = make_eye_panel(pose.design.orbits.front().panel);
  pose.distance_mm = pose.panel.frame.origin.norm();
  return pose;
}

struct Workspace {
  VariantWorkspace work;
  Draft draft;
  Variant variant;
};

struct Start {
  BranchPoint point;
  double loss = infinite;
};

class Fitting {
 public:
  Fitting(const Design& design, const Limits& limits, std::uint64_t seed, Evaluator& evaluator)
      : evaluator_(evaluator), spaces_(static_cast<std::size_t>(evaluator.threads())) {
    const Orbit& orbit = design.orbits.front();
    BranchChoice choice;
    choice.symmetries = {design.symmetry};
    choice.planes = find_plane_names(make_point_group(design.symmetry));
    choice.windows = orbit.panel.holes_mm.empty() ? Windows::off : Windows::on;
    task_.limits = limits;
    task_.limits.min_panels = std::max(limits.min_panels, static_cast<int>(orbit.copies.size()));
    task_.limits.max_panels = std::min(limits.max_panels, static_cast<int>(orbit.copies.size()));
    task_.seed = seed;
    std::map<std::string, Pose> poses;
    for (Branch& branch : find_branches(choice, task_.limits)) {
      auto known = poses.find(branch.plane);
      if (known == poses.end())
        known = poses
                    .emplace(branch.plane, find_pose(branch, design,
                                                     RandomStream(seed, Purpose::sample, 1u << 30)))
                    .first;
      const Pose& pose = known->second;
      const double off_centre = branch.scheme.through_centre ? pose.distance_mm / reach_mm : 0;
      if (!(pose.turn_rad + off_centre <= most_turn_rad)) continue;
      task_.branches.push_back(std::move(branch));
      poses_.push_back(pose);
    }
  }

  std::optional<Fit> run() {
    if (task_.branches.empty()) return std::nullopt;
    std::vector<Start> tried(samples);
    evaluator_.run(samples, [&](int job, int worker) {
      RandomStream random(task_.seed, Purpose::sample, static_cast<std::uint64_t>(job));
      Start& start = tried[static_cast<std::size_t>(job)];
      start.point = choose_point(job % static_cast<int>(task_.branches.size()), random);
      start.loss = measure_loss(start.point, spaces_[static_cast<std::size_t>(worker)]);
    });
    std::vector<Start> best = choose_best(std::move(tried), starts, of_one);
    improve(best, [&](Start& start, int job, Workspace& space) {
      RandomStream random(task_.seed, Purpose::refine, static_cast<std::uint64_t>(job));
      double step = 0.08;
      for (int k = 0; k < climb; ++k) {
        BranchPoint trial = start.point;
        for (double& value : trial.point)
          if (random.uniform() < 0.5) value = reflect(value + step * random.normal());
        const double loss = measure_loss(trial, space);
        // The one-fifth rule (Rechenberg 1973).
        step *= loss < start.loss ? 1.5 : 0.9;
        step = std::clamp(step, 0.002, 0.2);
        if (loss < start.loss) start = {std::move(trial), loss};
      }
    });
    best = choose_best(std::move(best), finalists, finalists);
    improve(best, [&](Start& start, int, Workspace& space) {
      RefineOptions options;
      options.evaluations = polish;
      options.first_step = 0.03;
      const Refined refined = refine(
          [&](const UnitPoint& point) {
            return measure_loss({start.point.branch, point}, space);
          },
          start.point.point, options);
      start = {{start.point.branch, refined.point}, refined.value};
    });
    return choose_fit(best);
  }

 private:
  const Branch& branch_of(const BranchPoint& point) const {
    return task_.branches[static_cast<std::size_t>(point.branch)];
  }
  const Pose& pose_of(const BranchPoint& point) const {
    return poses_[static_cast<std::size_t>(point.branch)];
  }

  /// The given plane with the hub somewhere in the given outline; all else by chance.
  BranchPoint choose_point(int number, RandomStream& random) const {
    BranchPoint chosen{number, {}};
    const Branch& branch = branch_of(chosen);
    const Pose& pose = pose_of(chosen);
    const Polygon& outline = pose.panel.outline_mm;
    std::vector<double> values;
    UnitPoint point(branch.parameters.size());
    for (double& value : point) value = random.uniform();
    std::copy(pose.normal.begin(), pose.normal.end(), point.begin());
    const Vec2 centroid = measure_centroid(outline);
    const double spread = 0.25 * measure_box(outline).size().norm();
    Vec2 hub = centroid;
    for (int k = 0; k < 20; ++k) {
      hub = centroid + (k + 1) / 20.0 * spread * Vec2(random.normal(), random.normal());
      if (contains(outline, hub)) break;
    }
    const int tilt = find_parameter(branch, "tilt_deg"), turn = find_parameter(branch, "hub_deg");
    const auto set = [&](int k, double value) {
      const SearchParameter& p = branch.parameters[static_cast<std::size_t>(k)];
      point[static_cast<std::size_t>(k)] = std::clamp((value - p.low) / (p.high - p.low), 0.0, 1.0);
    };
    if (turn >= 0) {
      // The branch's own frame: its normal may differ a little, or look from the other side.
      const Frame frame = make_frame(make_placing(branch, point).normal, 0);
      const Vec2 seen = frame.to_plane(pose.panel.frame.to_space(hub));
      const double degrees = to_degrees(std::atan2(seen.y(), seen.x()));
      set(turn, degrees < 0 ? degrees + 360 : degrees);
      if (tilt >= 0) set(tilt, to_degrees(std::atan2(seen.norm(), pose.distance_mm)));
    } else {
      // On a line of the plane, or at its foot.
      const Vec3 wanted = pose.panel.frame.to_space(hub);
      double nearest = infinite, at = 0.5;
      for (int k = 0; tilt >= 0 && k <= 100; ++k) {
        point[static_cast<std::size_t>(tilt)] = k / 100.0;
        const Vec3 drawn = make_placing(branch, point).hub;
        const double off = (drawn - wanted.normalized()).norm();
        if (off < nearest) {
          nearest = off;
          at = k / 100.0;
        }
      }
      if (tilt >= 0) point[static_cast<std::size_t>(tilt)] = at;
      const Placing placing = make_placing(branch, point);
      const double height = std::abs(placing.normal.dot(placing.hub));
      if (height > 1e-6) hub = pose.panel.frame.to_plane(placing.hub * pose.distance_mm / height);
    }
    double radius = 0;
    for (const Vec2& p : outline) radius = std::max(radius, (p - hub).norm());
    const double away = std::max(1.0, pose.panel.frame.to_space(hub).norm());
    const int size = find_parameter(branch, "size");
    const SearchParameter& p = branch.parameters[static_cast<std::size_t>(size)];
    // Drawn larger than what trimming leaves of it.
    const double wanted = radius / away * std::exp(random.uniform(-0.05, 0.5));
    point[static_cast<std::size_t>(size)] =
        std::clamp(std::log(wanted / p.low) / std::log(p.high / p.low), 0.0, 1.0);
    chosen.point = std::move(point);
    return chosen;
  }

  /// How far a point's panel is from the given one, as both lie in space at one size.
  double measure_loss(const BranchPoint& point, Workspace& space) const {
    const Branch& branch = branch_of(point);
    UpToScale gate;
    MakeOptions options;
    options.gate = &gate;
    options.stock = StockEstimate::left_out;
    make_draft(branch, to_values(branch, point.point), space.draft);
    space.draft.frame = 0;  // windows are dear and change no outline: see choose_fit
    make_variant(branch.scheme, space.draft, task_.limits, space.work, space.variant, options);
    const Variant& variant = space.variant;
    // Further than nothing in common; nearer to joints is nearer.
    if (!has_joints(variant))
      return 2 + static_cast<int>(Status::joints) - static_cast<int>(variant.status);
    Panel panel;
    panel.frame = variant.frame;
    panel.outline_mm = variant.outline.to_polygon();
    panel = make_eye_panel(panel);
    const Panel& given = pose_of(point).panel;
    const double turn =
        std::acos(std::clamp(std::abs(panel.frame.normal.dot(given.frame.normal)), 0.0, 1.0));
    const double shift = (panel.frame.origin - given.frame.origin).norm() / reach_mm;
    Polygon laid = make_laid(panel.outline_mm, panel.frame, given.frame);
    if (panel.frame.normal.dot(given.frame.normal) < 0) {
      // Seen from the other side: dropped onto the plane.
      laid.clear();
      for (const Vec2& p : panel.outline_mm)
        laid.push_back(given.frame.to_plane(panel.frame.to_space(p)));
      laid = make_counter_clockwise(std::move(laid));
    }
    const double broken = variant.status == Status::outdone ? 0 : limit_loss;
    return 1 - measure_overlap(given.outline_mm, laid) + 0.3 * (turn + shift) + broken;
  }

  static std::vector<Start> choose_best(std::vector<Start> all, int count, int most_of_branch) {
    std::stable_sort(all.begin(), all.end(),
                     [](const Start& a, const Start& b) { return a.loss < b.loss; });
    std::map<int, int> taken;
    std::vector<Start> chosen;
    for (Start& start : all)
      if (static_cast<int>(chosen.size()) < count && taken[start.point.branch]++ < most_of_branch)
        chosen.push_back(std::move(start));
    return chosen;
  }

  template <class Step>
  void improve(std::vector<Start>& all, const Step& step) {
    evaluator_.run(static_cast<int>(all.size()), [&](int job, int worker) {
      step(all[static_cast<std::size_t>(job)], job, spaces_[static_cast<std::size_t>(worker)]);
    });
  }

  /// The one with the best look, as `--keep-look` measures it; of those with windows with the best
  /// of some frames.
  std::optional<Fit> choose_fit(const std::vector<Start>& all) {
    std::vector<BranchPoint> last;
    for (const Start& start : all) {
      if (!(start.loss < 2)) continue;
      const bool has_windows = branch_of(start.point).has_windows;
      for (int k = 0; k < (has_windows ? frames : 1); ++k) {
        last.push_back(start.point);
        if (has_windows) last.back().point.back() = (k + 0.5) / frames;
      }
    }
    std::vector<double> looks(last.size());
    evaluator_.run(static_cast<int>(last.size()), [&](int job, int) {
      const BranchPoint& point = last[static_cast<std::size_t>(job)];
      const Design drawn = make_parent_design(task_, {"", point, {}});
      looks[static_cast<std::size_t>(job)] =
          1 - measure_look_distance(pose_of(point).design, drawn);
    });
    const auto best = std::max_element(looks.begin(), looks.end());
    if (best == looks.end()) return std::nullopt;
    const BranchPoint& point = last[static_cast<std::size_t>(best - looks.begin())];
    const Branch& branch = branch_of(point);
    Fit fit;
    fit.recipe.symmetry = branch.symmetry;
    fit.recipe.plane = branch.plane;
    fit.recipe.family = branch.family;
    fit.recipe.parameters = to_values(branch, point.point);
    fit.given = pose_of(point).design;
    fit.look = *best;
    return fit;
  }

  Evaluator& evaluator_;
  SearchTask task_;
  std::vector<Pose> poses_;  ///< of each branch
  std::vector<Workspace> spaces_;
};

}  // namespace

std::optional<Fit> find_fit(const Design& design, const Limits& limits, std::uint64_t seed,
                            Evaluator& evaluator) {
  if (design.orbits.size() != 1)
    throw std::invalid_argument(format(
        "it has %zu kinds of parts; only designs of one kind can be fitted", design.orbits.size()));
  return Fitting(design, limits, seed, evaluator).run();
}

}  // namespace sixtyfold
