#include "results/files/recipe_json.h"

namespace sixtyfold {

Recipe read_plain_recipe(const JsonCursor& object) {
  constexpr std::size_t most_parameters = 1000;
  Recipe recipe;
  recipe.symmetry = object.at("symmetry").text();
  recipe.plane = object.at("plane").text();
  recipe.family = object.at("family").text();
  for (const JsonCursor& value : object.at("parameters").array(0, most_parameters))
    recipe.parameters.push_back(value.number(-1e12, 1e12));
  return recipe;
}

}  // namespace sixtyfold
