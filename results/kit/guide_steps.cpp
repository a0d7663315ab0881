#include "results/kit/guide_steps.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "results/kit/kit_template.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

Vec3 find_middle(const Design& design, int copy) {
  const CopyPlace place = find_copy(design, copy);
  return make_copy_frame(design, copy)
      .to_space(measure_centroid(design.orbits[at(place.orbit)].panel.outline_mm));
}

void find_holds(const Design& design, const AssemblyStep& step, StepHands& hands) {
  std::set<int> guided;
  Vec3 middle = Vec3::Zero();
  for (const int n : step.joints) {
    const Joint& joint = design.joints[at(n)];
    middle += (joint.from_mm + joint.to_mm) / 2 / static_cast<double>(step.joints.size());
    for (const int copy : joint.panels)
      if (std::find(step.copies.begin(), step.copies.end(), copy) != step.copies.end())
        guided.insert(copy);
  }
  hands.guided.assign(guided.begin(), guided.end());
  if (guided.empty() || step.copies.size() == 1) return;
  hands.held = *std::max_element(step.copies.begin(), step.copies.end(), [&](int a, int b) {
    return (find_middle(design, a) - middle).norm() <
           (find_middle(design, b) - middle).norm() - 1e-6;
  });
}

/// Of equally held ones the highest.
int find_loosest(const Design& design, const std::vector<int>& placed) {
  std::vector<int> held(at(count_copies(design)), 0);
  std::vector<bool> stands(at(count_copies(design)), false);
  for (const int copy : placed) stands[at(copy)] = true;
  for (const Joint& joint : design.joints)
    if (stands[at(joint.panels[0])] && stands[at(joint.panels[1])])
      for (const int copy : joint.panels) ++held[at(copy)];
  return *std::min_element(placed.begin(), placed.end(), [&](int a, int b) {
    if (held[at(a)] != held[at(b)]) return held[at(a)] < held[at(b)];
    const double rise = find_middle(design, a).z() - find_middle(design, b).z();
    return std::abs(rise) > 1e-6 ? rise > 0 : a < b;
  });
}

}  // namespace

std::vector<StepHands> find_step_hands(const Design& design, const AssemblyPlan& plan) {
  std::vector<StepHands> all;
  std::vector<int> placed;
  for (const AssemblyStep& step : plan.steps) {
    placed.insert(placed.end(), step.copies.begin(), step.copies.end());
    StepHands hands;
    find_holds(design, step, hands);
    if (step.internal_dof > 0 && placed.size() > 1) hands.loosest = find_loosest(design, placed);
    all.push_back(std::move(hands));
  }
  return all;
}

std::size_t find_dry_from(const Closure& closure, const ClosureOptions& tolerance) {
  std::size_t from = closure.steps.size();
  while (from > 1 && closure.steps[from - 1].most_mm >
                         2.5 * std::max(tolerance.cut_mm, closure.evened.most_mm / 2))
    --from;
  return from;
}

bool has_paired_slots(const Design& design, const Finished& finished) {
  for (std::size_t o = 0; o < design.orbits.size(); ++o)
    for (const Slot& slot : finished.parts[o].pattern.slots) {
      const SlotName name = name_slot(finished.joints, static_cast<int>(o), slot.joint);
      if (name.own != name.other) return true;
    }
  return false;
}

std::vector<int> find_turned_over(const Design& design) {
  std::vector<int> over;
  for (int copy = 0; copy < count_copies(design); ++copy) {
    const CopyPlace place = find_copy(design, copy);
    if (design.orbits[at(place.orbit)].copies[at(place.number)].determinant() < 0)
      over.push_back(copy);
  }
  return over;
}

}  // namespace sixtyfold
