#include "results/files/outline_svg.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <stdexcept>

using namespace sixtyfold;

namespace {

std::string page(
    const std::string& inside,
    const std::string& size = R"svg(width="200mm" height="100mm" viewBox="0 0 200 100")svg") {
  return R"svg(<?xml version="1.0" encoding="UTF-8"?><svg xmlns="http://www.w3.org/2000/svg" )svg" +
         size + ">" + inside + "</svg>";
}

}  // namespace

TEST_CASE("a part is read at its true size, upright", "[results][svg]") {
  const TracedPart part = read_outline_svg(page(R"svg(<path d="M10 10h60v20h-40v30h-20z"/>)svg"));
  CHECK(measure_area(part.outline_mm) == Approx(60 * 20 + 20 * 30));
  CHECK(part.outline_mm.size() == 6);
  CHECK(measure_centroid(part.outline_mm).norm() < 1e-9);
  CHECK(part.holes_mm.empty());
  CHECK(part.notes.empty());
  // In the file the long bar is on top: its far end is above the centroid here.
  double highest = -1e9, right = -1e9;
  for (const Vec2& p : part.outline_mm) {
    if (p.x() > right - 1e-9) right = p.x(), highest = std::max(p.y(), -1e9);
  }
  CHECK(highest > 0);
}

TEST_CASE("units: the same square however it is written", "[results][svg]") {
  // 1 in = 96 px = 25.4 mm = 72 pt = 6 pc (CSS Values and Units 3).
  const std::pair<const char*, double> sizes[] = {
      {R"svg(width="2in" height="1in" viewBox="0 0 200 100")svg", 25.4 / 100},
      {R"svg(width="192" height="96" viewBox="0 0 200 100")svg", 25.4 / 100},
      {R"svg(width="192px" height="96px")svg", 25.4 / 96},
      {R"svg(width="144pt" height="72pt" viewBox="0 0 200 100")svg", 25.4 / 100},
      {R"svg(width="12pc" height="6pc" viewBox="0 0 200 100")svg", 25.4 / 100},
      {R"svg(width="5.08cm" height="2.54cm" viewBox="0 0 200 100")svg", 25.4 / 100},
      {R"svg(width="400mm" height="100mm" viewBox="0 0 200 100")svg",
       1},  // meet: the smaller scale
      {R"svg(viewBox="0 0 200 100")svg", 25.4 / 96}};
  for (const auto& [size, unit_mm] : sizes) {
    INFO(size);
    const TracedPart part =
        read_outline_svg(page(R"svg(<rect x="10" y="20" width="50" height="40"/>)svg", size));
    CHECK(measure_area(part.outline_mm) == Approx(2000 * unit_mm * unit_mm));
    CHECK(part.notes.size() == (std::string(size).find("width") == std::string::npos ? 1 : 0));
  }
  const TracedPart stretched = read_outline_svg(page(
      R"svg(<rect width="50" height="40"/>)svg",
      R"svg(width="400mm" height="100mm" viewBox="0 0 200 100" preserveAspectRatio="none")svg"));
  CHECK(measure_area(stretched.outline_mm) == Approx(100 * 40));
}

TEST_CASE("a file in the manner of a vector editor", "[results][svg]") {
  // Layers with transforms, namespaced extras, relative curves, a hole by even-odd, hidden things.
  const std::string file = R"svg(<?xml version="1.0"?>
<!-- drawn by hand for this test -->
<svg xmlns="http://www.w3.org/2000/svg" xmlns:svg="http://www.w3.org/2000/svg"
     xmlns:ed="http://example.org/editor" width="300mm" height="200mm" viewBox="0 0 300 200" version="1.1">
  <defs><path id="unused" d="M0 0h999v999h-999z"/><clipPath id="c"><rect width="1" height="1"/></clipPath></defs>
  <ed:view zoom="2"/>
  <metadata>nothing</metadata>
  <g ed:label="Layer 1" transform="translate(100,50)">
    <g transform="rotate(30) scale(2 2)">
      <path style="fill:#aaa;stroke:none" d="m 0,0 c 0,-11.045695 8.954305,-20 20,-20 11.045695,0 20,8.954305 20,20 0,11.045695 -8.954305,20 -20,20 C 8.954305,20 0,11.045695 0,0 z M 15,0 a 5,5 0 1 0 10,0 5,5 0 1 0 -10,0 z"/>
    </g>
    <rect x="0" y="0" width="500" height="500" style="display: none"/>
  </g>
  <g display="none"><circle cx="0" cy="0" r="50"/></g>
</svg>)svg";
  const TracedPart part = read_outline_svg(file, {0.01, 1000});
  CHECK(measure_area(part.outline_mm) == Approx(pi * 1600).epsilon(1e-3));
  REQUIRE(part.holes_mm.size() == 1);
  CHECK(measure_area(part.holes_mm[0]) == Approx(pi * 100).epsilon(2e-3));
  CHECK(measure_centroid(part.holes_mm[0]).norm() < 0.01);
}

TEST_CASE("transforms compose as SVG 1.1 section 7.6 says", "[results][svg]") {
  const auto area = [](const std::string& transform) {
    return measure_area(
        read_outline_svg(page("<rect transform=\"" + transform + "\" width=\"30\" height=\"20\"/>"))
            .outline_mm);
  };
  CHECK(area("translate(5)") == Approx(600));
  CHECK(area("scale(2)") == Approx(2400));
  CHECK(area("scale(2,-0.5)") == Approx(600));
  CHECK(area("skewX(30)") == Approx(600));
  CHECK(area("skewY(-20) , rotate(12, 5, 5)") == Approx(600));
  CHECK(area("matrix(1 2 3 4 5 6)") == Approx(1200));
  CHECK(area("") == Approx(600));
}

TEST_CASE("shapes besides paths", "[results][svg]") {
  CHECK(measure_area(
            read_outline_svg(page(R"svg(<circle cx="50" cy="50" r="40"/>)svg")).outline_mm) ==
        Approx(pi * 1600).epsilon(0.005));
  CHECK(measure_area(read_outline_svg(page(R"svg(<ellipse cx="50" cy="50" rx="40" ry="10"/>)svg"))
                         .outline_mm) == Approx(pi * 400).epsilon(0.01));
  CHECK(measure_area(
            read_outline_svg(page(R"svg(<polygon points="0,0 40,0 40,30"/>)svg")).outline_mm) ==
        Approx(600));
  CHECK(measure_area(
            read_outline_svg(page(R"svg(<polyline points="0 0 40 0 40 30"/>)svg")).outline_mm) ==
        Approx(600));
  CHECK(measure_area(
            read_outline_svg(page(R"svg(<rect width="60" height="40" rx="10"/>)svg")).outline_mm) ==
        Approx(2400 - (4 - pi) * 100).epsilon(0.003));
}

TEST_CASE("what can not be used is refused with the reason", "[results][svg]") {
  std::string deep;
  for (int i = 0; i < 100; ++i) deep += "<g>";
  deep += R"svg(<rect width="9" height="9"/>)svg";
  for (int i = 0; i < 100; ++i) deep += "</g>";
  const std::pair<std::string, const char*> cases[] = {
      {"", "well-formed"},
      {"no file at all", "well-formed"},
      {"<html><body/></html>", "root element"},
      {page("<path d='M0 0h10'"), "well-formed"},
      {R"svg(<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg>&x;</svg>)svg",
       "entities"},
      {page(""), "no closed shape"},
      {page("<path d='M0 0h10'/>"), "no closed shape"},
      {page("<path d='M0 0L50 50L50 0L0 50z'/>"),
       "crosses or touches itself 25.0 mm from the left and 25.0 mm from the top"},
      {page("<path d='M0 0h50v50h-50zM60 0h20v20h-20z'/>"), "several separate parts"},
      {page("<path d='M0 0h50v50h-50zM40 10h20v20h-20z'/>"), "cross or touch"},
      {page("<path d='M0 0h50v50h-50zM10 10h30v30h-30zM20 20h10v10h-10z'/>"), "inside a hole"},
      {page("<path d='M0 0h50v50h-50z'/><path d='M0 0h50v50h-50z'/>"), "twice"},
      {page("<path d='M0 0h50v50q'/>"), "number is expected"},
      {page("<path d='M0 0h1e999v50z'/>"), "number"},
      {page("<rect width='nan' height='5'/>"), "not a length"},
      {page("<rect width='5furlong' height='5'/>"), "units"},
      {page("<rect width='-5' height='5'/>"), "negative"},
      {page("<rect width='5' height='5' transform='twist(3)'/>"), "understood"},
      {page("<rect width='5' height='5' transform='scale(3'/>"), "bracket"},
      {page("<rect width='5' height='5' transform='scale(inf)'/>"), "number"},
      {page(deep), "nested deeper"},
      {page("<svg/>"), "nested svg"},
      {page("<rect width='5' height='5'/>", "width='0' height='5mm'"), "no width"},
      {page("<rect width='5' height='5'/>", "width='5mm' height='5mm' viewBox='0 0 5'"),
       "viewBox"}};
  for (const auto& [file, reason] : cases) {
    INFO(file.substr(0, 200));
    CHECK_THROWS_WITH(read_outline_svg(file), Catch::Matchers::Contains(reason));
    CHECK_THROWS_AS(read_outline_svg(file), std::invalid_argument);
  }
}

TEST_CASE("every truncation and many corruptions of a file are refused or read, never worse",
          "[results][svg]") {
  const std::string file = page(
      R"svg(<g transform="rotate(30) scale(2)"><path d="M0 0C10 5 20 5 30 0S40 20 30 30 0 40 0 0z"/></g>)svg");
  for (std::size_t i = 0; i < file.size(); ++i) {
    try {
      read_outline_svg(file.substr(0, i));
    } catch (const std::invalid_argument&) {
    }
    for (const char c : {'\0', '<', '9', '-', 'z', '"'}) {
      std::string changed = file;
      changed[i] = c;
      try {
        const TracedPart part = read_outline_svg(changed);
        CHECK(measure_area(part.outline_mm) > 0);
      } catch (const std::invalid_argument&) {
      }
    }
  }
}
