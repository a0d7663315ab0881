#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>
#include <memory>

#include "engine/building/tab_side.h"
#include "results/drawings/board_mesh.h"
#include "results/drawings/drawing_svg.h"
#include "results/drawings/page.h"
#include "results/files/file.h"
#include "results/kit/kit.h"
#include "tools/commands/command.h"
#include "tools/commands/given_design.h"
#include "tools/options/colours_option.h"
#include "tools/options/limit_options.h"
#include "tools/options/material_option.h"
#include "tools/options/options.h"

namespace sixtyfold {

namespace {

struct ExportChoice {
  std::string path, out, colours = "board";
  int width_px = 1600;
  LimitChanges changes;
};

ExitStatus export_design(const ExportChoice& choice) {
  const std::string kind = std::filesystem::path(choice.out).extension().string();
  if (kind != ".glb" && kind != ".stl" && kind != ".png")
    throw std::invalid_argument("--out is '" + choice.out +
                                "'; allowed is a name that ends in .glb, .stl or .png");
  const Inspection inspection = inspect_given_design(choice.path, choice.changes);
  if (is_refused(inspection, choice.path)) return ExitStatus::no;
  const Design& design = inspection.design;
  std::string bytes;
  if (kind == ".png") {
    DrawingOptions drawing;
    drawing.colours = choice.colours;
    bytes = make_png(make_drawing_svg(design, drawing), choice.width_px);
  } else {
    FlatOptions flat = make_kit_options(design).flat;  // tabs as the kit's
    flat.tab_side = choose_tab_side(design, flat);
    const Finished finished = make_finished(design, flat);
    bytes = kind == ".glb" ? make_gltf(design, finished) : make_stl(design, finished);
  }
  write_file(choice.out, bytes);
  std::cout << choice.out << "\n";
  return ExitStatus::ok;
}

}  // namespace

void add_export_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "export",
      "Write a design for other programs: its boards with their thickness and folded tabs as glTF "
      "2.0 (.glb, metres) or STL (.stl, millimetres), or its drawing as a picture (.png)",
      {"sixtyfold export hall/001.json --out hall.glb",
       "sixtyfold export hall/001.json --out hall.stl",
       "sixtyfold export hall/001.json --out hall.png --width 3000 --colours modules"});
  auto choice = std::make_shared<ExportChoice>();
  command->add_option("DESIGN", choice->path, "a design file, such as run/001.json")->required();
  command->add_option("--out", choice->out, "the file; its ending says which kind")
      ->type_name("FILE.glb|.stl|.png")
      ->required();
  add_count_option(*command, "--width", choice->width_px, 16, 8000, "pixels of a picture's width");
  add_colours_option(*command, choice->colours, ColourWords::every_design);
  add_material_option(*command, choice->changes);
  add_limit_options(*command, choice->changes, LimitDefaults::of_the_file);
  run_when_chosen(*command, [choice] { return export_design(*choice); });
}

}  // namespace sixtyfold
