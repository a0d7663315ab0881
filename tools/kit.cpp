#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>
#include <memory>

#include "results/design_json.h"
#include "results/file.h"
#include "results/kit.h"
#include "results/material_json.h"
#include "tools/command.h"

namespace sixtyfold {

namespace {

struct KitChoice {
  std::string path, out, paper = "A4", material;
  double thickness_mm = 0, kerf_mm = 0, fold_allowance_mm = 0, model_mm = 300, dry_min = 20;
  int people = 20, saws = 2, points = 3, most_in_module = 12;
};

ExitStatus write_kit(const KitChoice& choice) {
  Design design = read_design_json(read_file(choice.path), choice.path);
  double fold_allowance_mm = choice.fold_allowance_mm;
  if (!choice.material.empty()) {
    const Material material = load_material(choice.material);
    design.limits = with_material(design.limits, material, material.sheets.front());
    design.thickness_mm = material.thickness_mm.value;
    if (fold_allowance_mm == 0 && material.fold_allowance_mm) fold_allowance_mm = material.fold_allowance_mm->value;
  }
  KitOptions options = make_kit_options(design);
  if (choice.thickness_mm != 0) options.flat.thickness_mm = choice.thickness_mm;
  options.flat.fold_allowance_mm = fold_allowance_mm;
  options.pattern.paper = choice.paper == "A3" ? Paper::a3 : choice.paper == "Letter" ? Paper::letter : Paper::a4;
  options.pattern.kerf_mm = choice.kerf_mm;
  options.pattern.model_diameter_mm = choice.model_mm;
  options.assembly.most_in_module = choice.most_in_module;
  options.event.people = choice.people;
  options.event.saws = choice.saws;
  options.event.hanging_points = choice.points;
  options.event.dry_min = choice.dry_min;
  const Kit kit = make_kit(design, options);
  std::filesystem::create_directories(choice.out);
  for (const KitFile& file : kit.files) write_file(std::filesystem::path(choice.out) / file.name, file.bytes);
  std::cout << kit.files.size() << " files in " << choice.out << "\n";
  for (const KitFile& file : kit.files) std::cout << "  " << file.name << "\n";
  for (const std::string& warning : kit.warnings) std::cout << "Note: " << warning << ".\n";
  return ExitStatus::ok;
}

}  // namespace

void add_kit_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "kit",
      "Write what is needed to build a design: template at true size, test coupon, paper model, build guide, "
      "colour plan and plan of the day",
      {"sixtyfold kit run/001.json --out kit", "sixtyfold kit run/001.json --paper Letter --people 24 --saws 3 --out kit",
       "sixtyfold kit run/001.json --thickness 4.2 --kerf 0.8 --fold-allowance 0.6 --out kit"});
  auto choice = std::make_shared<KitChoice>();
  command->add_option("DESIGN", choice->path, "a design file, such as run/001.json")->required();
  command->add_option("--out", choice->out, "folder for the files; made when it is missing")->required();
  command->add_option("--paper", choice->paper, "A4, A3 or Letter")->check(CLI::IsMember({"A4", "A3", "Letter"}));
  command->add_option("--material", choice->material, "a material by name, or a material file: thickness, mass, grain, sheet");
  command->add_option("--thickness", choice->thickness_mm, "of the board in mm, from the coupon; default: the design's");
  command->add_option("--kerf", choice->kerf_mm, "width of the cut in mm, from the coupon");
  command->add_option("--fold-allowance", choice->fold_allowance_mm, "in mm, from the coupon");
  command->add_option("--model", choice->model_mm, "diameter of the paper model in mm");
  command->add_option("--people", choice->people, "who build");
  command->add_option("--saws", choice->saws, "cutting places");
  command->add_option("--points", choice->points, "hanging points");
  command->add_option("--dry", choice->dry_min, "minutes a glued module dries before it is handled");
  command->add_option("--module", choice->most_in_module, "most panels in one module");
  run_when_chosen(*command, [choice] { return write_kit(*choice); });
}

}  // namespace sixtyfold
