#pragma once
// Where a panel lies immediately on either side of a line: two sets of intervals.

#include <array>
#include <cstdint>
#include <vector>

#include "engine/contact/meeting_line.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

/// An outline whose edges know what made them. edge i runs from vertex i to vertex i + 1.
struct LabelledOutline {
  /// Labels that are no meeting line.
  static constexpr std::int16_t drawn = -1, sector_cut = -2;

  std::vector<double> x, y;
  std::vector<std::int16_t> line;  ///< scheme's line number, or one of the above
  /// Bit n mod 128 is set when an edge may have the line number n; it may be set without one.
  std::array<std::uint64_t, 2> line_bits{};

  std::size_t size() const { return x.size(); }
  Vec2 vertex(std::size_t i) const { return {x[i], y[i]}; }
  void assign(const Polygon& polygon);
  void push(const Vec2& p, std::int16_t edge_line);
  void relabel_last(std::int16_t edge_line);
  bool may_have_line(int number) const {
    return number >= 0 && (line_bits[index_of(number)] >> (number & 63) & 1) != 0;
  }
  /// Vertices from .. to - 1 of another outline with their edges.
  void append(const LabelledOutline& other, std::size_t from, std::size_t to);
  void clear();
  /// Edges not longer than `least` go; their neighbours meet at the start of what went.
  void drop_short_edges(double least);
  double area() const;
  Polygon to_polygon() const;
  void copy_to(Polygon& polygon) const;

 private:
  static std::size_t index_of(int number) { return static_cast<std::size_t>(number >> 6 & 1); }
  void note(std::int16_t edge_line) {
    if (edge_line >= 0) line_bits[index_of(edge_line)] |= std::uint64_t{1} << (edge_line & 63);
  }
};

/// Where the boundary leaves or enters one side of a line.
struct Crossing {
  double at;          ///< position along the line
  std::int32_t edge;  ///< the edge that crosses
};

/// Sorted crossings in pairs: each pair is one interval in which the panel lies immediately on
/// that side. Vertices on the line belong to neither side (symbolic perturbation: the `above` set
/// is that of the line shifted by an infinitesimal towards `side`, the `below` set away from it).
struct SideSpans {
  std::vector<Crossing> above, below;
  std::vector<double> heights;      ///< scratch: of the outline's vertices over the line
  std::vector<std::int32_t> edges;  ///< scratch: those that cross
  bool empty() const { return above.empty() && below.empty(); }
  void clear() {
    above.clear();
    below.clear();
  }
};

/// Spans of a labelled outline on the line with the given number: edges with that number lie on
/// the line by fact, all other vertices by the sign of their height, no tolerance.
void find_spans(const LabelledOutline& outline, const MeetingLine& line, int line_number,
                SideSpans& spans);

/// Spans of bare coordinates: vertices within `band_mm` of the line lie on it. Further loops
/// (holes) are added to the first.
void find_spans(const std::vector<Polygon>& loops, const MeetingLine& line, double band_mm,
                SideSpans& spans);

}  // namespace sixtyfold
