#include "results/files/design_json.h"

#include <catch2/catch.hpp>
#include <functional>
#include <nlohmann/json.hpp>

#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "tests/support/run_program.h"
#include "tests/support/sample_design.h"

using namespace sixtyfold;
using nlohmann::json;

namespace {

/// The sentence with which the reader refuses these bytes; empty when it takes them.
std::string find_refusal(const std::string& bytes) {
  try {
    read_design_json(bytes, "x.json");
  } catch (const std::invalid_argument& error) {
    return error.what();
  }
  return "";
}

std::string find_refusal(const std::function<void(json&)>& spoil) {
  json document = json::parse(write_design_json(make_sample_design()));
  spoil(document);
  return find_refusal(document.dump());
}

}  // namespace

TEST_CASE("a design reads back the same, to the last bit", "[design_json]") {
  const Design design = make_sample_design();
  const std::string bytes = write_design_json(design);
  const Design again = read_design_json(bytes, "x.json");
  CHECK(write_design_json(again) == bytes);
  CHECK(again.name == design.name);
  CHECK(again.symmetry == design.symmetry);
  CHECK(again.thickness_mm == design.thickness_mm);
  CHECK(again.limits == design.limits);
  CHECK(again.score == design.score);
  CHECK(again.recipe.parameters == design.recipe.parameters);
  CHECK(again.recipe.seed == design.recipe.seed);
  REQUIRE(again.orbits.size() == 1);
  CHECK(again.orbits[0].panel.outline_mm == design.orbits[0].panel.outline_mm);
  CHECK(again.orbits[0].panel.holes_mm == design.orbits[0].panel.holes_mm);
  CHECK(again.orbits[0].panel.flat_pattern_mm == design.orbits[0].panel.flat_pattern_mm);
  CHECK(again.orbits[0].copies == design.orbits[0].copies);
  REQUIRE(again.joints.size() == 4);
  CHECK(again.joints[3].panels[1] == 0);
  CHECK(again.joints[3].kind == JointKind::edge);
  CHECK(again.joints[3].to_mm == design.joints[3].to_mm);
}

TEST_CASE("several panel types stand under orbits", "[design_json]") {
  Design design = make_sample_design();
  design.orbits.push_back(design.orbits[0]);
  design.orbits[1].panel.frame = make_frame(Vec3::UnitZ(), 300);
  design.joints[0].panels[1] = 7;
  const std::string bytes = write_design_json(design);
  CHECK(json::parse(bytes).contains("orbits"));
  CHECK_FALSE(json::parse(bytes).contains("panel"));
  CHECK(write_design_json(read_design_json(bytes, "x.json")) == bytes);
}

TEST_CASE("the required keys alone make a design; unknown keys are passed over", "[design_json]") {
  CHECK(find_refusal([](json& d) {
          for (const char* key : {"name", "diameter_mm", "joints", "limits", "recipe", "score"})
            d.erase(key);
          d["panel"].erase("holes_mm");
          d["panel"].erase("flat_pattern_mm");
          d["colour_of_the_hall"] = {1, 2, 3};
        }) == "");
  for (const char* key : {"format", "version", "symmetry", "thickness_mm", "panel"})
    CHECK_THAT(find_refusal([&](json& d) { d.erase(key); }), Catch::Contains(key));
}

TEST_CASE("files are laid out for people: one copy, joint or point a line", "[design_json]") {
  const std::string bytes = write_design_json(make_sample_design());
  CHECK_THAT(bytes, Catch::Contains("\n    {\"rotation\": [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]"));
  CHECK_THAT(bytes, Catch::StartsWith("{\n  \"format\": \"sixtyfold-design\",\n  \"version\": 1,"));
  CHECK(bytes.back() == '\n');
}

TEST_CASE("every refusal names file, place and what is allowed", "[design_json]") {
  struct Case {
    const char* says;
    std::function<void(json&)> spoil;
  };
  const std::vector<Case> cases = {
      {"x.json: format: is \"other\"", [](json& d) { d["format"] = "other"; }},
      {"x.json: version: is 2; a whole number from 1 to 1", [](json& d) { d["version"] = 2; }},
      {"symmetry: is \"Q7\"; allowed is", [](json& d) { d["symmetry"] = "Q7"; }},
      {"symmetry: is 7; a string", [](json& d) { d["symmetry"] = 7; }},
      {"symmetry: is \"\\x1b[31m\"; control", [](json& d) { d["symmetry"] = "\x1b[31m"; }},
      {"thickness_mm: is -4; allowed is 0.05", [](json& d) { d["thickness_mm"] = -4; }},
      {"thickness_mm: is null; a number", [](json& d) { d["thickness_mm"] = nullptr; }},
      {"panel: is 5; an object", [](json& d) { d["panel"] = 5; }},
      {"panel.outline_mm: has 2 elements; 3 to",
       [](json& d) {
         d["panel"]["outline_mm"] = {{0, 0}, {1, 1}};
       }},
      {"panel.outline_mm: has 5000 elements",
       [](json& d) {
         d["panel"]["outline_mm"] = std::vector<std::vector<double>>(5000, {1, 2});
       }},
      {"panel.outline_mm[1]: has 3 elements; 2",
       [](json& d) {
         d["panel"]["outline_mm"][1] = {1, 2, 3};
       }},
      {"panel.outline_mm[2][1]: is \"NaN\"; a number",
       [](json& d) { d["panel"]["outline_mm"][2][1] = "NaN"; }},
      {"panel.outline_mm[2][1]: is 1e+300; allowed",
       [](json& d) { d["panel"]["outline_mm"][2][1] = 1e300; }},
      {"panel.outline_mm: runs clockwise",
       [](json& d) {
         auto& outline = d["panel"]["outline_mm"];
         std::reverse(outline.begin(), outline.end());
       }},
      {"panel.outline_mm: crosses or touches itself",
       [](json& d) {
         d["panel"]["outline_mm"] = {{0, 0}, {9, 9}, {9, 0}, {0, 9}};
       }},
      {"point 4 is given twice in a row",
       [](json& d) { d["panel"]["outline_mm"].push_back(d["panel"]["outline_mm"][0]); }},
      {"panel.holes_mm[0]: leaves the outline",
       [](json& d) {
         d["panel"]["holes_mm"][0][2] = {0, 500};
       }},
      {"panel.holes_mm[1]: meets hole 0; holes lie apart",
       [](json& d) { d["panel"]["holes_mm"].push_back(d["panel"]["holes_mm"][0]); }},
      {"panel.holes_mm[0]: runs clockwise",
       [](json& d) {
         auto& hole = d["panel"]["holes_mm"][0];
         std::reverse(hole.begin(), hole.end());
       }},
      {"panel.holes_mm: has 400 elements",
       [](json& d) {
         d["panel"]["holes_mm"] = std::vector<json>(400, json(d["panel"]["holes_mm"][0]));
       }},
      {"three unit vectors at right angles",
       [](json& d) {
         d["panel"]["normal"] = {1, 1, 0};
       }},
      {"three unit vectors at right angles",
       [](json& d) {
         d["panel"]["normal"] = {0, 0, 0};
       }},
      {"panel.origin_mm: is not the foot",
       [](json& d) {
         d["panel"]["origin_mm"] = {100, 5, 0};
       }},
      {"panel.origin_mm: is not the foot",
       [](json& d) {
         d["panel"]["origin_mm"] = {-100, 0, 0};
       }},
      {"left-handed", [](json& d) { std::swap(d["panel"]["x_axis"], d["panel"]["y_axis"]); }},
      {"copies: has 0 elements; 1 to 240", [](json& d) { d["copies"] = json::array(); }},
      {"copies[2]: is the same as copy 1", [](json& d) { d["copies"][2] = d["copies"][1]; }},
      {"copies[1].rotation: is not a rotation",
       [](json& d) {
         d["copies"][1]["rotation"][0] = {0, -0.9, 0};
       }},
      {"copies[0]: the key \"rotation\" is missing",
       [](json& d) { d["copies"][0] = json::object(); }},
      {"joints[0].panels[1]: is 4; a whole number from 0 to 3",
       [](json& d) {
         d["joints"][0]["panels"] = {0, 4};
       }},
      {"joints[0].panels[0]: is 0.5",
       [](json& d) {
         d["joints"][0]["panels"] = {0.5, 1};
       }},
      {"joints[1]: joins copy 2 to itself",
       [](json& d) {
         d["joints"][1]["panels"] = {2, 2};
       }},
      {"joints[0].kind: is \"bolt\"; allowed is tab, edge or slot",
       [](json& d) { d["joints"][0]["kind"] = "bolt"; }},
      {"joints[0].angle_deg: is 200; allowed is",
       [](json& d) { d["joints"][0]["angle_deg"] = 200; }},
      {"limits: the sheet's short side is -1; allowed",
       [](json& d) { d["limits"]["sheet_width_mm"] = -1; }},
      {"limits.grain: is \"up\"; allowed is long, short or none",
       [](json& d) { d["limits"]["grain"] = "up"; }},
      {"recipe.seed: is -1", [](json& d) { d["recipe"]["seed"] = -1; }},
      {"score.panels: is \"four\"", [](json& d) { d["score"]["panels"] = "four"; }},
      {"has orbits beside panel", [](json& d) { d["orbits"] = json::array(); }},
  };
  for (const Case& bad : cases) {
    const std::string refusal = find_refusal(bad.spoil);
    CAPTURE(bad.says);
    CHECK_THAT(refusal, Catch::StartsWith("x.json: ") && Catch::Contains(bad.says));
    CHECK(refusal.find('\n') == std::string::npos);
    CHECK(refusal.size() < 400);
  }
}

TEST_CASE("hostile bytes are refused with one sentence", "[design_json]") {
  CHECK_THAT(find_refusal(std::string("")), Catch::Contains("is not valid JSON"));
  CHECK_THAT(find_refusal(std::string("[1,2")), Catch::Contains("is not valid JSON"));
  CHECK_THAT(find_refusal(std::string("{\"a\": NaN}")), Catch::Contains("is not valid JSON"));
  CHECK_THAT(find_refusal(std::string("{\"a\": 1e999}")), Catch::Contains("is not valid JSON"));
  CHECK_THAT(find_refusal(std::string("{\"a\": \"\xff\xfe\"}")),
             Catch::Contains("is not valid JSON"));
  CHECK_THAT(find_refusal(std::string(1000000, '[')), Catch::Contains("nested deeper than 32"));
  CHECK_THAT(find_refusal(std::string("{\"a\": 1, \"a\": 2}")), Catch::Contains("given twice"));
  CHECK_THAT(find_refusal(std::string("[]")), Catch::Contains("an object is needed"));
  std::string deep;
  for (int i = 0; i < 100000; ++i) deep += "{\"a\":";
  CHECK_THAT(find_refusal(deep), Catch::Contains("nested deeper than 32"));
  std::string many = "{";
  for (int i = 0; i < 200000; ++i) many += "\"k" + std::to_string(i) + "\":0,";
  CHECK_THAT(find_refusal(many + "\"z\":0}"), Catch::Contains("\"format\" is missing"));
}

TEST_CASE("a small rounding of axes and rotations is taken, a large one not", "[design_json]") {
  const auto turned_by = [](double error) {
    return find_refusal([&](json& d) { d["copies"][1]["rotation"][0] = {error, -1, 0}; });
  };
  CHECK(turned_by(1e-6) == "");
  CHECK(turned_by(1e-3) != "");
}

TEST_CASE("design files meet the JSON Schema (Debian's python3-jsonschema)", "[design_json]") {
  const ScratchFolder folder;
  write_file(folder.path() / "one.json", write_design_json(make_sample_design()));
  Design bare = make_sample_design();
  bare.score = {};
  bare.joints.clear();
  bare.orbits.push_back(bare.orbits[0]);
  write_file(folder.path() / "two.json", write_design_json(bare));
  write_file(folder.path() / "bad.json", "{\"format\": \"sixtyfold-design\"}");
  const std::string tests = source_folder() + "/tests/support/validate_json.py";
  const std::string schema = source_folder() + "/results/design.schema.json";
  const auto good =
      run_program({"/usr/bin/python3", tests, schema, "one.json", "two.json"}, folder.path());
  INFO(good.out << good.err);
  CHECK(good.status == 0);
  CHECK(run_program({"/usr/bin/python3", tests, schema, "bad.json"}, folder.path()).status == 1);
}
