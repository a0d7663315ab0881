#include "engine/contact/slot.h"

#include <limits>

namespace sixtyfold {

namespace {

/// Positions at which a panel has material on either side of its line, joined to stretches.
std::vector<std::pair<double, double>> find_stretches(const SideSpans& spans, bool mirrored,
                                                      double tolerance) {
  std::vector<std::pair<double, double>> all, joined;
  for (const auto* set : {&spans.above, &spans.below})
    for (std::size_t i = 0; i + 1 < set->size(); i += 2) {
      const double low = (*set)[i].at, high = (*set)[i + 1].at;
      all.emplace_back(mirrored ? -high : low, mirrored ? -low : high);
    }
  std::sort(all.begin(), all.end());
  for (const auto& stretch : all) {
    if (joined.empty() || stretch.first > joined.back().second + tolerance)
      joined.push_back(stretch);
    else
      joined.back().second = std::max(joined.back().second, stretch.second);
  }
  return joined;
}

/// One of `moving`, going up by `by`, runs into one of `standing` that it is not past already.
bool runs_into(const std::vector<std::pair<double, double>>& moving,
               const std::vector<std::pair<double, double>>& standing, double by,
               double tolerance) {
  for (const auto& a : moving)
    for (const auto& b : standing)
      if (a.first < b.second - tolerance && a.second + by > b.first + tolerance) return true;
  return false;
}

}  // namespace

std::optional<HalvedSlot> find_halved_slot(const SideSpans& first, const SideSpans& second,
                                           bool reversed, const std::vector<Contact>& contacts,
                                           double tolerance) {
  const Contact* crossing = nullptr;
  for (const Contact& contact : contacts) {
    if (!(contact.length() > tolerance)) continue;
    if (crossing || contact.kind != ContactKind::crossing) return std::nullopt;
    crossing = &contact;
  }
  if (!crossing) return std::nullopt;
  auto own = find_stretches(first, false, tolerance);
  auto other = find_stretches(second, reversed, tolerance);
  const double middle = 0.5 * (crossing->from + crossing->to);
  const auto holds = [middle](const auto& s) { return s.first < middle && middle < s.second; };
  const auto mine = std::find_if(own.begin(), own.end(), holds);
  const auto theirs = std::find_if(other.begin(), other.end(), holds);
  if (mine == own.end() || theirs == other.end()) return std::nullopt;
  const bool opens_low =
      mine->first > theirs->first + tolerance && mine->second > theirs->second + tolerance;
  const bool opens_high =
      mine->first < theirs->first - tolerance && mine->second < theirs->second - tolerance;
  if (!opens_low && !opens_high) return std::nullopt;
  // What is left on the line once both are slotted; the upper one comes out upwards, half the
  // crossing.
  (opens_low ? *mine : *theirs).first = middle;
  (opens_low ? *theirs : *mine).second = middle;
  const double half = 0.5 * crossing->length();
  if (opens_low ? runs_into(own, other, half, tolerance) : runs_into(other, own, half, tolerance))
    return std::nullopt;
  return HalvedSlot{*crossing, opens_low};
}

bool opens_at(const Vec2& from, const Vec2& to, const Polygon& outline, double beside) {
  return !contains(outline, from - beside * (to - from).normalized());
}

Polygon make_slot(const SlotCut& cut, const Polygon& outline) {
  const Vec2 inwards = (cut.closed_mm - cut.open_mm).normalized(), left(-inwards.y(), inwards.x());
  // Nearly parallel planes would take any width; a metre is more than a panel has left to hold by.
  const double half_width =
      std::min(0.5 * (slot_width(cut.thickness_mm, cut.angle_rad) + cut.play_mm), 500.0);
  const Vec2 bottom = 0.5 * (cut.open_mm + cut.closed_mm) + 0.5 * cut.play_mm * inwards;
  // How far it is from the mouth along the line to where the panel begins again.
  double next = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2 a = outline[i] - cut.open_mm,
               b = outline[i + 1 == outline.size() ? 0 : i + 1] - cut.open_mm;
    const double p = left.dot(a), q = left.dot(b);
    if ((p > 0) == (q > 0)) continue;
    const double out = -inwards.dot(a + p / (p - q) * (b - a));
    if (out > cut.thickness_mm) next = std::min(next, out);
  }
  const Vec2 mouth = cut.open_mm - std::min({6 * half_width, 0.5 * next, 1000.0}) * inwards;
  return {mouth + half_width * left, mouth - half_width * left, bottom - half_width * left,
          bottom + half_width * left};
}

}  // namespace sixtyfold
