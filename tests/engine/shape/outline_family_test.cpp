#include "engine/shape/outline_family.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <set>
#include <sstream>

#include "engine/random.h"
#include "engine/shape/outline/polar.h"

using namespace sixtyfold;

namespace {

// Inside the box, on its faces and in its corners.
std::vector<double> draw_values(const OutlineFamily& family, RandomStream& random, int kind) {
  std::vector<double> values;
  for (const Parameter& p : family.parameters) {
    const double u = random.uniform();
    const bool on_face = kind == 2 || (kind == 1 && random.uniform() < 0.3);
    values.push_back(on_face ? (u < 0.5 ? p.low : p.high) : p.low + (p.high - p.low) * u);
  }
  return values;
}

}  // namespace

TEST_CASE("every outline in the box keeps the promises of the header", "[shape][outline]") {
  for (const OutlineFamily& family : outline_families()) {
    INFO(family.name);
    RandomStream random(11, Purpose::test, 2);
    int broken = 0, symmetric_broken = 0;
    Polygon outline;
    for (int trial = 0; trial < 12000; ++trial) {
      const std::vector<double> values = draw_values(family, random, trial % 3);
      REQUIRE(family.find_fault(values).empty());
      const int fold =
          trial % 2 ? 1 : 1 + static_cast<int>(random.below(std::uint64_t(family.most_fold)));
      family.draw_into(values, fold, outline);
      double farthest = 0;
      for (const Vec2& v : outline) farthest = std::max(farthest, v.norm());
      const bool kept = outline.size() >= 3 && outline.size() <= 200 && is_simple(outline) &&
                        measure_area(outline) > 0 && contains(outline, Vec2::Zero()) &&
                        distance_to_boundary(outline, Vec2::Zero()) > 0.02 &&
                        std::abs(farthest - 1) < 1e-12;
      if (!kept) {
        std::ostringstream text;
        for (const double v : values) text << ' ' << v;
        if (++broken <= 3) UNSCOPED_INFO("fold " << fold << " values" << text.str());
      }
      const std::size_t sector = outline.size() / static_cast<std::size_t>(fold);
      if (outline.size() % static_cast<std::size_t>(fold) != 0) ++symmetric_broken;
      const Eigen::Rotation2Dd turn(2 * pi / fold);
      for (std::size_t i = 0; i < outline.size() && fold > 1; ++i)
        if ((turn * outline[i] - outline[(i + sector) % outline.size()]).norm() > 1e-12) {
          ++symmetric_broken;
          break;
        }
      if (trial % 50 == 0) CHECK(family.draw(values, fold) == outline);
    }
    CHECK(broken == 0);
    CHECK(symmetric_broken == 0);
  }
}

TEST_CASE("families reach beyond the star-shaped", "[shape][outline]") {
  for (const OutlineFamily& family : outline_families()) {
    RandomStream random(12, Purpose::test, 2);
    int hidden = 0;  // outlines with an edge that turns back as seen from the hub
    for (int trial = 0; trial < 400; ++trial) {
      const Polygon outline = family.draw(draw_values(family, random, 0));
      for (std::size_t i = 0; i < outline.size(); ++i)
        if (cross(outline[i], outline[(i + 1) % outline.size()]) < -1e-9) {
          ++hidden;
          break;
        }
    }
    INFO(family.name << ": " << hidden << " of 400 are not star-shaped about the hub");
    if (family.name == "radial")
      CHECK(hidden == 0);
    else
      CHECK(hidden >= 20);
  }
}

TEST_CASE("families are found by name, and faults are named", "[shape][outline]") {
  std::set<std::string> names;
  for (const OutlineFamily& family : outline_families()) {
    CHECK(names.insert(family.name).second);
    CHECK(&find_outline_family(family.name) == &family);
    CHECK_FALSE(family.description.empty());
    std::set<std::string> parameters;
    std::vector<double> values;
    for (const Parameter& p : family.parameters) {
      CHECK(parameters.insert(p.name).second);
      CHECK(p.low < p.high);
      values.push_back(p.low);
    }
    CHECK(family.find_fault(values).empty());
    values[1] = std::numeric_limits<double>::quiet_NaN();
    CHECK(family.find_fault(values).find(family.parameters[1].name) != std::string::npos);
    values.pop_back();
    CHECK_FALSE(family.find_fault(values).empty());
  }
  CHECK(names.size() >= 5);
  CHECK_THROWS_WITH(find_outline_family("cloud"),
                    "no outline family is called 'cloud'; the families are radial, straight, arcs, "
                    "limbs, blades");
}

TEST_CASE("our sine and cosine agree with the library's", "[shape][outline]") {
  RandomStream random(13, Purpose::test, 2);
  double worst = 0;
  for (int i = 0; i < 200000; ++i) {
    const double angle = random.uniform(-1, 1) * (i % 2 ? 7 : 2e4);
    const Vec2 v = from_polar(1, angle);
    worst = std::max({worst, std::abs(v.x() - std::cos(angle)), std::abs(v.y() - std::sin(angle))});
  }
  CHECK(worst < 1e-14);
}

TEST_CASE("polar coordinates turned into points all at once are those turned one by one",
          "[shape][outline]") {
  RandomStream random(13, Purpose::test, 3);
  for (int count = 0; count < 40; ++count) {
    Polygon polar;
    for (int i = 0; i < count; ++i)
      polar.emplace_back(random.uniform(0, 2), random.uniform(-1, 1) * (i % 3 ? 7 : 2e4));
    Polygon points = polar;
    turn_into_points(points);
    REQUIRE(points.size() == polar.size());
    for (std::size_t i = 0; i < points.size(); ++i)
      CHECK(points[i] == from_polar(polar[i].x(), polar[i].y()));
  }
}
