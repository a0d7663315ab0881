#include "engine/building/order.h"

#include <algorithm>

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Springing is dear to look at: of the highest so many.
constexpr int most_sprung = 8;

class TakingApart {
 public:
  explicit TakingApart(const OrderTask& task)
      : task_(task),
        ways_(task.ways ? task.ways
                        : std::make_shared<WaysOut>(*task.copies, task.blocks, task.hints)),
        standing_(task.blocks.size(), true),
        copies_(task.copies->plates.size(), false),
        height_(task.blocks.size(), 0) {
    for (std::size_t b = 0; b < task.blocks.size(); ++b) {
      double plates = 0;
      for (const int copy : task.blocks[b]) {
        copies_[at(copy)] = true;
        for (const StandingPlate& plate : task.copies->plates[at(copy)])
          height_[b] += plate.centre.z(), ++plates;
      }
      height_[b] /= plates;
    }
  }

  Order run() {
    std::vector<OrderStep> backwards;
    for (std::size_t left = task_.blocks.size(); left > 1; --left) {
      OrderStep step = find_step();
      order_.hard_steps += step.coming_in == ComingIn::hard;
      order_.spring_steps += step.coming_in == ComingIn::sprung;
      if (order_.hard_steps > task_.most_hard_steps) return std::move(order_);
      standing_[at(step.block)] = false;
      for (const int copy : task_.blocks[at(step.block)]) copies_[at(copy)] = false;
      backwards.push_back(std::move(step));
    }
    OrderStep first;
    first.block =
        static_cast<int>(std::find(standing_.begin(), standing_.end(), true) - standing_.begin());
    backwards.push_back(first);
    order_.steps.assign(backwards.rbegin(), backwards.rend());
    return std::move(order_);
  }

 private:
  /// Highest first; of equally high ones those with fewer joints.
  std::vector<int> list_candidates() const {
    std::vector<int> candidates;
    std::vector<int> joined(standing_.size(), 0);
    for (std::size_t b = 0; b < standing_.size(); ++b) {
      if (!standing_[b]) continue;
      candidates.push_back(static_cast<int>(b));
      for (const int other : task_.neighbours[b]) joined[b] += standing_[at(other)];
    }
    std::stable_sort(candidates.begin(), candidates.end(), [&](int a, int b) {
      if (std::abs(height_[at(a)] - height_[at(b)]) > 1e-6) return height_[at(a)] > height_[at(b)];
      return joined[at(a)] < joined[at(b)];
    });
    return candidates;
  }

  bool stays_whole(int without) const {
    std::vector<int> queue;
    std::vector<bool> reached(standing_.size(), false);
    std::size_t standing = 0;
    for (std::size_t b = 0; b < standing_.size(); ++b) {
      if (!standing_[b] || static_cast<int>(b) == without) continue;
      ++standing;
      if (queue.empty()) queue.push_back(static_cast<int>(b)), reached[b] = true;
    }
    for (std::size_t next = 0; next < queue.size(); ++next)
      for (const int to : task_.neighbours[at(queue[next])]) {
        if (to == without || !standing_[at(to)] || reached[at(to)]) continue;
        reached[at(to)] = true;
        queue.push_back(to);
      }
    return queue.size() == standing;
  }

  OrderStep find_step() {
    std::vector<int> candidates = list_candidates();
    // The lowest stays, unless nothing else can move.
    const int base = candidates.back();
    std::vector<OrderStep> able;
    for (const bool only_base : {false, true})
      for (const bool keep_whole : {true, false})
        for (const Tabs tabs : {Tabs::folded, Tabs::open}) {
          if (only_base && !keep_whole) continue;
          for (const int b : candidates) {
            if (able.size() >= task_.most_weighed) break;
            if ((b == base) != only_base) continue;
            if (!only_base && stays_whole(b) != keep_whole) continue;
            if (const auto way = ways_->find_way(b, copies_, tabs))
              able.push_back(
                  {b, tabs == Tabs::folded ? ComingIn::straight : ComingIn::tabs_open, *way, {}});
          }
          if (!able.empty()) return choose(able);
        }
    return find_other_step(candidates);
  }

  OrderStep choose(const std::vector<OrderStep>& able) const {
    return able[able.size() > 1 && task_.choose ? task_.choose(able, standing_) : 0];
  }

  /// Where no fan and no hint leads out. What is blocked with its tabs open is with them folded.
  OrderStep find_other_step(const std::vector<int>& candidates) {
    double doubt = 0;
    std::optional<OrderStep> with_open;
    for (const int b : candidates) {
      const DirectionSearch open = ways_->search_ways(b, copies_, Tabs::open);
      doubt = std::max(doubt, open.doubt_deg);
      if (!open.free) continue;
      if (const auto folded = ways_->search_ways(b, copies_, Tabs::folded).free)
        return {b, ComingIn::straight, *folded, {}};
      if (!with_open) with_open = {b, ComingIn::tabs_open, *open.free, {}};
    }
    if (with_open) return *with_open;
    order_.doubt_deg = std::max(order_.doubt_deg, doubt);
    OrderStep step;
    const auto whole = std::find_if(candidates.begin(), candidates.end() - 1,
                                    [&](int b) { return stays_whole(b); });
    step.block = whole == candidates.end() - 1 ? candidates.front() : *whole;
    step.coming_in = ComingIn::hard;
    if (!task_.spring) return step;
    int asked = 0;
    for (const int b : candidates) {
      if (++asked > most_sprung) break;
      const auto spring = task_.spring(b, copies_);
      if (!spring || (step.coming_in == ComingIn::sprung && !(spring->strain < step.spring.strain)))
        continue;
      step = {b, ComingIn::sprung, spring->push, *spring};
    }
    return step;
  }

  const OrderTask& task_;
  std::shared_ptr<WaysOut> ways_;
  std::vector<bool> standing_;  // blocks
  std::vector<bool> copies_;
  std::vector<double> height_;
  Order order_;
};

}  // namespace

Order find_order(const OrderTask& task) { return TakingApart(task).run(); }

}  // namespace sixtyfold
