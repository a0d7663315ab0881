#include "tests/support/sobol.h"

#include <catch2/catch.hpp>
#include <set>

using namespace sixtyfold;

TEST_CASE("the first Sobol' points are those of Joe and Kuo 2008", "[search][sobol]") {
  // First three columns: the example printed by the authors; the others also by scipy 1.10.
  const std::vector<std::vector<double>> expected = {{0, 0, 0, 0, 0, 0},
                                                     {.5, .5, .5, .5, .5, .5},
                                                     {.75, .25, .25, .25, .75, .75},
                                                     {.25, .75, .75, .75, .25, .25},
                                                     {.375, .375, .625, .875, .375, .125},
                                                     {.875, .875, .125, .375, .875, .625},
                                                     {.625, .125, .875, .625, .625, .875},
                                                     {.125, .625, .375, .125, .125, .375},
                                                     {.1875, .3125, .9375, .4375, .5625, .3125},
                                                     {.6875, .8125, .4375, .9375, .0625, .8125}};
  const Sobol sobol(6);
  for (std::size_t i = 0; i < expected.size(); ++i) CHECK(sobol.point(i) == expected[i]);
}

TEST_CASE("every coordinate of 2^k points falls once into each of 2^k equal intervals",
          "[search][sobol]") {
  // Property A in one dimension holds for every coordinate and every digital shift (Sobol' 1967).
  for (const std::uint64_t seed : {std::uint64_t{0}, std::uint64_t{12345}}) {
    const Sobol sobol(largest_sobol_dimension, seed);
    std::vector<std::set<int>> intervals(largest_sobol_dimension);
    for (std::uint64_t i = 0; i < 256; ++i) {
      const std::vector<double> point = sobol.point(i);
      for (std::size_t k = 0; k < point.size(); ++k) {
        REQUIRE((0 <= point[k] && point[k] < 1));
        intervals[k].insert(static_cast<int>(point[k] * 256));
      }
    }
    for (const std::set<int>& seen : intervals) CHECK(seen.size() == 256);
  }
}

TEST_CASE("a seed shifts the points and a dimension out of range is refused", "[search][sobol]") {
  CHECK(Sobol(5, 1).point(3) != Sobol(5, 2).point(3));
  CHECK(Sobol(5, 1).point(3) == Sobol(5, 1).point(3));
  CHECK_THROWS_AS(Sobol(0), std::invalid_argument);
  CHECK_THROWS_AS(Sobol(largest_sobol_dimension + 1), std::invalid_argument);
}
