#include <CLI/CLI.hpp>
#include <algorithm>
#include <iostream>
#include <memory>
#include <optional>

#include "engine/part/scaled_pattern.h"
#include "results/files/design_json.h"
#include "results/files/file.h"
#include "results/files/material_json.h"
#include "results/reports/stock_plan.h"
#include "tools/commands/command.h"
#include "tools/commands/given_design.h"
#include "tools/options/arguments.h"
#include "tools/options/limit_options.h"
#include "tools/options/material_option.h"
#include "tools/options/options.h"

namespace sixtyfold {

namespace {

struct NestCommand {
  std::string path, svg_path, curve_svg_path, scaled_path;
  bool json = false;
  LimitChanges changes;
  StockOptions stock;
  std::optional<Range> curve_mm;
  std::optional<int> most_sheets;
  std::optional<double> least_diameter_mm;

  bool asks_for_size() const { return curve_mm || most_sheets || least_diameter_mm; }
};

/// The diameters that the question is about, or those asked for.
Range find_diameters(const NestCommand& command, double diameter_mm) {
  if (command.curve_mm) return *command.curve_mm;
  if (command.least_diameter_mm)
    return {*command.least_diameter_mm, std::min(1.6 * *command.least_diameter_mm, 100000.0)};
  return {diameter_mm / 5, 5 * diameter_mm};
}

/// How large for so many sheets, how many sheets for so large, or the whole curve.
ExitStatus answer_size(const NestCommand& command, const StockOptions& stock,
                       const Design& design) {
  const Range range = find_diameters(command, measure_diameter(design));
  const auto curve = find_design_curve(design, stock, range.low, range.high);
  if (!command.curve_svg_path.empty())
    write_file(command.curve_svg_path, make_curve_svg(curve, design.name));
  if (!command.most_sheets && !command.least_diameter_mm) {
    std::cout << write_curve_json(design, curve);
    return curve.empty() ? ExitStatus::no : ExitStatus::ok;
  }
  const ScalePoint* point = command.most_sheets
                                ? find_largest(curve, *command.most_sheets)
                                : find_fewest_sheets(curve, *command.least_diameter_mm);
  if (command.json)
    std::cout << write_scale_answer_json(design, curve, point);
  else
    std::cout << make_scale_answer(design, point);
  if (!point) return ExitStatus::no;
  if (!command.scaled_path.empty()) {
    const Design scaled = make_scaled(design, point->diameter_mm / measure_diameter(design));
    write_file(command.scaled_path, write_design_json(inspect(scaled).design));
  }
  return ExitStatus::ok;
}

/// "run/007.svg" and part 1: "run/007-b.svg"; the name as it is when there is only one part.
std::string name_part(const std::string& path, std::size_t part, std::size_t parts) {
  if (parts == 1) return path;
  const std::string letter = std::string("-") + static_cast<char>('a' + part % 26);
  const std::size_t dot = path.find_last_of("./");
  if (dot == std::string::npos || path[dot] == '/') return path + letter;
  return path.substr(0, dot) + letter + path.substr(dot);
}

ExitStatus nest(const NestCommand& command) {
  const auto needs = [](bool given, const char* option, bool has, const char* other) {
    if (given && !has)
      throw std::invalid_argument(std::string(option) + " is used with " + other + " only");
  };
  const bool asks_once = command.most_sheets || command.least_diameter_mm;
  needs(!command.curve_svg_path.empty(), "--curve-svg", command.asks_for_size(),
        "--curve, --most-sheets or --least-diameter");
  needs(!command.scaled_path.empty(), "--write-scaled", asks_once,
        "--most-sheets or --least-diameter");
  needs(!command.svg_path.empty(), "--svg", !command.asks_for_size(),
        "a plan of the sheets, not with a question about size,");
  if (command.most_sheets && command.least_diameter_mm)
    throw std::invalid_argument(
        "--most-sheets and --least-diameter are two questions; ask one at a time");
  if (command.json && command.svg_path == "-")
    throw std::invalid_argument("--json and --svg - both write to standard output; ask for one");
  for (const std::string* path : {&command.svg_path, &command.curve_svg_path, &command.scaled_path})
    if (!path->empty() && *path != "-") check_output_file(*path);
  const Inspection inspection = inspect_given_design(command.path, command.changes);
  if (is_refused(inspection, command.path)) return ExitStatus::no;
  const Design& design = inspection.design;
  StockOptions stock = command.stock;
  stock.material = find_material(design, stock.material);
  if (design.score.joints > 0) stock.flat = make_board_flat(design, stock.material);
  if (command.asks_for_size()) return answer_size(command, stock, design);
  if (const std::string fault = find_fold_fault(design.joints, design.limits); !fault.empty())
    std::cerr
        << "Note: " << fault
        << ": the tabs drawn must be made as strips of a board that folds, glued along the cut.\n";
  StockPlan plan = make_stock_plan(design, stock);
  plan.faults = find_limit_faults(inspection);
  if (command.svg_path == "-") {
    if (plan.parts.size() > 1)
      throw std::invalid_argument(
          "--svg - writes one drawing; this design has several parts, each "
          "with a drawing of its own, so give a file name");
    std::cout << make_stock_svg(plan, 0);
    std::cerr << make_stock_text(plan);
    return plan.sheets > 0 ? ExitStatus::ok : ExitStatus::no;
  }
  if (!command.svg_path.empty())
    for (std::size_t part = 0; part < plan.parts.size(); ++part)
      write_file(name_part(command.svg_path, part, plan.parts.size()), make_stock_svg(plan, part));
  std::cout << (command.json ? write_stock_json(plan) : make_stock_text(plan));
  return plan.sheets > 0 ? ExitStatus::ok : ExitStatus::no;
}

}  // namespace

void add_nest_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "nest",
      "Lay the flat patterns of a design on sheets: how many, how cut, how long, what cost; or "
      "draw "
      "the curve of sheets over diameter",
      {"sixtyfold nest run/001.json --svg sheets.svg",
       "sixtyfold nest run/001.json --material corrugated-b --sheet 1000x1600 --price 4.20",
       "sixtyfold nest run/001.json --material plywood-birch-3 --feed 250 --throat 500",
       "sixtyfold nest run/001.json --most-sheets 20 --write-scaled smaller.json",
       "sixtyfold nest run/001.json --least-diameter 1.4m",
       "sixtyfold nest run/001.json --curve 800..2000 --curve-svg curve.svg"});
  const char* scale_group = "Size (the geometry scales, board thickness and tabs do not)";
  auto options = std::make_shared<NestCommand>();
  StockOptions& stock = options->stock;
  command->add_option("DESIGN", options->path, "a design file, such as run/001.json")->required();
  command
      ->add_option("--svg", options->svg_path,
                   "write the drawing of the sheets here; - for standard output")
      ->type_name("FILE");
  command->add_flag("--json", options->json, "print the whole plan as JSON, with every placement");
  add_parsed_option(
      *command, "--first-cut", "PIECES",
      [&stock](const std::string& text) {
        if (text == "none")
          stock.first_cut = FirstCut::none;
        else if (text == "halves")
          stock.first_cut = FirstCut::halves;
        else if (text == "quarters")
          stock.first_cut = FirstCut::quarters;
        else
          throw std::invalid_argument("is \"" + text.substr(0, 40) +
                                      "\"; allowed is none, halves or quarters");
      },
      "cut every sheet into halves or quarters first");
  add_parsed_option(
      *command, "--effort", "1..3",
      [&stock](const std::string& text) { stock.effort = parse_count(text, 1, 3); },
      "1 a quick look, 2 the usual, 3 patient");
  add_parsed_option(
      *command, "--curve", "LOW..HIGH",
      [options](const std::string& text) {
        options->curve_mm = parse_length_range_mm(text, {10, 100000});
      },
      "print, for diameters in this range, the largest for every number of sheets")
      ->group(scale_group);
  command
      ->add_option("--curve-svg", options->curve_svg_path, "write the drawing of that curve here")
      ->type_name("FILE")
      ->group(scale_group);
  add_parsed_option(
      *command, "--most-sheets", "COUNT",
      [options](const std::string& text) { options->most_sheets = parse_count(text, 1, 100000); },
      "how large can it be from so many sheets?")
      ->group(scale_group);
  add_parsed_option(
      *command, "--least-diameter", "LENGTH",
      [options](const std::string& text) { options->least_diameter_mm = parse_length_mm(text); },
      "how few sheets for a construction at least so large?")
      ->group(scale_group);
  command->add_option("--write-scaled", options->scaled_path, "write the design at that size here")
      ->type_name("FILE")
      ->group(scale_group);
  add_material_option(*command, options->changes,
                      [&stock](const Material& material) { stock.material = material; });
  add_limit_options(*command, options->changes, LimitDefaults::of_the_file);
  run_when_chosen(*command, [options] { return nest(*options); });
}

}  // namespace sixtyfold
