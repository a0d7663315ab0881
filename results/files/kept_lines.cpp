#include "results/files/kept_lines.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <utility>

#include "results/files/recipe_json.h"

namespace sixtyfold {

using nlohmann::ordered_json;

std::string write_kept_lines(const SearchTask& task, const std::vector<Pool>& pools) {
  std::string lines;
  for (const auto& [find, rigid] : list_finds(pools)) {
    const Branch& branch = task.branches[static_cast<std::size_t>(find->branch)];
    const Outcome& outcome = find->outcome;
    const Place place = find_place(outcome.measures);
    ordered_json line = {{"symmetry", branch.symmetry},
                         {"plane", branch.plane},
                         {"family", branch.family},
                         {"parameters", to_values(branch, find->point)},
                         {"rigid", rigid},
                         {"panels", branch.scheme.panels()},
                         {"joints", std::lround(place.joints_per_panel * branch.scheme.panels())},
                         {"quality", outcome.quality},
                         {"openness", place.openness},
                         {"roundness", place.roundness}};
    for (std::size_t k = 0; k < task.goals.pareto.size(); ++k) {
      const Criterion& criterion = *task.goals.pareto[k];
      line["pareto"][criterion.name] = criterion.turn(outcome.objectives[k]);
    }
    lines += line.dump() + "\n";
  }
  return lines;
}

std::vector<KeptDesign> read_kept_lines(const std::string& bytes, const std::string& where,
                                        std::size_t most) {
  std::vector<KeptDesign> designs;
  for (std::size_t begin = 0; begin < bytes.size() && designs.size() < most;) {
    const std::size_t end = std::min(bytes.find('\n', begin), bytes.size());
    const JsonCursor root = JsonCursor::parse(
        bytes.substr(begin, end - begin), where + ", line " + std::to_string(designs.size() + 1));
    KeptDesign design;
    Recipe recipe = read_whole_recipe_json(root);
    design.symmetry = std::move(recipe.symmetry);
    design.plane = std::move(recipe.plane);
    design.family = std::move(recipe.family);
    design.parameters = std::move(recipe.parameters);
    design.rigid = root.at("rigid").boolean();
    design.panels = static_cast<int>(root.at("panels").integer(1, 1 << 20));
    design.joints = static_cast<int>(root.at("joints").integer(0, 1 << 30));
    design.quality = root.at("quality").number(0, 1);
    design.openness = root.at("openness").number(0, 1);
    design.roundness = root.at("roundness").number(0, 1);
    if (const auto pareto = root.find("pareto"))
      for (const std::string& name : pareto->keys())
        design.pareto[name] = pareto->at(name).number(-1e12, 1e12);
    designs.push_back(std::move(design));
    begin = end + 1;
  }
  return designs;
}

}  // namespace sixtyfold
