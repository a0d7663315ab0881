#include "results/votes/tally.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>

#include "engine/random.h"
#include "results/votes/tally_report.h"

using namespace sixtyfold;

namespace {

// "42 MNCK" as lines of a file: count, ranking. Options are the letters in alphabetical order.
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
  for (const int option : tally.winners) letters += box.options[static_cast<std::size_t>(option)];
  return letters;
}

std::string winners_by(const BallotBox& box, TallyMethod method) {
  return winners_of(box, make_tally(box, method));
}

std::map<std::string, double> scores_by(const BallotBox& box, TallyMethod method) {
  std::map<std::string, double> scores;
  for (const TallyRow& row : make_tally(box, method).rows)
    scores[box.options[static_cast<std::size_t>(row.option)]] = row.score;
  return scores;
}

std::string order_by(const BallotBox& box, TallyMethod method) {
  std::string order;
  int last = 0;
  for (const TallyRow& row : make_tally(box, method).rows) {
    if (row.place == last) order += "=";
    order += box.options[static_cast<std::size_t>(row.option)];
    last = row.place;
  }
  return order;
}

using Scores = std::map<std::string, double>;

}  // namespace

// The profiles and results below: design/check-values.md section 7, where their sources stand.

TEST_CASE("four cities: every rule of the textbook example", "[tally]") {
  const BallotBox box = make_profile({{42, "MNCK"}, {26, "NCKM"}, {15, "CKNM"}, {17, "KCNM"}});
  CHECK(scores_by(box, TallyMethod::plurality) ==
        Scores{{"M", 42}, {"N", 26}, {"C", 15}, {"K", 17}});
  CHECK(scores_by(box, TallyMethod::borda) ==
        Scores{{"N", 194}, {"C", 173}, {"M", 126}, {"K", 107}});
  CHECK(winners_by(box, TallyMethod::runoff) == "K");
  const VoteTally runoff = make_tally(box, TallyMethod::runoff);  // options C K M N
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
      for (const int duel : schulze.duels[static_cast<std::size_t>(row.option)]) sum += duel;
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
  const std::vector<std::string> options = {"Parun", "Telmo", "Kridel"};
  const std::string csv =
      "\xef\xbb\xbf# typed by the two of us\r\nballot,vote,remark\r\n1,2 > 1,first\r\n"
      "2,\"Telmo>kridel\",\r\n3,3=1>2,\r\n\r\n4,9>1,\r\n5,2>2,\r\n6,,\r\n7,2>,\r\n8,\"3\n>1\",\r\n";
  const BallotBox box = read_ballots_csv(csv, "typed", options);
  CHECK(box.ranked);
  REQUIRE(box.ballots.size() == 4);
  CHECK(box.ballots[0].places == std::vector<std::vector<int>>{{1}, {0}});
  CHECK(box.ballots[1].places == std::vector<std::vector<int>>{{1}, {2}});
  CHECK(box.ballots[2].places == std::vector<std::vector<int>>{{2, 0}, {1}});
  CHECK(box.ballots[3].places == std::vector<std::vector<int>>{{2}, {0}});
  REQUIRE(box.spoiled.size() == 4);
  CHECK(box.spoiled[0].line == 7);
  CHECK(box.spoiled[0].reason == "names \"9\", which is no option; they are 1 to 3");
  CHECK(box.spoiled[1].reason == "names option 2 twice");
  CHECK(box.spoiled[2].reason == "names no option");
  CHECK(box.spoiled[3].reason == "has an empty place");
  CHECK(box.spoiled[3].line == 10);

  const BallotBox picks = read_ballots_csv("ballot;vote\n1;\"1;3\"\n2;2+3\n3;1 2\n", "x", options);
  CHECK(picks.ballots.size() == 3);
  CHECK(!picks.ranked);
  CHECK(find_usual_method(picks) == TallyMethod::approval);

  // A Latin-1 spreadsheet, and one that saved UTF-16.
  CHECK(read_ballots_csv("vote\nGr\xfcn\n", "x", {}).options[0] == "Gr\xc3\xbcn");
  CHECK_THROWS_WITH(read_ballots_csv(std::string("\xff\xfev\0o\0t\0e\0", 10), "x", options),
                    Catch::Contains("save it as CSV (UTF-8)"));
  CHECK_THROWS_AS(read_ballots_csv("", "x", options), std::invalid_argument);
  CHECK_THROWS_AS(read_ballots_csv("a,b\n1,2\n", "x", options), std::invalid_argument);
  CHECK_THROWS_AS(read_ballots_csv("vote\n\"1\n", "x", options), std::invalid_argument);
  CHECK_THROWS_AS(make_tally(read_ballots_csv("vote\n9\n", "x", options), TallyMethod::approval),
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
    box.options.assign(n, "x");
    box.ranked = true;
    for (int b = 0; b < 9; ++b) {
      Ballot ballot;
      ballot.count = 1 + static_cast<int>(random.below(5));
      std::vector<int> left;
      for (std::size_t i = 0; i < n; ++i) left.push_back(static_cast<int>(i));
      while (!left.empty() && random.below(4) > 0) {  // equal places and options not named, too
        const std::size_t pick = random.below(left.size());
        if (ballot.places.empty() || random.below(3) > 0) ballot.places.emplace_back();
        ballot.places.back().push_back(left[pick]);
        left.erase(left.begin() + static_cast<std::ptrdiff_t>(pick));
      }
      if (!ballot.places.empty()) box.ballots.push_back(ballot);
    }
    if (box.ballots.empty()) continue;
    const auto rank = [](const Ballot& ballot, std::size_t option) {
      for (std::size_t p = 0; p < ballot.places.size(); ++p)
        for (const int named : ballot.places[p])
          if (named == static_cast<int>(option)) return p;
      return ballot.places.size();
    };
    const VoteTally tally = make_tally(box, TallyMethod::borda);
    for (const TallyRow& row : tally.rows) {
      const auto i = static_cast<std::size_t>(row.option);
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
  CHECK(text.find("line 4: names option 1 twice") != std::string::npos);
  CHECK(write_tally_json(box, tally).find("\"tie\": true") != std::string::npos);
  const std::string svg = make_tally_chart_svg(box, tally, "vote");
  CHECK(svg.find("<script>") == std::string::npos);
  CHECK(svg.find("&lt;script&gt;") != std::string::npos);
}
