#include "results/kit/gauge_pages.h"

#include <algorithm>
#include <cmath>

#include "engine/shape/hub.h"
#include "engine/text.h"
#include "results/drawings/page_flow.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// As long as fits a cell of the page.
double choose_side(double wedge_deg, double cell_mm) {
  const double width = measure_box(make_gauge(wedge_deg, 1)).size().x();
  return std::min(55.0, (cell_mm - 8) / width);
}

}  // namespace

std::vector<GaugeAngle> find_gauge_angles(const Finished& finished) {
  std::vector<GaugeAngle> folds, planes;
  const auto add = [](std::vector<GaugeAngle>& list, const GaugeAngle& angle) {
    const bool known = std::any_of(list.begin(), list.end(), [&](const GaugeAngle& one) {
      return one.letter == angle.letter && std::abs(one.wedge_deg - angle.wedge_deg) < 0.05;
    });
    if (!known) list.push_back(angle);
  };
  for (std::size_t o = 0; o < finished.parts.size(); ++o) {
    for (const Tab& tab : finished.parts[o].pattern.tabs) {
      const double through = to_degrees(tab.fold_rad);
      add(folds,
          {make_letter(finished.joints.letter[o][at(tab.joint)]), true, through, 180 - through,
           tab.fold_side > 0 ? "into the fold, on the outside face"
                             : "into the fold, on the inside face"});
    }
    for (std::size_t i = 0; i < finished.joints.joints[o].size(); ++i) {
      const PanelJoint& joint = finished.joints.joints[o][i];
      const bool edge = joint.kind == JointKind::edge;
      add(planes, {make_letter(finished.joints.letter[o][i]), false, 0, to_degrees(joint.angle_rad),
                   edge ? "between the two panels, inside the corner"
                        : "between the two panels, on the narrow side"});
    }
  }
  const auto by_letter = [](const GaugeAngle& a, const GaugeAngle& b) {
    return std::make_pair(a.letter.size(), a.letter) < std::make_pair(b.letter.size(), b.letter);
  };
  std::stable_sort(folds.begin(), folds.end(), by_letter);
  std::stable_sort(planes.begin(), planes.end(), by_letter);
  folds.insert(folds.end(), planes.begin(), planes.end());
  return folds;
}

Polygon make_gauge(double wedge_deg, double side_mm) {
  const double angle = to_radians(wedge_deg), tip = std::min(4.0, 0.1 * side_mm);
  const Vec2 first(1, 0), second(std::cos(angle), std::sin(angle));
  Polygon gauge{tip * first, side_mm * first};
  if (wedge_deg > 60) {  // no sharp spikes between the two sides
    const int steps = static_cast<int>(wedge_deg / 15);
    for (int k = 1; k < steps; ++k) {
      const double a = angle * k / steps;
      gauge.emplace_back(side_mm * Vec2(std::cos(a), std::sin(a)));
    }
  }
  gauge.push_back(side_mm * second);
  gauge.push_back(tip * second);
  return gauge;
}

std::vector<Page> make_gauge_pages(const std::string& footer, const Finished& finished,
                                   const Vec2& paper_mm) {
  PageFlow flow(paper_mm, footer);
  flow.title("Angle gauges", "one for every fold and every plane angle of this design");
  flow.paragraph(
      "Print at 100 %, glue on card, cut out along the black lines. Hold a gauge so that both of "
      "its long sides lie on board: no light may show between. They serve any thickness of board.");
  flow.remark("Knives cut people: cut away from the hand, on a mat, along a steel rule.");
  const std::vector<GaugeAngle> angles = find_gauge_angles(finished);
  const int columns = 2;
  const double cell = flow.width() / columns;
  for (const bool folds : {true, false}) {
    std::vector<GaugeAngle> some;
    std::copy_if(angles.begin(), angles.end(), std::back_inserter(some),
                 [&](const GaugeAngle& angle) { return angle.is_fold == folds; });
    if (some.empty()) continue;
    flow.keep(95);
    flow.heading(folds ? "Folds" : "Panels");
    double top = 0, height = 0;
    for (std::size_t k = 0; k < some.size(); ++k) {
      const int column = static_cast<int>(k) % columns;
      if (column == 0) {
        height = 0;
        for (std::size_t m = k; m < std::min(some.size(), k + columns); ++m)
          height = std::max(height, measure_box(make_gauge(some[m].wedge_deg,
                                                           choose_side(some[m].wedge_deg, cell)))
                                        .size()
                                        .y());
        top = flow.take(height + 17);
      }
      const GaugeAngle& angle = some[k];
      const Polygon gauge = make_gauge(angle.wedge_deg, choose_side(angle.wedge_deg, cell));
      const Box box = measure_box(gauge);
      const Vec2 origin(flow.left() + column * cell + (cell - box.size().x()) / 2 - box.low.x(),
                        top + height + box.low.y());
      Polygon placed;
      for (const Vec2& p : gauge) placed.emplace_back(origin.x() + p.x(), origin.y() - p.y());
      Page& page = flow.page();
      page.add_polygon(placed, {page_ink, 0.35, folds ? "#f7e3dc" : "#e3eef5", ""});
      const Vec2 hub = find_hub(placed);
      const double size = std::clamp(1.1 * distance_to_boundary(placed, hub), 2.6, 9.0);
      page.add_text(hub + Vec2(0, 0.36 * size), angle.letter,
                    {size, TextAt::middle, page_ink, true, 0});
      const double middle = flow.left() + (column + 0.5) * cell;
      page.add_text({middle, top + height + 5},
                    folds ? format("%s: fold through %.1f\u00b0, gauge %.1f\u00b0",
                                   angle.letter.c_str(), angle.through_deg, angle.wedge_deg)
                          : format("%s: gauge %.1f\u00b0", angle.letter.c_str(), angle.wedge_deg),
                    {3.3, TextAt::middle, page_ink, true, 0});
      page.add_text({middle, top + height + 9.4}, angle.use,
                    {2.9, TextAt::middle, page_quiet, false, 0});
    }
  }
  const double bar = flow.take(12);
  add_check_bars(flow.page(), {flow.left(), bar + 4}, {6, flow.bottom() - 110});
  return flow.finish();
}

}  // namespace sixtyfold
