#pragma once
// Parts on sheets, and how they are cut: the nests and stacks behind the numbers of stock_use.h.

#include <vector>

#include "engine/nest/nest.h"
#include "engine/stock/cutting.h"
#include "engine/stock/stock_use.h"

namespace sixtyfold {

/// One kind of part; the pattern outlives the call.
struct PartToNest {
  const Polygon& outline_mm;
  const std::vector<Polygon>& holes_mm;
  int copies = 0;  ///< spares included
};

struct StockSettings {
  Sheet sheet;
  FirstCut first_cut = FirstCut::none;
  int effort = 2;          ///< of the nest, 1 to 3
  CuttingOptions cutting;  ///< thickness included
  double sheet_price = 0;  ///< 0: not known
};

struct PartLayout {
  Nest nest;  ///< on sheets of its own
  CuttingPlan cutting;
};

struct StockLayout {
  StockUse use;                   ///< of all parts together
  std::vector<PartLayout> parts;  ///< in the order given
};

/// Nests every kind of part and plans its stacks. Throws std::invalid_argument for settings with a
/// fault and for outlines that are not simple.
StockLayout make_stock_layout(const std::vector<PartToNest>& parts, const StockSettings& settings);

}  // namespace sixtyfold
