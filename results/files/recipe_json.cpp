#include "results/files/recipe_json.h"

#include "results/files/json_fields.h"

namespace sixtyfold {

namespace {

constexpr std::size_t most_parameters = 1024;

template <class Values, class Visit>
void visit_fields(Values& recipe, const Visit& visit) {
  visit("symmetry", recipe.symmetry);
  visit("plane", recipe.plane);
  visit("family", recipe.family);
  visit("seed", recipe.seed);
  visit("index", recipe.index);
}

}  // namespace

nlohmann::ordered_json write_recipe_json(const Recipe& recipe) {
  nlohmann::ordered_json object = nlohmann::ordered_json::object();
  visit_fields(recipe, FieldWriter{object});
  object["parameters"] = recipe.parameters;
  return object;
}

Recipe read_recipe_json(const JsonCursor& object) {
  Recipe recipe;
  visit_fields(recipe, FieldReader{object});
  if (const auto parameters = object.find("parameters"))
    for (const JsonCursor& parameter : parameters->array(0, most_parameters))
      recipe.parameters.push_back(parameter.number(-1e12, 1e12));
  return recipe;
}

Recipe read_whole_recipe_json(const JsonCursor& object) {
  for (const char* name : {"symmetry", "plane", "family", "parameters"}) object.at(name);
  return read_recipe_json(object);
}

}  // namespace sixtyfold
