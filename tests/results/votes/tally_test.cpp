#include "results/votes/tally.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>

#include "engine/random.h"
#include "results/votes/tally_report.h"

using namespace sixtyfold;

namespace {

BallotBox read_ballots_csv(const std::string& bytes, const std::string& where,
                           const std::vector<std::string>& designs) {
  BallotGuide guide;
  guide.designs = designs;
  return read_ballots({{where, bytes}}, guide);
}

// "42 MNCK" as lines of a file: count, ranking. Designs are the letters in alphabetical order.
BallotBox make_profile(const std::vector<std::pair<int, std::string>>& groups) {
  std::string csv = "count,vote\n";
  for (const auto& [count, order] : groups) {
    csv += std::to_string(count) + ",";
    for (std::size_t i = 0; i < order.size(); ++i)
      csv += (i == 0 ? "" : ">") + std::string(1, order[i]);
    csv += "\n";
  }
  return read_ballots_csv(csv, "profile", {});
}

std::string winners_of(const BallotBox& box, const VoteTally& tally) {
  std::string letters;
  for (const int design : tally.winners) letters += box.designs[static_cast<std::size_t>(design)];
  return letters;
}

std::string winners_by(const BallotBox& box, TallyMethod method) {
  return winners_of(box, make_tally(box, method));
}

std::map<std::string, double> scores_by(const BallotBox& box, TallyMethod method) {
  std::map<std::string, double> scores;
  for (const TallyRow& row : make_tally(box, method).rows)
    scores[box.designs[static_cast<std::size_t>(row.design)]] = row.score;
  return scores;
}

std::string order_by(const BallotBox& box, TallyMethod method) {
  std::string order;
  int last = 0;
  for (const TallyRow& row : make_tally(box, method).rows) {
    if (row.place == last) order += "=";
    order += box.designs[static_cast<std::size_t>(row.design)];
    last = row.place;
  }
  return order;
}

using Scores = std::map<std::string, double>;

}  // namespace

// The profiles and results below: tests/sources.md 7, where their sources stand.

TEST_CASE("four cities: every rule of the textbook example", "[tally]") {
  const BallotBox box = make_profile({{42, "MNCK"}, {26, "NCKM"}, {15, "CKNM"}, {17, "KCNM"}});
  CHECK(scores_by(box, TallyMethod::plurality) ==
        Scores{{"M", 42}, {"N", 26}, {"C", 15}, {"K", 17}});
  CHECK(scores_by(box, TallyMethod::borda) ==
        Scores{{"N", 194}, {"C", 173}, {"M", 126}, {"K", 107}});
  CHECK(winners_by(box, TallyMethod::runoff) == "K");
  const VoteTally runoff = make_tally(box, TallyMethod::runoff);  // designs C K M N
  CHECK(runoff.rounds ==
        std::vector<std::vector<int>>{{15, 17, 42, 26}, {-1, 32, 42, 26}, {-1, 58, 42, -1}});
  CHECK(order_by(box, TallyMethod::schulze) == "NCKM");
  const VoteTally schulze = make_tally(box, TallyMethod::schulze);
  REQUIRE(schulze.condorcet_winner == 3);
  CHECK(schulze.duels[3] == std::vector<int>{68, 68, 58, 0});  // N beats C 68, K 68, M 58
}

TEST_CASE("45 voters: the profile that tells the rules apart", "[tally]") {
  // Schulze 2011, Social Choice and Welfare 36.
  const BallotBox box = make_profile({{5, "ACBED"},
                                      {5, "ADECB"},
                                      {8, "BEDAC"},
                                      {3, "CABED"},
                                      {7, "CAEBD"},
                                      {2, "CBADE"},
                                      {7, "DCEBA"},
                                      {8, "EBADC"}});
  const VoteTally schulze = make_tally(box, TallyMethod::schulze);
  CHECK(schulze.duels == std::vector<std::vector<int>>{{0, 20, 26, 30, 22},
                                                       {25, 0, 16, 33, 18},
                                                       {19, 29, 0, 17, 24},
                                                       {15, 12, 28, 0, 14},
                                                       {23, 27, 21, 31, 0}});
  CHECK(order_by(box, TallyMethod::schulze) == "EACBD");
  CHECK(schulze.condorcet_winner == -1);
  CHECK(winners_by(box, TallyMethod::plurality) == "C");
  CHECK(scores_by(box, TallyMethod::plurality)["C"] == 12);
  CHECK(scores_by(box, TallyMethod::borda) ==
        Scores{{"E", 102}, {"A", 98}, {"B", 92}, {"C", 89}, {"D", 69}});
  CHECK(winners_by(box, TallyMethod::runoff) == "C");
  const VoteTally runoff = make_tally(box, TallyMethod::runoff);
  CHECK(runoff.rounds.back() == std::vector<int>{-1, -1, 24, -1, 21});
  CHECK(winners_by(box, TallyMethod::minimax) == "E");
  CHECK(scores_by(box, TallyMethod::minimax)["E"] == 24);
  CHECK(scores_by(box, TallyMethod::copeland) ==
        Scores{{"E", 3}, {"A", 2}, {"B", 2}, {"C", 2}, {"D", 1}});
}

TEST_CASE("Borda 1784 and Condorcet 1785", "[tally]") {
  const BallotBox borda = make_profile({{1, "ABC"}, {7, "ACB"}, {7, "BCA"}, {6, "CBA"}});
  CHECK(scores_by(borda, TallyMethod::borda) == Scores{{"A", 16}, {"B", 21}, {"C", 26}});
  CHECK(winners_by(borda, TallyMethod::plurality) == "A");
  CHECK(winners_by(borda, TallyMethod::runoff) == "B");
  CHECK(make_tally(borda, TallyMethod::schulze).condorcet_winner == 2);

  const BallotBox condorcet =
      make_profile({{23, "ABC"}, {2, "BAC"}, {17, "BCA"}, {10, "CAB"}, {8, "CBA"}});
  CHECK(scores_by(condorcet, TallyMethod::borda) == Scores{{"A", 58}, {"B", 69}, {"C", 53}});
  CHECK(winners_by(condorcet, TallyMethod::plurality) == "A");
  CHECK(winners_by(condorcet, TallyMethod::runoff) == "A");
  CHECK(make_tally(condorcet, TallyMethod::runoff).rounds.back() == std::vector<int>{33, 27, -1});
  CHECK(winners_by(condorcet, TallyMethod::schulze) == "B");
  CHECK(winners_by(condorcet, TallyMethod::minimax) == "B");
  CHECK(scores_by(condorcet, TallyMethod::minimax)["B"] == 33);
  CHECK(make_tally(condorcet, TallyMethod::copeland).condorcet_winner == -1);
}

TEST_CASE("a cycle of three is a tie by every rule", "[tally]") {
  const BallotBox box = make_profile({{1, "ABC"}, {1, "BCA"}, {1, "CAB"}});
  for (const TallyMethod method :
       {TallyMethod::plurality, TallyMethod::borda, TallyMethod::runoff, TallyMethod::schulze,
        TallyMethod::minimax, TallyMethod::copeland}) {
    INFO(name_of(method));
    const VoteTally tally = make_tally(box, method);
    CHECK(winners_of(box, tally) == "ABC");
    CHECK(make_verdict(box, tally) == "Tie between 1 A, 2 B and 3 C.");
  }
}

TEST_CASE("the run-off is not monotone, as the textbooks say", "[tally]") {
  CHECK(winners_by(make_profile({{39, "ABC"}, {35, "BCA"}, {26, "CAB"}}), TallyMethod::runoff) ==
        "A");
  CHECK(winners_by(make_profile({{49, "ABC"}, {25, "BCA"}, {26, "CAB"}}), TallyMethod::runoff) ==
        "C");
}

TEST_CASE("plurality turned round by pairwise comparison", "[tally]") {
  const BallotBox box = make_profile({{6, "MWB"}, {5, "BWM"}, {4, "WBM"}});
  CHECK(scores_by(box, TallyMethod::plurality) == Scores{{"M", 6}, {"B", 5}, {"W", 4}});
  CHECK(scores_by(box, TallyMethod::borda) == Scores{{"W", 19}, {"B", 14}, {"M", 12}});
  CHECK(winners_by(box, TallyMethod::runoff) == "B");
  CHECK(order_by(box, TallyMethod::schulze) == "WBM");
}

TEST_CASE("approval counts picks", "[tally]") {
  const BallotBox box =
      read_ballots_csv("count,vote\n42,M N\n26,N C\n15,C K\n17,K C\n", "picks", {});
  CHECK(!box.ranked);
  CHECK(scores_by(box, TallyMethod::approval) ==
        Scores{{"N", 68}, {"C", 58}, {"M", 42}, {"K", 32}});
  CHECK(winners_by(box, TallyMethod::approval) == "N");
  CHECK_THROWS_AS(make_tally(make_profile({{1, "AB"}}), TallyMethod::approval),
                  std::invalid_argument);
  CHECK_THROWS_AS(make_tally(box, TallyMethod::runoff), std::invalid_argument);
}

TEST_CASE("a run-off tie for last place follows every order", "[tally]") {
  // A 4, B 3, C 3: if B drops out C wins 6:4, if C drops out B wins 6:4. Both are named.
  const BallotBox box = make_profile({{4, "ABC"}, {3, "BCA"}, {3, "CBA"}});
  CHECK(winners_by(box, TallyMethod::runoff) == "BC");
}

TEST_CASE("laws of counting hold on random elections", "[tally]") {
  RandomStream random(5, Purpose::test, 21);
  for (int round = 0; round < 60; ++round) {
    const std::size_t n = 2 + random.below(5);
    std::string letters = std::string("ABCDEFG").substr(0, n);
    std::vector<std::pair<int, std::string>> groups;
    for (int g = 0; g < 6; ++g) {
      std::string order = letters;
      for (std::size_t i = n; i > 1; --i) std::swap(order[i - 1], order[random.below(i)]);
      groups.emplace_back(1 + static_cast<int>(random.below(9)), order);
    }
    const BallotBox box = make_profile(groups);
    const VoteTally schulze = make_tally(box, TallyMethod::schulze);
    for (std::size_t i = 0; i < n; ++i)
      for (std::size_t j = 0; j < i; ++j)
        CHECK(schulze.duels[i][j] + schulze.duels[j][i] == box.voters());
    // Borda's score is the sum of a row of duels (Black 1958).
    for (const TallyRow& row : make_tally(box, TallyMethod::borda).rows) {
      int sum = 0;
      for (const int duel : schulze.duels[static_cast<std::size_t>(row.design)]) sum += duel;
      CHECK(row.score == sum);
    }
    // A winner of every duel wins by the Condorcet rules.
    if (schulze.condorcet_winner >= 0)
      for (const TallyMethod method :
           {TallyMethod::schulze, TallyMethod::minimax, TallyMethod::copeland})
        CHECK(make_tally(box, method).winners == std::vector<int>{schulze.condorcet_winner});
    // Counting everybody ten times changes no place; so does the order of the lines.
    auto tenfold = groups;
    for (auto& group : tenfold) group.first *= 10;
    std::reverse(tenfold.begin(), tenfold.end());
    for (const TallyMethod method :
         {TallyMethod::plurality, TallyMethod::borda, TallyMethod::runoff, TallyMethod::schulze,
          TallyMethod::minimax, TallyMethod::copeland})
      CHECK(order_by(box, method) == order_by(make_profile(tenfold), method));
  }
}

TEST_CASE("ballots are read as people type them", "[tally]") {
  const std::vector<std::string> designs = {"Parun", "Telmo", "Kridel"};
  const std::string csv =
      "\xef\xbb\xbf# typed by the two of us\r\nballot,vote,remark\r\n1,2 > 1,first\r\n"
      "2,\"Telmo>kridel\",\r\n3,3=1>2,\r\n\r\n4,9>1,\r\n5,2>2,\r\n6,,\r\n7,2>,\r\n8,\"3\n>1\",\r\n";
  const BallotBox box = read_ballots_csv(csv, "typed", designs);
  CHECK(box.ranked);
  REQUIRE(box.ballots.size() == 4);
  CHECK(box.ballots[0].places == std::vector<std::vector<int>>{{1}, {0}});
  CHECK(box.ballots[1].places == std::vector<std::vector<int>>{{1}, {2}});
  CHECK(box.ballots[2].places == std::vector<std::vector<int>>{{2, 0}, {1}});
  CHECK(box.ballots[3].places == std::vector<std::vector<int>>{{2}, {0}});
  REQUIRE(box.spoiled.size() == 4);
  CHECK(box.spoiled[0].line == 7);
  CHECK(box.spoiled[0].reason == "names \"9\", which is no design; they are 1 to 3");
  CHECK(box.spoiled[1].reason == "names design 2 twice");
  CHECK(box.spoiled[2].reason == "names no design; a blank ballot is written `blank`");
  CHECK(box.spoiled[3].reason == "has an empty place");
  CHECK(box.spoiled[3].line == 10);

  const BallotBox picks = read_ballots_csv("ballot;vote\n1;\"1;3\"\n2;2+3\n3;1 2\n", "x", designs);
  CHECK(picks.ballots.size() == 3);
  CHECK(!picks.ranked);
  CHECK(find_usual_method(picks) == TallyMethod::approval);

  // A Latin-1 spreadsheet, and one that saved UTF-16.
  CHECK(read_ballots_csv("vote\nGr\xfcn\n", "x", {}).designs[0] == "Gr\xc3\xbcn");
  CHECK_THROWS_WITH(read_ballots_csv(std::string("\xff\xfev\0o\0t\0e\0", 10), "x", designs),
                    Catch::Contains("save it as CSV (UTF-8)"));
  CHECK_THROWS_AS(read_ballots_csv("", "x", designs), std::invalid_argument);
  CHECK_THROWS_AS(read_ballots_csv("a,b\n1,2\n", "x", designs), std::invalid_argument);
  CHECK_THROWS_AS(read_ballots_csv("vote\n\"1\n", "x", designs), std::invalid_argument);
  CHECK_THROWS_AS(make_tally(read_ballots_csv("vote\n9\n", "x", designs), TallyMethod::approval),
                  std::invalid_argument);
  CHECK_THROWS_AS(parse_tally_method("best"), std::invalid_argument);
}

TEST_CASE("as many voters as a file can hold are counted, and more are refused", "[tally]") {
  std::string csv = "count,vote\n";
  for (int i = 0; i < 500; ++i) csv += "1000000,1>2\n1000000,3>1\n";
  const BallotBox box = read_ballots_csv(csv, "x", {"a", "b", "c"});
  CHECK(box.voters() == 1000000000);
  CHECK(scores_by(box, TallyMethod::borda)["a"] == 1.5e9);
  for (const TallyMethod method : {TallyMethod::runoff, TallyMethod::schulze})
    CHECK(!make_tally(box, method).winners.empty());
  CHECK_THROWS_WITH(read_ballots_csv(csv + "1,1>2\n", "x", {"a", "b", "c"}),
                    Catch::Contains("more than 1000000000 voters"));
}

TEST_CASE("duels and points agree with counting every pair of every ballot", "[tally]") {
  RandomStream random(6, Purpose::test, 22);
  for (int round = 0; round < 40; ++round) {
    const std::size_t n = 2 + random.below(7);
    BallotBox box;
    box.designs.assign(n, "x");
    for (std::size_t i = 0; i < n; ++i) box.numbers.push_back(static_cast<int>(i) + 1);
    box.ranked = true;
    for (int b = 0; b < 9; ++b) {
      Ballot ballot;
      ballot.count = 1 + static_cast<int>(random.below(5));
      std::vector<int> left;
      for (std::size_t i = 0; i < n; ++i) left.push_back(static_cast<int>(i));
      while (!left.empty() && random.below(4) > 0) {  // equal places and designs not named, too
        const std::size_t pick = random.below(left.size());
        if (ballot.places.empty() || random.below(3) > 0) ballot.places.emplace_back();
        ballot.places.back().push_back(left[pick]);
        left.erase(left.begin() + static_cast<std::ptrdiff_t>(pick));
      }
      if (!ballot.places.empty()) box.ballots.push_back(ballot);
    }
    if (box.ballots.empty()) continue;
    const auto rank = [](const Ballot& ballot, std::size_t design) {
      for (std::size_t p = 0; p < ballot.places.size(); ++p)
        for (const int named : ballot.places[p])
          if (named == static_cast<int>(design)) return p;
      return ballot.places.size();
    };
    const VoteTally tally = make_tally(box, TallyMethod::borda);
    for (const TallyRow& row : tally.rows) {
      const auto i = static_cast<std::size_t>(row.design);
      double points = 0;
      for (std::size_t j = 0; j < n; ++j) {
        int before = 0;
        for (const Ballot& ballot : box.ballots) {
          const std::size_t a = rank(ballot, i), c = rank(ballot, j);
          before += a < c ? ballot.count : 0;
          points += i == j ? 0 : ballot.count * (a < c ? 1 : a == c ? 0.5 : 0);
        }
        CHECK(tally.duels[i][j] == before);
      }
      CHECK(row.score == points);
    }
  }
}

TEST_CASE("reports name ties, spoiled ballots and reasons, and escape names", "[tally]") {
  const BallotBox box = read_ballots_csv("vote\n1\n2\n1 1\n", "x", {"<script>", "b"});
  const VoteTally tally = make_tally(box, TallyMethod::approval);
  const std::string text = write_tally_text(box, tally);
  CHECK(text.find("Tie between 1 <script> and 2 b.") == 0);
  CHECK(text.find("line 4: names design 1 twice") != std::string::npos);
  CHECK(write_tally_json(box, tally).find("\"tie\": true") != std::string::npos);
  const std::string svg = make_tally_chart_svg(box, tally, "vote");
  CHECK(svg.find("<script>") == std::string::npos);
  CHECK(svg.find("&lt;script&gt;") != std::string::npos);
}

TEST_CASE("no vote is lost in silence", "[tally]") {
  const std::vector<std::string> designs = {"a", "b", "c", "d", "e", "f", "g"};
  const auto reason = [](const BallotBox& box, std::size_t i) { return box.spoiled.at(i).reason; };

  SECTION("a row with more fields than the first line is spoiled, not cut short") {
    const BallotBox box = read_ballots_csv("ballot,vote\n1,3,7\n2,5\n3,2,,\n", "x", designs);
    REQUIRE(box.spoiled.size() == 1);
    CHECK(box.spoiled[0].line == 2);
    CHECK(reason(box, 0).find("has 3 fields where the first line has 2") == 0);
    CHECK(box.ballots.size() == 2);  // empty fields at the end are a spreadsheet's
  }
  SECTION("semicolons, tabs and a line that says so are read") {
    const std::string expected = "3 7";
    for (const std::string csv :
         {"sep=;\nballot;vote\n1;3 7\n", "\"sep=;\"\r\nballot;vote\r\n1;3,7\r\n",
          "ballot\tvote\n1\t3 7\n", "sep=\t\nballot\tvote\n1\t3 7\n",
          "# typed at noon;\nballot;vote\n1;\"3;7\"\n", ";\nballot;vote\n1;3+7\n;\n",
          "Klasse;Stimme\n5a;3 7\n"}) {
      INFO(csv);
      const BallotBox box = read_ballots_csv(csv, "x", designs);
      REQUIRE(box.ballots.size() == 1);
      CHECK(box.ballots[0].places == std::vector<std::vector<int>>{{2, 6}});
      CHECK(box.spoiled.empty());
    }
  }
  SECTION("one ranking among approvals is spoiled and changes no method") {
    const BallotBox box = read_ballots_csv("vote\n1 2\n3>7\n2\n2 4\n", "x", designs);
    CHECK(box.kind == BallotKind::picks);
    CHECK(find_usual_method(box) == TallyMethod::approval);
    CHECK(reason(box, 0) == "ranks designs where ballots pick them");
    CHECK(scores_by(box, TallyMethod::approval)["b"] == 3);
    CHECK(read_ballots_csv("vote\n1\n3>7\n2\n", "x", designs).spoiled.size() == 1);
  }
  SECTION("several picks without an order among rankings are spoiled, one pick is a favourite") {
    const BallotBox box = read_ballots_csv("vote\n1>2\n3 7\n2\n2>4\n4=5\n", "x", designs);
    CHECK(box.kind == BallotKind::ranking);
    REQUIRE(box.spoiled.size() == 1);
    CHECK(reason(box, 0).find("picks designs where ballots rank them") == 0);
    CHECK(box.ballots.size() == 4);
  }
  SECTION("ranks beside names and numbers are read as they stand on a slip") {
    const BallotBox box = read_ballots_csv("vote\n7:2 c:1 2:9\nb:1;a:1\n1>2\n", "x", designs);
    REQUIRE(box.ballots.size() == 3);
    CHECK(box.ballots[0].places == std::vector<std::vector<int>>{{2}, {6}, {1}});
    CHECK(box.ballots[1].places == std::vector<std::vector<int>>{{1, 0}});
  }
  SECTION("blank ballots are counted as blank, empty ones are spoiled") {
    const BallotBox box =
        read_ballots_csv("class,vote\n5a,1\n5a,blank\n5a,leer\n5a,\n5a,-\n", "x", designs);
    CHECK(box.voters() == 1);
    CHECK(box.blank_voters() == 3);
    CHECK(box.spoiled.size() == 1);
    CHECK(write_tally_text(box, make_tally(box, TallyMethod::approval)).find("3 blank") !=
          std::string::npos);
  }
  SECTION("a line that looks like a remark but votes is told") {
    const BallotBox box = read_ballots_csv("ballot,vote\n#1,3\n# all in\n2,3\n", "x", designs);
    REQUIRE(box.spoiled.size() == 1);
    CHECK(reason(box, 0) == "begins with #, which marks a remark");
  }
  SECTION("a number is a number, even where a design is called so") {
    const BallotBox box = read_ballots_csv("vote\n2\n", "x", {"2", "b"});
    CHECK(box.ballots.at(0).places.at(0) == std::vector<int>{1});
  }
}

TEST_CASE("ballots know their gallery, and none counts twice", "[tally]") {
  BallotGuide guide;
  guide.designs = {"a", "b", "c"};
  guide.gallery = "g0123456789abcdef";
  const std::string head = "ballot,class,vote,gallery\r\n";
  const BallotFile first{"5a.csv", head +
                                       "vbcdfghjkz,5a,1 2,g0123456789abcdef\r\n"
                                       "vbcdfghjkm,5a,3,g0123456789abcdef\r\n"};
  const BallotFile again{"again.csv", head +
                                          "vbcdfghjkz,5a,1 2,g0123456789abcdef\r\n"
                                          "vbcdfghjkm,5a,2,g0123456789abcdef\r\n"
                                          "vbcdfghjkn,5b,2,g0123456789abcdef\r\n"};
  const BallotBox box = read_ballots({first, again}, guide);
  CHECK(box.voters() == 3);
  REQUIRE(box.spoiled.size() == 1);
  CHECK(box.spoiled[0].file == 1);
  CHECK(box.spoiled[0].reason == "has the code of 5a.csv line 3, but another vote");
  REQUIRE(box.notices.size() == 1);
  CHECK(box.notices[0] ==
        "again.csv line 2: this ballot is in 5a.csv line 2 already and counts once");
  CHECK(box.classes == std::vector<std::string>{"5a", "5b"});

  guide.gallery = "gfedcba9876543210";
  CHECK_THROWS_WITH(read_ballots({first}, guide),
                    Catch::Contains("5a.csv: line 2 was cast for another gallery"));
  guide.gallery = "";
  CHECK_THROWS_WITH(read_ballots({first, {"b.csv", head + "1,5b,1,gfedcba9876543210\n"}}, guide),
                    Catch::Contains("b.csv: line 2 was cast for another gallery"));
  guide.gallery = "g0123456789abcdef";
  const BallotBox taken = read_ballots({{"typed.csv", "vote\n1\n2\n"}}, guide);
  CHECK(taken.voters() == 2);
  CHECK(taken.notices.at(0) ==
        "typed.csv: 2 ballots tell no gallery and are taken as cast for this one");
  const BallotBox copies = read_ballots({{"a.csv", "vote\n1\n"}, {"b.csv", "vote\n1\n"}}, {});
  CHECK(copies.notices.at(0).find("b.csv holds the very same bytes as a.csv") == 0);
}

TEST_CASE("classes are counted apart and sum up", "[tally]") {
  RandomStream random(7, Purpose::test, 23);
  std::vector<BallotFile> files;
  for (const char* const name : {"votes/ballots-5a.csv", "5b.csv", "5c.csv"}) {
    std::string csv = "count,vote\n";
    for (int i = 0; i < 8; ++i) {
      csv += std::to_string(1 + random.below(4)) + ",";
      for (int design = 1; design <= 4; ++design)
        if (random.below(2)) csv += std::to_string(design) + " ";
      csv += "\n";
    }
    files.push_back({name, csv});
  }
  BallotGuide guide;
  guide.designs = {"a", "b", "c", "d"};
  const BallotBox box = read_ballots(files, guide);
  CHECK(box.classes == std::vector<std::string>{"5a", "5b", "5c"});
  const VoteTally all = make_tally(box, TallyMethod::approval);
  const std::vector<ClassTally> classes = make_class_tallies(box, TallyMethod::approval);
  REQUIRE(classes.size() == 3);
  int voters = 0, spoiled = 0;
  std::map<int, double> sum;
  for (const ClassTally& part : classes) {
    voters += part.tally->voters;
    spoiled += part.spoiled;
    for (const TallyRow& row : part.tally->rows) sum[row.design] += row.score;
  }
  CHECK(voters == all.voters);
  CHECK(spoiled == static_cast<int>(box.spoiled.size()));
  for (const TallyRow& row : all.rows) CHECK(sum[row.design] == row.score);
  // Each class alone gives what it gives as a file of its own.
  for (std::size_t f = 0; f < files.size(); ++f) {
    const VoteTally alone = make_tally(read_ballots({files[f]}, guide), TallyMethod::approval);
    REQUIRE(alone.rows.size() == classes[f].tally->rows.size());
    for (std::size_t i = 0; i < alone.rows.size(); ++i)
      CHECK(alone.rows[i].score == classes[f].tally->rows[i].score);
  }
  const std::string text = write_tally_text(box, all);
  CHECK(text.find("By class (picks):") != std::string::npos);
}

TEST_CASE("more classes than anybody counts apart are refused", "[tally]") {
  std::string csv = "class,vote\n";
  for (int i = 0; i < most_classes; ++i) csv += "c" + std::to_string(i) + ",1\n";
  CHECK(read_ballots_csv(csv, "x", {"a"}).classes.size() == most_classes);
  CHECK_THROWS_WITH(read_ballots_csv(csv + "one more,1\n", "x", {"a"}),
                    Catch::Contains("names more than 200 classes"));
}
