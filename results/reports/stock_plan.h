#pragma once
// What board to buy and how to cut it: sheets, waste, stacks, time, cost, for people and programs.

#include <optional>
#include <string>
#include <vector>

#include "engine/design.h"
#include "engine/nest/nest.h"
#include "engine/part/flat_pattern.h"
#include "engine/stock/cutting.h"
#include "engine/stock/material.h"
#include "engine/stock/scale_curve.h"

namespace sixtyfold {

struct StockOptions {
  std::optional<Material> material;  ///< its name is told; its values must be in the limits
  FirstCut first_cut = FirstCut::none;
  int effort = 2;
  std::optional<FlatOptions> flat;  ///< how the parts are laid out; none: make_flat_options
};

struct PartStock {
  FlatPattern pattern;
  double length_mm = 0, width_mm = 0;  ///< least rectangle of the pattern
  Nest nest;
  CuttingPlan cutting;
};

/// One entry of `parts` for each panel type, nested on sheets of its own.
struct StockPlan {
  std::string title;
  std::string material;         ///< for people
  std::string material_source;  ///< of the thickness; empty without a material
  double thickness_mm = 0;
  std::vector<PartStock> parts;
  int copies = 0, sheets = 0;  ///< sheets 0: some part does not fit
  double utilisation = 0;      ///< of all board, 0 to 1
  double board_kg = 0;         ///< of the sheets bought
  std::optional<double> cost;
  double cutting_min = 0;
  CuttingOptions cutting;
  std::vector<std::string> cautions;
  std::vector<std::string> faults;  ///< why it is not within its limits, as `check` finds them
};

/// Plans the design's flat patterns, made afresh from its joints, on the sheet of its limits, with
/// their price, tool and feed. For the cost, sheets and cutting time alone see
/// engine/stock/stock_use.h. For another board put it into design.limits first, with_material().
/// Throws std::invalid_argument for options or a design that make no sense.
StockPlan make_stock_plan(const Design& design, const StockOptions& options);

/// For a terminal: a few short paragraphs.
std::string make_stock_text(const StockPlan& plan);
/// One JSON object: everything in the plan, every placement, every assumption.
std::string write_stock_json(const StockPlan& plan);
/// SVG of one part's sheets, see results/drawings/nest_drawing.h.
std::string make_stock_svg(const StockPlan& plan, std::size_t part);

/// The scale curve of the design's first part, its own tabs fitted at every size.
std::vector<ScalePoint> find_design_curve(const Design& design, const StockOptions& options,
                                          double low_mm, double high_mm);
std::string write_curve_json(const Design& design, const std::vector<ScalePoint>& curve);
/// A point of the curve as an answer, nullptr for none: a sentence, and JSON with the curve beside
/// it.
std::string make_scale_answer(const Design& design, const ScalePoint* point);
std::string write_scale_answer_json(const Design& design, const std::vector<ScalePoint>& curve,
                                    const ScalePoint* point);
/// Sheets over diameter as steps, 180 mm wide.
std::string make_curve_svg(const std::vector<ScalePoint>& curve, const std::string& title);

}  // namespace sixtyfold
