#include "results/drawings/part_drawing.h"

#include <catch2/catch.hpp>

using namespace sixtyfold;

TEST_CASE("a part's drawing shows the sides of its least rectangle and its scale", "[drawing]") {
  Panel panel;
  // A rectangle of 300 x 120 mm, turned by 30 degrees: the dimensions must not notice the turn.
  for (const Vec2& p : {Vec2(0, 0), Vec2(300, 0), Vec2(300, 120), Vec2(0, 120)})
    panel.outline_mm.emplace_back(std::cos(pi / 6) * p.x() - std::sin(pi / 6) * p.y(),
                                  std::sin(pi / 6) * p.x() + std::cos(pi / 6) * p.y());
  const std::string svg = make_part_drawing_svg(panel);
  CHECK(svg.find(">300 mm<") != std::string::npos);
  CHECK(svg.find(">120 mm<") != std::string::npos);
  CHECK(svg.find("scale 1 : 5;") != std::string::npos);  // 300 mm on 100 mm: ISO 5455 has 1 : 5
  CHECK(svg.find("area 360 cm") != std::string::npos);
  CHECK_THROWS_AS(make_part_drawing_svg(Panel{}), std::invalid_argument);
  PartDrawingOptions options;
  options.width_mm = -1;
  CHECK_THROWS_AS(make_part_drawing_svg(panel, options), std::invalid_argument);
}
