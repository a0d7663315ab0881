#include "results/votes/ballot_choices.h"

#include <algorithm>
#include <catch2/catch.hpp>

using namespace sixtyfold;

namespace {

bool prefers(const TasteChoice& choice, int better, int worse) {
  return std::count(choice.better_worse.begin(), choice.better_worse.end(),
                    std::pair(better, worse)) == 1;
}

}  // namespace

TEST_CASE("picks are preferred to what is not picked, ranks to what comes later",
          "[ballot_choices]") {
  const BallotGuide guide{.designs = {"a", "b", "c", "d"}};
  std::vector<TasteChoice> choices =
      make_choices(read_ballots({{"p.csv", "vote,count\n1 3,1\n"}}, guide));
  const std::vector<TasteChoice> ranked =
      make_choices(read_ballots({{"r.csv", "vote,count\n2>3=1,2\n"}}, guide));
  choices.insert(choices.end(), ranked.begin(), ranked.end());
  REQUIRE(choices.size() == 3);  // the line of the second file counts for two voters
  CHECK(choices[0].better_worse.size() == 4);
  CHECK(prefers(choices[0], 0, 1));
  CHECK(prefers(choices[0], 2, 3));
  CHECK_FALSE(prefers(choices[0], 0, 2));
  CHECK(choices[1].better_worse == choices[2].better_worse);
  CHECK(choices[1].better_worse.size() == 5);
  CHECK(prefers(choices[1], 1, 0));
  CHECK(prefers(choices[1], 1, 3));
  CHECK(prefers(choices[1], 0, 3));
  CHECK_FALSE(prefers(choices[1], 0, 2));
}

TEST_CASE("who likes all alike says nothing", "[ballot_choices]") {
  const BallotBox box = read_ballots({{"b.csv", "vote\n1 2\n"}}, {.designs = {"a", "b"}});
  CHECK(make_choices(box).empty());
}

TEST_CASE("picks and rejects make one choice", "[ballot_choices]") {
  CHECK(make_choice({0, 2}, {1}, 5).better_worse.size() == 2);
  CHECK(make_choice({0, 2}, {}, 5).better_worse.size() == 6);
  CHECK_THROWS_WITH(make_choice({5}, {}, 5), Catch::Contains("design 6; there are 1 to 5"));
  CHECK_THROWS_WITH(make_choice({1}, {1}, 5), Catch::Contains("picks and rejects design 2"));
}
