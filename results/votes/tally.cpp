#include "results/votes/tally.h"

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>

#include "engine/text.h"
#include "results/files/json_reader.h"

namespace sixtyfold {
namespace {

constexpr TallyMethod all_methods[] = {
    TallyMethod::approval, TallyMethod::plurality, TallyMethod::borda,   TallyMethod::runoff,
    TallyMethod::schulze,  TallyMethod::minimax,   TallyMethod::copeland};
// Different sets of survivors that a run-off with ties may lead through.
constexpr std::size_t most_survivor_sets = 20000;

using Duels = std::vector<std::vector<int>>;

// Only what a ballot names costs time: most people name a few of many designs.
Duels count_duels(const BallotBox& box) {
  const std::size_t n = box.designs.size();
  Duels duels(n, std::vector<int>(n, 0));
  std::vector<std::size_t> rank(n);
  for (const Ballot& ballot : box.ballots) {
    std::fill(rank.begin(), rank.end(), ballot.places.size());  // not named: last
    for (std::size_t place = 0; place < ballot.places.size(); ++place)
      for (const int design : ballot.places[place]) rank[static_cast<std::size_t>(design)] = place;
    for (std::size_t place = 0; place < ballot.places.size(); ++place)
      for (const int design : ballot.places[place])
        for (std::size_t other = 0; other < n; ++other)
          if (place < rank[other]) duels[static_cast<std::size_t>(design)][other] += ballot.count;
  }
  return duels;
}

// Rows with places from scores, the best first.
void place_by_score(VoteTally& tally, const std::vector<double>& scores, bool most_wins) {
  for (std::size_t i = 0; i < scores.size(); ++i) {
    int before = 0;
    for (const double other : scores) before += most_wins ? other > scores[i] : other < scores[i];
    tally.rows.push_back({static_cast<int>(i), 1 + before, scores[i]});
  }
}

std::vector<double> count_picks(const BallotBox& box) {
  std::vector<double> picks(box.designs.size(), 0);
  for (const Ballot& ballot : box.ballots)
    for (const int design : ballot.places[0])
      picks[static_cast<std::size_t>(design)] += ballot.count;
  return picks;
}

std::vector<double> count_borda(const BallotBox& box) {
  std::vector<double> points(box.designs.size(), 0);
  for (const Ballot& ballot : box.ballots) {
    std::vector<std::vector<int>> places = ballot.places;
    std::vector<char> named(points.size(), 0);
    for (const auto& place : places)
      for (const int design : place) named[static_cast<std::size_t>(design)] = 1;
    places.emplace_back();  // who is not named, equal at the end
    for (std::size_t i = 0; i < named.size(); ++i)
      if (!named[i]) places.back().push_back(static_cast<int>(i));
    double behind = static_cast<double>(points.size());
    for (const auto& place : places) {
      const double here = static_cast<double>(place.size());
      behind -= here;
      for (const int design : place)
        points[static_cast<std::size_t>(design)] += ballot.count * (behind + 0.5 * (here - 1));
    }
  }
  return points;
}

// Schulze 2011: the strongest chain from i to j is as strong as its weakest majority.
std::vector<double> count_schulze(const Duels& duels) {
  const std::size_t n = duels.size();
  Duels path(n, std::vector<int>(n, 0));
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = 0; j < n; ++j)
      if (duels[i][j] > duels[j][i]) path[i][j] = duels[i][j];
  for (std::size_t k = 0; k < n; ++k)
    for (std::size_t i = 0; i < n; ++i)
      for (std::size_t j = 0; j < n; ++j)
        if (i != j && i != k && j != k)
          path[i][j] = std::max(path[i][j], std::min(path[i][k], path[k][j]));
  std::vector<double> beaten_by(n, 0);
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = 0; j < n; ++j) beaten_by[i] += path[j][i] > path[i][j];
  return beaten_by;
}

std::vector<double> count_minimax(const Duels& duels) {
  std::vector<double> worst(duels.size(), 0);
  for (std::size_t i = 0; i < duels.size(); ++i)
    for (std::size_t j = 0; j < duels.size(); ++j)
      if (duels[j][i] > duels[i][j]) worst[i] = std::max<double>(worst[i], duels[j][i]);
  return worst;
}

std::vector<double> count_copeland(const Duels& duels) {
  std::vector<double> won(duels.size(), 0);
  for (std::size_t i = 0; i < duels.size(); ++i)
    for (std::size_t j = 0; j < duels.size(); ++j)
      if (i != j) won[i] += duels[i][j] > duels[j][i] ? 1 : duels[i][j] == duels[j][i] ? 0.5 : 0;
  return won;
}

void check_strict(const BallotBox& box, TallyMethod method) {
  for (const Ballot& ballot : box.ballots)
    for (const auto& place : ballot.places)
      if (place.size() > 1)
        throw std::invalid_argument(box.files[static_cast<std::size_t>(ballot.file)] + ": line " +
                                    std::to_string(ballot.line) +
                                    " puts several designs on one place, which " + name_of(method) +
                                    " can not count; approval, borda and schulze can");
}

// Follows every order in which designs tied for the fewest first places may drop out
// (parallel universes: Conitzer, Rognlie and Xia 2009).
class Runoff {
 public:
  explicit Runoff(const BallotBox& box) : box_(box) {}

  std::vector<int> count(const std::vector<char>& in) const {
    std::vector<int> firsts(in.size(), 0);
    for (const Ballot& ballot : box_.ballots)
      for (const auto& place : ballot.places)
        if (in[static_cast<std::size_t>(place[0])]) {
          firsts[static_cast<std::size_t>(place[0])] += ballot.count;
          break;
        }
    return firsts;
  }

  // Who drops out next: one of these, or all at once where the order can not matter.
  struct Step {
    std::vector<int> out;
    bool together = false;
    int winner = -1;
  };
  Step find_step(const std::vector<char>& in) const {
    const std::vector<int> firsts = count(in);
    int total = 0, fewest = -1, next = -1, left = 0, leader = -1;
    for (std::size_t i = 0; i < in.size(); ++i) {
      if (!in[i]) continue;
      ++left;
      total += firsts[i];
      if (leader < 0 || firsts[i] > firsts[static_cast<std::size_t>(leader)])
        leader = static_cast<int>(i);
      if (fewest < 0 || firsts[i] < fewest) {
        next = fewest;
        fewest = firsts[i];
      } else if (firsts[i] > fewest && (next < 0 || firsts[i] < next)) {
        next = firsts[i];
      }
    }
    Step step;
    if (left == 1 || 2 * firsts[static_cast<std::size_t>(leader)] > total) {
      step.winner = leader;
      return step;
    }
    for (std::size_t i = 0; i < in.size(); ++i)
      if (in[i] && firsts[i] == fewest) step.out.push_back(static_cast<int>(i));
    // Together they have fewer than the next one: all of them drop out in any order.
    step.together = next >= 0 &&
                    static_cast<long long>(fewest) * static_cast<long long>(step.out.size()) < next;
    return step;
  }

  void follow(const std::vector<char>& in, std::set<int>& winners) {
    if (!seen_.insert(in).second) return;
    if (seen_.size() > most_survivor_sets)
      throw std::invalid_argument(
          "the run-off is tied in too many ways to follow; count by schulze instead");
    const Step step = find_step(in);
    if (step.winner >= 0) {
      winners.insert(step.winner);
      return;
    }
    std::vector<char> rest = in;
    if (step.together) {
      for (const int design : step.out) rest[static_cast<std::size_t>(design)] = 0;
      follow(rest, winners);
      return;
    }
    for (const int design : step.out) {
      rest[static_cast<std::size_t>(design)] = 0;
      follow(rest, winners);
      rest[static_cast<std::size_t>(design)] = 1;
    }
  }

 private:
  const BallotBox& box_;
  std::set<std::vector<char>> seen_;
};

void count_runoff(const BallotBox& box, VoteTally& tally) {
  const std::size_t n = box.designs.size();
  Runoff runoff(box);
  std::vector<char> in(n, 1);
  std::set<int> winners;
  runoff.follow(in, winners);
  std::vector<double> last_count(n, 0);
  std::vector<std::size_t> rounds_in(n, 0);
  for (bool ended = false; !ended;) {
    const std::vector<int> firsts = runoff.count(in);
    std::vector<int> shown(n, -1);
    for (std::size_t i = 0; i < n; ++i)
      if (in[i]) {
        shown[i] = firsts[i];
        last_count[i] = firsts[i];
        ++rounds_in[i];
      }
    tally.rounds.push_back(shown);
    const Runoff::Step step = runoff.find_step(in);
    ended = step.winner >= 0;
    for (const int design : step.out)
      if (step.together || design == step.out.front()) in[static_cast<std::size_t>(design)] = 0;
  }
  std::vector<double> standing(n);
  for (std::size_t i = 0; i < n; ++i)
    standing[i] = winners.count(static_cast<int>(i))
                      ? 1e15
                      : static_cast<double>(rounds_in[i]) * 1e10 + last_count[i];
  place_by_score(tally, standing, true);
  for (TallyRow& row : tally.rows) row.score = last_count[static_cast<std::size_t>(row.design)];
}

}  // namespace

std::string title_of(TallyMethod method) {
  switch (method) {
    case TallyMethod::approval:
      return "approval";
    case TallyMethod::plurality:
      return "plurality (most first places)";
    case TallyMethod::borda:
      return "the Borda count";
    case TallyMethod::runoff:
      return "instant run-off";
    case TallyMethod::schulze:
      return "the Schulze method";
    case TallyMethod::minimax:
      return "minimax (least worst defeat)";
    case TallyMethod::copeland:
      break;
  }
  return "Copeland's method (duels won)";
}

bool adds_up(TallyMethod method) {
  return method == TallyMethod::approval || method == TallyMethod::plurality ||
         method == TallyMethod::borda;
}

std::vector<ClassTally> make_class_tallies(const BallotBox& box, TallyMethod method) {
  std::vector<ClassTally> tallies;
  for (std::size_t c = 0; c < box.classes.size(); ++c) {
    const auto is_of_class = [&](const auto& ballot) {
      return ballot.class_index == static_cast<int>(c);
    };
    BallotBox part = box;
    std::erase_if(part.ballots, [&](const Ballot& ballot) { return !is_of_class(ballot); });
    std::erase_if(part.blank, [&](const Ballot& ballot) { return !is_of_class(ballot); });
    ClassTally tally;
    tally.name = box.classes[c];
    tally.blank = part.blank_voters();
    tally.spoiled =
        static_cast<int>(std::count_if(box.spoiled.begin(), box.spoiled.end(), is_of_class));
    if (!part.ballots.empty()) tally.tally = make_tally(part, method);
    tallies.push_back(std::move(tally));
  }
  return tallies;
}

std::string name_of(TallyMethod method) {
  switch (method) {
    case TallyMethod::approval:
      return "approval";
    case TallyMethod::plurality:
      return "plurality";
    case TallyMethod::borda:
      return "borda";
    case TallyMethod::runoff:
      return "runoff";
    case TallyMethod::schulze:
      return "schulze";
    case TallyMethod::minimax:
      return "minimax";
    case TallyMethod::copeland:
      break;
  }
  return "copeland";
}

TallyMethod parse_tally_method(const std::string& word) {
  std::string allowed;
  for (const TallyMethod method : all_methods) {
    if (word == name_of(method)) return method;
    allowed += (allowed.empty() ? "" : ", ") + name_of(method);
  }
  throw std::invalid_argument("is " + quote(word) + "; allowed is one of " + allowed);
}

TallyMethod find_usual_method(const BallotBox& box) {
  return box.kind == BallotKind::ranking ? TallyMethod::schulze : TallyMethod::approval;
}

VoteTally make_tally(const BallotBox& box, TallyMethod method) {
  if (box.ballots.empty())
    throw std::invalid_argument(
        "there is no ballot that counts" +
        (box.blank.empty() ? std::string() : format(" (%d are blank)", box.blank_voters())));
  VoteTally tally;
  tally.method = method;
  tally.voters = box.voters();
  if (method != TallyMethod::approval) {
    tally.duels = count_duels(box);
    for (std::size_t i = 0; i < tally.duels.size(); ++i) {
      bool wins_all = tally.duels.size() > 1;
      for (std::size_t j = 0; j < tally.duels.size(); ++j)
        wins_all = wins_all && (i == j || tally.duels[i][j] > tally.duels[j][i]);
      if (wins_all) tally.condorcet_winner = static_cast<int>(i);
    }
  }
  const std::string unnamed = " Designs a ballot does not name come last on it, equal.";
  switch (method) {
    case TallyMethod::approval:
      if (box.ranked)
        throw std::invalid_argument(
            "these ballots rank designs; approval counts picks: choose schulze, borda or runoff");
      place_by_score(tally, count_picks(box), true);
      tally.score_unit = "picks";
      tally.rule = "The design picked by most voters wins; equal counts are a tie.";
      break;
    case TallyMethod::plurality:
      check_strict(box, method);
      place_by_score(tally, count_picks(box), true);
      tally.score_unit = "first places";
      tally.rule = "The design with most first places wins; equal counts are a tie.";
      break;
    case TallyMethod::borda:
      place_by_score(tally, count_borda(box), true);
      tally.score_unit = "points";
      tally.rule =
          "One point for every design put behind, half a point for every equal one; most points "
          "win, equal points are a tie." +
          unnamed;
      break;
    case TallyMethod::runoff:
      check_strict(box, method);
      count_runoff(box, tally);
      tally.score_unit = "votes in the last round it was in";
      tally.rule =
          "The design with fewest first places drops out, round by round, until one has more than "
          "half of the ballots that still name somebody. Where several have the fewest, every "
          "order "
          "of dropping out is followed: whoever wins in one of them is named, and several are a "
          "tie.";
      break;
    case TallyMethod::schulze:
      place_by_score(tally, count_schulze(tally.duels), false);
      tally.score_unit = "designs that beat it";
      tally.rule =
          "A design beats another if its strongest chain of majorities to it is stronger than the "
          "chain back (winning votes); whoever is beaten by none wins, and several are a tie." +
          unnamed;
      break;
    case TallyMethod::minimax:
      place_by_score(tally, count_minimax(tally.duels), false);
      tally.score_unit = "votes in its worst defeat";
      tally.rule =
          "The design whose worst lost duel is the least (winning votes) wins; equal ones are a "
          "tie." +
          unnamed;
      break;
    case TallyMethod::copeland:
      place_by_score(tally, count_copeland(tally.duels), true);
      tally.score_unit = "duels won";
      tally.rule =
          "The design that wins most duels, a draw for half, wins; equal counts are a tie." +
          unnamed;
      break;
  }
  std::stable_sort(tally.rows.begin(), tally.rows.end(),
                   [](const TallyRow& a, const TallyRow& b) { return a.place < b.place; });
  for (const TallyRow& row : tally.rows)
    if (row.place == 1) tally.winners.push_back(row.design);
  return tally;
}

}  // namespace sixtyfold
