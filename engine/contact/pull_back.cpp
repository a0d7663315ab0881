#include "engine/contact/pull_back.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace sixtyfold {
namespace {

struct Chord {
  double low, high;                 // positions along the line
  std::size_t low_edge, high_edge;  // the edges that cross there
};

std::vector<Chord> find_chords(const Polygon& outline, const MeetingLine& line, double sign) {
  // Vertices on the line to within rounding belong to the side that is kept: edges made by an
  // earlier cut do not cross it again.
  const double on_line = 1e-7;
  std::vector<std::pair<double, std::size_t>> crossings;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2 &a = outline[i], &b = outline[(i + 1) % outline.size()];
    const double p = sign * line.height_of(a), q = sign * line.height_of(b);
    if ((p > -on_line) == (q > -on_line)) continue;
    const double share = std::clamp(p / (p - q), 0.0, 1.0);
    crossings.emplace_back(line.position_of(a + share * (b - a)), i);
  }
  std::sort(crossings.begin(), crossings.end());
  std::vector<Chord> chords;
  for (std::size_t i = 0; i + 1 < crossings.size(); i += 2)
    chords.push_back(
        {crossings[i].first, crossings[i + 1].first, crossings[i].second, crossings[i + 1].second});
  return chords;
}

// The part of the outline that runs from one chord end round to the other.
Polygon make_part(const Polygon& outline, const Vec2& start, std::size_t start_edge,
                  const Vec2& end, std::size_t end_edge) {
  Polygon part{start};
  for (std::size_t i = start_edge; i != end_edge;) {
    i = i + 1 == outline.size() ? 0 : i + 1;
    part.push_back(outline[i]);
  }
  part.push_back(end);
  Polygon clean;
  for (const Vec2& p : part)
    if (clean.empty() || (p - clean.back()).norm() > 1e-9) clean.push_back(p);
  while (clean.size() > 1 && (clean.front() - clean.back()).norm() <= 1e-9) clean.pop_back();
  return clean;
}

}  // namespace

bool pull_back(const PullBack& wanted, const Vec2& hub, Polygon& outline) {
  MeetingLine inner = wanted.line;
  const double sign = wanted.above ? 1 : -1;
  inner.offset += sign * wanted.by;
  Polygon result = outline;
  for (int cuts = 0; cuts < 64; ++cuts) {
    const std::vector<Chord> chords = find_chords(result, inner, sign);
    const auto chord = std::find_if(chords.begin(), chords.end(), [&](const Chord& c) {
      return std::min(c.high, wanted.to) - std::max(c.low, wanted.from) > 1e-6;
    });
    if (chord == chords.end()) {
      outline = std::move(result);
      return true;
    }
    const Vec2 low = inner.point_at(chord->low), high = inner.point_at(chord->high);
    Polygon kept = make_part(result, low, chord->low_edge, high, chord->high_edge);
    if (kept.size() < 3 || !contains(kept, hub))
      kept = make_part(result, high, chord->high_edge, low, chord->low_edge);
    if (kept.size() < 3 || !contains(kept, hub)) return false;
    // The part with the hub must be the one that was to stay.
    const double chord_middle = (chord->low + chord->high) / 2;
    if (!contains(kept, inner.point_at(chord_middle) + sign * 1e-6 * inner.side)) return false;
    result = std::move(kept);
  }
  return false;
}

}  // namespace sixtyfold
