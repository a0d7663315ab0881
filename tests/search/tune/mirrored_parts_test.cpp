// Parts that the construction's symmetry keeps can be tuned, too.

#include <catch2/catch.hpp>

#include "engine/part/panel_joints.h"
#include "engine/random.h"
#include "engine/variant/inspection.h"
#include "search/space/parameter_space.h"
#include "search/tune/job.h"
#include "search/tune/moves.h"
#include "search/tune/parts.h"
#include "tests/support/draws.h"

using namespace sixtyfold;

TEST_CASE("mirror-symmetric parts are moved so that they stay so", "[tune][mirrored]") {
  RandomStream random(81, Purpose::test, 0);
  VariantWorkspace work;
  Variant variant;
  Draft draft;
  int moved_parts = 0;
  for (const auto& [symbol, plane] :
       {std::pair{"I", "across-2"}, {"Oh", "mirror"}, {"Ih", "axis-3"}, {"D5h", "mirror-b"}}) {
    const Branch branch = make_branch(symbol, plane, "blades");
    for (int trial = 0, found = 0; trial < 400 && found < 2; ++trial) {
      const UnitPoint point = test::draw_point(branch.dimension(), random);
      make_draft(branch, to_values(branch, point), draft);
      make_variant(branch.scheme, draft, Limits{}, work, variant);
      if (variant.status != Status::ok) continue;
      ++found;
      CAPTURE(symbol, plane, trial);
      const Design design = make_design(branch.scheme, variant, Limits{});
      Placed original;
      const TuneJob job = make_tune_job(design, original);
      CHECK(job.scheme.panels() == branch.scheme.panels());
      CHECK(job.scheme.has_mirror());
      CHECK(contains(original.outline, original.hub));
      const DrawnPart part = find_drawn_parts(job, original).front();
      for (int i = 0; i < 6; ++i) {
        UnitPoint u;
        for (std::size_t k = 0; k < 7 + 2 * part.handles.size(); ++k)
          u.push_back(random.uniform(0.2, 0.8));
        Placed moved;
        if (!make_moved(job, part, {}, u, moved)) continue;
        ++moved_parts;
        CHECK(find_mirror_line(moved.outline, 1e-2));
      }
    }
  }
  CHECK(moved_parts > 10);
}
