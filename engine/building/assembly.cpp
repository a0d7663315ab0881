#include "engine/building/assembly.h"

#include <algorithm>
#include <cmath>

#include "engine/text.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Directions to try: outward first, then ever farther from it; those from below, where the floor
/// is, last.
std::vector<Vec3> make_pushes(const Vec3& outward) {
  const Vec3 side = outward.unitOrthogonal(), other = outward.cross(side);
  std::vector<Vec3> pushes{outward};
  for (const double tilt : {15.0, 30.0, 45.0, 60.0, 75.0, 90.0})
    for (int k = 0; k < 12; ++k) {
      const double a = pi * k / 6, b = to_radians(tilt);
      pushes.push_back(std::cos(b) * outward +
                       std::sin(b) * (std::cos(a) * side + std::sin(a) * other));
    }
  std::stable_partition(pushes.begin(), pushes.end(),
                        [](const Vec3& push) { return push.z() > -0.3; });
  return pushes;
}

/// What one module meets of another on its way out along one push: looked at once, since neither
/// moves before.
struct Meeting {
  bool known = false;
  bool straight = false;      ///< anything at all, every tab folded
  bool bodies = false;        ///< bodies, and tabs glued inside either module
  std::vector<int> glued_to;  ///< modules to which tabs in the way are glued, once those stand
};

class Ways {
 public:
  Ways(const std::vector<std::vector<StandingPlate>>& plates,
       const std::vector<std::vector<int>>& modules, const std::vector<int>& module_of,
       const std::vector<std::vector<Vec3>>& pushes, double length)
      : module_of_(module_of), pushes_(pushes), length_(length), plates_(modules.size()) {
    for (std::size_t m = 0; m < modules.size(); ++m) {
      for (const int copy : modules[m])
        for (const StandingPlate& plate : plates[at(copy)]) plates_[m].push_back(&plate);
      meetings_.emplace_back(pushes[m].size(), std::vector<Meeting>(modules.size()));
    }
  }

  bool is_free(int module, std::size_t push, const std::vector<bool>& standing, bool tabs_open) {
    for (std::size_t k = 0; k < plates_.size(); ++k) {
      if (!standing[k] || static_cast<int>(k) == module) continue;
      const Meeting& meeting = find(module, push, static_cast<int>(k));
      if (!tabs_open) {
        if (meeting.straight) return false;
        continue;
      }
      if (meeting.bodies) return false;
      for (const int mate : meeting.glued_to)
        if (standing[at(mate)]) return false;
    }
    return true;
  }

 private:
  const Meeting& find(int module, std::size_t push, int other) {
    Meeting& meeting = meetings_[at(module)][push][at(other)];
    if (meeting.known) return meeting;
    meeting.known = true;
    const Vec3& way = pushes_[at(module)][push];
    const auto mate_module = [&](const StandingPlate& plate) {
      return plate.tab_mate < 0 ? -1 : module_of_[at(plate.tab_mate)];
    };
    for (const StandingPlate* moving : plates_[at(module)]) {
      // Tabs to other modules are open when tabs are: their joints are the ones being made.
      const bool stays_folded = moving->tab < 0 || mate_module(*moving) == module;
      ConvexPlate swept = moving->plate;
      const std::size_t n = swept.middle.size();
      for (std::size_t i = 0; i < n; ++i) swept.middle.push_back(swept.middle[i] + length_ * way);
      for (const StandingPlate* still : plates_[at(other)]) {
        if (meeting.straight && (meeting.bodies || !stays_folded)) break;
        const Vec3 apart = still->centre - moving->centre;
        const double s = std::clamp(way.dot(apart), 0.0, length_);
        if ((apart - s * way).norm() > moving->radius_mm + still->radius_mm) continue;
        // The room swept by a convex plate is the convex hull of its first and last place.
        if (measure_distance(swept, still->plate).distance > 0) continue;
        meeting.straight = true;
        if (!stays_folded) break;
        const int mate = mate_module(*still);
        if (still->tab < 0 || mate == other)
          meeting.bodies = true;
        else if (mate >= 0 && mate != module)
          meeting.glued_to.push_back(mate);
      }
    }
    return meeting;
  }

  const std::vector<int>& module_of_;
  const std::vector<std::vector<Vec3>>& pushes_;
  double length_;
  std::vector<std::vector<const StandingPlate*>> plates_;
  std::vector<std::vector<std::vector<Meeting>>> meetings_;
};

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
  else
    text += " It is the only way to divide the construction into equal modules of up to " +
            std::to_string(most) + " panels that hang together.";
  return text;
}

}  // namespace

std::string AssemblyOptions::find_fault() const {
  if (!(1 <= most_in_module && most_in_module <= 60))
    return "most_in_module is " + std::to_string(most_in_module) + ", but must be from 1 to 60";
  return reach.find_fault();
}

AssemblyPlan plan_assembly(const Design& design, const Finished& finished,
                           const AssemblyOptions& options) {
  AssemblyPlan plan;
  const Structure whole = make_structure(design);
  const int copies = count_copies(design);
  plan.considered = find_module_choices(design, options.most_in_module);
  plan.chosen = plan.considered.front();
  plan.reason = explain(plan, options.most_in_module);

  const auto& modules = plan.chosen.modules;
  const int count = static_cast<int>(modules.size());
  std::vector<int> module_of(at(copies), -1);
  for (int m = 0; m < count; ++m)
    for (const int copy : modules[at(m)]) module_of[at(copy)] = m;
  plan.joints_in_module.resize(at(count));
  std::vector<std::vector<int>> joints_of(at(count));  // of a module with others
  const auto other_module = [&](int joint, int m) {
    const Joint& j = design.joints[at(joint)];
    const int a = module_of[at(j.panels[0])], b = module_of[at(j.panels[1])];
    return a == m ? b : a;
  };
  for (std::size_t n = 0; n < design.joints.size(); ++n) {
    const int a = module_of[at(design.joints[n].panels[0])],
              b = module_of[at(design.joints[n].panels[1])];
    if (a == b)
      plan.joints_in_module[at(a)].push_back(static_cast<int>(n));
    else
      joints_of[at(a)].push_back(static_cast<int>(n)),
          joints_of[at(b)].push_back(static_cast<int>(n));
  }

  const JointSides sides = find_joint_sides(design, finished.joints);
  const auto plates = make_standing_plates(design, finished, sides);
  std::vector<Vec3> centre(at(count), Vec3::Zero());
  std::vector<std::vector<Vec3>> pushes;
  int base = 0;
  for (int m = 0; m < count; ++m) {
    for (const int copy : modules[at(m)])
      centre[at(m)] +=
          whole.bodies[at(copy)].centroid_mm / static_cast<double>(modules[at(m)].size());
    pushes.push_back(make_pushes(centre[at(m)].norm() > 1e-6 ? Vec3(centre[at(m)].normalized())
                                                             : Vec3(Vec3::UnitZ())));
    if (centre[at(m)].z() < centre[at(base)].z() - 1e-6) base = m;
  }
  Ways ways(plates, modules, module_of, pushes, 4 * whole.radius_mm);

  std::vector<bool> standing(at(count), true);
  const auto joints_to_standing = [&](int m) {
    std::vector<int> joints;
    for (const int n : joints_of[at(m)])
      if (standing[at(other_module(n, m))]) joints.push_back(n);
    return joints;
  };
  const auto stays_whole = [&](int without) {
    std::vector<int> queue{base};
    std::vector<bool> reached(at(count), false);
    reached[at(base)] = true;
    for (std::size_t next = 0; next < queue.size(); ++next)
      for (const int n : joints_of[at(queue[next])]) {
        const int to = other_module(n, queue[next]);
        if (to == without || !standing[at(to)] || reached[at(to)]) continue;
        reached[at(to)] = true;
        queue.push_back(to);
      }
    return static_cast<int>(queue.size()) ==
           static_cast<int>(std::count(standing.begin(), standing.end(), true)) - 1;
  };
  // Rigid modules move as one body each; else every panel moves by itself.
  const bool rigid_modules = plan.chosen.internal_dof == 0;
  const auto count_loose = [&](int without) {
    std::vector<std::vector<int>> bodies;
    for (int m = 0; m < count; ++m) {
      if (!standing[at(m)] || m == without) continue;
      if (rigid_modules)
        bodies.push_back(modules[at(m)]);
      else
        for (const int copy : modules[at(m)]) bodies.push_back({copy});
    }
    return bodies.size() < 2 ? 0
                             : measure_stiffness(make_module_structure(whole, bodies)).internal_dof;
  };
  std::vector<int> placed_copies;
  const auto list_standing = [&] {
    placed_copies.clear();
    for (int m = 0; m < count; ++m)
      if (standing[at(m)])
        placed_copies.insert(placed_copies.end(), modules[at(m)].begin(), modules[at(m)].end());
  };
  plan.reach.resize(design.joints.size());
  const auto measure = [&](const std::vector<int>& joints) {
    std::vector<Reach> reach;
    for (const int n : joints)
      reach.push_back(
          measure_reach(design, finished, sides, plates, placed_copies, n, options.reach));
    return reach;
  };
  // Loose movements of many bodies take long to count: then fewer are weighed against each other.
  const std::size_t most_weighed = (rigid_modules ? count : copies) <= 60 ? 5 : 1;

  std::vector<AssemblyStep> backwards;
  for (int left = count; left > 1; --left) {
    std::vector<int> candidates;
    for (int m = 0; m < count; ++m)
      if (standing[at(m)] && m != base) candidates.push_back(m);
    std::stable_sort(candidates.begin(), candidates.end(), [&](int a, int b) {
      if (std::abs(centre[at(a)].z() - centre[at(b)].z()) > 1e-6)
        return centre[at(a)].z() > centre[at(b)].z();
      return joints_to_standing(a).size() < joints_to_standing(b).size();
    });
    list_standing();
    struct Weighed {
      int module;
      std::size_t push;
      int loose, out_of_reach;
      std::vector<Reach> reach;
    };
    std::vector<Weighed> able;
    ComingIn coming_in = ComingIn::straight;
    for (const bool keep_whole : {true, false}) {
      for (const bool tabs_open : {false, true}) {
        coming_in = tabs_open ? ComingIn::tabs_open : ComingIn::straight;
        for (const int m : candidates) {
          if (able.size() >= most_weighed) break;
          if (keep_whole && !stays_whole(m)) continue;
          for (std::size_t d = 0; d < pushes[at(m)].size(); ++d)
            if (ways.is_free(m, d, standing, tabs_open)) {
              able.push_back({m, d, 0, 0, {}});
              break;
            }
        }
        if (!able.empty()) break;
      }
      if (!able.empty()) break;
    }
    if (able.empty()) {
      coming_in = ComingIn::no_straight_push;
      int chosen = candidates.front();
      for (const int m : candidates)
        if (stays_whole(m)) {
          chosen = m;
          break;
        }
      able.push_back({chosen, 0, 0, 0, {}});
    }
    for (Weighed& one : able) {
      one.loose = count_loose(one.module);
      one.reach = measure(joints_to_standing(one.module));
      for (const Reach& reach : one.reach) one.out_of_reach += static_cast<int>(!reach.hand);
    }
    const auto best =
        std::min_element(able.begin(), able.end(), [](const Weighed& a, const Weighed& b) {
          return a.loose != b.loose ? a.loose < b.loose : a.out_of_reach < b.out_of_reach;
        });
    AssemblyStep step;
    step.copies = modules[at(best->module)];
    step.joints = joints_to_standing(best->module);
    step.coming_in = coming_in;
    step.push = pushes[at(best->module)][best->push];
    for (std::size_t i = 0; i < step.joints.size(); ++i)
      plan.reach[at(step.joints[i])] = best->reach[i];
    step.internal_dof = count_loose(-1);
    standing[at(best->module)] = false;
    backwards.push_back(std::move(step));
  }
  AssemblyStep first;
  first.copies = modules[at(base)];
  first.push = pushes[at(base)].front();
  first.internal_dof = plan.chosen.internal_dof;
  backwards.push_back(std::move(first));
  plan.steps.assign(backwards.rbegin(), backwards.rend());
  // Modules are glued on the table, with nothing else around; all are alike.
  for (int m = 0; m < count; ++m) {
    placed_copies = modules[at(m)];
    const std::vector<Reach> reach = measure(plan.joints_in_module[at(m)]);
    for (std::size_t i = 0; i < reach.size(); ++i)
      plan.reach[at(plan.joints_in_module[at(m)][i])] = reach[i];
  }
  return plan;
}

}  // namespace sixtyfold
