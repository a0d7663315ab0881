#include "engine/building/colourings.h"

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>

#include "engine/building/copy_elements.h"
#include "engine/part/part_joints.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

void count_like(const Design& design, ColourScheme& scheme) {
  scheme.like_joints = 0;
  for (const Joint& joint : design.joints)
    scheme.like_joints += static_cast<int>(scheme.colour_of[at(joint.panels[0])] ==
                                           scheme.colour_of[at(joint.panels[1])]);
}

}  // namespace

std::vector<int> renumber_colours(const std::vector<int>& colour_of) {
  std::map<int, int> number;
  std::vector<int> plain;
  for (const int colour : colour_of)
    plain.push_back(number.emplace(colour, static_cast<int>(number.size())).first->second);
  return plain;
}

std::vector<ColourScheme> find_colour_schemes(const Design& design) {
  std::vector<ColourScheme> schemes;
  if (!is_point_group(design.symmetry)) return schemes;
  const PointGroup group = make_point_group(design.symmetry);
  const auto elements = find_copy_elements(design, group);
  if (elements.empty()) return schemes;
  std::set<std::vector<int>> seen;
  for (const Subgroup& subgroup : find_subgroups(group)) {
    const auto classes = find_coset_copies(group, subgroup, elements);
    if (classes.size() < 2 || classes.size() > most_colours) continue;
    ColourScheme scheme;
    scheme.subgroup = name_subgroup(group, subgroup);
    scheme.colours = static_cast<int>(classes.size());
    scheme.colour_of.assign(elements.size(), 0);
    for (std::size_t c = 0; c < classes.size(); ++c)
      for (const int copy : classes[c]) scheme.colour_of[at(copy)] = static_cast<int>(c);
    if (!seen.insert(scheme.colour_of).second) continue;
    count_like(design, scheme);
    schemes.push_back(std::move(scheme));
  }
  std::stable_sort(
      schemes.begin(), schemes.end(), [](const ColourScheme& a, const ColourScheme& b) {
        return a.colours != b.colours ? a.colours < b.colours : a.like_joints < b.like_joints;
      });
  return schemes;
}

ColourScheme choose_colour_scheme(const Design& design, int colours) {
  const std::vector<ColourScheme> schemes = find_colour_schemes(design);
  ColourScheme plain;
  plain.colour_of.assign(at(count_copies(design)), 0);
  plain.like_joints = static_cast<int>(design.joints.size());
  if (colours == 1) return plain;
  if (colours == 0) {
    const std::vector<int> drawn = find_coset_colours(design);
    for (const ColourScheme& scheme : schemes)
      if (renumber_colours(drawn) == scheme.colour_of) {
        ColourScheme chosen = scheme;
        chosen.colour_of = drawn;
        return chosen;
      }
    return plain;
  }
  std::set<int> possible{1};
  for (const ColourScheme& scheme : schemes) {
    if (scheme.colours == colours) return scheme;
    possible.insert(scheme.colours);
  }
  std::string list;
  for (const int count : possible) list += (list.empty() ? "" : ", ") + std::to_string(count);
  throw std::invalid_argument("colours is " + std::to_string(colours) +
                              ", but this design has symmetric colourings of " + list +
                              (possible.size() == 1 ? " only" : " colours only"));
}

}  // namespace sixtyfold
