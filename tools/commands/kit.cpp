#include "results/kit/kit.h"

#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>
#include <memory>
#include <optional>

#include "results/files/file.h"
#include "tools/commands/command.h"
#include "tools/commands/given_design.h"
#include "tools/options/arguments.h"
#include "tools/options/colours_option.h"
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
  int points = 3, most_in_module = 12;
  std::string colours = "modules";
  ScheduleOptions schedule;
  ReachOptions reach;
};

ExitStatus write_kit(const KitChoice& choice) {
  check_new_folder(choice.out);
  const Inspection inspection = inspect_given_design(choice.path, choice.changes);
  if (is_refused(inspection, choice.path)) return ExitStatus::no;
  const Design& design = inspection.design;
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
  options.event.schedule.people = design.limits.people;
  options.event.schedule.saws = design.limits.saws;
  options.event.hanging_points = choice.points;
  if (choice.material) options.purchase.material = choice.material->title;
  options.purchase.spare_share = choice.spares / 100;
  options.colours = choice.colours;
  options.limit_faults = find_limit_faults(inspection);
  const Kit kit = make_kit(design, options);
  write_folder(choice.out, kit.files);
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
  command->add_option("--out", choice->out, "folder for the files, new or empty")->required();
  command->add_option("--paper", choice->paper, "A4, A3 or Letter")
      ->check(CLI::IsMember({"A4", "A3", "Letter"}));
  CLI::App& app_command = *command;
  add_length_option(app_command, "--kerf", choice->kerf_mm, allowed::kerf,
                    "width of the cut, from the coupon");
  add_length_option(app_command, "--fold-allowance", choice->fold_allowance_mm,
                    allowed::fold_allowance, "length, from the coupon");
  add_length_option(app_command, "--model", choice->model_mm, allowed::paper_model,
                    "diameter of the paper model");
  const auto add_count = [&](const char* name, int& value, const Allowed& range, const char* help) {
    add_count_option(app_command, name, value, static_cast<int>(range.low),
                     static_cast<int>(range.high), help);
  };
  add_colours_option(app_command, choice->colours, ColourWords::one_design);
  add_number_option(app_command, "--dry", choice->schedule.dry_min, allowed::drying,
                    "minutes a glued module dries before it is handled");
  add_number_option(app_command, "--minutes-per-joint", choice->schedule.joint_min,
                    allowed::minutes_each, "to fit, glue and clamp one");
  add_number_option(app_command, "--minutes-per-tab", choice->schedule.fold_min,
                    allowed::minutes_each, "to score, fold and check one");
  add_number_option(app_command, "--spares", choice->spares, allowed::spares,
                    "parts cut beyond the number needed, in percent");
  add_count("--points", choice->points, allowed::hanging_points, "hanging points");
  add_count("--module", choice->most_in_module, allowed::module_panels,
            "most panels in one module");
  add_length_option(app_command, "--hand", choice->reach.hand_mm, allowed::hand,
                    "width of a passage for a hand");
  add_length_option(app_command, "--arm", choice->reach.arm_mm, allowed::arm, "reach of an arm");
  add_length_option(app_command, "--clamp-opening", choice->reach.clamp_opening_mm,
                    allowed::clamp_opening, "between the open jaws");
  add_length_option(app_command, "--clamp-depth", choice->reach.clamp_depth_mm,
                    allowed::clamp_depth, "from the jaws' tips to the clamp's back");
  add_length_option(app_command, "--off", choice->off_mm, allowed::cut_error,
                    "how far a cut may be off, for the closure");
  add_number_option(app_command, "--off-angle", choice->off_deg, allowed::fold_error,
                    "how far a fold may be off in degrees, for the closure");
  add_material_option(*command, choice->changes, [choice = choice.get()](const Material& material) {
    choice->material = material;
  });
  add_limit_options(*command, choice->changes, LimitDefaults::of_the_file);
  run_when_chosen(*command, [choice] { return write_kit(*choice); });
}

}  // namespace sixtyfold
