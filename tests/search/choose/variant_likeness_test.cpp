#include "search/choose/variant_likeness.h"

#include <catch2/catch.hpp>

#include "search/space/parameter_space.h"
#include "tests/support/sobol.h"
#include "tests/support/test_limits.h"

using namespace sixtyfold;

namespace {

struct Made {
  Variant variant;
  Signature signature;
};

/// Limits that turn little down: this is about looks.
Made make(const Branch& branch, const Draft& draft) {
  VariantWorkspace work;
  Made made;
  Limits limits = test::make_easy_limits(1, 1, 1);
  limits.allow_flexible = false;
  make_variant(branch.scheme, draft, limits, work, made.variant);
  if (made.variant.status == Status::ok)
    made.signature = make_signature(branch.scheme, made.variant);
  return made;
}

/// The same panel seen through an isometry of space: its plane and outline carried along.
Draft carry(const Draft& draft, const Mat3& isometry) {
  const Frame from = make_frame(draft.normal, draft.distance);
  Draft image;
  image.normal = isometry * draft.normal;
  image.distance = draft.distance;
  const Frame to = make_frame(image.normal, image.distance);
  const auto move = [&](const Vec2& p) { return to.to_plane(isometry * from.to_space(p)); };
  for (const Vec2& p : draft.outline) image.outline.push_back(move(p));
  image.outline = make_counter_clockwise(image.outline);
  image.hub = move(draft.hub);
  return image;
}

}  // namespace

TEST_CASE("a design's signature is the same in every guise", "[search][likeness]") {
  int compared = 0;
  for (const char* symbol : {"I", "O", "T", "D5"}) {
    const Branch branch = make_branch(symbol, "generic", "radial");
    const Sobol sobol(branch.dimension(), 2);
    Draft draft;
    for (std::uint64_t i = 0; i < 200; ++i) {
      make_draft(branch, to_values(branch, sobol.point(i)), draft);
      const Made original = make(branch, draft);
      if (original.variant.status != Status::ok) continue;
      // Another copy taken as the panel; the mirror image; another scale.
      const Draft relabelled = carry(draft, branch.scheme.group->elements[1]);
      const Draft mirrored = carry(draft, -Mat3::Identity());
      Draft larger = draft;
      larger.distance *= 3;
      larger.hub *= 3;
      for (Vec2& p : larger.outline) p *= 3;
      for (const Draft& guise : {relabelled, mirrored, larger}) {
        const Made other = make(branch, guise);
        if (other.variant.status != Status::ok) continue;  // a limit hit to the last bit
        CHECK(measure_difference(original.signature, other.signature) < near_duplicate);
        ++compared;
      }
    }
  }
  CHECK(compared > 60);
}

TEST_CASE("a small change is a near-duplicate and another sample is not", "[search][likeness]") {
  const Branch branch = make_branch("I", "generic", "straight");
  const Sobol sobol(branch.dimension(), 2);
  int near = 0, far = 0, total = 0;
  Draft draft;
  Signature previous;
  bool has_previous = false;
  for (std::uint64_t i = 0; i < 1000; ++i) {
    UnitPoint point = sobol.point(i);
    make_draft(branch, to_values(branch, point), draft);
    const Made original = make(branch, draft);
    if (original.variant.status != Status::ok) continue;
    for (double& coordinate : point) coordinate = std::min(1.0, coordinate + 1e-3);
    make_draft(branch, to_values(branch, point), draft);
    const Made shifted = make(branch, draft);
    if (shifted.variant.status != Status::ok) continue;
    ++total;
    near += measure_difference(original.signature, shifted.signature) < near_duplicate;
    far += has_previous && measure_difference(original.signature, previous) > near_duplicate;
    previous = original.signature;
    has_previous = true;
  }
  REQUIRE(total > 30);
  CHECK(near > 0.8 * total);
  CHECK(far > 0.9 * total);
}
