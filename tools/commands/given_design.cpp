#include "tools/commands/given_design.h"

#include <iostream>

#include "engine/building/tab_side.h"
#include "engine/part/scaled_pattern.h"
#include "results/files/design_json.h"
#include "results/files/file.h"
#include "results/files/material_json.h"

namespace sixtyfold {

Design read_given_design(const std::string& path, const LimitChanges& changes) {
  std::vector<std::string> notes;
  Design design = read_design_json(read_file(path), path, &notes);
  for (const std::string& note : notes) std::cerr << "sixtyfold: " << path << ": " << note << ".\n";
  design.limits = apply(changes, design.limits);
  design.thickness_mm = design.limits.thickness_mm;
  return design;
}

Inspection inspect_given_design(const std::string& path, const LimitChanges& changes) {
  // What the nest says of sheets is asked for again by whoever wants it, with patience.
  constexpr int quick_nest = 1;
  return inspect(read_given_design(path, changes), quick_nest);
}

std::optional<Material> find_material(const Design& design, const std::optional<Material>& typed) {
  if (typed) return typed;
  for (const Material& material : find_shipped_materials())
    if (material.name == design.material) return material;
  return std::nullopt;
}

FlatOptions make_board_flat(const Design& design, const std::optional<Material>& board,
                            std::optional<double> fold_allowance_mm, std::optional<TabSide> side) {
  FlatOptions flat = make_flat_options(design);
  if (fold_allowance_mm)
    flat.fold_allowance_mm = *fold_allowance_mm;
  else if (board && board->fold_allowance_mm)
    flat.fold_allowance_mm =
        board->fold_allowance_mm->value * design.thickness_mm / board->thickness_mm.value;
  flat.tab_side = side ? *side : choose_tab_side(design, flat);
  return flat;
}

bool is_refused(const Inspection& inspection, const std::string& path) {
  if (inspection.geometry_faults.empty()) return false;
  std::cerr << "sixtyfold: " << path << ": can not be built: " << inspection.geometry_faults.front()
            << std::endl;
  return true;
}

}  // namespace sixtyfold
