#include "results/drawings/viewpoint.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "engine/symmetry/point_group.h"
#include "tests/support/crossing_design.h"

using namespace sixtyfold;

namespace {

double angle_deg(const Vec3& a, const Vec3& b) {
  return to_degrees(std::acos(std::clamp(a.dot(b), -1.0, 1.0)));
}

}  // namespace

TEST_CASE("polyhedral groups are seen a few degrees off their highest axes", "[viewpoint]") {
  // Highest orders of rotation axes: Coxeter 1973.
  const std::pair<const char*, int> groups[] = {{"I", 5}, {"Ih", 5}, {"O", 4}, {"Oh", 4},
                                                {"T", 3}, {"Td", 3}, {"Th", 3}};
  for (const auto& [symbol, order] : groups) {
    CAPTURE(symbol);
    const Design design = make_crossing_design(symbol, 3);
    const std::vector<Viewpoint> views = find_viewpoints(design);
    REQUIRE(views.size() >= 2);
    CHECK(views[0].order == order);
    CHECK(views[1].order != order);
    for (const Viewpoint& view : views) {
      CHECK(view.towards_eye.norm() == Approx(1));
      CHECK(angle_deg(view.towards_eye, view.axis) >= 5);
      CHECK(angle_deg(view.towards_eye, view.axis) <= 12);
      CHECK(view.axis.z() < 0.9);  // never an axis that points up
      CHECK(view.towards_eye.z() > 0);
    }
  }
}

TEST_CASE("groups with one main axis are seen from half above", "[viewpoint]") {
  for (const char* symbol : {"C3", "C7", "D2", "D3", "D5", "D5h", "D3d", "S6", "C4v"}) {
    CAPTURE(symbol);
    const std::vector<Viewpoint> views = find_viewpoints(make_crossing_design(symbol, 3));
    REQUIRE(views.size() >= 2);
    const double elevation = to_degrees(std::asin(views[0].towards_eye.z()));
    CHECK(elevation >= 35);
    CHECK(elevation <= 45);
    CHECK(angle_deg(views[0].towards_eye, views[1].towards_eye) > 20);
  }
}

TEST_CASE("a view turned by hand finds both ends of every axis", "[viewpoint]") {
  // 6 fivefold, 10 threefold and 15 twofold axes (Coxeter 1973); D5 has one and five.
  CHECK(find_axis_directions(make_crossing_design("I", 3)).size() == 62);
  CHECK(find_axis_directions(make_crossing_design("O", 3)).size() == 26);
  CHECK(find_axis_directions(make_crossing_design("D5", 3)).size() == 12);
}

TEST_CASE("copies that are no group's are seen from a fixed side", "[viewpoint]") {
  Design design = make_crossing_design("I", 3);
  design.orbits[0].copies.pop_back();
  const std::vector<Viewpoint> views = find_viewpoints(design);
  REQUIRE(views.size() == 2);
  CHECK(views[0].order == 1);
  CHECK(find_axis_directions(design).empty());
}
