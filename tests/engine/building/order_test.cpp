// Taking apart and putting together, against assemblies whose answer is known and a slow reference
// on unit cubes that shares nothing with engine/building.
#include "engine/building/order.h"

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "engine/building/assembly_order.h"
#include "engine/part/scaled_pattern.h"
#include "engine/random.h"
#include "tests/support/crate.h"
#include "tests/support/draws.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// A convex body, thinned as finished boards are, so that what touches does not count.
StandingPlate make_piece(const std::vector<Vec3>& middle, const Vec3& half, int copy) {
  StandingPlate piece;
  piece.copy = copy;
  piece.plate.middle = middle;
  piece.plate.half = half - slab_tolerance_mm * half.normalized();
  for (const Vec3& p : middle) piece.centre += p / static_cast<double>(middle.size());
  for (const Vec3& p : middle)
    piece.radius_mm = std::max(piece.radius_mm, (p - piece.centre).norm());
  piece.radius_mm += half.norm();
  return piece;
}

/// low and high are opposite corners; thinned on all six sides.
StandingPlate make_box(Vec3 low, Vec3 high, int copy) {
  low.head<2>().array() += slab_tolerance_mm;
  high.head<2>().array() -= slab_tolerance_mm;
  const double z = (low.z() + high.z()) / 2;
  return make_piece({{low.x(), low.y(), z},
                     {high.x(), low.y(), z},
                     {high.x(), high.y(), z},
                     {low.x(), high.y(), z}},
                    Vec3(0, 0, (high.z() - low.z()) / 2), copy);
}

/// Bodies of several boxes each, none like another.
StandingCopies make_bodies(const std::vector<std::vector<StandingPlate>>& bodies) {
  StandingCopies copies;
  copies.plates = bodies;
  for (std::size_t b = 0; b < bodies.size(); ++b) {
    copies.kind.push_back(static_cast<int>(b));
    copies.turn.push_back(Mat3::Identity());
  }
  return copies;
}

Order take_apart(const StandingCopies& copies) {
  OrderTask task;
  task.copies = &copies;
  for (std::size_t b = 0; b < copies.plates.size(); ++b)
    task.blocks.push_back({static_cast<int>(b)});
  task.neighbours.resize(task.blocks.size());
  return find_order(task);
}

DirectionSearch search(const StandingCopies& copies, int body) {
  std::vector<std::vector<int>> blocks;
  for (std::size_t b = 0; b < copies.plates.size(); ++b) blocks.push_back({static_cast<int>(b)});
  WaysOut ways(copies, blocks);
  return ways.search_ways(body, std::vector<bool>(blocks.size(), true), Tabs::folded);
}

}  // namespace

TEST_CASE("what is in the way is the cone over the difference of the two", "[order]") {
  // Two squares of 2 mm, 2 mm thick, ten apart: seen from the first's place, the difference is the
  // box
  // [-2, 2]^2 x [8, 12], so by the intercept theorem x is blocked up to 2/8 of z.
  const ConvexPlate low{{{-1, -1, 0}, {1, -1, 0}, {1, 1, 0}, {-1, 1, 0}}, {0, 0, 1}};
  ConvexPlate high = low;
  for (Vec3& p : high.middle) p.z() += 10;
  const BlockingCone cone = find_blocking_cone(low, high);
  CHECK(cone.walls.size() == 4);
  CHECK(cone.contains({0, 0, 1}));
  CHECK(cone.contains({0.249, -0.249, 1}));
  CHECK_FALSE(cone.contains({0.251, 0, 1}));
  CHECK_FALSE(cone.contains({0, 0, -1}));
  CHECK(find_blocking_cone(low, low).everything);
}

TEST_CASE("a cone blocks exactly what a swept hull runs into", "[order]") {
  RandomStream random(5, Purpose::test, 0);
  const auto draw = [&] {
    ConvexPlate plate;
    const Vec3 middle(random.uniform(-60, 60), random.uniform(-60, 60), random.uniform(-60, 60));
    const Vec3 normal = test::draw_direction(random);
    const Vec3 right = normal.unitOrthogonal(), up = normal.cross(right);
    const int corners = 3 + static_cast<int>(random.below(6));
    for (int k = 0; k < corners; ++k) {
      const double a = 2 * pi * k / corners;
      plate.middle.push_back(middle + 30 * (std::cos(a) * right + std::sin(a) * up));
    }
    plate.half = 2 * normal;
    return plate;
  };
  int blocked = 0, free = 0;
  for (int trial = 0; trial < 400; ++trial) {
    const ConvexPlate moving = draw(), still = draw();
    const BlockingCone cone = find_blocking_cone(moving, still);
    for (int k = 0; k < 20; ++k) {
      const Vec3 way = test::draw_direction(random);
      ConvexPlate swept = moving;
      for (const Vec3& p : moving.middle) swept.middle.push_back(p + 1000 * way);
      const double distance = measure_distance(swept, still).distance;
      if (0 < distance && distance < 1e-3) continue;
      ++(distance > 0 ? free : blocked);
      REQUIRE(cone.contains(way) == !(distance > 0));
    }
  }
  CHECK(blocked > 1000);
  CHECK(free > 1000);
}

TEST_CASE("stacked boxes go together, and a box in a closed box does not", "[order]") {
  std::vector<std::vector<StandingPlate>> stack;
  for (int k = 0; k < 5; ++k)
    stack.push_back({make_box({0, 0, 10.0 * k}, {40, 30, 10.0 * k + 10}, k)});
  const Order order = take_apart(make_bodies(stack));
  CHECK(order.hard_steps == 0);
  REQUIRE(order.steps.size() == 5);
  for (int k = 0; k < 5; ++k) CHECK(order.steps[at(k)].block == k);

  std::vector<StandingPlate> shell{
      make_box({0, 0, 0}, {50, 50, 5}, 1), make_box({0, 0, 45}, {50, 50, 50}, 1),
      make_box({0, 0, 0}, {5, 50, 50}, 1), make_box({45, 0, 0}, {50, 50, 50}, 1),
      make_box({0, 0, 0}, {50, 5, 50}, 1), make_box({0, 45, 0}, {50, 50, 50}, 1)};
  const std::vector<StandingPlate> inside{make_box({10, 10, 10}, {40, 40, 40}, 0)};
  const Order shut = take_apart(make_bodies({inside, shell}));
  CHECK(shut.hard_steps == 1);
  CHECK(shut.doubt_deg == 0);
  shell.erase(shell.begin() + 1);
  CHECK(take_apart(make_bodies({inside, shell})).hard_steps == 0);
}

TEST_CASE("a dovetail slides along its groove and no other way", "[order]") {
  // The joint of every joinery handbook: a tenon wider at its root's far end, in a groove of that
  // shape, of a slope of 1 in 6. Prisms along x.
  const auto prism = [](const std::vector<Vec2>& section, double from, double to, int copy) {
    std::vector<Vec3> middle;
    for (const Vec2& p : section) middle.emplace_back((from + to) / 2, p.x(), p.y());
    return make_piece(middle, Vec3((to - from) / 2, 0, 0), copy);
  };
  const double play = 0.2;
  const std::vector<StandingPlate> tenon{
      prism({{-5 + play, 0}, {5 - play, 0}, {10 - play, 30 - play}, {-10 + play, 30 - play}}, -40,
            40, 0)};
  const std::vector<StandingPlate> groove{
      prism({{5, 0}, {40, 0}, {40, 30}, {10, 30}}, -40, 40, 1),
      prism({{-40, 0}, {-5, 0}, {-10, 30}, {-40, 30}}, -40, 40, 1),
      prism({{-40, 30}, {40, 30}, {40, 50}, {-40, 50}}, -40, 40, 1)};
  const StandingCopies joint = make_bodies({tenon, groove});
  const DirectionSearch way = search(joint, 0);
  REQUIRE(way.free);
  CHECK(std::abs(way.free->x()) > 0.99);
  CHECK(take_apart(joint).hard_steps == 0);
  // Stopped at both ends it is locked; that is proved.
  auto stopped = groove;
  for (const double x : {-50.0, 40.0})
    stopped.push_back(make_box({x, -40, 0}, {x + 10, 40, 50}, 1));
  const DirectionSearch none = search(make_bodies({tenon, stopped}), 0);
  CHECK_FALSE(none.free);
  CHECK(none.doubt_deg == 0);
}

TEST_CASE("convex bodies on a table can always be taken away one at a time", "[order]") {
  // Guibas and Yao 1983 ("On translating a set of rectangles"): disjoint convex sets in the plane
  // can be translated to infinity one at a time, all in one direction.
  RandomStream random(8, Purpose::test, 3);
  for (int trial = 0; trial < 20; ++trial) {
    std::vector<std::vector<StandingPlate>> bodies;
    for (int i = 0; i < 4; ++i)
      for (int k = 0; k < 4; ++k) {
        std::vector<Vec3> corners;
        const double turn = random.uniform(0, 2 * pi), radius = random.uniform(3, 4.9);
        const int count = 3 + static_cast<int>(random.below(5));
        for (int c = 0; c < count; ++c)
          corners.emplace_back(10 * i + radius * std::cos(turn + 2 * pi * c / count),
                               10 * k + radius * std::sin(turn + 2 * pi * c / count), 0);
        bodies.push_back({make_piece(corners, Vec3(0, 0, 5), 4 * i + k)});
      }
    CHECK(take_apart(make_bodies(bodies)).hard_steps == 0);
  }
}

namespace {

using Cell = std::array<int, 3>;

/// Bodies of unit cubes of 10 mm.
StandingCopies make_cubes(const std::vector<std::set<Cell>>& bodies) {
  std::vector<std::vector<StandingPlate>> boxes;
  for (std::size_t b = 0; b < bodies.size(); ++b) {
    boxes.emplace_back();
    for (const Cell& c : bodies[b]) {
      const Vec3 low(10.0 * c[0], 10.0 * c[1], 10.0 * c[2]);
      boxes.back().push_back(make_box(low, low + Vec3::Constant(10), static_cast<int>(b)));
    }
  }
  return make_bodies(boxes);
}

/// The slow reference: can the body leave along one of the six axes, cube by cube?
bool leaves_along_axis(const std::vector<std::set<Cell>>& bodies, std::size_t body) {
  for (int axis = 0; axis < 3; ++axis)
    for (const int sign : {1, -1}) {
      bool free = true;
      for (Cell cell : bodies[body])
        for (int step = 0; step < 20 && free; ++step) {
          cell[at(axis)] += sign;
          for (std::size_t other = 0; other < bodies.size(); ++other)
            if (other != body && bodies[other].count(cell)) free = false;
        }
      if (free) return true;
    }
  return false;
}

/// Small steps along a direction, cube against cube, each a little smaller than it is.
bool passes_in_small_steps(const std::vector<std::set<Cell>>& bodies, std::size_t body,
                           const Vec3& way) {
  for (double s = 0; s < 14; s += 0.01)
    for (const Cell& a : bodies[body])
      for (std::size_t other = 0; other < bodies.size(); ++other)
        for (const Cell& b : bodies[other]) {
          if (other == body) break;
          bool apart = false;
          for (int k = 0; k < 3; ++k)
            apart = apart || std::abs(a[at(k)] + s * way[k] - b[at(k)]) >= 0.96;
          if (!apart) return false;
        }
  return true;
}

}  // namespace

TEST_CASE("interlocking cubes are told from those that are not", "[order]") {
  // A cube is interlocking when every piece but the key is immobile (Song, Fu and Cohen-Or 2012,
  // "Recursive interlocking puzzles"). Random divisions of a cube of 3 x 3 x 3, each piece against
  // all others, beside the reference.
  int locked = 0, free = 0;
  for (std::uint64_t trial = 0; trial < 80; ++trial) {
    RandomStream random(21, Purpose::test, trial);
    std::vector<std::set<Cell>> bodies(3 + trial % 3);
    std::vector<Cell> cells;
    for (int x = 0; x < 3; ++x)
      for (int y = 0; y < 3; ++y)
        for (int z = 0; z < 3; ++z) cells.push_back({x, y, z});
    for (auto& body : bodies) {
      const std::size_t k = random.below(cells.size());
      body.insert(cells[k]);
      cells.erase(cells.begin() + static_cast<long>(k));
    }
    while (!cells.empty()) {  // each grows by a free neighbour
      auto& body = bodies[random.below(bodies.size())];
      std::vector<std::size_t> next;
      for (std::size_t k = 0; k < cells.size(); ++k)
        for (const Cell& own : body) {
          int apart = 0;
          for (int a = 0; a < 3; ++a) apart += std::abs(own[at(a)] - cells[k][at(a)]);
          if (apart == 1) next.push_back(k);
        }
      if (next.empty()) continue;
      const std::size_t k = next[random.below(next.size())];
      body.insert(cells[k]);
      cells.erase(cells.begin() + static_cast<long>(k));
    }
    const StandingCopies copies = make_cubes(bodies);
    for (std::size_t b = 0; b < bodies.size(); ++b) {
      const DirectionSearch way = search(copies, static_cast<int>(b));
      CAPTURE(trial, b);
      if (way.free) {
        ++free;
        CHECK(passes_in_small_steps(bodies, b, *way.free));
      } else {
        ++locked;
        CHECK(way.doubt_deg == 0);
        CHECK_FALSE(leaves_along_axis(bodies, b));
      }
    }
  }
  CHECK(locked > 20);
  CHECK(free > 20);
}

TEST_CASE("the solid stick of a burr is its key", "[order]") {
  // Cutler 1978 ("The six-piece burr"): six sticks of 2 x 2 x 6 cubes in three crossed pairs; where
  // two share a cube one gives way. A stick that keeps all of its cubes slides out along itself;
  // random shares of the rest beside the reference.
  for (std::uint64_t trial = 0; trial < 12; ++trial) {
    RandomStream random(34, Purpose::test, trial);
    std::vector<std::set<Cell>> sticks(6);
    std::map<Cell, std::vector<std::size_t>> wanted;
    for (int axis = 0; axis < 3; ++axis)
      for (int side = 0; side < 2; ++side)
        for (int along = -3; along < 3; ++along)
          for (int across = -1; across < 1; ++across)
            for (int up = 0; up < 2; ++up) {
              Cell cell;
              cell[at(axis)] = along;
              cell[at((axis + 1) % 3)] = across;
              cell[at((axis + 2) % 3)] = side * 2 - 2 + up;
              wanted[cell].push_back(at(2 * axis + side));
            }
    for (const auto& [cell, owners] : wanted) {
      const bool key = std::find(owners.begin(), owners.end(), 0u) != owners.end();
      sticks[key ? 0 : owners[random.below(owners.size())]].insert(cell);
    }
    CHECK(sticks[0].size() == 24);
    const StandingCopies copies = make_cubes(sticks);
    const DirectionSearch key = search(copies, 0);
    REQUIRE(key.free);
    CHECK(std::abs(key.free->x()) > 0.99);
    for (std::size_t b = 1; b < 6; ++b) {
      const DirectionSearch way = search(copies, static_cast<int>(b));
      CAPTURE(trial, b);
      if (way.free)
        CHECK(passes_in_small_steps(sticks, b, *way.free));
      else
        CHECK_FALSE(leaves_along_axis(sticks, b));
    }
  }
}

namespace {

AssemblyOrder order_of(const Design& design) {
  return find_assembly_order(design, make_finished(design, make_flat_options(design)));
}

}  // namespace

TEST_CASE("an egg-crate goes together, and with slots turned in a ring it does not", "[order]") {
  for (const auto& [m, n] : {std::pair{1, 1}, std::pair{2, 2}, std::pair{3, 2}, std::pair{4, 5}}) {
    const Design crate = make_crate(m, n, 0);
    CAPTURE(m, n);
    REQUIRE(static_cast<int>(crate.joints.size()) == m * n);
    for (const Joint& joint : crate.joints) CHECK(joint.kind == JointKind::slot);
    const AssemblyOrder order = order_of(crate);
    CHECK(order.hard_steps == 0);
    CHECK(order.spring_steps == 0);
    // Dividers go straight up and down: into several slots nothing else leads.
    for (const OrderStep& step : order.order.steps)
      if (step.push.norm() > 0 && m > 1 && n > 1 && step.block == order.order.steps.back().block)
        CHECK(std::abs(step.push.z()) > 0.999);
    if (m == 1 || n == 1) continue;
    // One turned: all dividers but the two that cross there leave first, so it still goes together.
    const Design one = make_crate(m, n, 1);
    REQUIRE(static_cast<int>(one.joints.size()) == m * n);
    CHECK(order_of(one).hard_steps == 0);
    // Two turned on the diagonal: four dividers, each held from above and from below. Proved.
    const Design two = make_crate(m, n, 2);
    REQUIRE(static_cast<int>(two.joints.size()) == m * n);
    const AssemblyOrder stuck = order_of(two);
    CHECK(stuck.hard_steps > 0);
    CHECK(stuck.doubt_deg == 0);
  }
}

TEST_CASE("springing follows the formulas of strips and slots", "[order]") {
  // Cantilever (Gere and Goodno 2013, appendix H): P = 3 E I s / L^3, strain = P L t / (2 E I). For
  // t = 4, s = 10, L = 200 that is 3 x 4 x 10 / (2 x 40000) = 0.0015.
  CHECK(measure_strip_strain(4, 10, 200) == Approx(0.0015));
  CHECK(measure_strip_strain(4, 0, 0) == 0);
  CHECK(std::isinf(measure_strip_strain(4, 10, 0)));
  // Along the crossing nothing is bent; at right angles only the partner is.
  const SlotMisfit straight = measure_slot_misfit(50, 0, pi / 3);
  CHECK(straight.travel_mm == Approx(50));
  CHECK(straight.partner_mm == Approx(0).margin(1e-12));
  const SlotMisfit square = measure_slot_misfit(50, pi / 6, pi / 2);
  CHECK(square.partner_mm == Approx(50 / std::sqrt(3.0)));
  CHECK(square.mover_mm == Approx(0).margin(1e-12));
  CHECK(square.travel_mm == Approx(100 / std::sqrt(3.0)));
  // The misfit lies in the mover's plane across the crossing: what the partner bends along its own
  // normal less what the mover bends along its own must make it up. Axes: z the crossing, x the
  // misfit.
  for (const double phi : {0.4, 0.9, 1.3}) {
    const SlotMisfit misfit = measure_slot_misfit(50, 0.3, phi);
    const Vec2 mover(0, 1), partner(std::sin(phi), std::cos(phi));
    const Vec2 moved = misfit.partner_mm * partner - misfit.mover_mm * mover;
    CHECK(moved.x() == Approx(50 * std::tan(0.3)));
    CHECK(moved.y() == Approx(0).margin(1e-9));
  }
}

TEST_CASE("a crate that does not go together can be sprung when its boards bear it", "[order]") {
  Design turned = make_crate(2, 2, 2);
  turned.limits.working_strain = 0.1;
  const AssemblyOrder soft = order_of(turned);
  turned.limits.working_strain = 1e-6;
  const AssemblyOrder stiff = order_of(turned);
  CHECK(stiff.hard_steps > 0);
  CHECK(stiff.spring_steps == 0);
  CHECK(soft.hard_steps <= stiff.hard_steps);
}

TEST_CASE("what is sprung in bends something, and no farther than the formula holds", "[order]") {
  Limits limits;
  limits.allow_flexible = true;
  limits.joints_by = JointsBy::both;
  int sprung = 0;
  for (std::uint64_t index = 0; index < 400 && sprung < 5; ++index) {
    const auto random = make_random_design(index % 2 == 0 ? "T" : "D3", limits, 3000 + index);
    if (!random) continue;
    Design design = *random;
    design.limits.working_strain = 0.05;
    const Finished finished = make_finished(design, make_flat_options(design));
    const StandingCopies copies =
        make_standing_copies(design, finished, find_joint_sides(design, finished.joints));
    std::vector<std::vector<int>> panels;
    for (int copy = 0; copy < count_copies(design); ++copy) panels.push_back({copy});
    for (const OrderStep& step : find_order(make_order_task(design, copies, panels)).steps) {
      if (step.coming_in != ComingIn::sprung) continue;
      ++sprung;
      CHECK(step.spring.strain > 0);
      CHECK(step.spring.strain <= 0.05);
      REQUIRE(!step.spring.bends.empty());
      CHECK(step.spring.bends.front().strain == step.spring.strain);
      for (const Bend& bend : step.spring.bends)
        CHECK(bend.deflection_mm <= 0.25 * bend.free_length_mm);
    }
  }
  CHECK(sprung >= 5);
}
