#include <algorithm>
#include <array>

#include "engine/building/colourings.h"
#include "engine/symmetry/point_group.h"
#include "engine/symmetry/subgroup.h"

namespace sixtyfold {
namespace {

constexpr double same_matrix = 1e-6;

int find_element(const PointGroup& group, const Mat3& matrix) {
  for (int g = 0; g < group.order(); ++g)
    if ((group.elements[static_cast<std::size_t>(g)] - matrix).cwiseAbs().maxCoeff() < same_matrix)
      return g;
  return -1;
}

// Elements that keep the panel's centroid and plane; empty if the number does not fit the orbit.
std::vector<int> find_panel_stabiliser(const PointGroup& group, const Orbit& orbit) {
  const Panel& panel = orbit.panel;
  const Vec3 centroid = panel.frame.to_space(measure_centroid(panel.outline_mm));
  const double size = std::max(1.0, centroid.norm());
  std::vector<int> kept;
  for (int g = 0; g < group.order(); ++g) {
    const Mat3& m = group.elements[static_cast<std::size_t>(g)];
    if ((m * centroid - centroid).norm() < 1e-6 * size &&
        std::abs(std::abs((m * panel.frame.normal).dot(panel.frame.normal)) - 1) < same_matrix)
      kept.push_back(g);
  }
  // A centroid on an axis need not mean that the outline repeats about it.
  if (kept.size() * orbit.copies.size() == static_cast<std::size_t>(group.order())) return kept;
  if (orbit.copies.size() == static_cast<std::size_t>(group.order())) return {0};
  return {};
}

}  // namespace

std::vector<int> find_coset_colours(const Design& design) {
  std::size_t count = 0;
  for (const Orbit& orbit : design.orbits) count += orbit.copies.size();
  const std::vector<int> plain(count, 0);
  if (!is_point_group(design.symmetry)) return plain;
  const PointGroup group = make_point_group(design.symmetry);

  std::vector<int> stabilisers{0}, element_of_copy;
  for (const Orbit& orbit : design.orbits) {
    const std::vector<int> own = find_panel_stabiliser(group, orbit);
    if (own.empty()) return plain;
    stabilisers.insert(stabilisers.end(), own.begin(), own.end());
    for (const Mat3& copy : orbit.copies) {
      element_of_copy.push_back(find_element(group, copy));
      if (element_of_copy.back() < 0) return plain;
    }
  }
  std::sort(stabilisers.begin(), stabilisers.end());
  stabilisers.erase(std::unique(stabilisers.begin(), stabilisers.end()), stabilisers.end());

  const std::vector<Subgroup> subgroups = find_subgroups(group);
  for (const int index : std::array{5, 4, 6, 3, 7, 8, 2, 9, 10}) {
    for (const Subgroup& subgroup : subgroups) {
      if (static_cast<int>(subgroup.size()) * index != group.order() ||
          !std::includes(subgroup.begin(), subgroup.end(), stabilisers.begin(), stabilisers.end()))
        continue;
      const std::vector<int> coset_of_element = find_left_cosets(group, subgroup);
      std::vector<int> colours;
      for (const int element : element_of_copy)
        colours.push_back(coset_of_element[static_cast<std::size_t>(element)]);
      return colours;
    }
  }
  return plain;
}

}  // namespace sixtyfold
