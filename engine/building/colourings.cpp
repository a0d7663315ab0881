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

/// "6-D5", and "6-D5-2" for the second of the same.
void name_schemes(std::vector<ColourScheme>& schemes) {
  std::map<std::string, int> uses;
  for (ColourScheme& scheme : schemes) {
    const auto space = scheme.subgroup.rfind(' ');  // "a subgroup of order 6" has no symbol
    scheme.name =
        std::to_string(scheme.colours) + "-" +
        (space == std::string::npos ? scheme.subgroup : "of" + scheme.subgroup.substr(space + 1));
    const int use = uses[scheme.name]++;
    if (use > 0) scheme.name += "-" + std::to_string(use + 1);
  }
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
  name_schemes(schemes);
  return schemes;
}

namespace {

ColourScheme make_plain(const Design& design) {
  ColourScheme plain;
  plain.name = "board";
  plain.colour_of.assign(at(count_copies(design)), 0);
  plain.like_joints = static_cast<int>(design.joints.size());
  return plain;
}

/// Families of parallel panels, numbered by their first copy.
std::vector<int> find_families(const Design& design) {
  std::vector<Vec3> normals;
  std::vector<int> family_of;
  for (const Orbit& orbit : design.orbits)
    for (const Mat3& copy : orbit.copies) {
      const Vec3 normal = copy * orbit.panel.frame.normal;
      const auto known = std::find_if(normals.begin(), normals.end(), [&](const Vec3& other) {
        return normal.cross(other).norm() < 1e-5;
      });
      family_of.push_back(static_cast<int>(known - normals.begin()));
      if (known == normals.end()) normals.push_back(normal);
    }
  return family_of;
}

/// The numbers of colours that are easiest to tell apart come first.
int find_preference(int colours) {
  static const std::vector<int> order = {5, 4, 6, 3, 7, 8, 2, 9, 10};
  return static_cast<int>(std::find(order.begin(), order.end(), colours) - order.begin());
}

template <class Before>
ColourScheme take_first(const Design& design, const std::vector<ColourScheme>& schemes,
                        Before before) {
  if (schemes.empty()) return make_plain(design);
  return *std::min_element(schemes.begin(), schemes.end(), before);
}

ColourScheme choose_modules(const Design& design, const std::vector<ColourScheme>& schemes) {
  const ColourScheme scheme =
      take_first(design, schemes, [](const ColourScheme& a, const ColourScheme& b) {
        return a.like_joints != b.like_joints ? a.like_joints > b.like_joints
                                              : a.colours < b.colours;
      });
  // All joined panels alike: such colours tell no modules.
  return scheme.like_joints > 0 ? scheme : make_plain(design);
}

ColourScheme choose_planes(const Design& design, const std::vector<ColourScheme>& schemes) {
  const std::vector<int> families = find_families(design);
  for (const ColourScheme& scheme : schemes)
    if (renumber_colours(scheme.colour_of) == families) return scheme;
  return make_plain(design);
}

std::string list_choices(const std::vector<ColourScheme>& schemes) {
  std::set<int> counts;
  std::string list = "board, modules, planes, neighbours";
  for (const ColourScheme& scheme : schemes)
    if (counts.insert(scheme.colours).second) list += ", " + std::to_string(scheme.colours);
  for (const ColourScheme& scheme : schemes) list += ", " + scheme.name;
  return list;
}

}  // namespace

void check_colours_word(const std::string& word) {
  static const std::set<std::string> words = {"board", "modules", "planes", "neighbours"};
  if (words.count(word)) return;
  const auto digits = word.find_first_not_of("0123456789");
  if (word.size() <= 20 && digits != 0 && (digits == std::string::npos || word[digits] == '-'))
    return;
  throw std::invalid_argument(
      "is \"" + word.substr(0, 40) +
      "\"; allowed is board, modules, planes, neighbours, a number of colours, or the name of a "
      "colouring from colours.pdf such as 6-D5");
}

ColourScheme choose_colours(const Design& design, const std::string& word) {
  check_colours_word(word);
  if (word == "board" || word == "1") return make_plain(design);
  const std::vector<ColourScheme> schemes = find_colour_schemes(design);
  if (word == "modules") return choose_modules(design, schemes);
  if (word == "planes") return choose_planes(design, schemes);
  if (word == "neighbours")
    return take_first(design, schemes, [](const ColourScheme& a, const ColourScheme& b) {
      return a.like_joints != b.like_joints
                 ? a.like_joints < b.like_joints
                 : find_preference(a.colours) < find_preference(b.colours);
    });
  for (const ColourScheme& scheme : schemes)
    if (scheme.name == word || std::to_string(scheme.colours) == word) return scheme;
  throw std::invalid_argument("is " + word + "; this design has the colourings " +
                              list_choices(schemes));
}

}  // namespace sixtyfold
