#include "engine/shape/self_crossing.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "engine/random.h"

using namespace sixtyfold;

TEST_CASE("a crossing is found where there is one, on two edges", "[polygon]") {
  const std::optional<Vec2> eight = find_self_crossing({{0, 0}, {50, 50}, {50, 0}, {0, 50}});
  REQUIRE(eight);
  CHECK((*eight - Vec2(25, 25)).norm() < 1e-9);
  CHECK(!find_self_crossing({{0, 0}, {50, 0}, {50, 50}, {0, 50}}));
  int crossed = 0;
  for (std::uint64_t number = 0; number < 300; ++number) {
    RandomStream random(3, Purpose::test, number);
    Polygon polygon;
    for (int i = 0; i < 3 + static_cast<int>(number % 4); ++i)
      polygon.emplace_back(random.uniform(), random.uniform());
    const std::optional<Vec2> at = find_self_crossing(polygon);
    CHECK(at.has_value() != is_simple(polygon));
    if (!at) continue;
    ++crossed;
    int edges = 0;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
      const Vec2 &a = polygon[i], &b = polygon[(i + 1) % polygon.size()];
      const double s = std::clamp((*at - a).dot(b - a) / (b - a).squaredNorm(), 0.0, 1.0);
      edges += (a + s * (b - a) - *at).norm() < 1e-9;
    }
    CHECK(edges >= 2);
  }
  CHECK(crossed > 50);
  const std::optional<Vec2> common =
      find_common_point({{0, 0}, {4, 0}, {4, 4}, {0, 4}}, {{2, 1}, {6, 1}, {6, 2}, {2, 2}});
  REQUIRE(common);
  CHECK(common->x() == Approx(4));
  CHECK(!find_common_point({{0, 0}, {4, 0}, {4, 4}}, {{9, 9}, {10, 9}, {9, 10}}));
}
