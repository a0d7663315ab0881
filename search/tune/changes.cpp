#include "search/tune/changes.h"

#include <algorithm>
#include <limits>
#include <map>

#include "engine/random.h"
#include "search/propose/refine.h"
#include "search/tune/leave.h"
#include "search/tune/parts.h"

namespace sixtyfold {
namespace {

constexpr int rounds = 3;
constexpr int block = 256;  // placings between two tellings of progress
/// So many structures of the original, of a part at rest and of a moved part are looked at.
constexpr std::size_t of_original = 2000, of_part = 100, of_moved = 16;
constexpr std::size_t of_a_kind = 5;  // changes kept of one kind, by each aim
constexpr std::size_t looked_at_of_a_kind = 12;

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// Same joints of the same copies.
using Kind = std::pair<int, std::vector<int>>;
Kind find_kind(const Change& c) { return {c.joints, c.elements}; }

/// All placings of the parts from number `first_part` on, with all their structures.
class Round {
 public:
  Round(const Workshop& shop, const Demands& demands, const ChangeOptions& options, int round,
        int first_part)
      : shop_(shop),
        demands_(demands),
        options_(options),
        round_(round),
        first_part_(first_part),
        part_count_(static_cast<int>(shop.parts.size()) - first_part) {}

  /// The original as it stands, each part at rest, parts moved.
  int tasks() const { return 1 + part_count_ + options_.placings; }

  void run(int task, Leave<TuneProgress>& leave, std::vector<Change>& found, Losses& losses) const {
    const auto lose = [&](Loss loss) { ++losses[static_cast<std::size_t>(loss)]; };
    if (task <= part_count_ && round_ > 0 && first_part_ == 0) return;  // as before
    if (task == 0 && first_part_ > 0) return;
    const Change made = choose(task);
    Placed placed;
    if (!shop_.place(made.part, made.moves, placed)) return lose(Loss::trimming);
    // Beyond mending by dropping contacts.
    if (task > 0 && measure_overlap_with(shop_.original, placed) < 0.7 * demands_.look)
      return lose(Loss::look);
    const std::vector<KeptContacts> structures = choose_structures(task, placed);
    if (structures.empty()) lose(Loss::pieces);
    for (const KeptContacts& structure : structures) {
      if (!leave.ask()) return;
      Change change = made;
      change.structure = structure;
      const Loss loss = make(placed, change);
      lose(loss);
      if (loss == Loss::none) found.push_back(std::move(change));
    }
  }

 private:
  Change choose(int task) const {
    Change made;
    if (task > 0) made.moves = UnitPoint(move_count, 0.5);
    made.part = first_part_ + std::max(task - 1, 0);
    if (task <= part_count_) return made;
    RandomStream random(
        options_.seed, Purpose::perturb,
        static_cast<std::uint64_t>(round_) * 1000000 + static_cast<std::uint64_t>(task));
    made.part =
        first_part_ + static_cast<int>(random.below(static_cast<std::uint64_t>(part_count_)));
    if (random.uniform() < 0.3) made.part = first_part_;
    const double size = random.uniform();
    for (double& u : made.moves) u = 0.5 + 0.5 * size * (2 * random.uniform() - 1);
    return made;
  }

  std::vector<KeptContacts> choose_structures(int task, const Placed& placed) const {
    if (!shop_.goal.is_for("joints")) return {KeptContacts(shop_.job.scheme.pairs.size(), -1)};
    return find_structures(shop_.job, placed, options_.fewest_joints,
                           task == 0             ? of_original
                           : task <= part_count_ ? of_part
                                                 : of_moved);
  }

  Loss make(const Placed& placed, Change& change) const {
    Placed built;
    if (!apply_structure(shop_.job, change.structure, placed, built) ||
        !widen_openings(shop_.job, shop_.original, built))
      return Loss::body;
    if (shop_.goal.is_only_for("joints") && built.joints >= shop_.original.joints)
      return Loss::no_gain;
    const Loss loss = shop_.measure(built, change);
    return loss == Loss::none && change.gain < least_gain && change.missed.total() == 0
               ? Loss::no_gain
               : loss;
  }

  const Workshop& shop_;
  const Demands& demands_;
  const ChangeOptions& options_;
  int round_, first_part_, part_count_;
};

/// The change's part and structure, plane and outline moved for the aim under all demands.
std::optional<Change> refine_change(const Workshop& shop, const Demands& demands,
                                    const Change& from, Aim aim, int evaluations,
                                    Leave<TuneProgress>& leave, std::uint64_t& tried) {
  std::optional<Change> best;
  double best_value = std::numeric_limits<double>::infinity();
  const auto loss = [&](const UnitPoint& moves) {
    if (!leave.ask()) return std::numeric_limits<double>::infinity();
    ++tried;
    Change change;
    change.part = from.part;
    change.structure = from.structure;
    change.moves = moves;
    Placed placed;
    if (!shop.build(change, placed) ||
        (shop.goal.is_for("joints") && placed.joints > from.joints) ||
        shop.measure(placed, change) != Loss::none)
      return std::numeric_limits<double>::infinity();
    const double miss = demands.miss(change) + std::max(0.0, least_gain - change.gain);
    const double value = miss > 0 ? 10 + miss : -shop.find_merit(change, aim);
    if (value < best_value) {
      best_value = value;
      best = std::move(change);
    }
    return value;
  };
  RefineOptions how;
  how.evaluations = evaluations;
  how.first_step = 0.12;
  refine(loss, from.moves.empty() ? UnitPoint(move_count, 0.5) : from.moves, how);
  if (best && best->gain < least_gain) best.reset();
  return best;
}

/// The best few of each kind by either aim, all that meet the demands before all that do not; kinds
/// that serve better first.
std::vector<Change> choose_best(const Workshop& shop, const Demands& demands,
                                const std::vector<Change>& all) {
  std::map<Kind, std::vector<const Change*>> kinds;
  for (const Change& c : all) kinds[find_kind(c)].push_back(&c);
  std::vector<Change> best;
  for (auto& [kind, group] : kinds) {
    std::vector<const Change*> kept;
    for (const Aim aim : {Aim::look, Aim::goal}) {
      std::stable_sort(group.begin(), group.end(), [&](const Change* a, const Change* b) {
        const double p = demands.miss(*a), q = demands.miss(*b);
        return p != q ? p < q : shop.find_merit(*a, aim) > shop.find_merit(*b, aim);
      });
      for (std::size_t i = 0; i < std::min(group.size(), of_a_kind); ++i)
        if (std::find(kept.begin(), kept.end(), group[i]) == kept.end()) kept.push_back(group[i]);
    }
    for (const Change* c : kept) best.push_back(*c);
  }
  std::stable_sort(best.begin(), best.end(), [&](const Change& a, const Change& b) {
    const double p = demands.miss(a), q = demands.miss(b);
    if ((p == 0) != (q == 0)) return p == 0;
    if (p != q) return p < q;
    return a.gain > b.gain;
  });
  return best;
}

/// The first of each kind, at most `most`.
std::vector<Change> choose_starts(const std::vector<Change>& best, int most) {
  std::vector<Change> starts;
  for (const Change& c : best)
    if (static_cast<int>(starts.size()) < most &&
        std::none_of(starts.begin(), starts.end(),
                     [&](const Change& s) { return find_kind(s) == find_kind(c); }))
      starts.push_back(c);
  return starts;
}

/// Those that no other of them beats.
std::vector<const Change*> find_front(std::vector<const Change*> all) {
  // The first of several equals stays; a later one beats no earlier one.
  std::stable_sort(all.begin(), all.end(), [](const Change* a, const Change* b) {
    if (a->gain != b->gain) return a->gain > b->gain;
    if (a->share != b->share) return a->share > b->share;
    if (a->overlap != b->overlap) return a->overlap > b->overlap;
    return a->also < b->also;
  });
  std::vector<const Change*> front;
  for (const Change* c : all)
    if (std::none_of(front.begin(), front.end(),
                     [&](const Change* other) { return is_beaten(*c, *other); }))
      front.push_back(c);
  return front;
}

/// Of each kind a few, from one end of what it trades to the other: the next but one is much like
/// the next.
std::vector<const Change*> choose_spread(const std::vector<const Change*>& front) {
  std::map<Kind, std::vector<const Change*>> kinds;
  for (const Change* c : front) kinds[find_kind(*c)].push_back(c);
  std::vector<const Change*> spread;
  for (const auto& [kind, group] : kinds) {
    const std::size_t wanted = std::min(group.size(), looked_at_of_a_kind);
    for (std::size_t i = 0; i < wanted; ++i)
      spread.push_back(group[wanted == 1 ? 0 : i * (group.size() - 1) / (wanted - 1)]);
  }
  std::stable_sort(spread.begin(), spread.end(),
                   [](const Change* a, const Change* b) { return a->gain > b->gain; });
  return spread;
}

/// Keeps what may still be listed or shown: fronts of those that meet the demands and of those that
/// do not, and the best of each kind.
void thin(const Workshop& shop, const Demands& demands, std::vector<Change>& all) {
  std::vector<const Change*> within, beyond;
  for (const Change& c : all) (demands.miss(c) == 0 ? within : beyond).push_back(&c);
  std::vector<Change> kept;
  for (const auto& group : {find_front(std::move(within)), find_front(std::move(beyond))})
    for (const Change* c : group) kept.push_back(*c);
  for (Change& c : choose_best(shop, demands, all))
    if (std::none_of(kept.begin(), kept.end(), [&](const Change& other) {
          return other.part == c.part && other.moves == c.moves && other.structure == c.structure;
        }))
      kept.push_back(std::move(c));
  all = std::move(kept);
}

}  // namespace

bool is_beaten(const Change& c, const Change& by) {
  bool better = by.gain > c.gain || by.share > c.share || by.overlap > c.overlap;
  if (by.gain < c.gain || by.share < c.share || by.overlap < c.overlap) return false;
  for (std::size_t i = 0; i < c.also.size(); ++i) {
    if (by.also[i] > c.also[i]) return false;
    better = better || by.also[i] < c.also[i];
  }
  return better;
}

std::vector<Change> find_ranked(const std::vector<Change>& all, const Demands& demands,
                                std::size_t most) {
  std::vector<const Change*> rest;
  for (const Change& c : all)
    if (demands.miss(c) == 0) rest.push_back(&c);
  std::vector<Change> ranked;
  while (!rest.empty() && ranked.size() < most) {
    const std::vector<const Change*> front = find_front(rest);
    for (const Change* c : choose_spread(front))
      if (ranked.size() < most) ranked.push_back(*c);
    std::erase_if(rest, [&](const Change* c) {
      return std::find(front.begin(), front.end(), c) != front.end();
    });
  }
  return ranked;
}

const Change* find_nearest(const Workshop& shop, const std::vector<Change>& all,
                           const Demands& demands) {
  const Change* nearest = nullptr;
  for (const Change& c : all) {
    if (c.gain < least_gain) continue;
    const double p = demands.miss(c), q = nearest ? demands.miss(*nearest) : 0;
    if (!nearest || p < q ||
        (p == q && shop.find_merit(c, Aim::goal) > shop.find_merit(*nearest, Aim::goal)))
      nearest = &c;
  }
  return nearest;
}

Found find_changes(const Workshop& shop, const Demands& demands, const ChangeOptions& options,
                   std::vector<DrawnPart>& parts, Evaluator& evaluator, const GoOn& go_on) {
  // Each round goes on from the best of the one before: a contact that is there now may be what
  // another can be given up for.
  Found found;
  found.progress.all =
      static_cast<std::uint64_t>(rounds) *
      static_cast<std::uint64_t>(options.placings + 2 * options.refinements * options.evaluations);
  Leave<TuneProgress> leave(go_on, found.progress);
  int first_part = 0;
  for (int number = 0; number < rounds && leave.ask(); ++number) {
    const Round round(shop, demands, options, number, first_part);
    const int placings_from = round.tasks() - options.placings;
    std::vector<Change> all;
    for (int first = 0; first < round.tasks() && leave.ask(); first += block) {
      const int end = std::min(first + block, round.tasks());
      std::vector<std::vector<Change>> made(index(end - first));
      std::vector<Losses> lost(made.size(), Losses{});
      evaluator.run(end - first, [&](int task, int) {
        round.run(first + task, leave, made[index(task)], lost[index(task)]);
      });
      for (std::vector<Change>& task : made)
        std::move(task.begin(), task.end(), std::back_inserter(all));
      for (const Losses& task : lost)
        for (std::size_t i = 0; i < task.size(); ++i) {
          found.losses[i] += task[i];
          found.tried += static_cast<std::uint64_t>(task[i]);
        }
      found.progress.tried +=
          static_cast<std::uint64_t>(std::max(end, placings_from) - std::max(first, placings_from));
    }
    const std::vector<Change> starts =
        leave.ask() ? choose_starts(choose_best(shop, demands, all), options.refinements)
                    : std::vector<Change>();
    std::vector<std::optional<Change>> improved(2 * starts.size());
    std::vector<std::uint64_t> tried(improved.size(), 0);
    evaluator.run(static_cast<int>(improved.size()), [&](int task, int) {
      improved[index(task)] = refine_change(shop, demands, starts[index(task / 2)],
                                            task % 2 == 0 ? Aim::goal : Aim::look,
                                            options.evaluations, leave, tried[index(task)]);
    });
    std::uint64_t refined = 0;
    for (const std::uint64_t count : tried) refined += count;
    found.tried += refined;
    for (std::optional<Change>& c : improved)
      if (c) all.push_back(std::move(*c));
    // As planned unless it was ended: few starts and early ends leave nothing to be done.
    found.progress.tried += leave.is_ended() ? refined
                                             : 2 * static_cast<std::uint64_t>(options.refinements) *
                                                   static_cast<std::uint64_t>(options.evaluations);
    std::move(all.begin(), all.end(), std::back_inserter(found.all));
    thin(shop, demands, found.all);
    found.progress.kept = static_cast<int>(std::count_if(
        found.all.begin(), found.all.end(), [&](const Change& c) { return demands.miss(c) == 0; }));
    if (number + 1 == rounds || leave.is_ended()) break;
    if (found.all.empty()) continue;  // other placings of the same parts
    first_part = static_cast<int>(parts.size());
    for (const Change& best : choose_starts(choose_best(shop, demands, found.all), 2)) {
      Placed placed;
      if (!shop.build(best, placed)) continue;
      const std::vector<DrawnPart> more = find_drawn_parts(shop.job, placed);
      parts.insert(parts.end(), more.begin(), more.end());
    }
    if (static_cast<int>(parts.size()) == first_part) break;
  }
  found.ended = leave.is_ended();
  return found;
}

}  // namespace sixtyfold
