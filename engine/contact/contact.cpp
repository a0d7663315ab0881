#include "engine/contact/contact.h"

#include <algorithm>
#include <limits>
#include <utility>

namespace sixtyfold {

namespace {

/// Walks one set of intervals in increasing position, as they are or mirrored.
class Walker {
 public:
  Walker(const std::vector<Crossing>& crossings, bool mirrored)
      : crossings_(crossings), mirrored_(mirrored) {}

  bool inside() const { return taken_ % 2 == 1; }
  double next() const {
    if (taken_ == crossings_.size()) return std::numeric_limits<double>::infinity();
    return mirrored_ ? -crossings_[crossings_.size() - 1 - taken_].at : crossings_[taken_].at;
  }
  void advance_to(double at) {
    while (next() <= at) ++taken_;
  }

 private:
  const std::vector<Crossing>& crossings_;
  std::size_t taken_ = 0;
  bool mirrored_;
};

/// From the first to the last position of either set.
std::pair<double, double> find_reach(const SideSpans& spans, bool mirrored) {
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (const auto* set : {&spans.above, &spans.below})
    if (!set->empty()) {
      low = std::min(low, set->front().at);
      high = std::max(high, set->back().at);
    }
  return mirrored ? std::pair(-high, -low) : std::pair(low, high);
}

}  // namespace

void find_contacts(const SideSpans& first, const SideSpans& second, bool reversed,
                   double least_length, std::vector<Contact>& contacts) {
  contacts.clear();
  if (first.empty() || second.empty()) return;
  // The outermost intervals decide most pairs.
  const auto [first_low, first_high] = find_reach(first, false);
  const auto [second_low, second_high] = find_reach(second, reversed);
  if (!(std::min(first_high, second_high) - std::max(first_low, second_low) > least_length)) return;
  Walker first_above(first.above, false), first_below(first.below, false);
  Walker second_above(second.above, reversed), second_below(second.below, reversed);
  double at = -std::numeric_limits<double>::infinity();
  for (;;) {
    const double next = std::min(std::min(first_above.next(), first_below.next()),
                                 std::min(second_above.next(), second_below.next()));
    if (next == std::numeric_limits<double>::infinity()) break;
    const int first_sides = first_above.inside() + first_below.inside();
    const int second_sides = second_above.inside() + second_below.inside();
    if (first_sides > 0 && second_sides > 0 && next > at) {
      Contact contact{ContactKind::crossing, at, next, false, false};
      if (first_sides == 1) contact.first_above = first_above.inside();
      if (second_sides == 1) contact.second_above = second_above.inside();
      if (first_sides == 1)
        contact.kind = second_sides == 1 ? ContactKind::edges : ContactKind::edge_first;
      else if (second_sides == 1)
        contact.kind = ContactKind::edge_second;
      // Several pieces of one contact (a vertex on the line between them) are one contact.
      Contact* last = contacts.empty() ? nullptr : &contacts.back();
      if (last && last->to == contact.from && last->kind == contact.kind &&
          last->first_above == contact.first_above && last->second_above == contact.second_above)
        last->to = contact.to;
      else
        contacts.push_back(contact);
    }
    at = next;
    first_above.advance_to(next);
    first_below.advance_to(next);
    second_above.advance_to(next);
    second_below.advance_to(next);
  }
  contacts.erase(std::remove_if(contacts.begin(), contacts.end(),
                                [&](const Contact& c) { return !(c.length() > least_length); }),
                 contacts.end());
}

double measure_contact_angle(const Contact& contact, double theta_rad) {
  if (contact.kind != ContactKind::edges) return std::min(theta_rad, pi - theta_rad);
  return contact.first_above == contact.second_above ? pi - theta_rad : theta_rad;
}

}  // namespace sixtyfold
