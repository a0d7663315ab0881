#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "results/files/material_json.h"
#include "tools/commands/command.h"

namespace sixtyfold {

void add_materials_command(CLI::App& app) {
  CLI::App* command =
      add_command(app, "materials",
                  "List the materials that come with the program, or print one as a file to change "
                  "and use with "
                  "--material FILE",
                  {"sixtyfold materials", "sixtyfold materials corrugated-b > my-board.json"});
  auto name = std::make_shared<std::string>();
  command->add_option("NAME", *name, "print this one, with the source of every value");
  run_when_chosen(*command, [name] {
    std::cout << (name->empty() ? describe_materials() : write_material_json(load_material(*name)));
    return ExitStatus::ok;
  });
}

}  // namespace sixtyfold
