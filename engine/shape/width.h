#pragma once
// How thin a panel is at its thinnest tip or neck.

#include <cstdint>
#include <limits>
#include <numeric>
#include <span>
#include <utility>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// Roll a disc of diameter w about inside the panel, starting where the panel is widest. The
/// panel is w wide when every point of it lies within w of a place the disc covers. The least
/// width is the largest w up to which this holds throughout. So
///  - a neck between two parts larger than itself counts with its own width,
///  - a strip counts with its width once it is longer than that,
///  - a corner is no tip from 38.95 degrees on (sin(a/2) >= 1/3); a sharper one has width 0 unless
///    it is rounded or cut off.
/// Holes count like the rim.
struct ThinPlace {
  double width_mm = 0;
  Vec2 point_mm = Vec2::Zero();  ///< centre of the narrowest disc there, or the tip
};

/// Reused between calls, one per thread, so that nothing is allocated in the steady state.
struct WidthWorkspace {
  using Numbers = std::vector<double>;
  /// The boundary as straight edges with the panel on the left: holes run clockwise. The numbers
  /// are filled up to a multiple of eight.
  struct Edges {
    Numbers x, y, ux, uy, length;  ///< start, direction
    std::vector<std::int32_t> previous;
    std::vector<bool> closes;  ///< its loop
    std::size_t size() const { return previous.size(); }
    void clear() {
      for (Numbers* numbers : {&x, &y, &ux, &uy, &length}) numbers->clear();
      previous.clear();
      closes.clear();
    }
  };
  /// The largest disc that touches the boundary at a point from inside, and where else it touches.
  struct Ball {
    double radius;
    std::int32_t edge;  ///< the other edge it touches,
    double at;          ///< this far from its start
  };
  /// A point of the boundary with its disc; in order round each loop.
  struct Sample {
    Vec2 point, centre;
    double radius;
    double at, partner_at;
    std::int32_t edge, partner_edge, next, previous;
  };
  /// Samples whose disc is not known yet: their points and normals.
  struct Waiting {
    std::vector<std::size_t> sample;
    Numbers px, py, nx, ny;
    Numbers radius, edge;  ///< filled in all at once
    void clear() {
      sample.clear();
      for (Numbers* numbers : {&px, &py, &nx, &ny}) numbers->clear();
    }
    void add(std::size_t number, const Vec2& p, const Vec2& n) {
      sample.push_back(number);
      px.push_back(p.x());
      py.push_back(p.y());
      nx.push_back(n.x());
      ny.push_back(n.y());
    }
  };
  struct Missed {
    Numbers x, y, cx, cy, square;
    Numbers distance;  ///< to the nearest disc
    Numbers checked;   ///< what it was at the last level looked at
    Numbers passage;   ///< square of the widest disc known to come through; 0 for corners
    std::vector<std::int32_t> point;     ///< number of the point
    std::vector<std::int32_t> place_of;  ///< the other way round, -1 if no longer missed
    /// All points missed, none packed yet.
    void restart(std::size_t points) {
      for (Numbers* numbers : {&x, &y, &cx, &cy, &square}) numbers->clear();
      point.resize(points);
      std::iota(point.begin(), point.end(), 0);
      place_of = point;
    }
  };
  Polygon distinct;
  Edges edges;
  std::vector<std::pair<double, Ball>> fan;
  std::vector<Sample> samples;
  Waiting waiting;
  Polygon corners;
  std::vector<std::int32_t> first_on;  ///< first sample on an edge
  std::vector<std::int32_t> across, following, first_link;
  Missed missed;
  Numbers passage;
  std::vector<std::int32_t> order;
};

/// From the maximal inscribed discs at about a hundred points of the boundary, each exact (Ma, Bae
/// and Choi 2012 shrink a ball against points; against straight edges it has a closed form). Exact
/// where straight or round parts decide, else within about 3 %. Widths of `enough_mm` and more are
/// not told apart and reported as it: that saves most of the time for a panel that is wide enough.
/// The outline must be simple and counter-clockwise, holes simple and inside it.
ThinPlace find_thinnest_place(const Polygon& outline_mm, std::span<const Polygon> holes_mm,
                              double enough_mm, WidthWorkspace& work);
ThinPlace find_thinnest_place(const Polygon& outline_mm, std::span<const Polygon> holes_mm = {},
                              double enough_mm = std::numeric_limits<double>::infinity());

inline double measure_min_width(const Polygon& outline_mm, std::span<const Polygon> holes_mm = {},
                                double enough_mm = std::numeric_limits<double>::infinity()) {
  return find_thinnest_place(outline_mm, holes_mm, enough_mm).width_mm;
}

}  // namespace sixtyfold
