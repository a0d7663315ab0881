// Loose movements counted block by block, against the eigenvalues of the whole.
#include "engine/building/looseness.h"

#include <catch2/catch.hpp>

#include "engine/building/modules.h"
#include "engine/part/part_joints.h"
#include "tests/support/polyhedra.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

/// At every step as many as the eigenvalue problem of all that stands says.
void check_growth(const Design& design, const std::vector<int>& order) {
  const Structure whole = make_structure(design);
  Looseness looseness(whole);
  CHECK(looseness.internal_dof() == 0);
  std::vector<int> standing;
  for (const int copy : order) {
    looseness.add({copy});
    standing.push_back(copy);
    CHECK(looseness.internal_dof() ==
          measure_stiffness(make_part_structure(whole, standing)).internal_dof);
  }
}

}  // namespace

TEST_CASE("loose movements step by step are those of the eigenvalue problem", "[looseness]") {
  for (const char* symbol : {"I", "T", "D5", "C6"}) {
    Limits limits;
    limits.allow_flexible = true;
    const Design design = make_first_random_design(symbol, limits, 300);
    INFO(symbol);
    std::vector<int> order, backwards;
    for (int copy = 0; copy < count_copies(design); ++copy) order.push_back(copy);
    backwards.assign(order.rbegin(), order.rend());
    if (order.size() > 24) order.resize(24);  // in pieces at first, as the numbers fall
    check_growth(design, order);
    if (backwards.size() < 30) check_growth(design, backwards);
  }
}

TEST_CASE("a cube closes step by step", "[looseness]") {
  // Plates hinged along their edges: two swing about one (1), three about a corner are rigid, two
  // hinges are lost by a fourth plate between two (Cauchy 1813: closed and convex, it is rigid).
  const Design cube = make_cube(150, 4);
  const Structure whole = make_structure(cube);
  Looseness looseness(whole);
  looseness.add({0});
  CHECK(looseness.internal_dof() == 0);
  std::vector<int> rest;
  for (int copy = 1; copy < 6; ++copy) rest.push_back(copy);
  looseness.add(rest);
  CHECK(looseness.internal_dof() == 0);
}
