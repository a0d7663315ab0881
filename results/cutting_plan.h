#pragma once
// What to buy and how to cut it, spares included: the nest, the stacks and the saw time of every
// part of a kit, and the pages that say so.

#include <optional>
#include <string>
#include <vector>

#include "engine/contact/slab.h"
#include "engine/stock/cutting.h"
#include "engine/stock/nest.h"
#include "results/page.h"

namespace sixtyfold {

struct OrderOptions {
  Sheet sheet;
  CuttingOptions cutting;       ///< its thickness is the design's
  double spare_share = 0.05;    ///< parts cut beyond the number needed
  std::optional<double> price;  ///< of a sheet, in the buyer's own money
  std::string material;         ///< for people
};

/// One part (panel type).
struct PartOrder {
  int parts = 0, spares = 0;
  Nest nest;  ///< of both
  CuttingPlan cutting;
};

struct Order {
  std::vector<PartOrder> parts;
  int sheets = 0;              ///< 0: some part does not fit a sheet
  std::optional<double> cost;  ///< of the sheets
  double board_kg = 0;
  double cutting_min = 0;  ///< at one saw

  int count_parts() const;  ///< with spares
};

/// Throws std::invalid_argument for options with a fault.
Order make_order(const Design& design, const Finished& finished, const OrderOptions& options);

/// "7 sheets of 600 x 1200 x 4 mm".
std::string describe_sheets(const Order& order, const OrderOptions& options);

std::vector<Page> make_cutting_pages(const Design& design, const Finished& finished,
                                     const Order& order, const OrderOptions& options,
                                     const Vec2& paper_mm);

}  // namespace sixtyfold
