#include "engine/symmetry/subgroup_steps.h"

#include <map>

#include "engine/symmetry/subgroup.h"

namespace sixtyfold {

SubgroupSteps::SubgroupSteps(const PointGroup& group) : elements_(group.order()) {
  std::map<Subgroup, int> numbers = {{Subgroup{0}, 0}};
  std::vector<std::vector<int>> generators = {{}};
  std::vector<Subgroup> members = {{0}};
  for (std::size_t s = 0; s < members.size(); ++s)
    for (int element = 0; element < elements_; ++element) {
      std::vector<int> grown = generators[s];
      grown.push_back(element);
      Subgroup subgroup = make_generated_subgroup(group, grown);
      const auto [entry, is_new] = numbers.try_emplace(subgroup, static_cast<int>(members.size()));
      next_.push_back(entry->second);
      if (!is_new) continue;
      members.push_back(std::move(subgroup));
      generators.push_back(std::move(grown));
    }
  for (const Subgroup& subgroup : members) orders_.push_back(static_cast<int>(subgroup.size()));
}

}  // namespace sixtyfold
