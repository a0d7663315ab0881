// What the stages turn down, counted by the stages themselves.
#include "search/run/stage_times.h"

#include <catch2/catch.hpp>

#include "engine/variant/variant.h"
#include "tests/support/sample_drafts.h"

using namespace sixtyfold;

TEST_CASE("who comes to a stage was not turned down by the one before", "[search][stage_times]") {
  const OrbitScheme scheme = support::make_generic_scheme("I");
  Limits limits;
  limits.min_joint_mm = 60;
  limits.sheet_width_mm = 60, limits.sheet_height_mm = 90;
  VariantWorkspace work;
  StageClock clock;
  work.watch = &clock;
  Variant variant;
  const int all = 400;
  std::uint64_t ok = 0, sheet = 0;
  for (int i = 0; i < all; ++i) {
    make_variant(scheme, support::make_sample_draft(static_cast<std::uint64_t>(i)), limits, work,
                 variant);
    ok += variant.status == Status::ok;
    sheet += variant.status == Status::sheet;
  }
  const StageTimes& times = clock.times();
  CHECK(sheet > 0);  // told by the blunting and by the scaling: the status alone can not tell which
  CHECK(times.variants[0] == all);
  for (std::size_t i = 0; i < StageTimes::count; ++i) {
    const std::uint64_t left = times.variants[i] - times.turned_down[i];
    CAPTURE(name_of(static_cast<Stage>(i)));
    CHECK(left == (i + 1 < StageTimes::count ? times.variants[i + 1] : ok));
  }
}
