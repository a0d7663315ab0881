// Carrying, standing, hanging; colourings and modules by cosets.
#include "engine/building/handling.h"

#include <catch2/catch.hpp>
#include <climits>
#include <cmath>
#include <map>
#include <set>

#include "engine/building/colourings.h"
#include "engine/building/copy_elements.h"
#include "engine/building/modules.h"
#include "engine/building/reach.h"
#include "results/kit/colour_pages.h"
#include "tests/support/polyhedra.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

TEST_CASE("solids tip where statics says", "[handling]") {
  // A body tips when its centre of mass passes over the nearest edge of its base: tan(lean) =
  // inradius of the base / height of the centre (any textbook of statics). A cube: 45 degrees. A
  // regular dodecahedron: half of 180 degrees less its dihedral angle of 116.565051 degrees
  // (Coxeter 1973).
  for (const bool cube : {true, false}) {
    const Design design = cube ? make_cube(250, 4) : make_dodecahedron(250, 4);
    const FloorStanding standing = measure_standing(design, design.orbits[0].panel.frame.normal);
    CHECK(standing.feet == (cube ? 4 : 5));
    CHECK(standing.tip_deg == Approx(cube ? 45.0 : (180 - 116.565051) / 2).margin(1e-4));
    // On a corner it does not stand.
    const Panel& panel = design.orbits[0].panel;
    CHECK(
        measure_standing(design, panel.frame.to_space(panel.outline_mm[0]).normalized()).tip_deg ==
        0);
    CHECK(find_best_standing(design).tip_deg >= standing.tip_deg - 0.1);
  }
}

TEST_CASE("a cube goes through a door a little wider than its side, and weighs its area",
          "[handling]") {
  Design design = make_cube(250, 4);
  design.limits.mass_kg_per_m2 = 0.6;
  std::vector<int> all;
  for (int copy = 0; copy < 6; ++copy) all.push_back(copy);
  const Vec3 passage = measure_passage(design, all, 2000);
  CHECK(passage[0] == Approx(500).margin(1e-6));
  CHECK(passage[1] == Approx(500).margin(1e-6));
  CHECK(passage[2] == Approx(500).margin(1e-6));
  // One face goes through on edge, as nearly as directions are tried.
  CHECK(measure_passage(design, {0}, 2000)[0] < 40);
  design.orbits[0].panel.flat_pattern_mm.clear();
  CHECK(measure_mass_kg(design) == Approx(6 * 0.25 * 0.6));
  const Hanging hanging = find_hanging(design, 4, GlueLine{});
  REQUIRE(hanging.copies.size() == 4);
  double sum = 0;
  for (const double reaction : hanging.load.reactions_n) sum += reaction;
  CHECK(sum == Approx(6 * 0.25 * 0.6 * gravity_m_per_s2).epsilon(1e-6));
  CHECK(hanging.most_per_point_n >= sum / 4 - 1e-9);
}

TEST_CASE("subgroups have their names and numbers", "[handling]") {
  // The subgroups of A5, order and number: GAP's table of marks; Groupprops.
  const PointGroup group = make_point_group("I");
  std::map<std::string, int> count;
  for (const Subgroup& subgroup : find_subgroups(group)) ++count[name_subgroup(group, subgroup)];
  const std::map<std::string, int> published = {{"C1", 1}, {"C2", 15}, {"C3", 10},
                                                {"D2", 5}, {"C5", 6},  {"D3", 10},
                                                {"D5", 6}, {"T", 5},   {"I", 1}};
  CHECK(count == published);
  // The whole group bears its own name.
  for (const char* symbol : {"T", "O", "Td", "Th", "Oh", "Ih", "D5", "C6", "C5v", "C3h", "S6",
                             "S10", "D3d", "D5d", "D3h", "Cs", "Ci"}) {
    const PointGroup other = make_point_group(symbol);
    Subgroup all;
    for (int e = 0; e < other.order(); ++e) all.push_back(e);
    CHECK(name_subgroup(other, all) == symbol);
  }
}

TEST_CASE("every turn of the construction carries colours onto colours", "[handling]") {
  for (const char* symbol : {"I", "T", "D5"}) {
    const Design design = make_first_random_design(symbol, Limits{}, 700);
    const PointGroup group = make_point_group(symbol);
    const auto elements = find_copy_elements(design, group);
    REQUIRE(elements.size() == static_cast<std::size_t>(group.order()));
    std::map<int, int> schemes_of;
    for (const ColourScheme& scheme : find_colour_schemes(design)) {
      ++schemes_of[scheme.colours];
      std::vector<int> copy_of(elements.size());
      for (std::size_t copy = 0; copy < elements.size(); ++copy)
        copy_of[static_cast<std::size_t>(elements[copy].front())] = static_cast<int>(copy);
      for (int g = 0; g < group.order(); ++g) {
        std::map<int, int> image;
        for (std::size_t copy = 0; copy < elements.size(); ++copy) {
          const int to =
              copy_of[static_cast<std::size_t>(group.multiply(g, elements[copy].front()))];
          const auto [where, is_new] =
              image.emplace(scheme.colour_of[copy], scheme.colour_of[static_cast<std::size_t>(to)]);
          CHECK(where->second == scheme.colour_of[static_cast<std::size_t>(to)]);
        }
      }
    }
    // Colourings of a general panel are as many as subgroups of that index: 5 tetrahedral, 6 of D5,
    // 10 of D3.
    if (std::string(symbol) == "I")
      CHECK(schemes_of == std::map<int, int>{{5, 5}, {6, 6}, {10, 10}});
    CHECK_THROWS_WITH(choose_colours(design, "9"), Catch::Contains("is 9; this design has"));
    CHECK_THROWS_AS(choose_colours(design, "blue"), std::invalid_argument);
    CHECK(choose_colours(design, "1").colours == 1);
    CHECK(choose_colours(design, "board").colours == 1);
    std::set<std::string> names;
    int most = 0, fewest = INT_MAX;
    for (const ColourScheme& scheme : find_colour_schemes(design)) {
      CHECK(names.insert(scheme.name).second);
      // Every colouring that is shown can be ordered by its name.
      CHECK(choose_colours(design, scheme.name).colour_of == scheme.colour_of);
      most = std::max(most, scheme.like_joints);
      fewest = std::min(fewest, scheme.like_joints);
    }
    if (names.empty()) continue;
    CHECK(choose_colours(design, "neighbours").like_joints == fewest);
    if (most > 0) CHECK(choose_colours(design, "modules").like_joints == most);
  }
}

TEST_CASE("glue holds where the tab lies, not along the whole joint", "[handling]") {
  const Design design = make_plate_on_plate(90, 4);
  const Finished finished = make_finished(design, FlatOptions{});
  REQUIRE(design.joints[0].length_mm() == Approx(160));
  const TabShape& shape = finished.shapes[0][0];
  REQUIRE(shape.depth_mm == 35);
  const Design glued = make_glued(design, finished);
  // A trapezoid's area over its depth.
  const Tab& tab = finished.parts[0].pattern.tabs[0];
  CHECK(glued.joints[0].length_mm() == Approx(measure_area(tab.outline_mm) / 35).epsilon(1e-9));
  const auto whole = [&](const Vec3& p) {
    return (p - design.joints[0].from_mm).norm() + (p - design.joints[0].to_mm).norm() ==
           Approx(160);
  };
  CHECK(whole(glued.joints[0].from_mm));
  CHECK(whole(glued.joints[0].to_mm));
  // Held by the floor plate: the upright one loads less glue more.
  LoadCase load_case = make_load_case(design, Hold::standing, {1});
  const double long_line = measure_load(design, load_case).joints[0].peak_n_per_mm;
  CHECK(measure_load(glued, load_case).joints[0].peak_n_per_mm ==
        Approx(long_line * 160 / glued.joints[0].length_mm()).epsilon(1e-3));
}

TEST_CASE("a hand and a clamp reach what stands free, and not what is boxed in", "[handling]") {
  // A plate on the middle of a floor of 400 x 400: free to the hand; the floor's edge is 200 mm
  // away, so a clamp of 60 mm does not reach the tab and one of 250 mm does.
  const Design design = make_plate_on_plate(90, 4);
  const Finished finished = make_finished(design, FlatOptions{});
  const JointSides sides = find_joint_sides(design, finished.joints);
  REQUIRE(find_tab(design, finished, sides, 0).side >= 0);
  const auto plates = make_standing_plates(design, finished, sides);
  ReachOptions options;
  const Reach near = measure_reach(design, finished, sides, plates, {0, 1}, 0, options);
  CHECK(near.hand);
  CHECK_FALSE(near.clamp);
  options.clamp_depth_mm = 250;
  CHECK(measure_reach(design, finished, sides, plates, {0, 1}, 0, options).clamp);
  // Boxed in by six boards, no hand gets there; with one of them off, it does.
  auto boxed = plates;
  boxed.emplace_back();
  const Vec3 centre = plates[0].front().centre;
  for (int axis = 0; axis < 3; ++axis)
    for (const double sign : {-1.0, 1.0}) {
      StandingPlate wall;
      const Vec3 out = sign * Vec3::Unit(axis), u = Vec3::Unit((axis + 1) % 3),
                 v = Vec3::Unit((axis + 2) % 3);
      wall.copy = 2;
      wall.centre = centre + 300 * out;
      wall.plate.middle = {wall.centre + 300 * u + 300 * v, wall.centre - 300 * u + 300 * v,
                           wall.centre - 300 * u - 300 * v, wall.centre + 300 * u - 300 * v};
      wall.plate.half = 2 * out;
      wall.radius_mm = 430;
      boxed[2].push_back(wall);
    }
  CHECK_FALSE(measure_reach(design, finished, sides, boxed, {0, 1, 2}, 0, options).hand);
  bool open = false;
  for (std::size_t wall = 0; wall < 6; ++wall) {
    auto without = boxed;
    without[2].erase(without[2].begin() + static_cast<long>(wall));
    open = open || measure_reach(design, finished, sides, without, {0, 1, 2}, 0, options).hand;
  }
  CHECK(open);
}
