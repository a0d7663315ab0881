#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "results/design_json.h"
#include "results/file.h"
#include "results/report.h"
#include "tools/command.h"
#include "tools/limit_options.h"
#include "tools/material_option.h"

namespace sixtyfold {

namespace {

struct CheckOptions {
  std::string path;
  bool json = false;
  LimitChanges changes;
};

ExitStatus check(const CheckOptions& options) {
  Design design = read_design_json(read_file(options.path), options.path);
  design.limits = apply(options.changes, design.limits);
  design.thickness_mm = design.limits.thickness_mm;
  const Inspection inspection = inspect(design);
  std::cout << (options.json ? write_inspection_json(inspection) : make_report(inspection));
  return inspection.buildable() ? ExitStatus::ok : ExitStatus::no;
}

}  // namespace

void add_check_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "check",
      "Rebuild a design from its panel and copies, measure everything, and say whether it can be "
      "built under the limits stored in the file or given here",
      {"sixtyfold check run/001.json", "sixtyfold check run/001.json --sheet 600x1200 --grain long",
       "sixtyfold check run/001.json --json"});
  auto options = std::make_shared<CheckOptions>();
  command->add_option("DESIGN", options->path, "a design file, such as run/001.json")->required();
  command->add_flag("--json", options->json, "print one JSON object: buildable, faults, score");
  add_material_option(*command, options->changes);
  add_limit_options(*command, options->changes);
  run_when_chosen(*command, [options] { return check(*options); });
}

}  // namespace sixtyfold
