#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>

#include "engine/building/day.h"
#include "engine/part/scaled_pattern.h"
#include "engine/structure/motion.h"
#include "engine/text.h"
#include "results/drawings/motion_drawing.h"
#include "results/files/file.h"
#include "results/files/json_writer.h"
#include "results/reports/assembly_report.h"
#include "results/reports/load_report.h"
#include "results/reports/report.h"
#include "tools/commands/command.h"
#include "tools/commands/given_design.h"
#include "tools/options/arguments.h"
#include "tools/options/limit_options.h"
#include "tools/options/material_option.h"
#include "tools/options/options.h"

namespace sixtyfold {

namespace {

struct CheckOptions {
  std::string path;
  std::string motion_path;
  std::vector<int> hung_from, standing_on;
  std::optional<Material> material;
  bool json = false, order = false;
  LimitChanges changes;
};

/// Which panels turn about which folds, one sentence a motion, the freest first.
std::string describe_motions(const std::vector<FreeMotion>& motions, int internal_dof) {
  std::string text = "\nIt moves:\n";
  for (const FreeMotion& motion : motions) text += "  - " + motion.sentence + "\n";
  if (internal_dof > static_cast<int>(motions.size()))
    text += "  - and " +
            count_of(internal_dof - static_cast<int>(motions.size()), "motion", "motions") +
            " more\n";
  return text;
}

struct Load {
  LoadCase load_case;
  LoadResult result;
};

/// Own weight, hung and standing, as far as asked for, with glue where the tabs are.
std::vector<Load> find_loads(const CheckOptions& options, const Design& design) {
  std::vector<Load> loads;
  if (options.hung_from.empty() && options.standing_on.empty()) return loads;
  // What collides is not finished.
  const Design glued = design.score.collisions > 0
                           ? design
                           : make_glued(design, make_finished(design, make_flat_options(design)));
  for (const Hold hold : {Hold::hung, Hold::standing}) {
    const std::vector<int>& copies = hold == Hold::hung ? options.hung_from : options.standing_on;
    if (copies.empty()) continue;
    LoadCase load_case = make_load_case(design, hold, copies);
    load_case.mass_kg_per_m2 = design.limits.mass_kg_per_m2;
    const std::optional<Material> material = find_material(design, options.material);
    if (material && material->glue_strength_n_per_mm)
      load_case.glue.strength_n_per_mm = material->glue_strength_n_per_mm->value;
    loads.push_back({load_case, measure_load(glued, load_case)});
  }
  return loads;
}

/// How it is put together; nothing for what collides, holds by nothing or has no part.
struct Assembly {
  std::optional<Finished> finished;
  std::optional<AssemblyOrder> order;
  std::optional<AssemblyPlan> plan;
};

Assembly find_assembly(Inspection& inspection) {
  Assembly assembly;
  Design& design = inspection.design;
  if (design.joints.empty() || design.score.collisions > 0) return assembly;
  assembly.finished = make_finished(design, make_flat_options(design));
  if (assembly.finished->leaves_nothing()) return {};
  assembly.order = find_assembly_order(design, *assembly.finished);
  assembly.plan = plan_assembly(design, *assembly.finished, *assembly.order);
  assembly.order->put_into(design.score);
  measure_day(design, *assembly.finished, *assembly.plan).put_into(design.score);
  for (std::string& fault : find_building_faults(design))
    inspection.faults.push_back(std::move(fault));
  return assembly;
}

std::string make_json(const Inspection& inspection, const Assembly& assembly, bool with_steps,
                      const std::vector<FreeMotion>& motions, const std::vector<Load>& loads) {
  nlohmann::ordered_json document = write_inspection_json(inspection);
  if (assembly.order) document["assembly"] = write_assembly_json(*assembly.order);
  if (with_steps && assembly.plan) document["assembly"]["steps"] = write_steps_json(*assembly.plan);
  for (const FreeMotion& motion : motions) document["motions"].push_back(motion.sentence);
  for (const Load& load : loads)
    document["loads"].push_back(write_load_json(load.load_case, load.result));
  return write_json(document);
}

/// Where kit and nest lay out otherwise than the search, whose numbers these are.
std::string tell_layout(const Inspection& inspection, const Assembly& assembly,
                        const std::optional<Material>& board) {
  if (!assembly.finished || !inspection.buildable()) return "";
  const FlatOptions flat = make_board_flat(inspection.design, board);
  std::string text;
  if (flat.fold_allowance_mm != 0)
    text = format("with the board's fold (allowance %.1f mm)", flat.fold_allowance_mm);
  const bool has_tabs =
      std::any_of(assembly.finished->parts.begin(), assembly.finished->parts.end(),
                  [](const FinishedPart& part) { return !part.pattern.tabs.empty(); });
  if (has_tabs && flat.tab_side == TabSide::inside)
    text += std::string(text.empty() ? "" : " and ") + "with the tabs inside";
  if (text.empty()) return "";
  return "The parts are those of the search: folds about the middle of the board, every tab on the "
         "side where it folds least. kit and nest lay them out " +
         text + ", a few millimetres otherwise.\n";
}

ExitStatus check(const CheckOptions& options) {
  if (!options.motion_path.empty()) check_output_file(options.motion_path);
  Inspection inspection = inspect(read_given_design(options.path, options.changes));
  const Assembly assembly = find_assembly(inspection);
  const int internal_dof = inspection.design.score.internal_dof;
  const std::vector<FreeMotion> motions =
      internal_dof > 0 ? find_free_motions(inspection.design) : std::vector<FreeMotion>();
  const std::vector<Load> loads = find_loads(options, inspection.design);
  if (options.json) {
    std::cout << make_json(inspection, assembly, options.order, motions, loads);
  } else {
    std::cout << make_report(inspection, assembly.order ? &*assembly.order : nullptr);
    std::cout << tell_layout(inspection, assembly,
                             find_material(inspection.design, options.material));
    if (options.order && assembly.plan) std::cout << make_order_report(*assembly.plan);
    if (!motions.empty()) std::cout << describe_motions(motions, internal_dof);
    for (const Load& load : loads)
      std::cout << make_load_report(inspection.design, load.load_case, load.result);
  }
  if (!options.motion_path.empty()) {
    if (!motions.empty())
      write_file(options.motion_path, make_motion_svg(inspection.design, motions.front()));
    else
      std::cerr << "Nothing moves, so " << options.motion_path << " is not written.\n";
  }
  return inspection.buildable() ? ExitStatus::ok : ExitStatus::no;
}

}  // namespace

void add_check_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "check",
      "Rebuild a design from its panel and copies, measure everything, and say whether it can be "
      "built under the limits stored in the file or given here",
      {"sixtyfold check run/001.json", "sixtyfold check run/001.json --sheet 600x1200 --grain long",
       "sixtyfold check run/001.json --material corrugated-b --hang 0,7,12",
       "sixtyfold check run/001.json --json"});
  auto options = std::make_shared<CheckOptions>();
  command->add_option("DESIGN", options->path, "a design file, such as run/001.json")->required();
  command->add_flag("--json", options->json,
                    "print one JSON object: buildable, faults, score, assembly, motions, loads");
  command->add_flag("--order", options->order,
                    "print the steps of putting it together, and how loose it is after each");
  const auto add_copies = [&](const char* name, std::vector<int>& copies, const char* help) {
    add_parsed_option(
        *command, name, "LIST", [&copies](const std::string& text) { copies = parse_copies(text); },
        help)
        ->group("Weight");
  };
  add_copies("--hang", options->hung_from,
             "copies to hang it from, by number, such as 0,7,12: deflection and forces under its "
             "own weight");
  add_copies("--stand", options->standing_on, "copies to stand it on, by number");
  command
      ->add_option("--motion", options->motion_path,
                   "an SVG file for a design that is not rigid: its freest motion, both ways")
      ->type_name("FILE");
  add_material_option(
      *command, options->changes,
      [options = options.get()](const Material& material) { options->material = material; });
  add_limit_options(*command, options->changes, LimitDefaults::of_the_file);
  run_when_chosen(*command, [options] { return check(*options); });
}

}  // namespace sixtyfold
