// Ways in and out, replayed in small steps with the Flexible Collision Library's triangle meshes
// (see solid_mesh.h): no swept hull, no cone.
#include "engine/building/order.h"

#include <fcl/fcl.h>

#include <catch2/catch.hpp>

#include "engine/building/assembly_order.h"
#include "engine/random.h"
#include "tests/oracle/solid_mesh.h"
#include "tests/support/draws.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// What stands, and one that moves.
class Replay {
 public:
  Replay(const Design& design, const std::shared_ptr<Mesh>& mesh) : design_(design) {
    for (int copy = 0; copy < count_copies(design); ++copy) {
      objects_.push_back(std::make_unique<fcl::CollisionObjectd>(mesh, place_copy(design, copy)));
      objects_.back()->computeAABB();
    }
  }

  /// Whether the copy meets what stands within `length_mm` along the push, in steps of a millimetre
  /// at first.
  bool meets(int copy, const std::vector<int>& standing, const Vec3& push, double length_mm) {
    fcl::DynamicAABBTreeCollisionManagerd manager;
    for (const int other : standing) manager.registerObject(objects_[at(other)].get());
    manager.setup();
    fcl::CollisionObjectd moving(*objects_[at(copy)]);
    const fcl::Transform3d start = place_copy(design_, copy);
    for (double s = 0; s < length_mm; s += s < 60 ? 1 : 6) {
      fcl::Transform3d there = start;
      there.translation() += s * push;
      moving.setTransform(there);
      moving.computeAABB();
      fcl::DefaultCollisionData<double> data;
      manager.collide(&moving, &data, fcl::DefaultCollisionFunction<double>);
      if (data.result.isCollision()) return true;
    }
    return false;
  }

 private:
  const Design& design_;
  std::vector<std::unique_ptr<fcl::CollisionObjectd>> objects_;
};

struct Seen {
  int designs = 0, straight = 0, hard = 0;
};

void compare(const Design& design, Seen& seen, std::uint64_t seed) {
  const Finished finished = make_finished(design, FlatOptions{});
  const JointSides sides = find_joint_sides(design, finished.joints);
  const StandingCopies copies = make_standing_copies(design, finished, sides);
  std::vector<std::vector<int>> panels;
  for (int copy = 0; copy < count_copies(design); ++copy) panels.push_back({copy});
  const Order order = find_order(make_order_task(design, copies, panels));
  ++seen.designs;
  // A little thinner where nothing may be met, a little thicker where something must.
  const double half = 0.5 * design.thickness_mm - slab_tolerance_mm;
  Replay thin(design, make_mesh(finished.parts[0].pattern, half - 0.02));
  Replay thick(design, make_mesh(finished.parts[0].pattern, half + 0.02));
  const double far_mm = 3 * design.score.diameter_mm;
  RandomStream random(seed, Purpose::test, 9);
  std::vector<int> standing;
  for (const OrderStep& step : order.steps) {
    const int copy = step.block;
    if (step.coming_in == ComingIn::straight && !standing.empty()) {
      ++seen.straight;
      CHECK_FALSE(thin.meets(copy, standing, step.push, far_mm));
    }
    if (step.coming_in == ComingIn::hard) {
      ++seen.hard;
      for (int k = 0; k < 60; ++k) {
        const Vec3 way = test::draw_direction(random);
        CHECK(thick.meets(copy, standing, way, far_mm));
      }
    }
    standing.push_back(copy);
  }
}

}  // namespace

TEST_CASE("ways in of 200 designs agree with small steps in FCL", "[order][oracle]") {
  Seen seen;
  for (const JointsBy joints_by : {JointsBy::tab, JointsBy::both}) {
    Limits limits;
    limits.allow_flexible = true;
    limits.joints_by = joints_by;
    const int wanted = seen.designs + 100;
    for (std::uint64_t index = 0; index < 4000 && seen.designs < wanted; ++index) {
      static const char* const groups[] = {"T", "D5", "D3", "C6", "D7", "O", "C4", "D4"};
      const std::string symbol = groups[index % 8];
      const auto design = make_random_design(symbol, limits, 3000 + index / 8);
      if (!design) continue;
      INFO(symbol << " " << index / 8);
      compare(*design, seen, index);
    }
  }
  CHECK(seen.designs >= 200);
  CHECK(seen.straight > 500);
  CHECK(seen.hard > 20);
}
