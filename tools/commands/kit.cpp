#include "results/kit/kit.h"

#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>
#include <memory>
#include <optional>

#include "results/files/design_json.h"
#include "results/files/file.h"
#include "tools/commands/command.h"
#include "tools/options/arguments.h"
#include "tools/options/limit_options.h"
#include "tools/options/material_option.h"
#include "tools/options/options.h"

namespace sixtyfold {

namespace {

struct KitChoice {
  std::string path, out, paper = "A4";
  LimitChanges changes;
  std::optional<Material> material;
  double kerf_mm = 0, fold_allowance_mm = 0, model_mm = 300;
  double off_mm = 1, off_deg = 1, spares = 5;
  int points = 3, most_in_module = 12, colours = 0;
  ScheduleOptions schedule;
  ReachOptions reach;
};

ExitStatus write_kit(const KitChoice& choice) {
  Design design = read_design_json(read_file(choice.path), choice.path);
  const double thickness = design.limits.thickness_mm;
  design.limits = apply(choice.changes, design.limits);
  if (design.limits.thickness_mm != thickness) design.thickness_mm = design.limits.thickness_mm;
  double fold_allowance_mm = choice.fold_allowance_mm;
  EventOptions event;
  if (choice.material) {
    const Material& material = *choice.material;
    if (fold_allowance_mm == 0 && material.fold_allowance_mm)
      fold_allowance_mm = material.fold_allowance_mm->value;
    if (material.glue_strength_n_per_mm) {
      event.glue.strength_n_per_mm = material.glue_strength_n_per_mm->value;
      event.glue_source = material.glue_strength_n_per_mm->source;
    }
  }
  KitOptions options = make_kit_options(design);
  options.flat.fold_allowance_mm = fold_allowance_mm;
  options.pattern.paper = choice.paper == "A3"       ? Paper::a3
                          : choice.paper == "Letter" ? Paper::letter
                                                     : Paper::a4;
  options.pattern.kerf_mm = choice.kerf_mm;
  options.pattern.model_diameter_mm = choice.model_mm;
  options.assembly.most_in_module = choice.most_in_module;
  options.assembly.reach = choice.reach;
  options.tolerance.cut_mm = choice.off_mm;
  options.tolerance.fold_deg = choice.off_deg;
  options.event = event;
  options.event.schedule = choice.schedule;
  options.event.hanging_points = choice.points;
  if (choice.material) options.purchase.material = choice.material->title;
  options.purchase.spare_share = choice.spares / 100;
  options.colours = choice.colours;
  const Kit kit = make_kit(design, options);
  std::filesystem::create_directories(choice.out);
  for (const KitFile& file : kit.files)
    write_file(std::filesystem::path(choice.out) / file.name, file.bytes);
  std::cout << kit.files.size() << " files in " << choice.out << "\n";
  for (const KitFile& file : kit.files) std::cout << "  " << file.name << "\n";
  for (const std::string& warning : kit.warnings) std::cout << "Note: " << warning << ".\n";
  return ExitStatus::ok;
}

}  // namespace

void add_kit_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "kit",
      "Write what is needed to build a design: template at true size, test coupon, paper model, "
      "build guide, "
      "colour plan and plan of the day",
      {"sixtyfold kit run/001.json --out kit",
       "sixtyfold kit run/001.json --paper Letter --people 24 --saws 3 --out kit",
       "sixtyfold kit run/001.json --material corrugated-b --price 3.20 --colours 6 --out kit",
       "sixtyfold kit run/001.json --thickness 4.2mm --sheet 1000x1600 --kerf 0.8 --fold-allowance "
       "0.6 --out kit"});
  auto choice = std::make_shared<KitChoice>();
  command->add_option("DESIGN", choice->path, "a design file, such as run/001.json")->required();
  const auto add_length = [command](const char* name, double& value_mm, const char* help) {
    add_parsed_option(
        *command, name, "LENGTH",
        [&value_mm](const std::string& text) { value_mm = parse_length_mm(text); }, help);
  };
  command->add_option("--out", choice->out, "folder for the files; made when it is missing")
      ->required();
  command->add_option("--paper", choice->paper, "A4, A3 or Letter")
      ->check(CLI::IsMember({"A4", "A3", "Letter"}));
  add_length("--kerf", choice->kerf_mm, "width of the cut, from the coupon");
  add_length("--fold-allowance", choice->fold_allowance_mm, "length, from the coupon");
  add_length("--model", choice->model_mm, "diameter of the paper model");
  command->add_option("--colours", choice->colours,
                      "number of colours, 1 for none; default: those of the drawings");
  command->add_option("--people", choice->schedule.people, "who build");
  command->add_option("--saws", choice->schedule.saws, "cutting places");
  command->add_option("--dry", choice->schedule.dry_min,
                      "minutes a glued module dries before it is handled");
  command->add_option("--minutes-per-joint", choice->schedule.joint_min,
                      "to fit, glue and clamp one");
  command->add_option("--minutes-per-tab", choice->schedule.fold_min,
                      "to score, fold and check one");
  command->add_option("--spares", choice->spares, "parts cut beyond the number needed, in percent");
  command->add_option("--points", choice->points, "hanging points");
  command->add_option("--module", choice->most_in_module, "most panels in one module");
  add_length("--hand", choice->reach.hand_mm, "width of a passage for a hand");
  add_length("--arm", choice->reach.arm_mm, "reach of an arm");
  add_length("--clamp-opening", choice->reach.clamp_opening_mm, "between the open jaws");
  add_length("--clamp-depth", choice->reach.clamp_depth_mm,
             "from the jaws' tips to the clamp's back");
  add_length("--off", choice->off_mm, "how far a cut may be off, for the closure");
  command->add_option("--off-angle", choice->off_deg,
                      "how far a fold may be off in degrees, for the closure");
  add_material_option(*command, choice->changes, [choice = choice.get()](const Material& material) {
    choice->material = material;
  });
  add_limit_options(*command, choice->changes);
  run_when_chosen(*command, [choice] { return write_kit(*choice); });
}

}  // namespace sixtyfold
