#pragma once
// Angle gauges: a strip of card for every fold and every plane angle of a design, to cut out and
// hold against.

#include <string>
#include <vector>

#include "engine/part/finished.h"
#include "results/drawings/page.h"

namespace sixtyfold {

/// One angle of the design that a hand has to meet.
struct GaugeAngle {
  std::string letter;
  bool is_fold = false;    ///< else the plane angle of two panels
  double through_deg = 0;  ///< folds: how far the board is folded, from flat
  double wedge_deg = 0;    ///< of the gauge: into the fold, or between the two panels
  std::string use;         ///< where to hold it
};

/// By letter, folds first; folds and plane angles of one letter once each.
std::vector<GaugeAngle> find_gauge_angles(const Finished& finished);

/// Corner of the gauge at the origin, its two sides along the directions 0 and wedge_deg, the tip
/// cut off where glue and crease stand. Sides of side_mm.
Polygon make_gauge(double wedge_deg, double side_mm);

std::vector<Page> make_gauge_pages(const std::string& footer, const Finished& finished,
                                   const Vec2& paper_mm);

}  // namespace sixtyfold
