#include "results/drawings/motion_drawing.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <pugixml.hpp>

#include "engine/structure/load.h"
#include "engine/variant/inspection.h"
#include "results/reports/load_report.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;

namespace {

/// The first random design of the group whose joints, found afresh, leave so many freedoms.
Design find_design(const char* symbol, bool rigid) {
  Limits limits;
  limits.allow_flexible = true;
  for (std::uint64_t index = 0;; ++index) {
    const auto design = test::make_random_design(symbol, limits, index, false);
    if (!design) continue;
    const Inspection inspection = inspect(*design);
    if (inspection.design.score.pieces == 1 && (inspection.design.score.internal_dof == 0) == rigid)
      return inspection.design;
  }
}

}  // namespace

TEST_CASE("a ring of six panels is drawn at both ends of its motion", "[results][motion]") {
  Design design = find_design("C6", false);
  design.name = "<ring> & co";
  const std::vector<FreeMotion> motions = find_free_motions(design);
  REQUIRE(!motions.empty());
  const std::string svg = make_motion_svg(design, motions.front());
  pugi::xml_document document;
  REQUIRE(document.load_string(svg.c_str()));
  CHECK(svg.find("&lt;ring&gt; &amp; co moves") != std::string::npos);
  CHECK(svg.find("<ring>") == std::string::npos);
  CHECK(svg.find(motions.front().sentence) != std::string::npos);
  // Both positions show panels, and they are not the same picture.
  std::vector<std::string> first_paths;
  for (const pugi::xml_node& position : document.child("svg").children("g")) {
    const pugi::xml_node panel = position.child("g").child("path");
    if (panel) first_paths.push_back(panel.attribute("d").value());
  }
  REQUIRE(first_paths.size() == 2);
  CHECK(first_paths[0] != first_paths[1]);
  CHECK(svg.size() < 200000);
}

TEST_CASE("what a hanging design is told agrees with its mass and with the balance of forces",
          "[results][load]") {
  const Design design = find_design("T", true);
  LoadCase load_case = make_load_case(design, Hold::hung, {0});
  load_case.mass_kg_per_m2 = design.limits.mass_kg_per_m2;
  const LoadResult result = measure_load(design, load_case);
  const auto json = write_load_json(load_case, result);
  REQUIRE(json["fault"] == "");
  // Standard gravity, CGPM 1901.
  CHECK(json["weight_n"].get<double>() == Approx(9.80665 * design.score.mass_kg).epsilon(1e-9));
  double held = 0;
  for (const double reaction : json["reactions_n"]) held += reaction;
  CHECK(held == Approx(json["weight_n"].get<double>()).epsilon(1e-6));
  CHECK(json["reserve"].get<double>() == Approx(json["glue_strength_n_per_mm"].get<double>() /
                                                json["largest_glue_force_n_per_mm"].get<double>()));
  const std::string report = make_load_report(design, load_case, result);
  CHECK(report.find("competent person") != std::string::npos);
  CHECK(report.find("hung from       copy 0") != std::string::npos);
}
