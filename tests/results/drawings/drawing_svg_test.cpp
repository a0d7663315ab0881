#include "results/drawings/drawing_svg.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <map>
#include <set>

#include "results/drawings/markup_text.h"
#include "results/drawings/palette.h"
#include "results/files/file.h"
#include "tests/support/crossing_design.h"
#include "tests/support/svg_standard.h"

using namespace sixtyfold;

namespace {

int count_of(const std::string& text, const std::string& part) {
  int count = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}

// Machado, Oliveira and Fernandes 2009, table 1, severity 1: linear RGB to linear RGB.
const std::map<std::string, Mat3> colour_blindness = [] {
  Mat3 protan, deutan, tritan;
  protan << 0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116,
      1.051998;
  deutan << 0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940,
      0.968881;
  tritan << 1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367,
      0.303900;
  return std::map<std::string, Mat3>{{"normal", Mat3::Identity()},
                                     {"protanopia", protan},
                                     {"deuteranopia", deutan},
                                     {"tritanopia", tritan}};
}();

std::string see(const std::string& hex, const Mat3& sight) {
  Vec3 linear;
  for (int i = 0; i < 3; ++i) {
    const double coded =
        std::stoi(hex.substr(static_cast<std::size_t>(1 + 2 * i), 2), nullptr, 16) / 255.0;
    linear[i] = coded <= 0.04045 ? coded / 12.92 : std::pow((coded + 0.055) / 1.055, 2.4);
  }
  const Vec3 seen = (sight * linear).cwiseMax(0).cwiseMin(1);
  char text[8];
  const auto part = [&](int i) {
    const double v =
        seen[i] <= 0.0031308 ? 12.92 * seen[i] : 1.055 * std::pow(seen[i], 1 / 2.4) - 0.055;
    return static_cast<int>(std::lround(255 * v)) & 255;
  };
  std::snprintf(text, sizeof text, "#%02x%02x%02x", part(0), part(1), part(2));
  return text;
}

}  // namespace

TEST_CASE("a drawing is valid SVG 1.1, small, and the same bytes each time", "[drawing]") {
  for (const char* const group : {"I", "D5", "Ih"}) {
    const Design design = make_crossing_design(group, 6);
    const std::string svg = make_drawing_svg(design);
    CHECK(svg.size() < 200000);
    CHECK(svg == make_drawing_svg(design));
    CHECK(svg.find("width=\"200mm\" height=\"200mm\" viewBox=\"0 0 200 200\"") !=
          std::string::npos);
    CHECK(svg.find("nan") == std::string::npos);
    CHECK(svg.find("inf") == std::string::npos);
    CHECK(find_svg_faults(svg) == "");
    DrawingOptions plain;
    plain.setting = Setting::plain;
    for (const char* const colours : {"board", "modules", "planes", "neighbours"}) {
      plain.colours = colours;
      CHECK(find_svg_faults(make_drawing_svg(design, plain)) == "");
    }
  }
}

TEST_CASE("names of others are text, never markup", "[drawing]") {
  Design design = make_crossing_design("C3", 1);
  design.name = "<script>alert('x')</script> & \"]]>\" \x01\xff";
  design.symmetry = "C3";
  const std::string svg = make_drawing_svg(design);
  CHECK(svg.find("<script") == std::string::npos);
  CHECK(svg.find("&lt;script&gt;alert(&#39;x&#39;)") != std::string::npos);
  CHECK(find_svg_faults(svg) == "");
  design.name = std::string(100000, 'x');
  CHECK(make_drawing_svg(design).size() < 100000);
}

TEST_CASE("markup text keeps what is UTF-8 and replaces what is not", "[drawing]") {
  CHECK(make_markup_text("a<b>&\"'") == "a&lt;b&gt;&amp;&quot;&#39;");
  CHECK(make_markup_text("\u00fcber \u2192 \U0001F41D") == "\u00fcber \u2192 \U0001F41D");
  CHECK(make_markup_text("\xc3") == "\ufffd");                      // cut short
  CHECK(make_markup_text("\xc0\xaf") == "\ufffd\ufffd");            // overlong
  CHECK(make_markup_text("\xed\xa0\x80") == "\ufffd\ufffd\ufffd");  // a surrogate
  CHECK(make_markup_text("a\u202eb") == "a\ufffd\ufffd\ufffdb");    // turns the line round
  CHECK(make_markup_text("abcdef", 3) == "abc\u2026");
}

TEST_CASE("panel colours differ for every kind of sight", "[drawing]") {
  for (const auto& [name, sight] : colour_blindness)
    for (std::size_t i = 0; i < 6; ++i)
      for (std::size_t j = 0; j < i; ++j) {
        INFO(name << ": " << panel_colours[i] << " and " << panel_colours[j]);
        const double difference = measure_difference(make_colour(see(panel_colours[i], sight)),
                                                     make_colour(see(panel_colours[j], sight)));
        CHECK(difference > (i < 5 ? 0.14 : 0.08));
      }
}

TEST_CASE("colours survive the way to OKLab and back", "[drawing]") {
  for (const char* const hex : panel_colours) CHECK(to_hex(make_colour(hex)) == hex);
  // Ottosson 2020: white is (1, 0, 0).
  const Colour white = make_colour("#ffffff");
  CHECK(white.lightness == Approx(1).margin(1e-6));
  CHECK(white.a == Approx(0).margin(1e-6));
  CHECK_THROWS_AS(make_colour("red"), std::invalid_argument);
}

TEST_CASE("options with a fault and designs without a panel are refused", "[drawing]") {
  const Design design = make_crossing_design("C3", 1);
  DrawingOptions options;
  options.width_mm = std::nan("");
  CHECK_THROWS_AS(make_drawing_svg(design, options), std::invalid_argument);
  options = {};
  options.elevation_deg = 90;
  CHECK_THROWS_AS(make_drawing_svg(design, options), std::invalid_argument);
  CHECK_THROWS_AS(make_drawing_svg(Design{}), std::invalid_argument);
}

TEST_CASE("facts say what the score says", "[drawing]") {
  Design design = make_crossing_design("I", 1);
  design.score.joints = 1;
  design.score.diameter_mm = 1484;
  design.score.sheets = 8;
  design.score.internal_dof = 2;
  const auto facts = find_facts(design);
  CHECK(facts == std::vector<std::string>{"60 panels", "1 joint", "1.48 m across",
                                          "8 sheets of 600 \u00d7 1200 \u00d7 4 mm",
                                          "flexible, 2 degrees of freedom"});
  CHECK(count_of(make_drawing_svg(design), "1.48 m across") >= 1);
}
