#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "results/design_json.h"
#include "results/file.h"
#include "results/material_json.h"
#include "results/stock_plan.h"
#include "tools/arguments.h"
#include "tools/command.h"
#include "tools/cutting_options.h"
#include "tools/limit_options.h"
#include "tools/material_option.h"
#include "tools/options.h"

namespace sixtyfold {

namespace {

struct NestCommand {
  std::string path, svg_path, curve_svg_path;
  bool json = false;
  LimitChanges changes;
  StockOptions stock;
  Range curve_mm;
  bool wants_curve = false;
};

/// "run/007.svg" and part 1: "run/007-b.svg"; the name as it is when there is only one part.
std::string name_part(const std::string& path, std::size_t part, std::size_t parts) {
  if (parts == 1) return path;
  const std::string letter = std::string("-") + static_cast<char>('a' + part % 26);
  const std::size_t dot = path.find_last_of("./");
  if (dot == std::string::npos || path[dot] == '/') return path + letter;
  return path.substr(0, dot) + letter + path.substr(dot);
}

ExitStatus nest(const NestCommand& command) {
  Design design = read_design_json(read_file(command.path), command.path);
  const double thickness = design.limits.thickness_mm;
  design.limits = apply(command.changes, design.limits);
  if (design.limits.thickness_mm != thickness) design.thickness_mm = design.limits.thickness_mm;
  if (command.wants_curve) {
    const auto curve =
        find_design_curve(design, command.stock, command.curve_mm.low, command.curve_mm.high);
    if (!command.curve_svg_path.empty()) write_file(command.curve_svg_path, make_curve_svg(curve, design.name));
    std::cout << write_curve_json(curve);
    return curve.empty() ? ExitStatus::no : ExitStatus::ok;
  }
  const StockPlan plan = make_stock_plan(design, command.stock);
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
      "Lay the flat patterns of a design on sheets: how many, how cut, how long, what cost; or draw "
      "the curve of sheets over diameter",
      {"sixtyfold nest run/001.json --svg sheets.svg",
       "sixtyfold nest run/001.json --material corrugated-b --sheet 1000x1600 --price 4.20",
       "sixtyfold nest run/001.json --curve 800..2000 --curve-svg curve.svg"});
  auto options = std::make_shared<NestCommand>();
  StockOptions& stock = options->stock;
  command->add_option("DESIGN", options->path, "a design file, such as run/001.json")->required();
  command->add_option("--svg", options->svg_path, "write the drawing of the sheets here");
  command->add_flag("--json", options->json, "print the whole plan as JSON, with every placement");
  add_parsed_option(*command, "--price", "MONEY",
                    [&stock](const std::string& text) { stock.price = parse_number(text, {0, 1e9}); },
                    "of one sheet, in your own money");
  command->add_flag("--turn-over", stock.both_faces_alike, "parts may be turned over: both faces are alike");
  add_parsed_option(
      *command, "--first-cut", "PIECES",
      [&stock](const std::string& text) {
        if (text == "none") stock.first_cut = FirstCut::none;
        else if (text == "halves") stock.first_cut = FirstCut::halves;
        else if (text == "quarters") stock.first_cut = FirstCut::quarters;
        else throw std::invalid_argument("is \"" + text.substr(0, 40) + "\"; allowed is none, halves or quarters");
      },
      "cut every sheet into halves or quarters first");
  add_parsed_option(*command, "--effort", "1..3",
                    [&stock](const std::string& text) { stock.effort = static_cast<int>(parse_number(text, {1, 3})); },
                    "1 a quick look, 2 the usual, 3 patient");
  add_parsed_option(*command, "--curve", "LOW..HIGH",
                    [options](const std::string& text) {
                      options->curve_mm = parse_length_range_mm(text, {10, 100000});
                      options->wants_curve = true;
                    },
                    "print, for diameters in this range, the largest for every number of sheets");
  command->add_option("--curve-svg", options->curve_svg_path, "write the drawing of that curve here");
  add_material_option(*command, options->changes, [&stock](const Material& material) { stock.material = material; });
  add_cutting_options(*command, stock.cutting);
  add_limit_options(*command, options->changes);
  run_when_chosen(*command, [options] { return nest(*options); });
}

}  // namespace sixtyfold
