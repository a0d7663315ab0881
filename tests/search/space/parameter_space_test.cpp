#include "search/space/parameter_space.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "engine/shape/frame.h"
#include "tests/support/sobol.h"

using namespace sixtyfold;

namespace {

std::vector<Branch> make_all(std::vector<std::string> symmetries) {
  return find_branches({std::move(symmetries), {}, {}}, Limits{});
}

}  // namespace

TEST_CASE("kinds of plane follow from a group's axes", "[search][space]") {
  // Axes of I, T and D5 as in Coxeter, Regular Polytopes; opposite ends are mirror images.
  using Names = std::vector<std::string>;
  // All but square and upright ones are there for both ways of trimming.
  const auto find_names = [](const char* symbol) {
    const Names all = find_plane_names(make_point_group(symbol));
    Names names;
    for (const std::string& name : all) {
      if (name.ends_with("-meet")) continue;
      names.push_back(name);
      const bool meets = std::find(all.begin(), all.end(), name + "-meet") != all.end();
      CHECK(meets == !(name.starts_with("square") || name == "upright"));
    }
    return names;
  };
  CHECK(find_names("I") == Names{"generic", "axis-5", "axis-3", "axis-2", "sector-5", "sector-3",
                                 "sector-2", "centre", "square-5", "square-3", "square-2",
                                 "across-2"});
  CHECK(find_names("T") == Names{"generic", "axis-3", "axis-2", "sector-3", "sector-2", "centre",
                                 "square-3", "square-2", "across-2"});
  CHECK(find_names("D4") == Names{"generic", "axis-4", "axis-2", "axis-2b", "sector-4", "sector-2",
                                  "sector-2b", "centre", "square-4", "square-2", "square-2b",
                                  "across-2", "across-2b", "upright"});
  // Slots along the main axis join nothing past a mirror plane: Dnd alone has room for them, in
  // panels that stand across its mirror planes.
  for (const char* symbol : {"D4", "D5", "S8", "D4d", "D5d"})
    CHECK(find_names(symbol).back() == "upright");
  for (const char* symbol : {"D5h", "C5h", "C5v", "C5", "Td", "Oh"})
    CHECK(find_names(symbol).back() != "upright");
  CHECK(find_names("C1") == Names{"generic", "centre"});
  // The mirror planes of a cube: three across its faces, six across its edges.
  CHECK(find_names("Oh") == Names{"generic", "axis-4", "axis-3", "axis-2", "sector-4", "sector-3",
                                  "sector-2", "centre", "square-4", "square-3", "square-2",
                                  "mirror", "mirror-b"});
}

TEST_CASE("the number of panels is |G| or |G| / k", "[search][space]") {
  CHECK(make_branch("I", "generic", "radial").scheme.panels() == 60);
  CHECK(make_branch("I", "axis-5", "radial").scheme.panels() == 12);
  CHECK(make_branch("I", "axis-2", "radial").scheme.panels() == 30);
  CHECK(make_branch("I", "sector-5", "radial").scheme.panels() == 60);
  CHECK(make_branch("O", "axis-4", "radial").scheme.panels() == 6);
  CHECK(make_branch("D7", "centre", "radial").scheme.panels() == 14);
}

TEST_CASE("every point of every branch draws a sound panel of its kind", "[search][space]") {
  for (const Branch& branch :
       make_all({"I", "O", "T", "D2", "D3", "D6", "C2", "C5", "Th", "D3d"})) {
    CAPTURE(branch.symmetry, branch.plane, branch.family);
    REQUIRE(branch.dimension() <= largest_sobol_dimension);
    const Sobol sobol(branch.dimension(), 3);
    Draft draft;
    for (std::uint64_t i = 0; i < 40; ++i) {
      const std::vector<double> values = to_values(branch, sobol.point(i));
      REQUIRE(find_fault(branch, values).empty());
      make_draft(branch, values, draft);
      REQUIRE(std::abs(draft.normal.norm() - 1) < 1e-9);
      // The hub is at distance 1 from the centre and inside the outline.
      REQUIRE(std::hypot(draft.distance, draft.hub.norm()) == Approx(1));
      // A body may have a hollow where the hub lies, or a window beside it; the hub's cell may be
      // unbounded.
      if ((branch.family == "carved" || branch.family == "cells") && draft.outline.empty())
        continue;
      REQUIRE(contains(draft.outline, draft.hub));
      REQUIRE(measure_area(draft.outline) > 0);
      if (branch.kind == PlaneKind::centre) REQUIRE(draft.distance == 0);
      if (branch.kind == PlaneKind::on_axis) REQUIRE(draft.hub.norm() == 0);
      if (branch.kind == PlaneKind::square) {
        // Some turn about the axis carries the normal to a perpendicular one.
        double least = 1;
        for (int j = 1; j < branch.axis.order; ++j) {
          const Vec3 image =
              Eigen::AngleAxisd(2 * pi * j / branch.axis.order, branch.axis.direction) *
              draft.normal;
          least = std::min(least, std::abs(image.dot(draft.normal)));
        }
        REQUIRE(least < 1e-9);
      }
    }
  }
}

TEST_CASE("values and unit points are inverse to each other", "[search][space]") {
  for (const Branch& branch : make_all({"I", "D5", "C3"})) {
    const UnitPoint point = Sobol(branch.dimension(), 5).point(9);
    const UnitPoint back = to_unit_point(branch, to_values(branch, point));
    for (std::size_t k = 0; k < point.size(); ++k) CHECK(back[k] == Approx(point[k]).margin(1e-12));
  }
}

TEST_CASE("generic normals cover each region of different normals once", "[search][space]") {
  // Every direction of space has an image under the group in the sampled region, and the region is
  // no larger than 4 pi / |G|: sampled normals come close to an image of any direction.
  for (const char* symbol : {"I", "O", "T", "D5", "D2"}) {
    CAPTURE(symbol);
    const PointGroup group = make_point_group(symbol);
    const Branch branch = make_branch(symbol, "generic", "radial");
    const Sobol sobol(branch.dimension(), 1);
    std::vector<Vec3> normals;
    Draft draft;
    for (std::uint64_t i = 0; i < 2000; ++i) {
      make_draft(branch, to_values(branch, sobol.point(i)), draft);
      normals.push_back(draft.normal);
    }
    RandomStream stream(1, Purpose::test, 0);
    int near_own_image = 0;
    for (int i = 0; i < 60; ++i) {
      const Vec3 v = Vec3(stream.normal(), stream.normal(), stream.normal()).normalized();
      double nearest = 2;
      // Point reflection is allowed for Dn: it gives the mirror image.
      for (const Mat3& g : group.elements)
        for (const Vec3& normal : normals) nearest = std::min(nearest, (g * v - normal).norm());
      CHECK(nearest < 0.2);
    }
    for (std::size_t i = 0; i < 50; ++i)
      for (int g = 1; g < group.order(); ++g)
        for (std::size_t k = 0; k < 50; ++k)
          near_own_image +=
              (group.elements[static_cast<std::size_t>(g)] * normals[i] - normals[k]).norm() < 1e-3;
    CHECK(near_own_image <= 3);  // only along the region's border
  }
}

TEST_CASE("one placing is shown for all that the group makes of it", "[search][space]") {
  RandomStream stream(5, Purpose::test, 0);
  for (const char* symbol : {"I", "O", "T", "D5", "Th", "C3"})
    for (const char* plane : {"generic", "centre"}) {
      CAPTURE(symbol, plane);
      const Branch branch = make_branch(symbol, plane, "radial");
      for (int i = 0; i < 20; ++i) {
        UnitPoint point(branch.parameters.size());
        for (double& u : point) u = stream.uniform();
        Draft draft;
        make_draft(branch, to_values(branch, point), draft);
        const Vec3 hub = make_frame(draft.normal, draft.distance).to_space(draft.hub);
        const Placing placing = find_placing(branch, point);
        CHECK_THAT(placing.hub.norm(), Catch::Matchers::WithinAbs(1, 1e-9));
        // It is one of the images of the draft, turned or reflected as a whole.
        double nearest = 9;
        for (const Mat3& g : branch.scheme.group->elements)
          for (const double sign : {-1.0, 1.0})
            nearest = std::min(nearest, (sign * g * draft.normal - placing.normal).norm() +
                                            (sign * g * hub - placing.hub).norm());
        CHECK(nearest < 1e-9);
      }
    }
  // The triangle of normals of T, O and I has a corner where `around` says nothing, and two edges
  // that a turn about that corner carries onto each other.
  for (const char* symbol : {"I", "O", "T"}) {
    CAPTURE(symbol);
    const Branch branch = make_branch(symbol, "generic", "radial");
    const auto find_at = [&](double off_axis, double around, double hub) {
      UnitPoint point(branch.parameters.size(), 0.4);
      point[0] = off_axis;
      point[1] = around;
      point[3] = hub;
      return find_placing(branch, point);
    };
    const auto find_nearest = [&](const Placing& to, double off_axis, double around) {
      double nearest = 9;
      for (int i = 0; i < 720; ++i) {
        const Placing placing = find_at(off_axis, around, i / 720.0);
        nearest = std::min(nearest, std::hypot((placing.normal - to.normal).norm(),
                                               (placing.hub - to.hub).norm()));
      }
      return nearest;
    };
    CHECK(find_nearest(find_at(0, 0.1, 0.3), 0, 0.8) < 0.01);
    CHECK(find_nearest(find_at(0.6, 0, 0.3), 0.6, 1) < 0.01);
    CHECK(find_nearest(find_at(0.6, 0.2, 0.3), 0.6, 0.5) > 0.1);
  }
}

TEST_CASE("unknown words are refused with what is allowed", "[search][space]") {
  CHECK_THROWS_WITH(make_branch("I", "axis-7", "radial"), Catch::Contains("axis-5"));
  CHECK_THROWS_AS(make_branch("I", "generic", "round"), std::invalid_argument);
  CHECK_THROWS_AS(make_branch("Q", "generic", "radial"), std::invalid_argument);
  CHECK_THROWS_WITH(find_branches({{"I"}, {"axes"}, {}}, Limits{}), Catch::Contains("'axes'"));
  CHECK(find_branches({{"I", "D5"}, {"axis-3"}, {"radial"}}, Limits{}).size() == 1);
  Limits few;
  few.max_panels = 20;
  for (const Branch& branch : find_branches({{"I"}, {}, {"radial"}}, few))
    CHECK(branch.scheme.panels() <= 20);
  const Branch branch = make_branch("I", "generic", "radial");
  std::vector<double> values = to_values(branch, UnitPoint(branch.parameters.size(), 0.5));
  values[2] = std::nan("");
  CHECK_THAT(find_fault(branch, values), Catch::Contains("tilt_deg"));
}
