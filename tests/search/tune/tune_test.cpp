#include "search/tune/tune.h"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/isomorphism.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "engine/building/day.h"
#include "engine/contact/pull_back.h"
#include "engine/shape/outline_family.h"
#include "engine/structure/stiffness.h"
#include "engine/symmetry/subgroup.h"
#include "engine/variant/variant.h"
#include "results/reports/tune_report.h"
#include "search/tune/clearance.h"
#include "tests/support/draws.h"
#include "tests/support/random_designs.h"
#include "tests/support/sample_drafts.h"
#include "tests/support/test_limits.h"

using namespace sixtyfold;

namespace {

const Limits easy_limits = test::make_easy_limits(10, 6, 5);

using Graph = boost::adjacency_list<boost::setS, boost::vecS, boost::undirectedS>;

OrbitScheme make_scheme(const std::string& symbol) { return support::make_generic_scheme(symbol); }

std::vector<int> all_pairs(const OrbitScheme& scheme) {
  std::vector<int> numbers;
  for (std::size_t i = 0; i < scheme.pairs.size(); ++i) numbers.push_back(static_cast<int>(i));
  return numbers;
}

Graph make_joint_graph(const Design& design) {
  Graph graph(design.orbits[0].copies.size());
  for (const Joint& joint : design.joints)
    boost::add_edge(static_cast<std::size_t>(joint.panels[0]),
                    static_cast<std::size_t>(joint.panels[1]), graph);
  return graph;
}

// From coordinates (Coxeter 1973): even permutations of (0, +-1, +-3g), (+-1, +-(2+g), +-2g),
// (+-2, +-(1+2g), +-g), g the golden ratio; edges of length 2.
Graph make_truncated_icosahedron() {
  const double g = (1 + std::sqrt(5.0)) / 2;
  const Vec3 kinds[] = {{0, 1, 3 * g}, {1, 2 + g, 2 * g}, {2, 1 + 2 * g, g}};
  std::vector<Vec3> corners;
  for (const Vec3& kind : kinds)
    for (int turn = 0; turn < 3; ++turn)
      for (int signs = 0; signs < 8; ++signs) {
        Vec3 v(kind[turn % 3], kind[(turn + 1) % 3], kind[(turn + 2) % 3]);
        for (int k = 0; k < 3; ++k)
          if (signs >> k & 1) v[k] = -v[k];
        if (std::none_of(corners.begin(), corners.end(),
                         [&](const Vec3& w) { return (v - w).norm() < 1e-9; }))
          corners.push_back(v);
      }
  Graph graph(corners.size());
  for (std::size_t i = 0; i < corners.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (std::abs((corners[i] - corners[j]).norm() - 2) < 1e-9) boost::add_edge(i, j, graph);
  return graph;
}

// Drafts of the outline families in random planes, the index-th.
std::optional<Design> draw_design(const OrbitScheme& scheme, const Limits& limits,
                                  std::uint64_t number) {
  RandomStream random(51, Purpose::test, number);
  const OutlineFamily& family = outline_families()[random.below(outline_families().size())];
  const std::vector<double> values = test::draw_values(family.parameters, random);
  Draft draft;
  draft.normal = test::draw_direction(random);
  draft.distance = random.uniform(0.5, 1);
  draft.outline = family.draw(values);
  const double size = random.uniform(0.3, 0.8);
  for (Vec2& v : draft.outline) v *= size;
  return test::make_design_of(scheme, draft, limits);
}

}  // namespace

TEST_CASE("the fewest joints that can hold a group together", "[tune][least]") {
  // Cayley graphs with fewest edges. I: an involution and an element of order 3 or 5 (von Dyck
  // (2,3,5); Chung, Kostant and Sternberg 1994): 30 + 60. O (2,3,4): 12 + 24. T (2,3,3): 6 + 12
  // = 18.
  const std::pair<const char*, int> cases[] = {{"I", 90}, {"O", 36}, {"T", 18}};
  for (const auto& [symbol, least] : cases) {
    const OrbitScheme scheme = make_scheme(symbol);
    const LeastJoints found = find_least_joints(scheme, all_pairs(scheme), true);
    CHECK(found.by_group == least);
    CHECK(found.least == least);
    CHECK(found.by_count == (6 * (scheme.panels() - 1) + 4) / 5);
  }
  // Two mirror-like turns generate D5 with 5 + 5 joints, a ring of ten hinges that flexes; rigid it
  // needs 5 joints >= 6 * 9, so 11, and the next sum of classes is 15.
  const OrbitScheme d5 = make_scheme("D5");
  CHECK(find_least_joints(d5, all_pairs(d5), false).least == 10);
  CHECK(find_least_joints(d5, all_pairs(d5), true).least == 15);
  // C7: one ring of seven.
  const OrbitScheme c7 = make_scheme("C7");
  CHECK(find_least_joints(c7, all_pairs(c7), false).least == 7);
  // Slow and obvious: all subsets of up to three classes.
  const OrbitScheme scheme = make_scheme("O");
  int least = 1000000;
  const std::size_t n = scheme.pairs.size();
  for (std::size_t a = 0; a < n; ++a)
    for (std::size_t b = a; b < n; ++b)
      for (std::size_t c = b; c < n; ++c) {
        const std::set<std::size_t> chosen{a, b, c};
        std::vector<int> generators;
        int total = 0;
        for (const std::size_t k : chosen) {
          generators.push_back(scheme.pairs[k].element);
          total += scheme.pairs[k].pairs;
        }
        if (static_cast<int>(make_generated_subgroup(*scheme.group, generators).size()) ==
            scheme.group->order())
          least = std::min(least, total);
      }
  CHECK(least == find_least_joints(scheme, all_pairs(scheme), false).by_group);
  CHECK(find_least_joints(scheme, {}, true).least == 0);
}

TEST_CASE("look: the same is 1, moving is no change, halving is", "[tune][look]") {
  const OrbitScheme scheme = make_scheme("T");
  std::optional<Design> design;
  for (std::uint64_t i = 0; !design; ++i) design = draw_design(scheme, easy_limits, i);
  const LookOverlap same = measure_look_overlap(*design, *design);
  CHECK(same.outline_overlap == Approx(1).margin(1e-6));
  CHECK(same.silhouette_overlap == Approx(1).margin(1e-6));
  CHECK(same.plane_turn_deg == Approx(0).margin(1e-4));
  Design moved = *design;
  const double size = measure_box(moved.orbits[0].panel.outline_mm).size().norm();
  for (Vec2& v : moved.orbits[0].panel.outline_mm) v += Vec2(0.05, -0.03) * size;
  const LookOverlap shifted = measure_look_overlap(*design, moved);
  CHECK(shifted.outline_overlap > 0.97);
  CHECK(measure_overlap(design->orbits[0].panel.outline_mm, moved.orbits[0].panel.outline_mm) <
        0.97);
  const Polygon a{{0, 0}, {2, 0}, {2, 1}, {0, 1}}, b{{1, 0}, {3, 0}, {3, 1}, {1, 1}};
  CHECK(measure_overlap(a, b) == Approx(1.0 / 3).epsilon(1e-4));
}

TEST_CASE("tuning never breaks a promise", "[tune]") {
  Evaluator one(1), two(2);
  int improved = 0, tried = 0;
  for (const char* symbol : {"T", "D5", "O"}) {
    const OrbitScheme scheme = make_scheme(symbol);
    int seen = 0;
    for (std::uint64_t i = 0; i < 4000 && seen < 2; ++i) {
      const std::optional<Design> design = draw_design(scheme, easy_limits, i);
      if (!design || design->joints.size() < 2 * design->orbits[0].copies.size()) continue;
      ++seen;
      ++tried;
      TuneOptions options;
      options.placings = 8;
      options.refinements = 0;
      options.keep_look = 0.6;
      options.keep_stiffness = 0;
      const TuneResult result = tune(*design, options, one);
      const TuneResult again = tune(*design, options, two);
      REQUIRE(result.variants.size() == again.variants.size());
      CHECK(write_tune_json(result) == write_tune_json(again));
      improved += !result.variants.empty();
      CHECK(result.variants.empty() == !result.why_none.empty());
      const Score& old = result.before.design.score;
      for (const TunedVariant& variant : result.variants) {
        const Inspection truth = inspect(variant.design);
        CHECK(truth.design.score.joints == variant.design.score.joints);
        CHECK(truth.design.score.joints < old.joints);
        CHECK(truth.design.score.joints >= result.least_anywhere);
        CHECK(truth.design.score.collisions == 0);
        CHECK(truth.design.score.pieces == 1);
        CHECK(variant.look.kept() >= options.keep_look);
        CHECK_FALSE(variant.steps.empty());
      }
    }
  }
  INFO(improved << " of " << tried << " designs improved");
  CHECK(improved >= 1);
}

TEST_CASE("slots are tuned, and what passes can be built and goes together as before",
          "[tune][slot]") {
  const Limits limits = test::make_slot_limits();
  Evaluator one(1), two(2);
  int tried = 0, improved = 0;
  for (const char* symbol : {"D3", "D5", "D6"}) {
    int seen = 0;
    for (std::uint64_t index = 0; index < 400 && seen < 3; ++index) {
      const auto design = test::make_random_design(symbol, limits, index, false, true);
      if (!design || !inspect(*design, 1).buildable()) continue;
      ++seen;
      ++tried;
      Inspection before = inspect(*design, 1);
      measure_building(before.design, 1000, false);
      for (const char* purpose : {"joints", "stiffness"}) {
        TuneOptions options;
        options.goal.weights = {parse_weight(purpose)};
        options.placings = 60;
        options.refinements = 0;
        options.keep_look = 0.5;
        options.keep_stiffness = 0;
        const TuneResult result = tune(*design, options, one);
        CHECK(write_tune_json(result) == write_tune_json(tune(*design, options, two)));
        CHECK(result.variants.empty() == !result.why_none.empty());
        improved += !result.variants.empty();
        for (const TunedVariant& variant : result.variants) {
          Inspection truth = inspect(variant.design, 1);
          INFO(symbol << index << " " << (truth.faults.empty() ? "" : truth.faults.front()));
          CHECK(truth.buildable());
          CHECK(truth.design.score.slot_joints == truth.design.score.joints);
          CHECK(truth.design.score.joints == variant.design.score.joints);
          if (options.goal.is_for("joints"))
            CHECK(truth.design.score.joints < before.design.score.joints);
          measure_building(truth.design, 1000, false);
          CHECK(truth.design.score.hard_steps <= before.design.score.hard_steps);
        }
      }
    }
  }
  INFO(improved << " improved of " << tried);
  CHECK(tried >= 4);
  CHECK(improved >= 1);
}

namespace {

/// The joint graph of copies joined by a, and by b and its inverse.
Graph make_cayley_graph(const PointGroup& group, int a, int b) {
  Graph graph(static_cast<std::size_t>(group.order()));
  for (int g = 0; g < group.order(); ++g)
    for (const int s : {a, b})
      boost::add_edge(static_cast<std::size_t>(g), static_cast<std::size_t>(group.multiply(g, s)),
                      graph);
  return graph;
}

}  // namespace

TEST_CASE("an involution and an element of order five: the order of their product decides",
          "[tune][least]") {
  // ab of order three gives the truncated icosahedron (Chung, Kostant and Sternberg 1994); ab of
  // order five another graph with as many corners and edges, as a library tells.
  const PointGroup group = make_point_group("I");
  const Graph wanted = make_truncated_icosahedron();
  int threes = 0, fives = 0;
  for (int a = 0; a < group.order(); ++a)
    for (int b = 0; b < group.order(); ++b) {
      if (find_element_order(group, a) != 2 || find_element_order(group, b) != 5) continue;
      const int order = find_element_order(group, group.multiply(a, b));
      if ((order == 3 && threes++ < 3) || (order == 5 && fives < 3)) {
        if (static_cast<int>(make_generated_subgroup(group, {a, b}).size()) != group.order())
          continue;
        const Graph graph = make_cayley_graph(group, a, b);
        CHECK(boost::num_edges(graph) == 90);
        CHECK(boost::isomorphism(graph, wanted) == (order == 3));
        fives += order == 5;
      }
    }
  CHECK(threes >= 3);
  CHECK(fives >= 3);
}

TEST_CASE("a richer construction becomes one of the truncated icosahedron's graph", "[tune]") {
  // Published graph: 60 corners, 90 edges; the Cayley graph of I for an involution a and b of order
  // five with ab of order three (Chung, Kostant and Sternberg 1994). Compared by boost's
  // isomorphism.
  const Graph wanted = make_truncated_icosahedron();
  REQUIRE(boost::num_vertices(wanted) == 60);
  REQUIRE(boost::num_edges(wanted) == 90);
  const OrbitScheme scheme = make_scheme("I");
  const PointGroup& group = *scheme.group;
  Evaluator evaluator(1);
  bool found = false;
  int tried = 0;
  for (std::uint64_t i = 0; i < 20000 && !found && tried < 12; ++i) {
    const std::optional<Design> design = draw_design(scheme, easy_limits, i);
    if (!design || design->joints.size() <= 90 || design->joints.size() > 240) continue;
    // The elements that join copy 0 to others.
    std::vector<int> joined;
    for (const Joint& joint : design->joints)
      if (joint.panels[0] == 0 || joint.panels[1] == 0)
        joined.push_back(
            scheme.copies[static_cast<std::size_t>(joint.panels[0] + joint.panels[1])]);
    bool has = false;
    for (const int a : joined)
      for (const int b : joined)
        has = has || (find_element_order(group, a) == 2 && find_element_order(group, b) == 5 &&
                      find_element_order(group, group.multiply(a, b)) == 3);
    if (!has) continue;
    ++tried;
    TuneOptions options;
    options.placings = 0;
    options.refinements = 0;
    options.keep_look = 0.4;
    options.keep_stiffness = 0;
    options.count = 20;
    const TuneResult result = tune(*design, options, evaluator);
    for (const TunedVariant& variant : result.variants)
      if (variant.design.joints.size() == 90)
        found = found || boost::isomorphism(make_joint_graph(variant.design), wanted);
  }
  INFO(tried << " richer constructions tried");
  CHECK(found);
}

TEST_CASE("for stiffness, contacts are added where a neighbour is near", "[tune]") {
  Evaluator evaluator(1);
  int tried = 0, stiffer = 0, joined = 0;
  for (const char* symbol : {"T", "O"}) {
    const OrbitScheme scheme = make_scheme(symbol);
    int seen = 0;
    for (std::uint64_t i = 0; i < 4000 && seen < 3; ++i) {
      Limits limits = easy_limits;
      limits.allow_flexible = false;
      const std::optional<Design> design = draw_design(scheme, limits, i);
      if (!design) continue;
      ++seen;
      ++tried;
      TuneOptions options;
      options.goal.weights = {parse_weight("stiffness")};
      options.placings = 40;
      options.refinements = 1;
      options.keep_look = 0.7;
      const TuneResult result = tune(*design, options, evaluator);
      stiffer += !result.variants.empty();
      for (const TunedVariant& variant : result.variants) {
        // By the whole structure, copy by copy, without symmetry.
        const double before = measure_stiffness(make_structure(result.before.design)).value;
        const double after = measure_stiffness(make_structure(variant.design)).value;
        CHECK(after > 1.02 * before * (1 - 1e-6));
        CHECK(variant.stiffness_share == Approx(after / before).epsilon(1e-6));
        CHECK(inspect(variant.design).design.score.collisions == 0);
        joined += variant.design.score.joints > result.before.design.score.joints;
      }
    }
  }
  INFO(stiffer << " of " << tried << " made stiffer, " << joined << " variants with more joints");
  CHECK(stiffer >= 3);
  CHECK(joined >= 1);
}

TEST_CASE("what can not be tuned says why", "[tune]") {
  Evaluator evaluator(1);
  TuneOptions options;
  options.keep_look = 1.5;
  CHECK(options.find_fault() == "the look to keep is 1.5; it must lie from 0 to 1");
  // What a search knows nothing of can not be all that it goes by.
  for (const char* name : {"hard_steps", "spring_steps", "closure", "module_opening"}) {
    options = TuneOptions{};
    options.goal.weights = {parse_weight(name)};
    CHECK_THAT(options.find_fault(), Catch::Contains(std::string(name) + " is measured only") &&
                                         Catch::Contains("--for " + std::string(name) + ",mass=3"));
    options.goal.weights.push_back(parse_weight("mass"));
    CHECK(options.find_fault().empty());
  }
  options.goal.weights = {parse_weight("mass=0")};
  CHECK_THAT(options.find_fault(), Catch::Contains("all weights are 0"));
  options = TuneOptions{};
  options.placings = 0;
  options.refinements = 0;
  const OrbitScheme scheme = make_scheme("T");
  std::optional<Design> design;
  for (std::uint64_t i = 0; !design; ++i) design = draw_design(scheme, easy_limits, i);
  Design two_types = *design;
  two_types.orbits.push_back(two_types.orbits[0]);
  CHECK_THROWS_WITH(tune(two_types, options, evaluator),
                    Catch::Matchers::Contains("one panel type"));
  Design other = *design;
  other.symmetry = "O";
  CHECK_THROWS_WITH(tune(other, options, evaluator), Catch::Matchers::Contains("symmetry O"));
  // Nothing may change: no variant, and the reason.
  options.keep_look = 1;
  const TuneResult result = tune(*design, options, evaluator);
  CHECK(result.variants.empty());
  CHECK_FALSE(result.why_none.empty());
}

TEST_CASE("a rigid design needs as many hinges as the count asks for, no two the same",
          "[tune][least]") {
  // Tay 1989, Whiteley 1988: 5 j >= 6 (n - 1). D3: two classes of three joints, a ring of six
  // hinges, 5 * 6 >= 6 * 5. D2: 5 j >= 18, so two classes of two.
  const OrbitScheme d3 = make_scheme("D3"), d2 = make_scheme("D2"), c8 = make_scheme("C8");
  CHECK(find_least_joints(d3, all_pairs(d3), true).least == 6);
  CHECK(find_least_joints(d2, all_pairs(d2), true).least == 4);
  // C8: a ring of eight hinges has 8 - 6 = 2 degrees of freedom; 5 j >= 42 asks for 9 joints. The
  // ring alone can not give them, however often its copies are joined along the same line.
  std::vector<int> ring;
  for (std::size_t i = 0; i < c8.pairs.size(); ++i)
    if (find_element_order(*c8.group, c8.pairs[i].element) == 8 && ring.empty())
      ring.push_back(static_cast<int>(i));
  REQUIRE(ring.size() == 1);
  CHECK(find_least_joints(c8, ring, false).least == 8);
  CHECK(find_least_joints(c8, ring, true).least == 0);
  CHECK(find_least_joints(c8, all_pairs(c8), true).least == 12);  // and the four diagonals
}

TEST_CASE("finished parts get the room they lack, and stay joined as they were", "[tune]") {
  // A contact pulled back by a millimetre is no joint, and too close for board of some thickness.
  int mended = 0, lacking = 0;
  for (const char* symbol : {"T", "O", "D5"}) {
    const OrbitScheme scheme = make_scheme(symbol);
    int seen = 0;
    for (std::uint64_t i = 0; i < 4000 && seen < 6; ++i) {
      const std::optional<Design> design = draw_design(scheme, easy_limits, i);
      if (!design) continue;
      Placed placed;
      const TuneJob job = make_tune_job(*design, placed);
      const PairJoint joint = placed.variant.joints.front();
      if (joint.contact.kind == ContactKind::edge_second) continue;
      const MeetingLine& line = placed.variant.lines[static_cast<std::size_t>(joint.element)];
      if (!pull_back({line, joint.contact.from, joint.contact.to, joint.contact.first_above, 1},
                     placed.hub, placed.outline))
        continue;
      measure_placed(job, placed.variant.frame, placed);
      if (placed.joints == 0) continue;
      ++seen;
      // What check says, from coordinates alone.
      const auto look = [&] {
        const Inspection truth = inspect(make_placed_design(job, *design, placed));
        CHECK(truth.design.score.joints == placed.joints);
        return truth.design.score.slab_overlaps > 0 ||
               (truth.design.score.min_clearance_mm > 0 &&
                truth.design.score.min_clearance_mm < design->thickness_mm);
      };
      const double area = measure_area(placed.outline);
      const int joints = placed.joints;
      const bool was_close = look();
      const std::string in_the_way = mend_clearance(job, *design, placed);
      CHECK(placed.joints == joints);
      CHECK(measure_area(placed.outline) <= area + 1e-6);
      if (in_the_way.empty()) CHECK_FALSE(look());
      if (!was_close) CHECK(in_the_way.empty());
      lacking += was_close;
      mended += was_close && in_the_way.empty();
    }
  }
  INFO(mended << " of " << lacking << " mended");
  CHECK(lacking >= 6);
  CHECK(2 * mended >= lacking);
}
