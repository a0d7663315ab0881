// Windows in the panels of a search, in every group and kind of plane: what the search says of them
// is what `check` measures from coordinates, and what Boost.Geometry does.

#include "engine/variant/windows.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/part/finished.h"
#include "engine/part/scaled_pattern.h"
#include "engine/random.h"
#include "engine/structure/body.h"
#include "engine/variant/inspection.h"
#include "search/space/parameter_space.h"
#include "tests/support/draws.h"
#include "tests/support/polygon_oracle.h"
#include "tests/support/test_limits.h"

using namespace sixtyfold;

namespace {

Design without_windows(Design design) {
  for (Orbit& orbit : design.orbits) {
    orbit.panel.holes_mm.clear();
    orbit.panel.flat_pattern_mm.clear();
  }
  return design;
}

/// One design with windows of each branch that makes any in some tries.
template <class Visit>
void visit_windowed(const std::vector<std::string>& symbols, const Limits& limits, int tries,
                    const Visit& visit) {
  RandomStream random(44, Purpose::test, 3);
  VariantWorkspace work;
  Variant variant;
  Draft draft;
  for (const std::string& symbol : symbols)
    for (const Branch& branch : find_branches({{symbol}, {}, {}, Windows::on}, limits)) {
      for (int k = 0; k < tries; ++k) {
        const UnitPoint point = test::draw_point(branch.dimension(), random);
        make_draft(branch, to_values(branch, point), draft);
        make_variant(branch.scheme, draft, limits, work, variant);
        if (variant.status != Status::ok) continue;
        CAPTURE(branch.symmetry, branch.plane, branch.family, k);
        visit(branch, draft, variant, make_design(branch.scheme, variant, limits));
        break;
      }
    }
}

}  // namespace

TEST_CASE("windows are branches of their own, with a frame as last parameter", "[space][windows]") {
  const Limits limits;
  const std::size_t plain = find_branches({{"O"}, {}, {"radial"}}, limits).size();
  CHECK(find_branches({{"O"}, {}, {"radial"}, Windows::on}, limits).size() == plain);
  CHECK(find_branches({{"O"}, {}, {"radial"}, Windows::both}, limits).size() == 2 * plain);
  // Named so they are there whatever is asked for.
  const auto named = find_branches({{"O"}, {}, {"radial-windows"}}, limits);
  CHECK(named.size() == plain);
  for (const Branch& branch : named) {
    CHECK(branch.has_windows);
    CHECK(branch.family == "radial-windows");
    CHECK(branch.parameters.back().name == "frame");
  }
  CHECK_THROWS_AS(find_branches({{"O"}, {}, {"windows"}}, limits), std::invalid_argument);
  CHECK_THROWS_AS(make_branch("O", "generic", "radial-windows-windows"), std::invalid_argument);
}

TEST_CASE("a panel with windows is scored as check scores it", "[space][windows]") {
  int seen = 0;
  double openness_error = 0, openness_square = 0;
  const Limits limits = test::make_easy_limits(20, 25, 20);
  visit_windowed(
      {"I", "O", "T", "Ih", "Td", "D5", "D3d", "C4"}, limits, 25,
      [&](const Branch&, const Draft&, const Variant& variant, const Design& design) {
        ++seen;
        const Inspection inspection = inspect(design, 1);
        const Score &found = variant.score, &checked = inspection.design.score;
        CHECK(checked.collisions == 0);
        CHECK(checked.panels == found.panels);
        CHECK(checked.joints == found.joints);
        CHECK(checked.mass_kg == Approx(found.mass_kg));
        CHECK(checked.cut_length_mm == Approx(found.cut_length_mm));
        CHECK(checked.roundness == Approx(found.roundness));
        CHECK(checked.layers == Approx(found.layers));
        CHECK(checked.slenderness == Approx(found.slenderness));
        CHECK(checked.evenness == Approx(found.evenness).margin(1e-6));
        // 96 rays beside 1024: what that makes is looked at below, one by one and together.
        const double error = checked.openness - found.openness;
        CHECK(std::abs(error) < 0.25);
        openness_error += error;
        openness_square += error * error;
        CHECK(checked.stiffness == Approx(found.stiffness).epsilon(0.02).margin(1e-6));
        CHECK(checked.min_width_mm >= limits.min_width_mm - 0.3);

        // Beside the same panels without windows.
        const Inspection whole = inspect(without_windows(design), 1);
        const Score& solid = whole.design.score;
        CHECK(checked.stiffness == solid.stiffness);
        CHECK(checked.joints == solid.joints);
        CHECK(checked.total_joint_mm == solid.total_joint_mm);
        CHECK(checked.mass_kg < solid.mass_kg);
        CHECK(checked.layers < solid.layers);
        CHECK(checked.openness >= solid.openness);
        // Frames thinner than some cells of the picture (sight.h) leak.
        double frame = 1e9;
        for (const Polygon& window : design.orbits[0].panel.holes_mm)
          for (const Vec2& p : window)
            frame = std::min(frame, distance_to_boundary(design.orbits[0].panel.outline_mm, p));
        if (frame >= 2 * checked.diameter_mm / 48)
          CHECK(checked.see_through >= solid.see_through - 0.03);
        CHECK(checked.cut_length_mm > solid.cut_length_mm);
        CHECK(checked.cutting_min >= solid.cutting_min);
        CHECK(checked.utilisation <= solid.utilisation);
        CHECK(checked.sheets == solid.sheets);
        CHECK(checked.slab_overlaps <= solid.slab_overlaps);
        // Windows take no tab away, and cut nothing apart.
        CHECK(inspection.geometry_faults == whole.geometry_faults);
        // A panel in more pieces is looked at more closely: a tab may be a hair shorter.
        CHECK(measure_area(inspection.design.orbits[0].panel.flat_pattern_mm) ==
              Approx(measure_area(whole.design.orbits[0].panel.flat_pattern_mm)).epsilon(0.05));
      });
  CHECK(seen > 60);
  CHECK(std::abs(openness_error / seen) < 0.015);
  CAPTURE(std::sqrt(openness_square / seen));
  // A ray more or less of n hits: sqrt(p (1 - p) / 96) is at most 0.051.
  CHECK(std::sqrt(openness_square / seen) < 0.05);
}

TEST_CASE("area and centre of mass with windows are those of Boost.Geometry", "[space][windows]") {
  int seen = 0;
  visit_windowed(
      {"O", "D3", "C5"}, test::make_easy_limits(20, 25, 20), 25,
      [&](const Branch&, const Draft&, const Variant&, const Design& design) {
        ++seen;
        const Panel& panel = design.orbits[0].panel;
        const auto [area, centroid] = oracle::measure_with_holes(panel.outline_mm, panel.holes_mm);
        const PanelBody body = measure_body(panel.frame, panel.outline_mm, panel.holes_mm);
        CHECK(body.area_mm2 == Approx(area));
        CHECK((body.centroid_mm - panel.frame.to_space(centroid)).norm() < 1e-6);
        CHECK(design.score.mass_kg == Approx(area * 1e-6 * design.limits.mass_kg_per_m2 *
                                             static_cast<double>(design.orbits[0].copies.size())));
      });
  CHECK(seen > 15);
}

TEST_CASE("no window lies under a tab that is glued, or nearer to an edge than the frame",
          "[space][windows]") {
  int seen = 0, seats = 0;
  visit_windowed(
      {"I", "O", "Td", "D4", "S6"}, test::make_easy_limits(20, 25, 20), 25,
      [&](const Branch& branch, const Draft&, const Variant&, const Design& design) {
        ++seen;
        const Panel& panel = design.orbits[0].panel;
        const double least =
            find_least_frame(design.limits.thickness_mm, design.limits.min_width_mm);
        std::size_t at = 0;
        CHECK(find_window_fault(panel.outline_mm, panel.holes_mm, at).empty());
        for (const Polygon& window : panel.holes_mm)
          for (const Vec2& p : window)
            CHECK(distance_to_boundary(panel.outline_mm, p) > least - 0.2);
        const Finished finished = make_finished(design, make_flat_options(design));
        for (const Seat& seat : finished.parts[0].pattern.seats) {
          if (seat.tab_mm.empty()) continue;
          ++seats;
          for (const Polygon& window : panel.holes_mm)
            CHECK(oracle::overlap_area(make_counter_clockwise(seat.tab_mm), window) < 1);
        }
        // The panel keeps its symmetries: as many copies as before make the construction.
        CHECK(design.orbits[0].copies.size() == static_cast<std::size_t>(branch.scheme.panels()));
      });
  CHECK(seen > 40);
  CHECK(seats > 40);
}

TEST_CASE("slots and windows keep apart", "[space][windows]") {
  Limits limits = test::make_easy_limits(20, 25, 20);
  limits.joints_by = JointsBy::slot;
  int seen = 0, slots = 0;
  visit_windowed(
      {"D3", "D5", "S8"}, limits, 200,
      [&](const Branch&, const Draft&, const Variant&, const Design& design) {
        ++seen;
        const Finished finished = make_finished(design, make_flat_options(design));
        for (const Slot& slot : finished.parts[0].pattern.slots) {
          ++slots;
          for (const Polygon& window : design.orbits[0].panel.holes_mm)
            CHECK(oracle::distance(make_counter_clockwise(slot.outline_mm), window) >= 24);
        }
      });
  CHECK(seen >= 1);
  CHECK(slots >= 1);
}
