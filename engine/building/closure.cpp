#include "engine/building/closure.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "engine/allowed.h"
#include "engine/part/part_joints.h"
#include "engine/random.h"
#include "engine/structure/hinge.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

using Vec6 = Eigen::Matrix<double, 6, 1>;
using Mat6 = Eigen::Matrix<double, 6, 6>;
using Vec7 = Eigen::Matrix<double, 7, 1>;

/// One joint: how each panel's motion moves its side of the line, and the directions of its errors.
struct Line {
  int panels[2];
  double length;
  HingeRows rows[2];
  Vec3 along, across[2];
};

std::vector<Line> make_lines(const Design& design, const std::vector<BodyScale>& scales,
                             double fold_length_mm) {
  std::vector<Line> lines;
  for (const Joint& joint : design.joints) {
    Line line;
    line.length = joint.length_mm();
    line.along = (joint.to_mm - joint.from_mm).normalized();
    for (const int s : {0, 1}) {
      line.panels[s] = joint.panels[s];
      line.rows[s] =
          make_hinge_rows(scales[at(joint.panels[s])], joint.from_mm, joint.to_mm, fold_length_mm);
      line.across[s] =
          make_copy_frame(design, joint.panels[s]).normal.cross(line.along).normalized();
    }
    lines.push_back(line);
  }
  return lines;
}

/// The misfit of one joint before anything moves, in the weighted rows of the hinge.
Vec7 draw_misfit(const Line& line, const ClosureOptions& options, RandomStream& random) {
  const auto off = [&] { return random.uniform(-options.cut_mm, options.cut_mm); };
  Vec3 ends[2] = {Vec3::Zero(), Vec3::Zero()};
  for (const int s : {0, 1}) {
    for (Vec3& end : ends) end += off() * line.across[s];
    const Vec3 slip = off() * line.along;
    for (Vec3& end : ends) end += slip;
  }
  Vec7 misfit;
  misfit.head<3>() = std::sqrt(line.length) * (ends[0] + ends[1]) / 2;
  misfit.segment<3>(3) = std::sqrt(line.length / 12) * (ends[1] - ends[0]);
  misfit[6] = options.fold_length_mm * std::sqrt(line.length) * random.uniform(-1.0, 1.0) *
              to_radians(options.fold_deg);
  return misfit;
}

/// Distance left at the worse end of the line.
double measure_gap(const Line& line, const Vec7& residual) {
  const Vec3 middle = residual.head<3>() / std::sqrt(line.length);
  const Vec3 half = residual.segment<3>(3) / std::sqrt(line.length / 12) / 2;
  return std::max((middle - half).norm(), (middle + half).norm());
}

Miss summarise(std::vector<double> gaps) {
  if (gaps.empty()) return {};
  std::sort(gaps.begin(), gaps.end());
  const auto quantile = [&](double share) {
    return gaps[static_cast<std::size_t>(share * static_cast<double>(gaps.size() - 1))];
  };
  return {quantile(0.5), quantile(0.95)};
}

/// Panels that are placed together, and the joints that place them.
struct Placing {
  int step;  ///< whose joints these are; 0: inside a module
  std::vector<int> panels, joints;
  std::vector<Mat6> carried;   ///< how a motion (shift, turn about the centre) of all moves each
  Mat6 answer = Mat6::Zero();  ///< of such a motion to the misfit of the joints
  std::vector<Eigen::Matrix<double, 7, 6>>
      rows;  ///< of each joint, by that motion; positive for side 0
};

/// Who is placed when: inside the modules panel by panel, then the modules, when they are stiff.
class Placings {
 public:
  Placings(const Design& design, const AssemblyPlan& plan, const std::vector<Line>& lines)
      : lines_(lines), module_of_(at(count_copies(design)), -1) {
    for (std::size_t m = 0; m < plan.chosen.modules.size(); ++m)
      for (const int copy : plan.chosen.modules[m]) module_of_[at(copy)] = static_cast<int>(m);
    const bool stiff = plan.chosen.internal_dof == 0 && plan.chosen.panels > 1;
    if (stiff)
      for (const AssemblyStep& step : plan.steps) {
        std::vector<bool> there(module_of_.size(), false);
        for (const int copy : order_panels(design, step.copies))
          place_singly({copy}, there, 0, module_of_[at(copy)]);
      }
    std::vector<bool> placed(module_of_.size(), false);
    for (std::size_t s = 0; s < plan.steps.size(); ++s) {
      const std::vector<int>& panels = plan.steps[s].copies;
      const int step = static_cast<int>(s);
      if (!stiff) {
        place_singly(panels, placed, step, any_module);
      } else {
        list.push_back(
            {step, panels, find_joints(panels, placed, any_module), {}, Mat6::Zero(), {}});
        for (const int copy : panels) placed[at(copy)] = true;
      }
    }
  }

  std::vector<Placing> list;

 private:
  static constexpr int any_module = -1;

  std::vector<int> find_joints(const std::vector<int>& panels, const std::vector<bool>& there,
                               int only_module) const {
    std::vector<int> joints;
    for (std::size_t n = 0; n < lines_.size(); ++n)
      for (const int s : {0, 1}) {
        const int own = lines_[n].panels[s], other = lines_[n].panels[1 - s];
        if (std::find(panels.begin(), panels.end(), own) == panels.end() || !there[at(other)])
          continue;
        if (only_module == any_module || module_of_[at(other)] == only_module)
          joints.push_back(static_cast<int>(n));
      }
    return joints;
  }

  /// Panels of a list one after another, always one that touches what is there.
  void place_singly(const std::vector<int>& panels, std::vector<bool>& there, int step,
                    int only_module) {
    std::vector<int> waiting = panels;
    while (!waiting.empty()) {
      auto next = waiting.begin();
      std::vector<int> joints;
      for (auto it = waiting.begin(); it != waiting.end(); ++it) {
        auto found = find_joints({*it}, there, only_module);
        if (found.size() > joints.size()) joints = std::move(found), next = it;
      }
      list.push_back({step, {*next}, std::move(joints), {}, Mat6::Zero(), {}});
      there[at(*next)] = true;
      waiting.erase(next);
    }
  }

  const std::vector<Line>& lines_;
  std::vector<int> module_of_;
};

/// How the panels of a placing answer to the misfit of its joints.
void set_answer(Placing& placing, const std::vector<BodyScale>& scales,
                const std::vector<Line>& lines) {
  for (const int panel : placing.panels) {
    const BodyScale& scale = scales[at(panel)];
    Mat6 carried = Mat6::Zero();
    carried.topLeftCorner<3, 3>() = Mat3::Identity() / scale.velocity;
    carried.topRightCorner<3, 3>() =
        -make_cross_matrix(scale.centroid_mm - scales[at(placing.panels[0])].centroid_mm) /
        scale.velocity;
    carried.bottomRightCorner<3, 3>() = scale.turning.inverse();
    placing.carried.push_back(carried);
  }
  Mat6 normal = Mat6::Zero();
  for (const int n : placing.joints) {
    const Line& line = lines[at(n)];
    const auto own = std::find(placing.panels.begin(), placing.panels.end(), line.panels[0]);
    const bool first = own != placing.panels.end();
    const auto mover =
        first ? own : std::find(placing.panels.begin(), placing.panels.end(), line.panels[1]);
    const Eigen::Matrix<double, 7, 6> rows =
        (first ? 1.0 : -1.0) * line.rows[first ? 0 : 1] *
        placing.carried[static_cast<std::size_t>(mover - placing.panels.begin())];
    placing.rows.push_back(rows);
    normal += rows.transpose() * rows;
  }
  if (!placing.joints.empty()) placing.answer = normal.ldlt().solve(Mat6::Identity());
}

/// One build: its misfits, and where the panels come to lie.
class Build {
 public:
  Build(const std::vector<Line>& lines, int copies, const ClosureOptions& options, int trial)
      : lines_(lines), motion_(at(copies), Vec6::Zero()) {
    RandomStream random(options.seed, Purpose::perturb, static_cast<std::uint64_t>(trial));
    for (const Line& line : lines) misfit_.push_back(draw_misfit(line, options, random));
  }

  /// Takes the place of least squares; the largest gap of its joints then.
  double place(const Placing& placing) {
    if (placing.joints.empty()) return 0;
    Vec6 force = Vec6::Zero();
    for (std::size_t k = 0; k < placing.joints.size(); ++k)
      force -= placing.rows[k].transpose() * find_residual(placing.joints[k]);
    const Vec6 shift = placing.answer * force;
    for (std::size_t k = 0; k < placing.panels.size(); ++k)
      motion_[at(placing.panels[k])] += placing.carried[k] * shift;
    double worst = 0;
    for (const int n : placing.joints)
      worst = std::max(worst, measure_gap(lines_[at(n)], find_residual(n)));
    return worst;
  }

  /// All panels at once instead; the largest gap of all joints then.
  double even_out(const Eigen::LDLT<Eigen::MatrixXd>& stiffness) {
    const int copies = static_cast<int>(motion_.size());
    Eigen::VectorXd force = Eigen::VectorXd::Zero(6 * copies);
    for (std::size_t n = 0; n < lines_.size(); ++n) {
      force.segment<6>(6 * lines_[n].panels[0]) -= lines_[n].rows[0].transpose() * misfit_[n];
      force.segment<6>(6 * lines_[n].panels[1]) += lines_[n].rows[1].transpose() * misfit_[n];
    }
    const Eigen::VectorXd shift = stiffness.solve(force);
    for (int copy = 0; copy < copies; ++copy) motion_[at(copy)] = shift.segment<6>(6 * copy);
    double most = 0;
    for (std::size_t n = 0; n < lines_.size(); ++n)
      most = std::max(most, measure_gap(lines_[n], find_residual(static_cast<int>(n))));
    return most;
  }

 private:
  Vec7 find_residual(int n) const {
    const Line& line = lines_[at(n)];
    return line.rows[0] * motion_[at(line.panels[0])] - line.rows[1] * motion_[at(line.panels[1])] +
           misfit_[at(n)];
  }

  const std::vector<Line>& lines_;
  std::vector<Vec7> misfit_;
  std::vector<Vec6> motion_;
};

}  // namespace

std::string ClosureOptions::find_fault() const {
  for (const std::string& fault :
       {allowed::cut_error.find_fault(cut_mm), allowed::fold_error.find_fault(fold_deg),
        Allowed{"the length of a fold", 1e-3, 1000, "mm"}.find_fault(fold_length_mm),
        Allowed{"the number of trials", 20, 100000, ""}.find_fault(trials)})
    if (!fault.empty()) return fault;
  return "";
}

Closure measure_closure(const Design& design, const AssemblyPlan& plan,
                        const ClosureOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  const std::vector<BodyScale> scales = make_body_scales(find_bodies(design));
  const std::vector<Line> lines = make_lines(design, scales, options.fold_length_mm);
  std::vector<Placing> placings = std::move(Placings(design, plan, lines).list);
  for (Placing& placing : placings) set_answer(placing, scales, lines);
  Eigen::MatrixXd all = make_joint_matrix(scales, design.joints, options.fold_length_mm);
  // The construction as a whole may lie anywhere: hold it very softly.
  all.diagonal().array() += 1e-9 * all.trace() / static_cast<double>(all.rows());
  const Eigen::LDLT<Eigen::MatrixXd> stiffness(all);

  std::vector<std::vector<double>> step_gaps(plan.steps.size());
  std::vector<double> evened_gaps;
  for (int trial = 0; trial < options.trials; ++trial) {
    Build build(lines, count_copies(design), options, trial);
    std::vector<double> worst(plan.steps.size(), 0);
    for (const Placing& placing : placings)
      worst[at(placing.step)] = std::max(worst[at(placing.step)], build.place(placing));
    for (std::size_t s = 0; s < worst.size(); ++s) step_gaps[s].push_back(worst[s]);
    evened_gaps.push_back(build.even_out(stiffness));
  }
  Closure closure;
  closure.trials = options.trials;
  for (auto& gaps : step_gaps) closure.steps.push_back(summarise(std::move(gaps)));
  closure.evened = summarise(std::move(evened_gaps));
  if (!closure.steps.empty()) closure.last = closure.steps.back();
  return closure;
}

}  // namespace sixtyfold
