#include "tools/options/material_option.h"

#include <CLI/CLI.hpp>

#include "results/files/material_json.h"

namespace sixtyfold {

void add_material_option(CLI::App& command, LimitChanges& changes,
                         std::function<void(const Material&)> take) {
  command
      .add_option_function<std::string>(
          "--material",
          [&changes, take](const std::string& name_or_file) {
            const Material material = load_material(name_or_file);
            if (take) take(material);
            changes.material_name = material.name;
            changes.material.push_back([material](Limits& limits) {
              limits = with_material(limits, material, material.sheets.front());
            });
            changes.price.insert(changes.price.begin(), [material](Limits& limits) {
              limits.sheet_price = find_price(material, limits);
            });
          },
          "what the board is: a name that `sixtyfold materials` lists, or a file")
      ->type_name("NAME|FILE")
      ->group("Limits");
}

}  // namespace sixtyfold
