// Panels that the construction's symmetry keeps: on axes of groups with reflections, in and across
// mirror planes, through twofold axes.

#include <catch2/catch.hpp>

#include "engine/part/panel_joints.h"
#include "engine/random.h"
#include "engine/variant/inspection.h"
#include "search/space/parameter_space.h"
#include "tests/support/draws.h"
#include "tests/support/test_limits.h"

using namespace sixtyfold;

namespace {

std::vector<Branch> find_symmetric_branches() {
  std::vector<Branch> branches;
  for (const char* symbol : {"I", "O", "D5", "Ih", "Oh", "Td", "Th", "D5h", "D3d", "C4v"})
    for (Branch& branch : find_branches({{symbol}, {}, {"radial", "blades"}}, Limits{}))
      if (branch.scheme.has_mirror()) branches.push_back(std::move(branch));
  return branches;
}

}  // namespace

TEST_CASE("copies are as many as the elements that keep no panel leave", "[space][mirrored]") {
  CHECK(make_branch("Ih", "axis-5", "radial").scheme.panels() == 12);
  CHECK(make_branch("Ih", "mirror", "radial").scheme.panels() == 60);
  // In a mirror plane of Ih every copy is its own mirror image.
  const auto group = std::make_shared<const PointGroup>(make_point_group("Ih"));
  const OrbitScheme flat = make_orbit_scheme(group, Vec3::UnitX(), true, OnAxis::own_sector);
  CHECK(flat.panels() == 60);
  CHECK(flat.own_symmetries.size() == 1);
  CHECK(make_branch("I", "across-2", "radial").scheme.panels() == 30);
  CHECK(make_branch("Oh", "axis-4", "radial").scheme.panels() == 6);
  CHECK(make_branch("Oh", "mirror-b", "radial").scheme.panels() == 24);
  CHECK(make_branch("D5", "across-2", "radial").scheme.panels() == 5);
  CHECK_THROWS(make_branch("Ih", "across-2", "radial"));
  CHECK_THROWS(make_branch("I", "mirror", "radial"));
}

TEST_CASE("panels that the symmetry keeps are scored as check scores them", "[space][mirrored]") {
  RandomStream random(43, Purpose::test, 0);
  VariantWorkspace work;
  Variant variant;
  Draft draft;
  int scored = 0;
  for (const Branch& branch : find_symmetric_branches()) {
    int ok = 0, tried = 0;
    for (; tried < 40 && ok < 2; ++tried) {
      const UnitPoint point = test::draw_point(branch.dimension(), random);
      make_draft(branch, to_values(branch, point), draft);
      make_variant(branch.scheme, draft, test::make_easy_limits(0, 0, 1), work, variant);
      if (variant.status != Status::ok) continue;
      ++ok;
      CAPTURE(branch.symmetry, branch.plane, branch.family, tried);
      const Design design = make_design(branch.scheme, variant, test::make_easy_limits(0, 0, 1));
      // Its contact band lets a curve that leaves a line slowly lie on it a little longer.
      const Inspection inspection = inspect(design);
      const Score &found = variant.score, &checked = inspection.design.score;
      CHECK(checked.collisions == 0);
      CHECK(checked.panels == found.panels);
      CHECK(checked.joints == found.joints);
      CHECK(checked.pieces == 1);
      CHECK(checked.internal_dof == found.internal_dof);
      CHECK(checked.stiffness == Approx(found.stiffness).epsilon(0.02).margin(1e-6));
      CHECK(checked.total_joint_mm == Approx(found.total_joint_mm).epsilon(0.01));
      CHECK(checked.openness == Approx(found.openness).margin(0.1));
      if (branch.scheme.has_mirror())
        CHECK(find_mirror_line(design.orbits[0].panel.outline_mm, 1e-3));
    }
    scored += ok;
  }
  CHECK(scored > 60);
}
