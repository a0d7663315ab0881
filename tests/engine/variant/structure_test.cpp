#include "engine/variant/structure.h"

#include <catch2/catch.hpp>

#include "tests/support/sample_drafts.h"
#include "tests/support/test_limits.h"

using namespace sixtyfold;

namespace {

/// Compares the fast path with the whole design, built copy by copy and measured without symmetry.
int compare(const OrbitScheme& scheme, int wanted, bool on_axis) {
  SymmetricStructure structure;
  StiffnessWorkspace stiffness_work;
  VariantWorkspace work;
  Variant variant;
  int compared = 0;
  for (std::uint64_t index = 0; index < 200 && compared < wanted; ++index) {
    Draft draft = support::make_sample_draft(index);
    if (on_axis) draft.normal = Vec3(1, 1, 1).normalized();
    make_variant(scheme, draft, test::make_open_limits(), work, variant);
    if (variant.score.joints == 0 || variant.score.pieces != 1) continue;
    Polygon outline_mm = variant.outline.to_polygon();
    for (Vec2& p : outline_mm) p *= variant.scale_mm;
    make_symmetric_structure(scheme, variant, outline_mm, structure);
    const Stiffness fast = measure_stiffness(*scheme.blocks, structure, stiffness_work);
    const Stiffness slow =
        measure_stiffness(make_structure(make_design(scheme, variant, test::make_open_limits())));
    INFO("draft " << index);
    CHECK(fast.pieces == slow.pieces);
    CHECK(fast.internal_dof == slow.internal_dof);
    CHECK(fast.self_stresses == slow.self_stresses);
    CHECK(fast.value == Approx(slow.value).epsilon(1e-7));
    ++compared;
  }
  return compared;
}

}  // namespace

TEST_CASE("a variant's stiffness by blocks is that of its design, copy by copy", "[structure]") {
  for (const auto& symbol : {"I", "O", "T", "D5"}) {
    INFO(symbol);
    CHECK(compare(support::make_generic_scheme(symbol), 3, false) == 3);
  }
  // On a threefold axis, each panel in its own sector.
  const auto group = std::make_shared<const PointGroup>(make_point_group("O"));
  const Vec3 axis = Vec3(1, 1, 1).normalized();
  CHECK(compare(make_orbit_scheme(group, axis, false, OnAxis::own_sector), 2, true) == 2);
}
