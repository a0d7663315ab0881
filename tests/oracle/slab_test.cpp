// Slabs against an independent solid method: the Flexible Collision Library's triangle meshes with
// bounding-volume trees (Pan, Chitta and Manocha 2012), on our own ear-clipped meshes. It shares
// neither the convex pieces nor the distance of engine/part/slab.h.
#include "engine/part/slab.h"

#include <fcl/fcl.h>

#include <catch2/catch.hpp>
#include <set>

#include "tests/oracle/solid_mesh.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

std::set<int> find_overlaps_with_first(const Design& design, const std::shared_ptr<Mesh>& mesh) {
  std::set<int> overlapping;
  const fcl::CollisionObjectd first(mesh, place_copy(design, 0));
  for (std::size_t j = 1; j < design.orbits[0].copies.size(); ++j) {
    const fcl::CollisionObjectd other(mesh, place_copy(design, static_cast<int>(j)));
    fcl::CollisionRequestd request;
    fcl::CollisionResultd result;
    if (fcl::collide(&first, &other, request, result) > 0) overlapping.insert(static_cast<int>(j));
  }
  return overlapping;
}

struct Seen {
  int designs = 0, with_overlaps = 0, slots = 0;
};

/// Compares random designs of many groups until there are `wanted`.
Seen compare_designs(const Limits& limits, int wanted) {
  Seen seen;
  for (const char* symbol : {"I", "O", "T", "D5", "D3", "C6", "D7", "C4"})
    for (std::uint64_t index = 0; index < 400 && seen.designs < wanted; ++index) {
      const auto design = make_random_design(symbol, limits, 1000 + index, index % 5 == 4);
      if (!design) continue;
      ++seen.designs;
      Finished finished = make_finished(*design, FlatOptions{});
      // Every third design as it is, the others in board thicker than they were made for, so that
      // there is something to find.
      const double grow = index % 3 == 0 ? 1.0 : index % 3 == 1 ? 1.35 : 2.2;
      for (FinishedPart& part : finished.parts)
        for (ConvexPlate& plate : part.plates) plate.half *= grow;
      std::set<int> ours;
      for (const SlabPair& pair : measure_slabs(*design, finished).overlaps)
        if (pair.copies[0] == 0) ours.insert(pair.copies[1]);
      const double half = 0.5 * grow * design->thickness_mm - 0.5 * slab_tolerance_mm;
      const std::set<int> theirs =
          find_overlaps_with_first(*design, make_mesh(finished.parts[0].pattern, half));
      INFO(symbol << " " << index);
      CHECK(ours == theirs);
      seen.with_overlaps += static_cast<int>(!ours.empty());
      seen.slots += design->score.slot_joints;
    }
  return seen;
}

}  // namespace

TEST_CASE("overlaps of finished parts agree with FCL on 500 designs", "[slab][oracle]") {
  Limits limits;
  limits.allow_flexible = true;  // boards overlap or not, whether or not the whole can move
  const Seen seen = compare_designs(limits, 560);
  CHECK(seen.designs >= 500);
  CHECK(seen.with_overlaps > 100);
}

TEST_CASE("overlaps of finished parts agree with FCL on designs with halved slots",
          "[slab][oracle]") {
  Limits limits;
  limits.allow_flexible = true;
  limits.joints_by = JointsBy::both;
  limits.min_angle_deg = 30;
  limits.max_angle_deg = 150;
  const Seen seen = compare_designs(limits, 120);
  CHECK(seen.designs >= 100);
  CHECK(seen.with_overlaps > 20);
  CHECK(seen.slots > 500);
}
