#include "results/drawings/number_text.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

using namespace sixtyfold;

TEST_CASE("numbers are written short, and read back within half a last digit", "[drawing]") {
  CHECK(write_number(2.5) == "2.5");
  CHECK(write_number(100) == "100");
  CHECK(write_number(120, 0) == "120");
  CHECK(write_number(0.125, 3) == "0.125");
  CHECK(write_number(-0.001) == "0");
  CHECK(write_number(-0.4, 0) == "0");
  CHECK(write_number(1.999) == "2");
  CHECK(write_number(-std::numeric_limits<double>::max(), 3).size() == 310);
  for (int i = -2000; i <= 2000; ++i)
    for (const int decimals : {0, 1, 3, 6}) {
      const double value = i * 0.0137;
      const std::string text = write_number(value, decimals);
      CHECK(std::abs(std::stod(text) - value) <= 0.5 * std::pow(10, -decimals) + 1e-12);
      CHECK((text.find('.') == std::string::npos || text.back() != '0'));
    }
}
