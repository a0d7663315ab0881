#include "engine/building/assembly.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "engine/allowed.h"
#include "engine/building/looseness.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

std::string explain(const AssemblyPlan& plan, int most) {
  const ModuleChoice& chosen = plan.chosen;
  if (chosen.panels == 1)
    return "No group of up to " + std::to_string(most) +
           " panels that repeats over the whole construction hangs together by itself, so "
           "panels are placed one by one.";
  const int ways = static_cast<int>(plan.considered.size()) - 1;
  std::string text = "A module is " + describe(chosen) + ".";
  if (ways > 1)
    text += " Of the " + std::to_string(ways) +
            " ways to divide the construction into equal modules of up to " + std::to_string(most) +
            " panels that hang together, it has the fewest loose movements on its own (" +
            std::to_string(chosen.internal_dof) + "), then the most joints for each panel (" +
            format("%.3g", static_cast<double>(chosen.joints) / chosen.panels) +
            "), then the greatest stiffness.";
  if (plan.chosen.panels != plan.considered.front().panels ||
      plan.chosen.subgroup != plan.considered.front().subgroup)
    text += " Others that come before it in this have more steps without a straight way in.";
  else if (ways == 1)
    text += " It is the only way to divide the construction into equal modules of up to " +
            std::to_string(most) + " panels that hang together.";
  return text;
}

}  // namespace

std::string AssemblyOptions::find_fault() const {
  if (std::string fault = allowed::module_panels.find_fault(most_in_module); !fault.empty())
    return fault;
  return reach.find_fault();
}

namespace {

/// The plan in the making.
class Planner {
 public:
  Planner(const Design& design, const Finished& finished, AssemblyOrder order,
          const AssemblyOptions& options)
      : design_(design),
        finished_(finished),
        options_(options),
        sides_(find_joint_sides(design, finished.joints)),
        copies_(order.copies),
        standing_(*copies_),
        ways_(order.ways),
        reached_(design.joints.size(), false) {
    choose_modules(std::move(order));
  }

  AssemblyPlan plan() {
    plan_.reach.resize(design_.joints.size());
    plan_.folds = std::any_of(design_.joints.begin(), design_.joints.end(),
                              [](const Joint& joint) { return joint.kind != JointKind::slot; });
    OrderTask task = make_order_task(design_, standing_, plan_.chosen.modules);
    task.ways = ways_;
    task.most_weighed = standing_.kind.size() <= 60 ? 5 : 1;
    task.choose = [this](const std::vector<OrderStep>& able, const std::vector<bool>& standing) {
      return choose(able, standing);
    };
    add_steps(find_order(task));
    if (plan_.chosen.panels > 1)
      for (const AssemblyStep& step : plan_.steps)
        plan_.in_module.push_back(order_in_module(step.copies));
    add_module_reach();
    return std::move(plan_);
  }

 private:
  void choose_modules(AssemblyOrder order) {
    plan_.chosen = order.choice();
    in_module_ = std::move(order.in_module);
    plan_.considered = std::move(order.considered);
    plan_.hard_steps = order.hard_steps;
    plan_.spring_steps = order.spring_steps;
    plan_.doubt_deg = order.doubt_deg;
    plan_.reason = explain(plan_, options_.most_in_module);
    module_of_.assign(standing_.kind.size(), -1);
    for (std::size_t m = 0; m < plan_.chosen.modules.size(); ++m)
      for (const int copy : plan_.chosen.modules[m]) module_of_[at(copy)] = static_cast<int>(m);
    plan_.joints_in_module.resize(plan_.chosen.modules.size());
    joints_of_.resize(plan_.chosen.modules.size());
    for (std::size_t n = 0; n < design_.joints.size(); ++n) {
      const int a = module_of_[at(design_.joints[n].panels[0])],
                b = module_of_[at(design_.joints[n].panels[1])];
      if (a == b) {
        plan_.joints_in_module[at(a)].push_back(static_cast<int>(n));
      } else {
        joints_of_[at(a)].push_back(static_cast<int>(n));
        joints_of_[at(b)].push_back(static_cast<int>(n));
      }
    }
  }

  /// Rigid modules move as one body each; else every panel moves by itself.
  bool is_rigid() const { return plan_.chosen.internal_dof == 0; }

  std::vector<int> find_joints(int module, const std::vector<bool>& standing) const {
    std::vector<int> joints;
    for (const int n : joints_of_[at(module)])
      for (const int panel : design_.joints[at(n)].panels)
        if (const int other = module_of_[at(panel)]; other != module && standing[at(other)])
          joints.push_back(n);
    return joints;
  }

  Structure make_bodies() const {
    const Structure whole = make_structure(design_);
    if (is_rigid()) return make_module_structure(whole, plan_.chosen.modules);
    std::vector<int> all;
    for (const std::vector<int>& copies : plan_.chosen.modules)
      all.insert(all.end(), copies.begin(), copies.end());
    return make_part_structure(whole, all);
  }

  /// Numbers of a module's bodies in make_bodies.
  std::vector<int> list_bodies(int module) const {
    if (is_rigid()) return {module};
    std::vector<int> bodies;
    for (int k = 0; k < plan_.chosen.panels; ++k)
      bodies.push_back(module * plan_.chosen.panels + k);
    return bodies;
  }

  Reach find_reach(int joint, const std::vector<int>& placed) const {
    return measure_reach(design_, finished_, sides_, standing_.plates, placed, joint,
                         options_.reach);
  }

  std::vector<int> list_copies(const std::vector<bool>& standing) const {
    std::vector<int> copies;
    for (std::size_t m = 0; m < standing.size(); ++m)
      if (standing[m])
        copies.insert(copies.end(), plan_.chosen.modules[m].begin(), plan_.chosen.modules[m].end());
    return copies;
  }

  /// Asked step by step backwards, with ever less standing: what is reached once stays so.
  bool is_reached(int joint, const std::vector<int>& placed) {
    if (!reached_[at(joint)])
      reached_[at(joint)] = is_in_hand_reach(design_, finished_, sides_, standing_.plates, placed,
                                             joint, options_.reach);
    return reached_[at(joint)];
  }

  std::size_t choose(const std::vector<OrderStep>& able, const std::vector<bool>& standing) {
    const std::vector<int> placed = list_copies(standing);
    std::size_t best = 0;
    std::pair<std::size_t, int> least;
    for (std::size_t i = 0; i < able.size(); ++i) {
      const std::vector<int> joints = find_joints(able[i].block, standing);
      std::pair<std::size_t, int> weight{joints.size(), 0};
      if (i > 0 && weight.first > least.first) continue;
      for (const int joint : joints) weight.second += !is_reached(joint, placed);
      if (i == 0 || weight < least) best = i, least = weight;
    }
    return best;
  }

  void add_steps(const Order& order) {
    const Structure bodies = make_bodies();
    Looseness looseness(bodies);
    std::vector<bool> standing(plan_.chosen.modules.size(), false);
    for (const OrderStep& one : order.steps) {
      AssemblyStep step;
      step.copies = plan_.chosen.modules[at(one.block)];
      step.joints = find_joints(one.block, standing);
      step.coming_in = one.coming_in;
      step.push = one.push;
      step.spring = one.spring;
      standing[at(one.block)] = true;
      looseness.add(list_bodies(one.block));
      step.internal_dof = looseness.internal_dof();
      const std::vector<int> placed = list_copies(standing);
      for (const int joint : step.joints) plan_.reach[at(joint)] = find_reach(joint, placed);
      plan_.steps.push_back(std::move(step));
    }
  }

  /// The order of the first module's panels, for this module: carried there by the movement that
  /// takes the first onto it.
  std::vector<PanelStep> order_in_module(const std::vector<int>& copies) const {
    const std::vector<int>& first = plan_.chosen.modules.front();
    const auto matrix_of = [&](int copy) -> const Mat3& {
      const CopyPlace place = find_copy(design_, copy);
      return design_.orbits[at(place.orbit)].copies[at(place.number)];
    };
    const auto middle_of = [&](int copy) {
      const Panel& panel = design_.orbits[at(find_copy(design_, copy).orbit)].panel;
      return Vec3(matrix_of(copy) * panel.frame.to_space(measure_centroid(panel.outline_mm)));
    };
    // Two panels may cross at their middles: one that is taken comes after all others.
    std::set<int> lying;
    const auto find_nearest = [&](const Vec3& place) {
      const auto far = [&](int copy) {
        return std::pair(lying.contains(copy), (middle_of(copy) - place).norm());
      };
      return *std::min_element(copies.begin(), copies.end(),
                               [&](int a, int b) { return far(a) < far(b); });
    };
    Mat3 turn = Mat3::Identity();
    double least = std::numeric_limits<double>::infinity();
    for (const int copy : copies) {
      if (find_copy(design_, copy).orbit != find_copy(design_, first.front()).orbit) continue;
      const Mat3 candidate = matrix_of(copy) * matrix_of(first.front()).transpose();
      double off = 0;
      for (const int one : first) {
        const Vec3 place = candidate * middle_of(one);
        off = std::max(off, (middle_of(find_nearest(place)) - place).norm());
      }
      if (off < least - 1e-6) least = off, turn = candidate;
    }
    std::vector<PanelStep> steps;
    for (const OrderStep& one : in_module_.steps) {
      PanelStep step;
      step.copy = find_nearest(turn * middle_of(first[at(one.block)]));
      step.coming_in = one.coming_in;
      step.push = turn * one.push;
      for (std::size_t n = 0; n < design_.joints.size(); ++n)
        for (const int s : {0, 1})
          if (design_.joints[n].panels[s] == step.copy &&
              lying.count(design_.joints[n].panels[1 - s]))
            step.joints.push_back(static_cast<int>(n));
      lying.insert(step.copy);
      steps.push_back(std::move(step));
    }
    return steps;
  }

  /// Modules are glued on the table, with nothing else around; all are alike.
  void add_module_reach() {
    for (std::size_t m = 0; m < plan_.chosen.modules.size(); ++m)
      for (const int joint : plan_.joints_in_module[m])
        plan_.reach[at(joint)] = find_reach(joint, plan_.chosen.modules[m]);
  }

  const Design& design_;
  const Finished& finished_;
  const AssemblyOptions& options_;
  JointSides sides_;
  std::shared_ptr<const StandingCopies> copies_;
  const StandingCopies& standing_;
  std::shared_ptr<WaysOut> ways_;
  std::vector<bool> reached_;  // joints
  std::vector<int> module_of_;
  std::vector<std::vector<int>> joints_of_;  // of a module with others
  Order in_module_;
  AssemblyPlan plan_;
};

}  // namespace

std::string describe_way_in(const AssemblyPlan& plan, const AssemblyStep& step, int first) {
  std::string text;
  switch (step.coming_in) {
    case ComingIn::straight:
      text = plan.folds ? "Push it straight in, with all tabs folded."
                        : "Push it straight in, slot into slot, until the bottoms touch.";
      break;
    case ComingIn::tabs_open:
      text = "Hold the tabs of the new joints open, push it straight in, then fold them over.";
      break;
    case ComingIn::sprung:
      text = "Spring it in.";
      for (const Bend& bend : step.spring.bends)
        if (bend.deflection_mm > 0.5)
          text += format(" Bend %s %d by %.0f mm out of its plane, %.0f mm from where it is held.",
                         first == 0 ? "copy" : "panel", bend.copy + first, bend.deflection_mm,
                         bend.free_length_mm);
      break;
    case ComingIn::hard:
      return "A closing piece: no straight push reaches its place. Leave joints beside it open "
             "until it "
             "is in.";
  }
  const double up = step.push.z();
  text += up > 0.8     ? " From above."
          : up > 0.3   ? " From above, slanting."
          : up > -0.3  ? " From the side."
          : up > -0.8  ? " From below, slanting."
          : plan.folds ? " From below."
                       : " From below: lift what stands, or lay it on its side first.";
  return text;
}

AssemblyPlan plan_assembly(const Design& design, const Finished& finished,
                           const AssemblyOptions& options) {
  return plan_assembly(design, finished,
                       find_assembly_order(design, finished, {options.most_in_module}), options);
}

AssemblyPlan plan_assembly(const Design& design, const Finished& finished, AssemblyOrder order,
                           const AssemblyOptions& options) {
  return Planner(design, finished, std::move(order), options).plan();
}

}  // namespace sixtyfold
