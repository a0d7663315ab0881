#include "results/files/material_json.h"

#include <catch2/catch.hpp>
#include <functional>
#include <nlohmann/json.hpp>

using namespace sixtyfold;
using nlohmann::json;

namespace {

std::string find_refusal(const std::function<void(json&)>& spoil) {
  json document = json::parse(write_material_json(find_shipped_materials().front()));
  spoil(document);
  try {
    read_material_json(document.dump(), "board.json");
  } catch (const std::invalid_argument& error) {
    return error.what();
  }
  return "";
}

/// Marked as common practice, or a standard, a handbook or a computation from such is named.
bool has_origin(const std::string& source) {
  for (const char* word :
       {"common practice, no published source", "Handbook", "ISO ", "EN ", "computed: "})
    if (source.find(word) != std::string::npos) return true;
  return false;
}

const Material& find(const std::string& name) {
  for (const Material& material : find_shipped_materials())
    if (material.name == name) return material;
  throw std::runtime_error("no " + name);
}

}  // namespace

TEST_CASE("at least ten materials are shipped, every value with a source", "[stock][material]") {
  const auto& materials = find_shipped_materials();
  CHECK(materials.size() >= 10);
  for (const Material& material : materials) {
    INFO(material.name);
    CHECK(material.find_fault().empty());
    CHECK_FALSE(material.grain_source.empty());
    CHECK_FALSE(material.faces_source.empty());
    for (const SheetOnSale& sheet : material.sheets) CHECK(has_origin(sheet.source));
    CHECK(has_origin(material.grain_source));
    CHECK(has_origin(material.faces_source));
    CHECK(has_origin(material.thickness_mm.source));
    CHECK(has_origin(material.mass_kg_per_m2.source));
    for (const MaybeSourced* value :
         {&material.glue_strength_n_per_mm, &material.min_fold_radius_mm,
          &material.fold_allowance_mm, &material.modulus_along_mpa, &material.modulus_across_mpa,
          &material.working_strain})
      if (*value) CHECK(has_origin((*value)->source));
    CHECK(read_material_json(write_material_json(material), "x") == material);
    CHECK(load_material(material.name) == material);
  }
}

// Nominal flute thicknesses, Fibre Box Handbook as repeated by a trade page (tests/sources.md 4).
// Liner weights: 26 and 42 lb/1000 ft2 are 126.9 and 205.1 g/m2 (conversion, 5.2); a single-wall C
// board weighs about 0.5 to 0.7 kg/m2 (5.3, from memory).
TEST_CASE("corrugated boards have the handbook's thickness and the sum of their papers' mass",
          "[stock][material]") {
  CHECK(find("corrugated-a").thickness_mm.value == 4.8);
  CHECK(find("corrugated-b").thickness_mm.value == 3.2);
  CHECK(find("corrugated-c").thickness_mm.value == 4.0);
  CHECK(find("corrugated-e").thickness_mm.value == 1.6);
  CHECK(find("corrugated-c").mass_kg_per_m2.value ==
        Approx((2 * 42 + 26 * 1.43) * 4.88243e-3).epsilon(0.002));
  CHECK(find("corrugated-c").mass_kg_per_m2.value > 0.5);
  CHECK(find("corrugated-c").mass_kg_per_m2.value < 0.7);
  // 48 x 96 in, 1 in = 25.4 mm.
  CHECK(find("corrugated-c").sheets.back().long_mm == Approx(96 * 25.4));
}

// ISO 216: A4 210 x 297, A3 297 x 420, A1 594 x 841.
TEST_CASE("card comes in ISO 216 sizes", "[stock][material]") {
  const Material& card = find("card-300");
  CHECK(card.sheets[0].short_mm == 210);
  CHECK(card.sheets[0].long_mm == 297);
  CHECK(card.sheets[1].short_mm == card.sheets[0].long_mm);
  CHECK(card.sheets[2].long_mm == 841);
}

TEST_CASE("a material sets the limits it stands for", "[stock][material]") {
  const Material& board = find("corrugated-b");
  const Limits limits = with_material({}, board, board.sheets[0]);
  CHECK(limits.thickness_mm == 3.2);
  CHECK(limits.sheet_width_mm == 1000);
  CHECK(limits.sheet_height_mm == 1600);
  CHECK(limits.grain == Grain::along_long_side);
  CHECK(limits.joints_by == JointsBy::tab);
  CHECK(limits.both_faces_alike);
  CHECK(limits.sheet_price == 0);
  Material dear = board;
  dear.sheets[1].price = 4.5;
  const Limits priced = with_material({}, dear, dear.sheets[1]);
  CHECK(priced.sheet_price == 4.5);
  CHECK(find_price(dear, priced) == 4.5);
  CHECK(find_price(dear, limits) == 0);
  const Material& ply = find("plywood-birch-3");
  CHECK_FALSE(ply.can_fold());
  CHECK(with_material({}, ply, ply.sheets[0]).joints_by == JointsBy::slot);
}

TEST_CASE("slots have play for the thickest board that the standard lets through",
          "[stock][slot]") {
  // EN 315, sanded plywood: 0.2 mm + 3 % above the nominal thickness (from memory).
  for (const double thickness : {3.0, 4.0, 6.0, 9.0, 12.0, 18.0})
    CHECK(find_usual_slot_play(thickness) == Approx(0.2 + 0.03 * thickness).margin(0.05 + 1e-9));
  CHECK(find_usual_slot_play(Limits{}.thickness_mm) == Limits{}.slot_play_mm);
  const Material& ply = find("plywood-birch-6");
  CHECK(with_material({}, ply, ply.sheets[0]).slot_play_mm == Approx(0.4));
}

TEST_CASE("spoiled material files are refused with place and reason", "[stock][material]") {
  CHECK(find_refusal([](json&) {}).empty());
  CHECK(find_refusal([](json& d) { d["format"] = "other"; }).find("sixtyfold-material") !=
        std::string::npos);
  CHECK(find_refusal([](json& d) { d["version"] = 2; }).find("version") != std::string::npos);
  CHECK(find_refusal([](json& d) { d["thickness_mm"] = 4; }).find("thickness_mm") !=
        std::string::npos);
  CHECK(find_refusal([](json& d) { d["thickness_mm"]["value"] = -1; }).find("thickness_mm") !=
        std::string::npos);
  CHECK(find_refusal([](json& d) { d["thickness_mm"]["source"] = ""; }).find("source") !=
        std::string::npos);
  CHECK(find_refusal([](json& d) { d["thickness_mm"].erase("source"); }).find("source") !=
        std::string::npos);
  CHECK(find_refusal([](json& d) { d["sheets"] = json::array(); }).find("sheets") !=
        std::string::npos);
  CHECK(find_refusal([](json& d) {
          d["sheets"][0]["size_mm"] = {0, 10};
        }).find("sheets") != std::string::npos);
  CHECK(find_refusal([](json& d) { d["sheets"][0]["price"] = "dear"; }).find("price") !=
        std::string::npos);
  CHECK(find_refusal([](json& d) { d["grain"]["value"] = "up"; }).find("grain") !=
        std::string::npos);
  CHECK(find_refusal([](json& d) { d["name"] = "../../etc"; }).find("name") != std::string::npos);
  CHECK(find_refusal([](json& d) {
          d["fold_allowance_mm"]["value"] = 9;
        }).find("fold_allowance_mm") != std::string::npos);
  CHECK(find_refusal([](json& d) {
          d["fold_allowance_mm"]["value"] = -9;
        }).find("fold_allowance_mm") != std::string::npos);
  CHECK(find_refusal([](json& d) { d["thickness_mm"]["value"] = -4; }).find("thickness_mm") !=
        std::string::npos);
  CHECK_THROWS_AS(load_material("unobtainium"), std::invalid_argument);
  CHECK_THROWS_AS(load_material("/nowhere/board.json"), std::invalid_argument);
}
