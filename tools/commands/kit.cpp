#include "results/kit/kit.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <iostream>
#include <limits>
#include <memory>
#include <optional>

#include "engine/building/day.h"
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
  double kerf_mm = 0, model_mm = 300;
  std::optional<double> fold_allowance_mm, model_scale;
  std::string tabs;
  double off_mm = 1, off_deg = 1, spares = 5;
  int points = 3, most_in_module = 12;
  std::string colours = "modules";
  ScheduleOptions schedule;
  DayOptions day;
  ReachOptions reach;
  GalleryWords words = read_gallery_words("en");
};

/// None: as costs nothing.
std::optional<TabSide> read_tab_side(const std::string& word) {
  if (word.empty()) return std::nullopt;
  return word == "inside"    ? TabSide::inside
         : word == "outside" ? TabSide::outside
                             : TabSide::shortest;
}

ExitStatus write_kit(const KitChoice& choice) {
  check_new_folder(choice.out);
  const Inspection inspection = inspect_given_design(choice.path, choice.changes);
  if (is_refused(inspection, choice.path)) return ExitStatus::no;
  const Design& design = inspection.design;
  const std::optional<Material> material = find_material(design, choice.material);
  EventOptions event;
  KitOptions options = make_kit_options(design);
  options.flat =
      make_board_flat(design, material, choice.fold_allowance_mm, read_tab_side(choice.tabs));
  if (choice.fold_allowance_mm)
    options.pattern.hinge_source = "as measured";
  else if (material && material->fold_allowance_mm)
    options.pattern.hinge_source = material->title + ": " + material->fold_allowance_mm->source;
  if (material && material->glue_strength_n_per_mm) {
    event.glue.strength_n_per_mm = material->glue_strength_n_per_mm->value;
    event.glue_source = material->glue_strength_n_per_mm->source;
  }
  options.pattern.paper = choice.paper == "A3"       ? Paper::a3
                          : choice.paper == "Letter" ? Paper::letter
                                                     : Paper::a4;
  options.pattern.kerf_mm = choice.kerf_mm;
  options.pattern.model_diameter_mm =
      choice.model_scale ? 2 * measure_enclosing_radius(design) / *choice.model_scale
                         : choice.model_mm;
  options.assembly.most_in_module = choice.most_in_module;
  options.assembly.reach = choice.reach;
  options.tolerance.cut_mm = choice.off_mm;
  options.tolerance.fold_deg = choice.off_deg;
  options.event = event;
  options.event.schedule = choice.schedule;
  options.event.schedule.people = design.limits.people;
  options.event.schedule.saws = design.limits.saws;
  options.event.rigging.points = choice.points;
  options.event.day = choice.day;
  if (material) options.purchase.material = material->title;
  options.purchase.spare_share = choice.spares / 100;
  options.colours = choice.colours;
  options.words = choice.words;
  options.limit_faults = find_limit_faults(inspection);
  Design measured = design;
  measure_building(measured, std::numeric_limits<int>::max(), limits_day(design.limits));
  for (std::string& fault : find_building_faults(measured))
    options.limit_faults.push_back(std::move(fault));
  const Kit kit = make_kit(design, options);
  write_folder(choice.out, kit.files);
  std::cout << kit.files.size() << " files in " << choice.out << "\n";
  for (const KitFile& file : kit.files) std::cout << "  " << file.name << "\n";
  for (const std::string& warning : kit.warnings) std::cout << "Note: " << warning << ".\n";
  const bool has_tabs =
      std::any_of(design.joints.begin(), design.joints.end(),
                  [](const Joint& joint) { return joint.kind != JointKind::slot; });
  if (has_tabs && material && !material->can_fold() && design.limits.joints_by != JointsBy::slot)
    std::cout << "Note: " << material->title
              << " does not fold: make the tabs as strips of a board that folds, glued along the "
                 "cut.\n";
  return ExitStatus::ok;
}

/// Of template, coupon and paper model.
void add_template_options(CLI::App& command, KitChoice& choice) {
  command.add_option("--paper", choice.paper, "A4, A3 or Letter")
      ->check(CLI::IsMember({"A4", "A3", "Letter"}));
  add_length_option(command, "--kerf", choice.kerf_mm, allowed::kerf,
                    "width of the cut, from the coupon");
  add_parsed_option(
      command, "--fold-allowance", "LENGTH",
      [&choice](const std::string& text) {
        const bool is_negative = !text.empty() && text[0] == '-';
        const double length = parse_length_mm(text.substr(is_negative ? 1 : 0));
        if (const std::string fault =
                allowed::fold_allowance.find_fault(is_negative ? -length : length);
            !fault.empty())
          throw std::invalid_argument("is wrong: " + fault);
        choice.fold_allowance_mm = is_negative ? -length : length;
      },
      "from the middle of the board to the layer that keeps its length in a fold, from the coupon; "
      "default: the material's, else 0");
  command
      .add_option(
          "--tabs", choice.tabs,
          "side of the panels the tabs lie on where there is a choice: inside, outside, or "
          "shortest (the fold that bends the board least); default: inside where that costs no tab "
          "and no way in")
      ->check(CLI::IsMember({"inside", "outside", "shortest"}));
  add_parsed_option(
      command, "--model", "LENGTH|1:N",
      [&choice](const std::string& text) {
        if (text.rfind("1:", 0) == 0)
          choice.model_scale = parse_number(text.substr(2), {1, 1000});
        else
          choice.model_mm = parse_length_mm(text, allowed::paper_model);
      },
      "diameter of the paper model, or its scale, such as 1:8; default 300 mm");
}

/// Of the plan of the day.
void add_day_options(CLI::App& command, KitChoice& choice) {
  add_number_option(command, "--dry", choice.schedule.dry_min, allowed::drying,
                    "minutes a glued module dries before it is handled");
  add_number_option(command, "--minutes-per-joint", choice.schedule.joint_min,
                    allowed::minutes_each, "to fit, glue and clamp one");
  add_number_option(command, "--minutes-per-tab", choice.schedule.fold_min, allowed::minutes_each,
                    "to score, fold and check one");
  const Allowed span{"a time of the day's plan", 0, 10000, "minutes"};
  add_number_option(command, "--set-up", choice.day.set_up_min, span,
                    "minutes before the first cut");
  add_number_option(command, "--break", choice.day.break_min, span,
                    "minutes of a break, after every 75 of work");
  add_number_option(command, "--hang-minutes", choice.day.hang_min, span,
                    "minutes to hang it or stand it up");
  add_number_option(command, "--clear-up", choice.day.clear_min, span, "minutes to clear up");
  command.add_flag("--paint", choice.day.painted,
                   "the parts are painted in the colours of the plan before they are folded");
  add_number_option(command, "--spares", choice.spares, allowed::spares,
                    "parts cut beyond the number needed, in percent");
}

/// Of the guide: modules, what hands and clamps reach, and how far things are off.
void add_assembly_options(CLI::App& command, KitChoice& choice) {
  add_count_option(command, "--points", choice.points,
                   static_cast<int>(allowed::hanging_points.low),
                   static_cast<int>(allowed::hanging_points.high), "hanging points");
  add_count_option(command, "--module", choice.most_in_module,
                   static_cast<int>(allowed::module_panels.low),
                   static_cast<int>(allowed::module_panels.high), "most panels in one module");
  add_length_option(command, "--hand", choice.reach.hand_mm, allowed::hand,
                    "width of a passage for a hand");
  add_length_option(command, "--arm", choice.reach.arm_mm, allowed::arm, "reach of an arm");
  add_length_option(command, "--clamp-opening", choice.reach.clamp_opening_mm,
                    allowed::clamp_opening, "between the open jaws");
  add_length_option(command, "--clamp-depth", choice.reach.clamp_depth_mm, allowed::clamp_depth,
                    "from the jaws' tips to the clamp's back");
  add_length_option(command, "--off", choice.off_mm, allowed::cut_error,
                    "how far a cut may be off, for the closure");
  add_number_option(command, "--off-angle", choice.off_deg, allowed::fold_error,
                    "how far a fold may be off in degrees, for the closure");
}

}  // namespace

void add_kit_command(CLI::App& app) {
  CLI::App& command = *add_command(
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
  command.add_option("DESIGN", choice->path, "a design file, such as run/001.json")->required();
  command.add_option("--out", choice->out, "folder for the files, new or empty")
      ->type_name("FOLDER")
      ->required();
  add_template_options(command, *choice);
  add_colours_option(command, choice->colours, ColourWords::one_design);
  add_parsed_option(
      command, "--language", "en|de|FILE",
      [choice = choice.get()](const std::string& text) {
        choice->words = read_gallery_words(text);
      },
      "of the guide's page guide.html; what is on paper is English");
  add_day_options(command, *choice);
  add_assembly_options(command, *choice);
  add_material_option(command, choice->changes, [choice = choice.get()](const Material& material) {
    choice->material = material;
  });
  add_limit_options(command, choice->changes, LimitDefaults::of_the_file);
  run_when_chosen(command, [choice] { return write_kit(*choice); });
}

}  // namespace sixtyfold
