#include "results/files/picks_json.h"

#include "results/files/json_reader.h"

namespace sixtyfold {

namespace {

constexpr std::size_t most_picks = 10000, most_parameters = 1000;

std::vector<Recipe> read_recipes(const JsonCursor& list) {
  std::vector<Recipe> recipes;
  for (const JsonCursor& entry : list.array(0, most_picks)) {
    Recipe recipe;
    recipe.symmetry = entry.at("symmetry").text();
    recipe.plane = entry.at("plane").text();
    recipe.family = entry.at("family").text();
    for (const JsonCursor& value : entry.at("parameters").array(0, most_parameters))
      recipe.parameters.push_back(value.number(-1e12, 1e12));
    recipes.push_back(std::move(recipe));
  }
  return recipes;
}

}  // namespace

Picks read_picks_json(const std::string& bytes, const std::string& where) {
  const JsonCursor root = JsonCursor::parse(bytes, where);
  if (root.at("format").text() != "sixtyfold-picks")
    root.at("format").fail("is no file of picks; allowed is \"sixtyfold-picks\"");
  if (root.at("version").integer(1, 1000) != 1)
    root.at("version").fail("is of a newer program; allowed is 1");
  Picks picks;
  if (const auto run = root.find("run")) picks.run = run->text();
  picks.picked = read_recipes(root.at("picked"));
  if (const auto rejected = root.find("rejected")) picks.rejected = read_recipes(*rejected);
  return picks;
}

}  // namespace sixtyfold
