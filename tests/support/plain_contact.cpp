#include "tests/support/plain_contact.h"

#include <algorithm>

namespace sixtyfold::plain {

namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

void sort_crossings(std::vector<Crossing>& crossings) {
  std::stable_sort(crossings.begin(), crossings.end(),
                   [](const Crossing& a, const Crossing& b) { return a.at < b.at; });
}

/// Spans at the other copy's place on the line: the same, or from the other end.
std::vector<double> find_ends(const std::vector<Crossing>& crossings, bool reversed) {
  std::vector<double> ends;
  for (const Crossing& crossing : crossings) ends.push_back(reversed ? -crossing.at : crossing.at);
  if (reversed) std::reverse(ends.begin(), ends.end());
  return ends;
}

/// Does one of the intervals hold all from .. to?
bool holds(const std::vector<double>& ends, double from, double to) {
  for (std::size_t i = 0; i + 1 < ends.size(); i += 2)
    if (ends[i] <= from && to <= ends[i + 1]) return true;
  return false;
}

}  // namespace

SideSpans find_spans(const LabelledOutline& outline, const MeetingLine& line, int line_number) {
  const std::size_t n = outline.size();
  std::vector<double> heights(n), positions(n);
  for (std::size_t i = 0; i < n; ++i) {
    heights[i] = line.side.x() * outline.x[i] + line.side.y() * outline.y[i] - line.offset;
    positions[i] = line.side.x() * outline.y[i] - line.side.y() * outline.x[i];
  }
  // What a cut along this line has made lies on it, whatever the coordinates' last digit says.
  bool on_line = false;
  for (std::size_t i = 0; i < n; ++i)
    if (outline.line[i] == line_number) {
      heights[i] = heights[(i + 1) % n] = 0;
      on_line = true;
    }
  SideSpans spans;
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t j = (i + 1) % n;
    const double share = heights[i] / (heights[i] - heights[j]);
    const double between = positions[i] + (positions[j] - positions[i]) * share;
    const double at = heights[i] == 0 ? positions[i] : heights[j] == 0 ? positions[j] : between;
    const auto edge = static_cast<std::int32_t>(i);
    if ((heights[i] > 0) != (heights[j] > 0)) spans.above.push_back({at, edge});
    if ((heights[i] < 0) != (heights[j] < 0)) spans.below.push_back({at, edge});
  }
  sort_crossings(spans.above);
  sort_crossings(spans.below);
  // A line that no cut was made along is taken to run clear of the vertices: one set of spans.
  if (!on_line) spans.below = spans.above;
  return spans;
}

std::vector<Contact> find_pair_contacts(const OrbitScheme& scheme,
                                        const std::vector<MeetingLine>& lines,
                                        const PairClass& pair, const LabelledOutline& outline,
                                        double least_length) {
  const MeetingLine &line = lines[index(pair.element)], &other = lines[index(pair.inverse)];
  if (!line.exists || !other.exists) return {};
  const SideSpans first = find_spans(outline, line, scheme.line_of[index(pair.element)]);
  const SideSpans second = find_spans(outline, other, scheme.line_of[index(pair.inverse)]);
  const bool proper = scheme.group->elements[index(pair.element)].determinant() > 0;
  const std::vector<double> first_above = find_ends(first.above, false),
                            first_below = find_ends(first.below, false),
                            second_above = find_ends(second.above, proper),
                            second_below = find_ends(second.below, proper);
  std::vector<double> ends;
  for (const auto* set : {&first_above, &first_below, &second_above, &second_below})
    ends.insert(ends.end(), set->begin(), set->end());
  std::sort(ends.begin(), ends.end());
  ends.erase(std::unique(ends.begin(), ends.end()), ends.end());

  std::vector<Contact> pieces;
  for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
    const double from = ends[i], to = ends[i + 1];
    const bool a = holds(first_above, from, to), b = holds(first_below, from, to);
    const bool c = holds(second_above, from, to), d = holds(second_below, from, to);
    if (!(a || b) || !(c || d)) continue;
    const bool first_both = a && b, second_both = c && d;
    Contact piece{ContactKind::edges, from, to, !first_both && a, !second_both && c};
    if (first_both && second_both) piece.kind = ContactKind::crossing;
    if (!first_both && second_both) piece.kind = ContactKind::edge_first;
    if (first_both && !second_both) piece.kind = ContactKind::edge_second;
    if (!pieces.empty() && pieces.back().to == from && pieces.back().kind == piece.kind &&
        pieces.back().first_above == piece.first_above &&
        pieces.back().second_above == piece.second_above)
      pieces.back().to = to;
    else
      pieces.push_back(piece);
  }
  std::vector<Contact> contacts;
  for (const Contact& piece : pieces)
    if (piece.to - piece.from > least_length) contacts.push_back(piece);
  return contacts;
}

int count_pieces(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines,
                 const LabelledOutline& outline, double least_length) {
  const std::size_t copies = scheme.copies.size();
  std::vector<std::vector<int>> joined(copies);
  for (const PairClass& pair : scheme.pairs)
    for (const Contact& contact : find_pair_contacts(scheme, lines, pair, outline, 1e-9)) {
      if (contact.kind == ContactKind::crossing || contact.length() < least_length) continue;
      for (int g = 0; g < scheme.group->order(); ++g) {
        const int a = scheme.copy_of[index(g)];
        const int b = scheme.copy_of[index(scheme.group->multiply(g, pair.element))];
        joined[index(a)].push_back(b);
        joined[index(b)].push_back(a);
      }
    }
  std::vector<int> piece_of(copies, -1);
  int pieces = 0;
  for (std::size_t start = 0; start < copies; ++start) {
    if (piece_of[start] >= 0) continue;
    std::vector<int> queue{static_cast<int>(start)};
    piece_of[start] = pieces;
    for (std::size_t next = 0; next < queue.size(); ++next)
      for (const int neighbour : joined[index(queue[next])])
        if (piece_of[index(neighbour)] < 0) {
          piece_of[index(neighbour)] = pieces;
          queue.push_back(neighbour);
        }
    ++pieces;
  }
  return pieces;
}

}  // namespace sixtyfold::plain
