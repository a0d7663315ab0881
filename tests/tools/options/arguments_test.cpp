#include "tools/options/arguments.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <string>

using namespace sixtyfold;

TEST_CASE("lengths carry their unit", "[arguments]") {
  // 1 in = 25.4 mm: ISO 31-1 and the international yard and pound agreement of 1959.
  CHECK(parse_length_mm("4") == 4);
  CHECK(parse_length_mm("4mm") == 4);
  CHECK(parse_length_mm("12.5cm") == 125);
  CHECK(parse_length_mm("1.2m") == 1200);
  CHECK(parse_length_mm("0.5in") == Approx(12.7));
  for (const char* bad : {"", "x", "-1", "nan", "inf", "1e99", "4 mm", "4furlong", "4mm4", "0x10"})
    CHECK_THROWS_WITH(parse_length_mm(bad), Catch::Contains("allowed is a length"));
}

TEST_CASE("a sheet is two lengths, in either order", "[arguments]") {
  const SheetSize sheet = parse_sheet_size("1200x600");
  CHECK(sheet.short_mm == 600);
  CHECK(sheet.long_mm == 1200);
  CHECK(parse_sheet_size("20inx40in").long_mm == Approx(1016));
  CHECK(parse_sheet_size("20x40in").short_mm == Approx(508));  // a unit behind counts for both
  CHECK(parse_sheet_size("1x2m").short_mm == 1000);
  // ISO 216:2007: sides in the ratio 1 : sqrt 2, A0 of a square metre, each half the one before.
  CHECK(parse_sheet_size("A3").short_mm == 297);
  CHECK(parse_sheet_size("a3").long_mm == 420);
  CHECK(parse_sheet_size("B1").long_mm == 1000);
  for (const char series : {'A', 'B'})
    for (int number = 0; number < 6; ++number) {
      const auto name = [&](int n) { return std::string(1, series) + std::to_string(n); };
      const SheetSize sheet_size = parse_sheet_size(name(number));
      CHECK(sheet_size.long_mm / sheet_size.short_mm == Approx(std::sqrt(2.0)).epsilon(0.005));
      CHECK(parse_sheet_size(name(number + 1)).long_mm == sheet_size.short_mm);
    }
  CHECK_THROWS(parse_sheet_size("A9"));
  CHECK_THROWS(parse_sheet_size("C3"));
  CHECK(parse_sheet_size("0.6mx1200").short_mm == 600);
  for (const char* bad : {"", "600", "600x", "x600", "600x0", "600x1200x3", "600*1200", "axb"})
    CHECK_THROWS_WITH(parse_sheet_size(bad), Catch::Contains("allowed is two lengths"));
}

TEST_CASE("a range may leave out an end", "[arguments]") {
  const Range bounds = {0, 1000};
  const auto is = [&](const char* text, double low, double high) {
    const Range range = parse_whole_range(text, bounds);
    return range.low == low && range.high == high;
  };
  CHECK(is("12..60", 12, 60));
  CHECK(is("..60", 0, 60));
  CHECK(is("12..", 12, 1000));
  CHECK(is("60", 60, 60));
  for (const char* bad : {"", "..", "60..12", "a..b", "1..2..3", "5000", "-1..3", "1.5..3"})
    CHECK_THROWS_AS(parse_whole_range(bad, bounds), std::invalid_argument);
  CHECK(parse_length_range_mm("1.2m..2000", {0, 5000}).low == 1200);
  CHECK(parse_length_range_mm("2..3m", {0, 5000}).low == 2000);
  CHECK(parse_length_range_mm("2..3m", {0, 5000}).high == 3000);
  CHECK(parse_length_range_mm("..3m", {0, 5000}).low == 0);
  CHECK(parse_range("0.1..0.6", {0, 1}).high == 0.6);
}

TEST_CASE("whole numbers are digits only", "[arguments]") {
  CHECK(parse_whole("0") == 0);
  CHECK(parse_whole("18446744073709551615") == 18446744073709551615u);
  for (const char* bad : {"", "-1", "+1", "1e3", "1.5", " 1", "18446744073709551616", "nan"})
    CHECK_THROWS_WITH(parse_whole(bad), Catch::Contains("a whole number from 0"));
}

TEST_CASE("times carry their unit", "[arguments]") {
  CHECK(parse_seconds("30s") == 30);
  CHECK(parse_seconds("90") == 90);
  CHECK(parse_seconds("5m") == 300);
  CHECK(parse_seconds("5min") == 300);
  CHECK(parse_seconds("1.5h") == 5400);
  for (const char* bad : {"", "0", "-3s", "8d", "10 s", "soon", "nan"})
    CHECK_THROWS_WITH(parse_seconds(bad), Catch::Contains("allowed is a time"));
}

TEST_CASE("groups are a list of Schoenflies symbols", "[arguments]") {
  CHECK(parse_groups("any").empty());
  CHECK(parse_groups("I,O,T,D5,I") == std::vector<std::string>{"I", "O", "T", "D5"});
  for (const char* bad : {"", "Q", "I;O", "I,", "I,,O", "D61", "any,I"}) {
    CAPTURE(bad);
    if (std::string(bad) == "I,")
      CHECK(parse_groups(bad) == std::vector<std::string>{"I"});
    else
      CHECK_THROWS_WITH(parse_groups(bad), Catch::Contains("allowed is `any`"));
  }
}
