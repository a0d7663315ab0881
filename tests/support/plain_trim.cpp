#include "tests/support/plain_trim.h"

#include <algorithm>
#include <cassert>
#include <optional>

#include "tests/support/plain_contact.h"

namespace sixtyfold::plain {

namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// No meeting line has this number.
constexpr int no_line = -101;

bool contains_point(const LabelledOutline& outline, const Vec2& p) {
  bool inside = false;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2 a = outline.vertex(i), b = outline.vertex((i + outline.size() - 1) % outline.size());
    if ((a.y() > p.y()) == (b.y() > p.y())) continue;
    if (p.x() < a.x() + (b.x() - a.x()) * (p.y() - a.y()) / (b.y() - a.y())) inside = !inside;
  }
  return inside;
}

/// The two ends of the interval that holds a position.
std::optional<std::pair<Crossing, Crossing>> find_interval(const std::vector<Crossing>& crossings,
                                                           double at) {
  for (std::size_t i = 0; i + 1 < crossings.size(); i += 2)
    if (crossings[i].at <= at && at <= crossings[i + 1].at)
      return std::pair(crossings[i], crossings[i + 1]);
  return std::nullopt;
}

/// The boundary from where it leaves the line to where it comes back to it, closed along the line.
LabelledOutline make_part(const LabelledOutline& outline, const MeetingLine& line, int line_number,
                          const Crossing& leaving, const Crossing& arriving) {
  LabelledOutline part;
  const auto push = [&part](const Vec2& p, std::int16_t label) {
    if (part.size() > 0 && part.vertex(part.size() - 1) == p)
      part.relabel_last(label);
    else
      part.push(p, label);
  };
  push(line.point_at(leaving.at), outline.line[index(leaving.edge)]);
  for (int i = leaving.edge; i != arriving.edge;) {
    i = (i + 1) % static_cast<int>(outline.size());
    push(outline.vertex(index(i)), outline.line[index(i)]);
  }
  push(line.point_at(arriving.at), static_cast<std::int16_t>(line_number));
  if (part.size() > 1 && part.vertex(0) == part.vertex(part.size() - 1)) {
    part.x.pop_back();
    part.y.pop_back();
    part.line.pop_back();
  }
  return part;
}

class Trimming {
 public:
  Trimming(const OrbitScheme& scheme, const Frame& frame, const std::vector<MeetingLine>& lines,
           const TrimOptions& options, Trimmed& result)
      : scheme_(scheme), frame_(frame), lines_(lines), options_(options), result_(result) {}

  TrimStatus trim() {
    if (!trim_to_sector()) return TrimStatus::hub_lost;
    // Near lines first: they cut off what the far ones would otherwise cut in several steps.
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t i = 0; i < scheme_.pairs.size(); ++i)
      if (const MeetingLine& line = lines_[index(scheme_.pairs[i].element)]; line.exists)
        order.emplace_back(line.offset, i);
    std::sort(order.begin(), order.end());
    for (const auto& [offset, number] : order)
      if (const TrimStatus status = clear_pair(scheme_.pairs[number]); status != TrimStatus::clean)
        return status;
    return TrimStatus::clean;
  }

 private:
  /// The part with the hub; nothing when neither part holds it.
  std::optional<LabelledOutline> cut_at(const LabelledOutline& outline, const MeetingLine& line,
                                        int line_number, int label, double at,
                                        std::vector<Contact>* chords = nullptr) {
    ++result_.cuts;
    const SideSpans spans = find_spans(outline, line, line_number);
    const auto above = find_interval(spans.above, at), below = find_interval(spans.below, at);
    if (!above || !below) return std::nullopt;
    // With the material on its left the boundary leaves the line upwards at the interval's near
    // end, downwards at its far end.
    const LabelledOutline upper = make_part(outline, line, label, above->first, above->second);
    const LabelledOutline lower = make_part(outline, line, label, below->second, below->first);
    if (std::abs(line.height_of(options_.hub)) < 1e-9) return std::nullopt;
    const bool hub_above = line.height_of(options_.hub) > 0;
    // The hub may lie in the other part, round a corner.
    for (const LabelledOutline* part : {hub_above ? &upper : &lower, hub_above ? &lower : &upper})
      if (part->size() >= 3 && contains_point(*part, options_.hub)) {
        const auto& chord = part == &upper ? above : below;
        if (chords) chords->push_back({ContactKind::crossing, chord->first.at, chord->second.at});
        return *part;
      }
    return std::nullopt;
  }

  /// A Dirichlet cell of the panels in one plane, with a gap.
  bool trim_to_sector() {
    for (const int element : scheme_.coplanar) {
      const Vec2 hub = options_.hub;
      const Vec2 other =
          frame_.to_plane(scheme_.group->elements[index(element)] * frame_.to_space(hub));
      const double distance = (other - hub).norm();
      if (distance <= 4 * options_.coplanar_gap || distance <= 1e-9) return false;
      MeetingLine line;
      line.exists = true;
      line.side = (other - hub) / distance;
      line.offset = line.side.dot((other + hub) / 2) - options_.coplanar_gap / 2;
      for (int cuts = 0;; ++cuts) {
        if (cuts > 64) return false;
        const SideSpans spans = find_spans(result_.outline, line, no_line);
        if (spans.above.empty()) break;
        const double at = (spans.above[0].at + spans.above[1].at) / 2;
        if (!find_interval(spans.below, at)) break;
        const auto part = cut_at(result_.outline, line, no_line, LabelledOutline::sector_cut, at);
        if (!part) return false;
        result_.outline = *part;
        // Vertices of the new edge lie on the line only up to rounding: move the line outwards.
        line.offset += 1e-12 * (1 + std::abs(line.offset));
      }
    }
    return true;
  }

  /// Middle of the longest piece of the line inside the outline, within from .. to.
  std::optional<double> find_chord(const SideSpans& spans, double from, double to) const {
    double longest = options_.least_crossing;
    std::optional<double> middle;
    for (std::size_t i = 0; i + 1 < spans.below.size(); i += 2)
      for (std::size_t j = 0; j + 1 < spans.above.size(); j += 2) {
        const double low = std::max({from, spans.below[i].at, spans.above[j].at});
        const double high = std::min({to, spans.below[i + 1].at, spans.above[j + 1].at});
        if (!(high - low > longest)) continue;
        longest = high - low;
        middle = (low + high) / 2;
      }
    return middle;
  }

  /// Cuts along the lines of all h g, h in H, wherever the two copies cross. Nothing when the hub
  /// is lost.
  std::optional<LabelledOutline> cut_crossings(LabelledOutline outline, int element, bool mirrored,
                                               const std::vector<Contact>& crossings) {
    std::vector<Contact> chords;  // cut for the identity
    for (const OwnSymmetry& own : scheme_.own_symmetries) {
      const int image = scheme_.group->multiply(own.element, element);
      const MeetingLine& line = lines_[index(image)];
      const int number = scheme_.line_of[index(image)];
      const bool is_first = own.element == 0;
      const bool reversed = is_first ? mirrored : own.mirrors;
      for (const Contact& crossing : is_first ? crossings : std::vector<Contact>(chords)) {
        const double from = reversed ? -crossing.to : crossing.from;
        const double to = reversed ? -crossing.from : crossing.to;
        for (int cuts = 0;; ++cuts) {
          const auto at = find_chord(find_spans(outline, line, number), from, to);
          if (!at) break;
          const auto part =
              cut_at(outline, line, number, number, *at, is_first ? &chords : nullptr);
          if (cuts > 16 || !part) return std::nullopt;
          outline = *part;
        }
      }
    }
    return outline;
  }

  std::vector<Contact> find_crossings(const PairClass& pair) const {
    std::vector<Contact> crossings;
    for (const Contact& contact :
         find_pair_contacts(scheme_, lines_, pair, result_.outline, options_.least_crossing))
      if (contact.kind == ContactKind::crossing) crossings.push_back(contact);
    return crossings;
  }

  /// Cuts until the copies of one pair do not pass through each other.
  TrimStatus clear_pair(const PairClass& pair) {
    const bool proper = scheme_.group->elements[index(pair.element)].determinant() > 0;
    const bool meet = options_.style == TrimStyle::meet;
    for (int round = 0;; ++round) {
      const std::vector<Contact> crossings = find_crossings(pair);
      if (crossings.empty()) return TrimStatus::clean;
      if (round > 16) return TrimStatus::not_ended;
      const auto first = cut_crossings(result_.outline, pair.element, false, crossings);
      std::optional<LabelledOutline> second;
      if (pair.element != pair.inverse)
        second = cut_crossings(first && meet ? *first : result_.outline, pair.inverse, proper,
                               crossings);
      if (!first && !second) return TrimStatus::hub_lost;
      // Either line clears the pair: the one that loses less area is taken; to meet, both.
      const bool take_second = second && (!first || meet || second->area() > first->area());
      result_.outline = take_second ? *second : *first;
    }
  }

  const OrbitScheme& scheme_;
  const Frame& frame_;
  const std::vector<MeetingLine>& lines_;
  const TrimOptions& options_;
  Trimmed& result_;
};

}  // namespace

Trimmed trim(const OrbitScheme& scheme, const Frame& frame, const std::vector<MeetingLine>& lines,
             const TrimOptions& options, const LabelledOutline& outline) {
  assert(!options.keep_slots && options.edge_clearance == 0);
  Trimmed result;
  result.outline = outline;
  result.status = Trimming(scheme, frame, lines, options, result).trim();
  return result;
}

}  // namespace sixtyfold::plain
