#include "engine/building/modules.h"

#include <algorithm>
#include <map>

#include "engine/building/copy_elements.h"
#include "engine/part/part_joints.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

ModuleChoice measure_choice(const Structure& whole, std::vector<std::vector<int>> modules) {
  ModuleChoice choice;
  choice.panels = static_cast<int>(modules.front().size());
  const Structure part = make_part_structure(whole, modules.front());
  choice.joints = static_cast<int>(part.joints.size());
  choice.modules = std::move(modules);
  if (choice.joints == 0) {
    choice.internal_dof = 6 * choice.panels;
    return choice;
  }
  const Stiffness stiffness = measure_stiffness(part);
  choice.internal_dof = stiffness.pieces > 1 ? 6 * choice.panels : stiffness.internal_dof;
  choice.stiffness = stiffness.value;
  return choice;
}

/// Several bodies moved as one.
PanelBody merge(const std::vector<PanelBody>& bodies) {
  PanelBody whole;
  for (const PanelBody& body : bodies) {
    whole.area_mm2 += body.area_mm2;
    whole.centroid_mm += body.area_mm2 * body.centroid_mm;
  }
  whole.centroid_mm /= whole.area_mm2;
  for (const PanelBody& body : bodies) {
    const Vec3 arm = body.centroid_mm - whole.centroid_mm;
    whole.second_moments_mm4 += body.second_moments_mm4 + body.area_mm2 * arm * arm.transpose();
  }
  return whole;
}

}  // namespace

std::vector<int> order_panels(const Design& design, const std::vector<int>& copies) {
  std::vector<int> order, waiting = copies;
  while (!waiting.empty()) {
    auto next = waiting.begin();
    int most = -1;
    for (auto it = waiting.begin(); it != waiting.end(); ++it) {
      int joints = 0;
      for (const Joint& joint : design.joints)
        for (const int s : {0, 1})
          joints += static_cast<int>(joint.panels[s] == *it &&
                                     std::find(order.begin(), order.end(), joint.panels[1 - s]) !=
                                         order.end());
      if (joints > most) most = joints, next = it;
    }
    order.push_back(*next);
    waiting.erase(next);
  }
  return order;
}

Structure make_part_structure(const Structure& whole, const std::vector<int>& copies) {
  std::vector<std::vector<int>> singles;
  for (const int copy : copies) singles.push_back({copy});
  return make_module_structure(whole, singles);
}

Structure make_module_structure(const Structure& whole,
                                const std::vector<std::vector<int>>& modules) {
  Structure part;
  part.radius_mm = whole.radius_mm;
  part.fold_length_mm = whole.fold_length_mm;
  std::map<int, int> number;
  for (const std::vector<int>& copies : modules) {
    std::vector<PanelBody> bodies;
    for (const int copy : copies) {
      number[copy] = static_cast<int>(part.bodies.size());
      bodies.push_back(whole.bodies[at(copy)]);
    }
    part.bodies.push_back(bodies.size() == 1 ? bodies.front() : merge(bodies));
  }
  for (Joint joint : whole.joints) {
    if (!number.count(joint.panels[0]) || !number.count(joint.panels[1])) continue;
    joint.panels[0] = number[joint.panels[0]];
    joint.panels[1] = number[joint.panels[1]];
    if (joint.panels[0] != joint.panels[1]) part.joints.push_back(joint);
  }
  return part;
}

std::vector<ModuleChoice> find_module_choices(const Design& design, int most_panels) {
  std::vector<ModuleChoice> choices;
  const Structure whole = make_structure(design);
  if (is_point_group(design.symmetry)) {
    const PointGroup group = make_point_group(design.symmetry);
    const auto elements = find_copy_elements(design, group);
    if (!elements.empty())
      for (const Subgroup& subgroup : find_subgroups(group)) {
        auto modules = find_coset_copies(group, subgroup, elements);
        if (modules.size() < 2 || modules.front().size() < 2 ||
            static_cast<int>(modules.front().size()) > most_panels)
          continue;
        ModuleChoice choice = measure_choice(whole, std::move(modules));
        choice.subgroup = name_subgroup(group, subgroup);
        if (choice.internal_dof < 6 * choice.panels) choices.push_back(std::move(choice));
      }
  }
  std::stable_sort(choices.begin(), choices.end(),
                   [](const ModuleChoice& a, const ModuleChoice& b) {
                     if (a.internal_dof != b.internal_dof) return a.internal_dof < b.internal_dof;
                     const int left = a.joints * b.panels, right = b.joints * a.panels;
                     if (left != right) return left > right;
                     return a.stiffness > b.stiffness * (1 + 1e-9);
                   });
  ModuleChoice single;
  for (int copy = 0; copy < count_copies(design); ++copy) single.modules.push_back({copy});
  choices.push_back(std::move(single));
  return choices;
}

std::string describe(const ModuleChoice& choice) {
  static const std::map<std::string, std::string> words = {{"C2", "twofold"},  {"C3", "threefold"},
                                                           {"C4", "fourfold"}, {"C5", "fivefold"},
                                                           {"C6", "sixfold"},  {"C7", "sevenfold"}};
  if (choice.panels == 1) return "single panels";
  const std::string panels = std::to_string(choice.panels) + " panels";
  if (const auto word = words.find(choice.subgroup); word != words.end())
    return panels + " round a " + word->second + " axis";
  if (choice.subgroup == "Cs") return panels + ", one the mirror image of the other";
  if (choice.subgroup == "Ci") return panels + " opposite each other";
  return panels + " that turn onto each other";
}

}  // namespace sixtyfold
