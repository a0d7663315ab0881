#pragma once
// What board to buy for the parts of a design and how to cut it, spares included: the nest, the
// stacks and the saw time of every part.

#include <optional>
#include <string>
#include <vector>

#include "engine/nest/nest.h"
#include "engine/part/slab.h"
#include "engine/stock/cutting.h"

namespace sixtyfold {

struct PurchaseOptions {
  Sheet sheet;
  CuttingOptions cutting;       ///< its thickness is the design's
  double spare_share = 0.05;    ///< parts cut beyond the number needed
  std::optional<double> price;  ///< of a sheet, in the buyer's own money
  std::string material;         ///< for people
};

/// One part (panel type).
struct PartPurchase {
  int parts = 0, spares = 0;
  Nest nest;  ///< of both; face up as on the template, unless turning some over saves a sheet
  /// True: rectangular blanks of cutting.blank_mm, as many on a sheet as interlocking parts would
  /// be. False: the parts interlock, and are cut apart between their outlines.
  bool has_straight_blanks = false;
  Polygon blank_mm;  ///< in the part's plane; empty without straight blanks
  CuttingPlan cutting;
};

struct Purchase {
  std::vector<PartPurchase> parts;
  int sheets = 0;              ///< 0: some part does not fit a sheet
  std::optional<double> cost;  ///< of the sheets
  double board_kg = 0;
  double cutting_min = 0;  ///< at one saw

  int count_parts() const;  ///< with spares
};

/// Throws std::invalid_argument for options with a fault.
Purchase make_purchase(const Design& design, const Finished& finished,
                       const PurchaseOptions& options);

/// "7 sheets of 600 x 1200 x 4 mm".
std::string describe_sheets(const Purchase& purchase, const PurchaseOptions& options);

}  // namespace sixtyfold
