#include "results/files/picks_json.h"

#include "results/files/recipe_json.h"

namespace sixtyfold {

namespace {

constexpr std::size_t most_picks = 10000;

std::vector<Recipe> read_recipes(const JsonCursor& list) {
  std::vector<Recipe> recipes;
  for (const JsonCursor& entry : list.array(0, most_picks))
    recipes.push_back(read_whole_recipe_json(entry));
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
