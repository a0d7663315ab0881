#include "results/files/path_data.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <stdexcept>

using namespace sixtyfold;

namespace {

std::vector<Polygon> loops_of(const std::string& d, double tolerance = 0.01) {
  return make_loops(d, {}, tolerance);
}

}  // namespace

TEST_CASE("straight path commands, absolute and relative, give the same square", "[shape][path]") {
  const Polygon square{{1, 2}, {5, 2}, {5, 6}, {1, 6}};
  for (const char* d :
       {"M1 2L5 2L5 6L1 6Z", "M1,2 5,2 5,6 1,6z", "m1 2 4 0 0 4 -4 0z", "M1 2h4v4h-4z",
        "M 1 2 H 5 V 6 H 1 Z", " M1 2l4-0 0+4-4.0e0 0", "M1.0.2e1L5 2 5 6 1 6"}) {
    INFO(d);
    const auto loops = loops_of(d);
    REQUIRE(loops.size() == 1);
    CHECK(loops[0] == square);
  }
  // After Z the pen is back at the start: a relative move counts from there.
  const auto two = loops_of("M1 2h4v4h-4zm10 0h1v1z");
  REQUIRE(two.size() == 2);
  CHECK(two[1][0] == Vec2(11, 2));
}

TEST_CASE("curves stay within the tolerance", "[shape][path]") {
  // The cubic Bezier quarter circle with 0.5522847498: farthest from the circle by 2.73e-4 of the
  // radius (common knowledge of outline fonts, from memory). Control points of a circle of 100.
  const double k = 55.22847498;
  const std::string d = "M100 0C100 " + std::to_string(k) + " " + std::to_string(k) +
                        " 100 0 100S-100 " + std::to_string(k) + " -100 0 " + "-" +
                        std::to_string(k) + " -100 0 -100 100 -" + std::to_string(k) + " 100 0Z";
  for (const double tolerance : {1.0, 0.1, 0.01}) {
    const auto loops = loops_of(d, tolerance);
    REQUIRE(loops.size() == 1);
    Polygon loop = loops[0];
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const Vec2 middle = (loop[i] + loop[(i + 1) % loop.size()]) / 2;
      CHECK(loop[i].norm() == Approx(100).margin(0.03));
      CHECK(middle.norm() > 100 - tolerance - 0.03);
    }
    CHECK(loop.size() < 4 * (2 + std::ceil(std::sqrt(0.75 * 60 / tolerance))));
  }
  // A quadratic is the parabola it says: y = x (1 - x / 10) under (0,0) (5,5) (10,0).
  for (const char* q : {"M0 0Q5 5 10 0z", "m0 0q5 5 10 0z"}) {
    const auto loops = loops_of(q, 0.001);
    for (const Vec2& p : loops[0]) CHECK(p.y() == Approx(p.x() * (1 - p.x() / 10)).margin(1e-12));
  }
  // T mirrors the control point: the second arch is the first one upside down.
  const auto wave = loops_of("M0 0Q5 5 10 0T20 0", 0.001);
  double lowest = 0;
  for (const Vec2& p : wave[0]) lowest = std::min(lowest, p.y());
  CHECK(lowest == Approx(-2.5).margin(0.001));
}

TEST_CASE("arcs follow the implementation notes of SVG 1.1, appendix F.6", "[shape][path]") {
  // Half circle, then the other half: area pi r^2.
  for (const char* d :
       {"M-50 0A50 50 0 0 1 50 0A50 50 0 0 1-50 0z", "M-50 0a50,50 0 01100,0a50 50 0 0 1-100 0z",
        "M-50 0A10 10 0 0 1 50 0 10 10 0 0 1-50 0z"}) {  // radii too small grow
    INFO(d);
    const auto loops = loops_of(d, 0.001);
    REQUIRE(loops.size() == 1);
    CHECK(std::abs(measure_area(loops[0])) == Approx(pi * 2500).epsilon(1e-4));
    for (const Vec2& p : loops[0]) CHECK(p.norm() == Approx(50));
  }
  // The four arcs between two points of one ellipse: large and small, both sweeps.
  double areas[2][2];
  for (int large = 0; large < 2; ++large)
    for (int sweep = 0; sweep < 2; ++sweep) {
      const auto loops = loops_of(
          "M0 0A30 20 25 " + std::to_string(large) + " " + std::to_string(sweep) + " 20 10z",
          0.001);
      areas[large][sweep] = measure_area(loops[0]);
    }
  CHECK(areas[0][0] == Approx(-areas[0][1]));
  CHECK(areas[1][0] == Approx(-areas[1][1]));
  // Both together are the whole ellipse.
  CHECK(std::abs(areas[0][0]) + std::abs(areas[1][0]) == Approx(pi * 600).epsilon(1e-4));
}

TEST_CASE("the tolerance holds after the transform", "[shape][path]") {
  Transform2 large;
  large.linear *= 100;
  const auto fine = make_loops("M1 0A1 1 0 0 1-1 0A1 1 0 0 1 1 0", large, 0.1);
  for (std::size_t i = 0; i + 1 < fine[0].size(); ++i)
    CHECK(((fine[0][i] + fine[0][i + 1]) / 2).norm() > 99.89);
  const Polygon ellipse = make_ellipse_loop({2, 3}, {4, 1}, large, 0.01);
  CHECK(measure_area(ellipse) == Approx(pi * 4 * 1e4).epsilon(1e-3));
}

TEST_CASE("bad path data is refused with the place", "[shape][path]") {
  const std::pair<const char*, const char*> cases[] = {{"L1 1", "begins with M"},
                                                       {"M1", "number is expected"},
                                                       {"M1 1 L", "number is expected"},
                                                       {"M1 1 X2 2", "command letter"},
                                                       {"M1 1 2", "number is expected"},
                                                       {"M1,,1", "comma"},
                                                       {"M1 1A1 1 0 2 0 3 3", "flag"},
                                                       {"M1e400 0", "number"},
                                                       {"M1e30 0", "beyond"},
                                                       {"Mnan 0", "number"},
                                                       {"M1 1L1 1,", "comma"},
                                                       {"\x01", "command letter"}};
  for (const auto& [d, reason] : cases) {
    INFO(d);
    CHECK_THROWS_WITH(loops_of(d),
                      Catch::Matchers::Contains(reason) && Catch::Matchers::Contains("character"));
  }
  CHECK(loops_of("").empty());
  CHECK_THROWS_AS(loops_of("M0 0" + std::string(300000, '1')), std::invalid_argument);
  std::string many = "M0 0";
  for (int i = 0; i < 100001; ++i) many += "h1";
  CHECK_THROWS_WITH(loops_of(many), Catch::Matchers::Contains("100000 points"));
}
