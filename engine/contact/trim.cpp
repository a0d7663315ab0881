#include "engine/contact/trim.h"

#include <algorithm>
#include <cmath>

#include "engine/contact/slot.h"
#include "engine/lanes.h"

namespace sixtyfold {

namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

bool contains_point(const LabelledOutline& outline, const Vec2& p) {
  bool inside = false;
  for (std::size_t i = 0, n = outline.size(), j = n - 1; i < n; j = i++) {
    if ((outline.y[i] > p.y()) != (outline.y[j] > p.y()) &&
        p.x() < outline.x[i] + (outline.x[j] - outline.x[i]) * (p.y() - outline.y[i]) /
                                   (outline.y[j] - outline.y[i]))
      inside = !inside;
  }
  return inside;
}

/// The interval of a set that holds a position; nullptr when there is none.
const Crossing* find_interval(const std::vector<Crossing>& crossings, double at) {
  for (std::size_t i = 0; i + 1 < crossings.size(); i += 2)
    if (crossings[i].at <= at && at <= crossings[i + 1].at) return &crossings[i];
  return nullptr;
}

/// The part of `outline` on the side of the chord interval[0] .. interval[1] for which the
/// crossings stand (above or below), closed by the chord.
void make_part(const LabelledOutline& outline, const MeetingLine& line, std::int16_t line_number,
               const Crossing* interval, bool above, LabelledOutline& part) {
  const std::size_t n = outline.size();
  // The boundary runs counter-clockwise with the material on its left: above the line it leaves
  // the line at the interval's near end, below at its far end.
  const Crossing leaving = above ? interval[0] : interval[1];
  const Crossing arriving = above ? interval[1] : interval[0];
  part.clear();
  const Vec2 start = line.point_at(leaving.at), end = line.point_at(arriving.at);
  const auto first = static_cast<std::size_t>(leaving.edge),
             last = static_cast<std::size_t>(arriving.edge);
  part.push(start, outline.line[first]);
  if (first != last) {
    // From the vertex after the first edge on; one that lies on the line is there already.
    std::size_t next = first + 1 == n ? 0 : first + 1;
    if (outline.vertex(next) == start) {
      part.relabel_last(outline.line[next]);
      if (next == last)
        next = n;
      else
        next = next + 1 == n ? 0 : next + 1;
    }
    if (next < n) {
      if (next <= last) {
        part.append(outline, next, last + 1);
      } else {
        part.append(outline, next, n);
        part.append(outline, 0, last + 1);
      }
    }
  }
  if (part.vertex(part.size() - 1) == end)
    part.relabel_last(line_number);
  else
    part.push(end, line_number);
  if (part.size() > 1 && part.vertex(0) == part.vertex(part.size() - 1)) {
    part.x.pop_back();
    part.y.pop_back();
    part.line.pop_back();
  }
}

/// Cuts `outline` along the chord of `line` at position `at`, keeping the part with the hub in
/// `part`; `spans` are those of the line. Returns the chord's ends, nullptr if neither part holds
/// the hub.
const Crossing* cut_at(const LabelledOutline& outline, const MeetingLine& line,
                       std::int16_t line_number, double at, const Vec2& hub, const SideSpans& spans,
                       LabelledOutline& part) {
  const Crossing* below = find_interval(spans.below, at);
  const Crossing* above = find_interval(spans.above, at);
  if (!below || !above) return nullptr;
  const double hub_height = line.height_of(hub);
  // On the line both parts would lose it: where the outline's mirror line is a meeting line.
  if (std::abs(hub_height) < 1e-9) return nullptr;
  const bool hub_above = hub_height > 0;
  // The hub is usually in the part on its own side of the line; it may be in the other one, round
  // a corner.
  for (const bool side_above : {hub_above, !hub_above}) {
    make_part(outline, line, line_number, side_above ? above : below, side_above, part);
    if (part.size() >= 3 && contains_point(part, hub)) return side_above ? above : below;
  }
  return nullptr;
}

/// Middle of the longest piece of a chord inside from .. to; false when no chord is left there.
bool find_chord(const SideSpans& spans, double from, double to, double least, double& at) {
  double longest = least;
  for (std::size_t i = 0; i + 1 < spans.below.size(); i += 2)
    for (std::size_t j = 0; j + 1 < spans.above.size(); j += 2) {
      const double low = std::max({from, spans.below[i].at, spans.above[j].at});
      const double high = std::min({to, spans.below[i + 1].at, spans.above[j + 1].at});
      if (high - low > longest) {
        longest = high - low;
        at = (low + high) / 2;
      }
    }
  return longest > least;
}

/// What became of an outline on a line.
enum class Cut { hub_lost, done, one_sided };

/// An outline that is not copied before it is cut.
struct CutOutline {
  const LabelledOutline* now;  ///< what it is: the original, then `own`
  LabelledOutline& own;
};

/// Cuts at every crossing, as far as earlier cuts have left its chord; `spans`: the outline's on
/// the line, where they are known; `chords`: where the cuts are noted. One-sided: all that is left
/// lies on one side of the line.
Cut cut_crossings(CutOutline& outline, const MeetingLine& line, int line_number,
                  const std::vector<Contact>& crossings, bool mirrored, const TrimOptions& options,
                  const SideSpans* spans, std::vector<Contact>* chords, TrimWorkspace& work) {
  for (const Contact& crossing : crossings) {
    const double from = mirrored ? -crossing.to : crossing.from;
    const double to = mirrored ? -crossing.from : crossing.to;
    for (int cuts = 0;; ++cuts) {
      double at = 0;
      if (!spans) {
        find_spans(*outline.now, line, line_number, work.third);
        spans = &work.third;
      }
      if (!find_chord(*spans, from, to, options.least_crossing, at)) break;
      const bool was_only_chord = spans->above.size() == 2 && spans->below.size() == 2;
      if (cuts > 16) return Cut::hub_lost;
      const Crossing* chord = cut_at(*outline.now, line, static_cast<std::int16_t>(line_number), at,
                                     options.hub, *spans, work.scratch);
      if (!chord) return Cut::hub_lost;
      if (chords) chords->push_back({ContactKind::crossing, chord[0].at, chord[1].at});
      std::swap(outline.own, work.scratch);
      outline.now = &outline.own;
      if (was_only_chord) return Cut::one_sided;
      spans = nullptr;
    }
  }
  return Cut::done;
}

bool find_crossings(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines,
                    const PairClass& pair, const LabelledOutline& outline, double least_length,
                    TrimWorkspace& work) {
  find_pair_contacts(scheme, lines, pair, outline, least_length, work);
  work.crossings.clear();
  for (const Contact& contact : work.contacts)
    if (contact.kind == ContactKind::crossing) work.crossings.push_back(contact);
  return !work.crossings.empty();
}

/// Cuts the outline along the lines of all h g, h in H, so that it keeps its own symmetry, into
/// `result`. `spans`: the outline's on the line of g, where they are known.
Cut cut_symmetrically(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines, int element,
                      bool mirrored, const TrimOptions& options, const LabelledOutline& outline,
                      const SideSpans* spans, LabelledOutline& result, TrimWorkspace& work) {
  CutOutline cut_outline{&outline, result};
  const bool is_alone = scheme.own_symmetries.size() == 1;
  work.chords.clear();
  const Cut first = cut_crossings(cut_outline, lines[index(element)],
                                  scheme.line_of[index(element)], work.crossings, mirrored, options,
                                  spans, is_alone ? nullptr : &work.chords, work);
  if (first == Cut::hub_lost) return first;
  // Where chords cross, one cut may take away what the other one was for: its chord is cut all the
  // same, or the outline would not be its own image.
  for (const OwnSymmetry& own : scheme.own_symmetries) {
    if (own.element == 0) continue;
    const int image = scheme.group->multiply(own.element, element);
    if (cut_crossings(cut_outline, lines[index(image)], scheme.line_of[index(image)], work.chords,
                      own.mirrors, options, nullptr, nullptr, work) == Cut::hub_lost)
      return Cut::hub_lost;
  }
  if (cut_outline.now == &outline) result = outline;
  return first;
}

/// Keeps the outline nearer to the hub than to the hub of any coplanar copy (a Dirichlet cell of
/// the plane's own group), with a gap.
bool trim_to_sector(const OrbitScheme& scheme, const Frame& frame, const TrimOptions& options,
                    LabelledOutline& outline, TrimWorkspace& work) {
  for (const int element : scheme.coplanar) {
    const Vec3 image = scheme.group->elements[index(element)] * frame.to_space(options.hub);
    const Vec2 other = frame.to_plane(image);
    MeetingLine line;
    const double distance = (other - options.hub).norm();
    if (!(distance > 4 * options.coplanar_gap) || !(distance > 1e-9)) return false;
    line.exists = true;
    line.side = (other - options.hub) / distance;
    line.offset = line.side.dot((other + options.hub) / 2) - options.coplanar_gap / 2;
    for (int cuts = 0;; ++cuts) {
      if (cuts > 64) return false;
      find_spans(outline, line, LabelledOutline::drawn - 100, work.first);
      if (work.first.above.empty()) break;
      const double at = (work.first.above[0].at + work.first.above[1].at) / 2;
      // A lobe that only touches the line from above ends the loop by having no chord.
      if (!find_interval(work.first.below, at)) break;
      if (!cut_at(outline, line, LabelledOutline::sector_cut, at, options.hub, work.first,
                  work.scratch))
        return false;
      std::swap(outline, work.scratch);
      // Vertices of the new edge lie on the line only up to rounding: move the line outwards.
      line.offset += 1e-12 * (1 + std::abs(line.offset));
    }
  }
  return true;
}

/// Adds the directions in which the panel slides out of a pair's slots, its own symmetries' images
/// with them. False when they do not go with those kept already, which then stay as they were.
bool add_ways(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines,
              const PairClass& pair, bool opens_low, double least_cosine, std::vector<Vec2>& ways) {
  const std::size_t kept = ways.size();
  // Positions on the second line run the other way for rotations, and the second copy slides out
  // the opposite way: the two cancel.
  const double first_sign = opens_low ? 1 : -1,
               second_sign = pair.proper ? first_sign : -first_sign;
  for (const OwnSymmetry& own : scheme.own_symmetries) {
    const double sign = own.mirrors ? -1 : 1;
    const auto along = [&](int element) {
      return lines[index(scheme.group->multiply(own.element, element))].along();
    };
    ways.push_back(sign * first_sign * along(pair.element));
    ways.push_back(sign * second_sign * along(pair.inverse));
  }
  for (std::size_t i = kept; i < ways.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      if (!(ways[i].dot(ways[k]) >= least_cosine)) {
        ways.resize(kept);
        return false;
      }
  return true;
}

/// Do the two copies whose contacts were found last stay, to be joined by a halved slot?
bool is_kept_slot(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines,
                  const PairClass& pair, const TrimOptions& options, TrimWorkspace& work) {
  if (!options.keep_slots || !(lines[index(pair.element)].sine >= options.least_slot_sine))
    return false;
  const auto slot =
      find_halved_slot(work.first, pair.element == pair.inverse ? work.first : work.second,
                       pair.proper, work.contacts, options.least_crossing);
  return slot && slot->crossing.length() >= options.least_slot &&
         (!(options.least_way_cosine > -1) ||
          add_ways(scheme, lines, pair, slot->opens_low, options.least_way_cosine, work.ways));
}

/// Pulls the outline back from a line on which it ends over from .. to. False if the hub is lost.
bool pull_back_from(const MeetingLine& line, bool above, double from, double to,
                    const TrimOptions& options, LabelledOutline& outline, TrimWorkspace& work) {
  MeetingLine inner = line;
  const double inwards = above ? 1 : -1;
  inner.offset += inwards * options.edge_clearance / line.sine;
  for (int cuts = 0;; ++cuts) {
    double at = 0;
    find_spans(outline, inner, LabelledOutline::drawn - 100, work.first);
    if (!find_chord(work.first, from, to, options.least_crossing, at)) return true;
    if (cuts > 16 || !cut_at(outline, inner, LabelledOutline::sector_cut, at, options.hub,
                             work.first, work.scratch))
      return false;
    std::swap(outline, work.scratch);
    // Vertices of the new edge lie on the line only up to rounding: move the line outwards.
    inner.offset -= inwards * 1e-12 * (1 + std::abs(inner.offset));
  }
}

/// Pulls back what one of the pair's copies rests on the other with. False if the hub is lost.
bool clear_edges(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines,
                 const PairClass& pair, const TrimOptions& options, LabelledOutline& outline,
                 TrimWorkspace& work, bool& changed) {
  find_pair_contacts(scheme, lines, pair, outline, options.least_crossing, work);
  work.crossings = work.contacts;
  const auto pull = [&](int element, bool above, double from, double to) {
    changed = true;
    for (const OwnSymmetry& own : scheme.own_symmetries)
      if (!pull_back_from(lines[index(scheme.group->multiply(own.element, element))], above,
                          own.mirrors ? -to : from, own.mirrors ? -from : to, options, outline,
                          work))
        return false;
    return true;
  };
  for (const Contact& contact : work.crossings) {
    const bool first =
        contact.kind == ContactKind::edge_first || contact.kind == ContactKind::edges;
    const bool second =
        contact.kind == ContactKind::edge_second || contact.kind == ContactKind::edges;
    if (first && !pull(pair.element, contact.first_above, contact.from, contact.to)) return false;
    if (second &&
        !(pair.proper ? pull(pair.inverse, contact.second_above, -contact.to, -contact.from)
                      : pull(pair.inverse, contact.second_above, contact.from, contact.to)))
      return false;
  }
  return true;
}

/// Cuts until the copies of one pair do not pass through each other.
TrimStatus clear_pair(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines,
                      const PairClass& pair, const TrimOptions& options, LabelledOutline& outline,
                      TrimWorkspace& work, bool& changed) {
  for (int round = 0; find_crossings(scheme, lines, pair, outline, options.least_crossing, work);
       ++round) {
    if (is_kept_slot(scheme, lines, pair, options, work)) break;
    if (round > 16) return TrimStatus::not_ended;
    changed = true;
    const Cut first = cut_symmetrically(scheme, lines, pair.element, false, options, outline,
                                        &work.first, work.best, work);
    Cut second = Cut::hub_lost;
    if (pair.element != pair.inverse) {
      // Either line clears the pair: the one that loses less area is taken, or both.
      const bool both = first != Cut::hub_lost && options.style == TrimStyle::meet;
      second = cut_symmetrically(scheme, lines, pair.inverse, pair.proper, options,
                                 both ? work.best : outline, both ? nullptr : &work.second,
                                 work.candidate, work);
    }
    if (first == Cut::hub_lost && second == Cut::hub_lost) return TrimStatus::hub_lost;
    const bool take_second =
        second != Cut::hub_lost && (first == Cut::hub_lost || options.style == TrimStyle::meet ||
                                    work.candidate.area() > work.best.area());
    std::swap(outline, take_second ? work.candidate : work.best);
    // Who lies on one side of the line passes through nobody there.
    if ((take_second ? second : first) == Cut::one_sided) break;
  }
  return TrimStatus::clean;
}

SIXTYFOLD_LANES
double find_largest_square(const double* x, const double* y, std::size_t count, double centre_x,
                           double centre_y) {
  Four largest{};
  std::size_t i = 0;
  for (; i + four <= count; i += four) {
    Four dx, dy;
    load(x + i, dx), load(y + i, dy);
    dx -= centre_x, dy -= centre_y;
    const Four square = dx * dx + dy * dy;
    largest = largest < square ? square : largest;
  }
  double result = find_largest_of(largest);
  for (; i < count; ++i) {
    const double dx = x[i] - centre_x, dy = y[i] - centre_y;
    result = std::max(result, dx * dx + dy * dy);
  }
  return result;
}

/// A disc that holds the outline.
class Disc {
 public:
  Disc(const LabelledOutline& outline, const Vec2& centre)
      : centre_(centre),
        square_(find_largest_square(outline.x.data(), outline.y.data(), outline.size(), centre.x(),
                                    centre.y()) *
                (1 + 1e-8)) {}

  /// False: P and gP surely do not meet on their lines.
  bool may_meet(const MeetingLine& line, const MeetingLine& other, bool proper) const {
    const double height = line.height_of(centre_), other_height = other.height_of(centre_);
    const double square = square_ - height * height;
    const double other_square = square_ - other_height * other_height;
    if (!(square >= 0 && other_square >= 0)) return false;
    // Half chords; positions of one copy run the other way round.
    const double at = line.position_of(centre_);
    const double other_at = (proper ? -1 : 1) * other.position_of(centre_);
    const double apart = at - other_at, sum = square + other_square;
    // (a + b)^2 <= 2 (a^2 + b^2) first: most need no root.
    return apart * apart <= 2 * sum &&
           apart * apart <= sum + 2 * std::sqrt(square * other_square) + 1e-8 * square_;
  }

 private:
  Vec2 centre_;
  double square_;  ///< of the radius
};

}  // namespace

void find_meeting_lines(const OrbitScheme& scheme, const Frame& frame,
                        std::vector<MeetingLine>& lines) {
  const int order = scheme.group->order();
  lines.resize(index(order));
  for (int e = 0; e < order; ++e) {
    if (scheme.line_of[index(e)] == 0)
      lines[index(e)] = MeetingLine{};
    else
      lines[index(e)] = make_meeting_line(frame, scheme.group->elements[index(e)]);
  }
}

void find_pair_contacts(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines,
                        const PairClass& pair, const LabelledOutline& outline, double least_length,
                        TrimWorkspace& work) {
  work.contacts.clear();
  const MeetingLine &line = lines[index(pair.element)], &other = lines[index(pair.inverse)];
  if (!line.exists || !other.exists) return;
  find_spans(outline, line, scheme.line_of[index(pair.element)], work.first);
  if (work.first.empty()) return;
  if (pair.element == pair.inverse) {
    find_contacts(work.first, work.first, pair.proper, least_length, work.contacts);
    return;
  }
  find_spans(outline, other, scheme.line_of[index(pair.inverse)], work.second);
  find_contacts(work.first, work.second, pair.proper, least_length, work.contacts);
}

void leave_slots(const Limits& limits, TrimOptions& options) {
  if (limits.joints_by == JointsBy::tab) return;
  options.keep_slots = true;
  options.least_slot = limits.min_joint_mm;
  options.least_slot_sine = std::sin(std::min(to_radians(limits.min_angle_deg), 0.5 * pi));
  // Twice the thickness between faces that meet at a right angle.
  if (limits.joints_by == JointsBy::slot) options.edge_clearance = 2.5 * limits.thickness_mm;
}

TrimStatus trim(const OrbitScheme& scheme, const Frame& frame,
                const std::vector<MeetingLine>& lines, const TrimOptions& options,
                LabelledOutline& outline, TrimWorkspace& work) {
  if (!trim_to_sector(scheme, frame, options, outline, work)) return TrimStatus::hub_lost;

  // Copies that miss each other now always will. Near lines first: they cut off what the far ones
  // would otherwise cut in several steps.
  Disc disc(outline, options.hub);
  const auto may_meet = [&](const PairClass& pair) {
    return disc.may_meet(lines[index(pair.element)], lines[index(pair.inverse)], pair.proper);
  };
  work.order.clear();
  for (std::size_t i = 0; i < scheme.pairs.size(); ++i) {
    const MeetingLine& line = lines[index(scheme.pairs[i].element)];
    if (line.exists && may_meet(scheme.pairs[i]))
      work.order.push_back({line.offset, static_cast<int>(i)});
  }
  std::sort(work.order.begin(), work.order.end());
  // A cut only removes material, so a pair that is clear stays clear and one pass is enough; but a
  // cut may spoil a crossing that was left for a slot.
  for (int pass = 0;; ++pass) {
    if (pass > 16) return TrimStatus::not_ended;
    bool changed = false;
    work.ways.clear();
    for (const auto& [offset, number] : work.order) {
      const PairClass& pair = scheme.pairs[index(number)];
      if (!may_meet(pair)) continue;
      bool cut = false;
      const TrimStatus status = clear_pair(scheme, lines, pair, options, outline, work, cut);
      if (status != TrimStatus::clean) return status;
      if (options.edge_clearance > 0 &&
          !clear_edges(scheme, lines, pair, options, outline, work, cut))
        return TrimStatus::hub_lost;
      if (!cut) continue;
      changed = true;
      disc = Disc(outline, options.hub);
    }
    if (!changed || !options.keep_slots) break;
  }
  return TrimStatus::clean;
}

}  // namespace sixtyfold
