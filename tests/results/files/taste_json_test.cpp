#include "results/files/taste_json.h"

#include <catch2/catch.hpp>
#include <stdexcept>

using namespace sixtyfold;

TEST_CASE("a taste file reads back the same", "[taste_json]") {
  const Taste taste =
      make_taste({0.13, 0.21, 1.0 / 3, 0.98, 0, 0.06}, {0.05, 0, 0, 1e-4, -0.06, -0.1});
  CHECK(read_taste_json(write_taste_json(taste, 30), "ours.json") == taste);
  CHECK(read_taste_json(write_taste_json(Taste{}, 0), "shipped.json") == Taste{});
  CHECK(load_taste("") == Taste{});
}

TEST_CASE("what is no taste file is refused with the place", "[taste_json]") {
  CHECK_THROWS_WITH(read_taste_json("{}", "ours.json"), Catch::Contains("ours.json"));
  CHECK_THROWS_AS(read_taste_json("[1]", "x"), std::invalid_argument);
  std::string text = write_taste_json(Taste{}, 3);
  text.replace(text.find("0.25"), 4, "1e99");
  CHECK_THROWS_WITH(read_taste_json(text, "ours.json"), Catch::Contains("weight"));
}

TEST_CASE("a term that is not named keeps the shipped numbers", "[taste_json]") {
  const std::string text =
      R"({"format": "sixtyfold-taste", "version": 1, "terms": {"layers": {"weight": 2, "slope": 0.5}}})";
  const Taste taste = read_taste_json(text, "short.json");
  CHECK(taste.weights[0] == 2);
  CHECK(taste.slopes[0] == 0.5);
  CHECK(taste.weights[1] == shipped_taste.weights[1]);
}
