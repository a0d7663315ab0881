#include "engine/building/copy_elements.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/part/part_joints.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

std::vector<std::vector<int>> find_copy_elements(const Design& design, const PointGroup& group) {
  const int copies = count_copies(design);
  std::vector<std::vector<int>> elements(at(copies));
  struct Place {
    Vec3 centroid, normal;
  };
  int first = 0;
  for (const Orbit& orbit : design.orbits) {
    const int count = static_cast<int>(orbit.copies.size());
    const Polygon& outline = orbit.panel.outline_mm;
    double size = 1;
    std::vector<Place> places;
    for (int k = 0; k < count; ++k) {
      const Frame frame = make_copy_frame(design, first + k);
      places.push_back({frame.to_space(measure_centroid(outline)), frame.normal});
      size = std::max(size, places.back().centroid.norm());
    }
    for (int e = 0; e < group.order(); ++e) {
      const Mat3& g = group.elements[at(e)];
      const Vec3 image = g * places[0].centroid, normal = g * places[0].normal;
      bool found = false;
      for (int k = 0; k < count && !found; ++k) {
        if ((places[at(k)].centroid - image).norm() > 1e-5 * size ||
            std::abs(places[at(k)].normal.dot(normal)) < 1 - 1e-9)
          continue;
        elements[at(first + k)].push_back(e);
        found = true;
      }
      if (!found) return {};
    }
    first += count;
  }
  for (const auto& list : elements)
    if (list.empty()) return {};
  return elements;
}

std::vector<std::vector<int>> find_coset_copies(
    const PointGroup& group, const Subgroup& subgroup,
    const std::vector<std::vector<int>>& copy_elements) {
  const std::vector<int> coset = find_left_cosets(group, subgroup);
  std::map<int, std::size_t> number;
  std::vector<std::vector<int>> classes;
  for (std::size_t copy = 0; copy < copy_elements.size(); ++copy) {
    const int own = coset[at(copy_elements[copy].front())];
    for (const int e : copy_elements[copy])
      if (coset[at(e)] != own) return {};
    const auto [where, is_new] = number.emplace(own, classes.size());
    if (is_new) classes.emplace_back();
    classes[where->second].push_back(static_cast<int>(copy));
  }
  return classes;
}

std::string name_subgroup(const PointGroup& group, const Subgroup& subgroup) {
  const int order = static_cast<int>(subgroup.size());
  int largest = 1, mirrors = 0, improper = 0, rotations = 0;
  bool inversion = false;
  for (const int e : subgroup) {
    const Mat3& g = group.elements[at(e)];
    if (g.determinant() < 0) {
      ++improper;
      if (std::abs(g.trace() - 1) < 1e-9) ++mirrors;
      if (std::abs(g.trace() + 3) < 1e-9) inversion = true;
      continue;
    }
    ++rotations;
    largest = std::max(largest, find_element_order(group, e));
  }
  const std::string n = std::to_string(largest);
  // The rotations alone.
  std::string proper;
  if (rotations == largest)
    proper = "C" + n;
  else if (rotations == 2 * largest)
    proper = "D" + n;
  else if (rotations == 12 && largest == 3)
    proper = "T";
  else if (rotations == 24 && largest == 4)
    proper = "O";
  else if (rotations == 60 && largest == 5)
    proper = "I";
  if (improper == 0)
    return proper.empty() ? "a subgroup of order " + std::to_string(order) : proper;
  if (order == 2) return inversion ? "Ci" : "Cs";
  if (proper == "C" + n && mirrors == largest) return proper + "v";
  if (proper == "C" + n && mirrors == 1) return proper + "h";
  if (proper == "C" + n && mirrors == 0) return "S" + std::to_string(2 * largest);
  if (proper == "D" + n) return proper + (mirrors == largest ? "d" : "h");
  if (proper == "T") return inversion ? "Th" : "Td";
  if (proper == "O" || proper == "I") return proper + "h";
  return "a subgroup of order " + std::to_string(order);
}

}  // namespace sixtyfold
