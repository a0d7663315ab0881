#include "search/propose/refine.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <stdexcept>

#include "tests/support/test_functions.h"

using namespace sixtyfold;
using sixtyfold::testing::global_functions;

TEST_CASE("refining finds the minimum nearby and never makes things worse", "[search][refine]") {
  const auto& branin = global_functions()[5];
  for (const LocalMethod method :
       {LocalMethod::subplex, LocalMethod::nelder_mead, LocalMethod::bobyqa, LocalMethod::cobyla}) {
    const UnitPoint start = {0.5, 0.2};
    const Refined refined = refine(branin, start, {method, 300, 0.05, 1e-6});
    CHECK(refined.value == Approx(branin.minimum).margin(1e-4));
    CHECK(refined.evaluations <= 300);
    CHECK(refined.value == branin(refined.point));
    CHECK(refine(branin, start, {method, 1, 0.05, 1e-6}).value == branin(start));
  }
}

TEST_CASE("refining is deterministic", "[search][refine]") {
  const auto& function = global_functions()[4];
  const UnitPoint start(5, 0.31);
  const Refined a = refine(function, start), b = refine(function, start);
  CHECK(a.point == b.point);
  CHECK(a.value == b.value);
  CHECK(a.evaluations == b.evaluations);
}

TEST_CASE("refining walks along the border of what is allowed", "[search][refine]") {
  // x + y with x y >= 1/4 in the unit square: minimum 1 at (1/2, 1/2), infinite outside.
  const auto value = [](const UnitPoint& p) {
    return p[0] * p[1] >= 0.25 ? p[0] + p[1] : (p[0] > 0.9 ? NAN : HUGE_VAL);
  };
  const Refined refined = refine(value, {0.9, 0.4}, {LocalMethod::subplex, 600, 0.05, 1e-7});
  CHECK(refined.value < 1.12);
  CHECK(std::isfinite(refined.value));
  const Refined hopeless = refine([](const UnitPoint&) { return NAN; }, {0.9, 0.4});
  CHECK(hopeless.point == UnitPoint{0.9, 0.4});
  CHECK(std::isinf(hopeless.value));
}

TEST_CASE("an exception passes through the C library", "[search][refine]") {
  int calls = 0;
  const auto value = [&](const UnitPoint& p) -> double {
    if (++calls == 5) throw std::runtime_error("five");
    return p[0];
  };
  CHECK_THROWS_AS(refine(value, {0.5}), std::runtime_error);
  CHECK(calls == 5);
}
