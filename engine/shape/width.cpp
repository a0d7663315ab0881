#include "engine/shape/width.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <numeric>

#include "engine/lanes.h"

namespace sixtyfold {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr int samples_in_all = 72;  // spread evenly over the boundary, besides one on every edge

using Numbers = std::vector<double>;

// The boundary as straight edges with the panel on the left: holes run clockwise.
struct Edges {
  Numbers x, y, ux, uy, length;  // start, direction
  std::vector<std::size_t> next, previous;

  std::size_t size() const { return x.size(); }
  void add(const Polygon& loop, bool reverse) {
    const std::size_t count = loop.size(), first = size();
    for (std::size_t i = 0; i < count; ++i) {
      const Vec2& a = reverse ? loop[count - 1 - i] : loop[i];
      const Vec2& b = reverse ? loop[(2 * count - 2 - i) % count] : loop[(i + 1) % count];
      const double l = (b - a).norm();
      x.push_back(a.x());
      y.push_back(a.y());
      ux.push_back((b.x() - a.x()) / l);
      uy.push_back((b.y() - a.y()) / l);
      length.push_back(l);
      next.push_back(first + (i + 1) % count);
      previous.push_back(first + (i + count - 1) % count);
    }
  }
};

// The largest disc that touches the boundary at a point from inside, and where else it touches.
struct Ball {
  double radius = infinity;
  std::size_t edge = 0;  // the other edge it touches,
  double at = 0;         // this far from its start
};

// For each edge the radius at which a disc that grows from p towards n would touch its inside or
// its start.
SIXTYFOLD_LANES
void measure_radii(const double* x, const double* y, const double* ux, const double* uy,
                   const double* length, std::size_t count, double px, double py, double nx,
                   double ny, double tiny, double* out) {
  for (std::size_t e = 0; e < count; ++e) {
    const double dx = px - x[e], dy = py - y[e];
    const double height = ux[e] * dy - uy[e] * dx;
    const double closing = 1 - (ux[e] * ny - uy[e] * nx);
    // The radius is height / closing on the line and far2 / ahead at the start: one division for
    // the smaller of the two.
    const double at = (ux[e] * dx + uy[e] * dy) * closing + height * (ux[e] * nx + uy[e] * ny);
    const bool on_line =
        (height > tiny) & (closing > 1e-14) & (at >= 0) & (at <= length[e] * closing);
    const double ahead = -2 * (nx * dx + ny * dy), far2 = dx * dx + dy * dy;
    const bool in_front = ahead > tiny;
    const bool line = on_line & (!in_front | (height * ahead < far2 * closing));
    const double upper = line ? height : far2, lower = line ? closing : ahead;
    const double r = upper / lower;
    out[e] = (on_line | in_front) ? r : infinity;
  }
}

Ball find_ball(const Edges& edges, const Vec2& p, const Vec2& n, double tiny, Numbers& radius) {
  const std::size_t count = edges.size();
  const double *x = edges.x.data(), *y = edges.y.data(), *ux = edges.ux.data(),
               *uy = edges.uy.data(), *length = edges.length.data();
  double* out = radius.data();
  measure_radii(x, y, ux, uy, length, count, p.x(), p.y(), n.x(), n.y(), tiny, out);
  Ball ball;
  for (std::size_t e = 0; e < count; ++e)
    if (out[e] < ball.radius) {
      ball.radius = out[e];
      ball.edge = e;
    }
  if (ball.radius == infinity) return ball;
  const std::size_t e = ball.edge;
  const Vec2 centre = p + ball.radius * n;
  const double at = ux[e] * (centre.x() - x[e]) + uy[e] * (centre.y() - y[e]);
  const double start =
      std::hypot(centre.x() - x[e], centre.y() - y[e]) <= ball.radius * (1 + 1e-12) ? 0 : at;
  ball.at = std::clamp(start, 0.0, length[e]);
  return ball;
}

// Samples of the boundary in order round each loop, each with its maximal disc.
struct Samples {
  Numbers px, py, cx, cy, radius;
  std::vector<std::size_t> edge, partner_edge;
  Numbers at, partner_at;
  std::vector<std::size_t> next;      // round the loop
  std::vector<std::size_t> first_on;  // of an edge
  Numbers corner_x, corner_y;         // convex corners: radius 0

  std::size_t size() const { return px.size(); }
  void add(const Vec2& p, const Vec2& n, const Ball& ball, std::size_t on, double where) {
    px.push_back(p.x());
    py.push_back(p.y());
    cx.push_back(p.x() + ball.radius * n.x());
    cy.push_back(p.y() + ball.radius * n.y());
    radius.push_back(ball.radius);
    edge.push_back(on);
    at.push_back(where);
    partner_edge.push_back(ball.edge);
    partner_at.push_back(ball.at);
  }
};

// A re-entrant corner at the start of edge e has a fan of normals. To an even spread of them joins
// the one towards what the narrowest disc meets, so that the narrowest disc of a neck is found.
void add_fan(const Edges& edges, std::size_t e, double tiny, Numbers& radius, Samples& samples) {
  const std::size_t before = edges.previous[e];
  const Vec2 start(edges.x[e], edges.y[e]);
  const Vec2 first(-edges.uy[before], edges.ux[before]), last(-edges.uy[e], edges.ux[e]);
  const double turn = std::atan2(cross(last, first), last.dot(first));  // clockwise, positive
  const auto normal_at = [&](double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return Vec2(c * first.x() + s * first.y(), c * first.y() - s * first.x());
  };
  const int count = 1 + 2 * static_cast<int>(turn / 0.5);
  std::vector<std::pair<double, Ball>> fan;
  for (int i = 0; i < count; ++i) {
    const double angle = turn * (i + 0.5) / count;
    fan.emplace_back(angle, find_ball(edges, start, normal_at(angle), tiny, radius));
  }
  auto narrowest = *std::min_element(fan.begin(), fan.end(), [](const auto& a, const auto& b) {
    return a.second.radius < b.second.radius;
  });
  bool narrower = false;
  for (int i = 0; i < 3 && narrowest.second.radius < infinity; ++i) {
    const Ball& ball = narrowest.second;
    const std::size_t m = ball.edge;
    const Vec2 towards =
        Vec2(edges.x[m], edges.y[m]) + ball.at * Vec2(edges.ux[m], edges.uy[m]) - start;
    const double angle =
        std::clamp(std::atan2(cross(towards, first), towards.dot(first)), 0.0, turn);
    const Ball turned = find_ball(edges, start, normal_at(angle), tiny, radius);
    if (!(turned.radius < ball.radius * (1 - 1e-9))) break;
    narrowest = {angle, turned};
    narrower = true;
  }
  if (narrower)
    fan.insert(std::find_if(fan.begin(), fan.end(),
                            [&](const auto& a) { return a.first > narrowest.first; }),
               narrowest);
  for (const auto& [angle, ball] : fan)
    if (ball.radius < infinity) samples.add(start, normal_at(angle), ball, e, 0);
}

Samples make_samples(const Edges& edges) {
  Samples samples;
  const double perimeter = std::accumulate(edges.length.begin(), edges.length.end(), 0.0);
  const double tiny = 1e-10 * perimeter, spacing = perimeter / samples_in_all;
  Numbers radius(edges.size());
  samples.first_on.resize(edges.size());
  std::size_t loop_start = 0;
  for (std::size_t e = 0; e < edges.size(); ++e) {
    samples.first_on[e] = samples.size();
    const Vec2 start(edges.x[e], edges.y[e]), along(edges.ux[e], edges.uy[e]);
    const Vec2 inward(-along.y(), along.x());
    const std::size_t before = edges.previous[e];
    const Vec2 arriving(edges.ux[before], edges.uy[before]);
    const double turn = cross(arriving, along), cosine = arriving.dot(along);
    if (turn > 0.3 || (turn > 0 && cosine < 0)) {
      samples.corner_x.push_back(start.x());
      samples.corner_y.push_back(start.y());
    } else if (turn < -0.1 || (turn < 0 && cosine < 0)) {
      add_fan(edges, e, tiny, radius, samples);
    }
    // An odd number: the disc at the middle of a side of a fine curve is the one that counts.
    const int pieces = 1 + 2 * static_cast<int>(edges.length[e] / (2 * spacing));
    for (int i = 0; i < pieces; ++i) {
      const double where = edges.length[e] * (i + 0.5) / pieces;
      const Vec2 p = start + where * along;
      const Ball ball = find_ball(edges, p, inward, tiny, radius);
      if (ball.radius < infinity) samples.add(p, inward, ball, e, where);
    }
    if (edges.next[e] <= e) {  // the loop closes
      for (std::size_t i = loop_start; i < samples.size(); ++i)
        samples.next.push_back(i + 1 < samples.size() ? i + 1 : loop_start);
      loop_start = samples.size();
    }
  }
  return samples;
}

constexpr std::size_t none = static_cast<std::size_t>(-1);

// Who can be reached from a sample along the boundary or across its disc: the samples on both
// sides of the place where the disc touches again, and the other way round.
class Links {
 public:
  explicit Links(const Samples& samples) : samples_(samples), first_(samples.size(), none) {
    const std::size_t count = samples.size();
    previous_.resize(count);
    for (std::size_t i = 0; i < count; ++i) previous_[samples.next[i]] = i;
    for (std::size_t i = 0; i < count; ++i) {
      const std::size_t edge = samples.partner_edge[i];
      std::size_t j = std::min(samples.first_on[edge], count - 1);
      while (samples.edge[j] == edge && samples.at[j] < samples.partner_at[i] &&
             samples.next[j] > j)
        j = samples.next[j];
      // Of several discs at a re-entrant corner only the nearest to this one will do.
      std::size_t nearest = j;
      for (std::size_t k = j; samples.edge[k] == edge && samples.at[k] == 0;) {
        if (squared_distance(i, k) < squared_distance(i, nearest)) nearest = k;
        if (samples.next[k] <= k) break;
        k = samples.next[k];
      }
      const bool at_corner = samples.edge[j] == edge && samples.at[j] == 0;
      for (const std::size_t k : {nearest, at_corner ? nearest : previous_[j]}) {
        across_.push_back(k);
        following_.push_back(first_[k]);
        first_[k] = across_.size() - 1;
      }
    }
  }
  template <typename Visit>
  void visit(std::size_t i, Visit&& visit_one) const {
    for (const std::size_t j : {samples_.next[i], previous_[i], across_[2 * i], across_[2 * i + 1]})
      visit_one(j);
    for (std::size_t link = first_[i]; link != none; link = following_[link]) visit_one(link / 2);
  }

 private:
  double squared_distance(std::size_t a, std::size_t b) const {
    const double dx = samples_.cx[a] - samples_.cx[b], dy = samples_.cy[a] - samples_.cy[b];
    return dx * dx + dy * dy;
  }

  const Samples& samples_;
  std::vector<std::size_t> previous_, across_, first_, following_;
};

// A disc has rolled to (cx, cy): distances of the points at (x, y) from the nearest disc.
SIXTYFOLD_LANES
void lower_distances(const double* x, const double* y, std::size_t count, double cx, double cy,
                     double r, double* distances) {
  for (std::size_t k = 0; k < count; ++k) {
    const double px = x[k] - cx, py = y[k] - cy;
    const double d = std::sqrt(px * px + py * py) - r;
    distances[k] = d < distances[k] ? d : distances[k];
  }
}

// And what can come through it to the discs at (x, y). Between two discs that overlap one of half
// their common chord passes; all but the same, the narrower.
SIXTYFOLD_LANES
void raise_passages(const double* x, const double* y, const double* squares, std::size_t count,
                    double cx, double cy, double r2, double level, double* passages) {
  const double close = 0.0625 * r2;
  for (std::size_t k = 0; k < count; ++k) {
    const double dx = x[k] - cx, dy = y[k] - cy, other = squares[k];
    const double d2 = dx * dx + dy * dy, half = d2 + r2 - other;
    const double narrower = other < r2 ? other : r2, chord = r2 - half * half / (4 * d2);
    const bool same_place = (half <= 0) | (half >= 2 * d2) | (d2 <= close);
    // Half a common chord is never longer than either radius; rounding must not say so of a corner,
    // whose disc is a point.
    double through = (same_place | (chord > narrower)) ? narrower : chord;
    through = through < level ? through : level;
    passages[k] = through > passages[k] ? through : passages[k];
  }
}

// The points that the discs rolled so far do not touch, packed for the inner loops: samples, and
// convex corners, whose own disc is a point.
struct Missed {
  Numbers x, y, cx, cy, square;
  Numbers distance;  // to the nearest disc
  Numbers checked;   // what it was at the last level looked at
  Numbers passage;   // square of the widest disc known to come through; never 0 < for corners
  std::vector<std::size_t> point;     // number of the point
  std::vector<std::size_t> place_of;  // the other way round, none if no longer missed

  void add(double px, double py, double centre_x, double centre_y, double r2) {
    place_of.push_back(point.size());
    point.push_back(place_of.size() - 1);
    for (const auto& [numbers, value] : {std::pair{&x, px},
                                         {&y, py},
                                         {&cx, centre_x},
                                         {&cy, centre_y},
                                         {&square, r2},
                                         {&distance, infinity},
                                         {&checked, infinity},
                                         {&passage, 0.0}})
      numbers->push_back(value);
  }
  void remove(std::size_t which) {
    const std::size_t at = place_of[which];
    for (Numbers* numbers : {&x, &y, &cx, &cy, &square, &distance, &checked, &passage}) {
      (*numbers)[at] = numbers->back();
      numbers->pop_back();
    }
    place_of[point.back()] = at;
    point[at] = point.back();
    point.pop_back();
    place_of[which] = none;
  }
  void roll(double centre_x, double centre_y, double r2, double level) {
    lower_distances(x.data(), y.data(), x.size(), centre_x, centre_y, std::sqrt(r2),
                    distance.data());
    raise_passages(cx.data(), cy.data(), square.data(), x.size(), centre_x, centre_y, r2, level,
                   passage.data());
  }
};

constexpr double same = 1 - 2e-9;  // of squares of radii

// Edges without length have no direction.
Polygon make_distinct(const Polygon& polygon) {
  const double least = 1e-12 * measure_perimeter(polygon);
  Polygon distinct;
  for (const Vec2& p : polygon)
    if (distinct.empty() || (p - distinct.back()).norm() > least) distinct.push_back(p);
  while (distinct.size() > 1 && (distinct.front() - distinct.back()).norm() <= least)
    distinct.pop_back();
  return distinct;
}

}  // namespace

ThinPlace find_thinnest_place(const Polygon& outline_mm, std::span<const Polygon> holes_mm,
                              double enough_mm) {
  assert(outline_mm.size() >= 3);
  assert(enough_mm > 0);
  Edges edges;
  edges.add(make_distinct(outline_mm), false);
  for (const Polygon& hole : holes_mm) edges.add(make_distinct(hole), true);
  if (edges.size() < 3) return {};
  const Samples samples = make_samples(edges);
  const std::size_t count = samples.size();
  if (count == 0) return {};
  const Links links(samples);

  // Every sample and every convex corner must lie within 2 r of a disc that rolls there, for every
  // r. A disc rolls from the widest place outwards, always to the widest place left (Prim 1957):
  // its passage falls as it goes. Passages are kept squared, which saves roots.
  Missed missed;
  for (std::size_t i = 0; i < count; ++i)
    missed.add(samples.px[i], samples.py[i], samples.cx[i], samples.cy[i],
               samples.radius[i] * samples.radius[i]);
  for (std::size_t i = 0; i < samples.corner_x.size(); ++i)
    missed.add(samples.corner_x[i], samples.corner_y[i], samples.corner_x[i], samples.corner_y[i],
               0);
  const Numbers square = missed.square;
  const double most = enough_mm < infinity ? enough_mm * enough_mm / 4 : infinity;
  Numbers passage(count, 0.0);
  std::vector<std::size_t> order;  // in which discs rolled
  order.reserve(count);
  std::size_t next = static_cast<std::size_t>(
      std::max_element(square.begin(), square.begin() + static_cast<std::ptrdiff_t>(count)) -
      square.begin());
  double level = std::min(square[next], most);
  std::size_t failing = 0, at_fault = 0;  // discs rolled down to the lowest level that fails
  while (next != none) {
    // Everything along the boundary and across discs that is no narrower, at once.
    const std::size_t first = order.size();
    const auto take = [&](std::size_t i) {
      passage[i] = level;
      missed.remove(i);
      order.push_back(i);
    };
    take(next);
    for (std::size_t i = first; i < order.size(); ++i)
      links.visit(order[i], [&](std::size_t j) {
        if (missed.place_of[j] != none && square[j] >= level) take(j);
      });
    for (std::size_t i = first; i < order.size(); ++i) {
      const std::size_t now = order[i];
      missed.roll(samples.cx[now], samples.cy[now], square[now], level);
      links.visit(now, [&](std::size_t j) {
        if (const std::size_t k = missed.place_of[j]; k != none)
          missed.passage[k] = std::max(missed.passage[k], std::min(level, square[j]));
      });
    }
    const auto widest = std::max_element(missed.passage.begin(), missed.passage.end());
    const bool done = widest == missed.passage.end() || *widest == 0;
    // All discs of this level rolled. Between two levels at which a point comes nearer to a disc
    // both its distance and its bound are taken as linear, so those levels alone are looked at.
    if (done || *widest < level * same) {
      const double need = 2 * std::sqrt(level) * (1 + 1e-9);
      double worst = 0;
      for (std::size_t k = 0; k < missed.point.size(); ++k) {
        const double excess =
            missed.distance[k] < missed.checked[k] ? missed.distance[k] - need : 0;
        if (excess > worst) {
          // The discs of the first level are wider than it where widths are not told apart: near
          // enough to one of them is near enough, and smaller ones come nearer.
          const std::size_t i = missed.point[k];
          const Vec2 p = i < count ? Vec2(samples.px[i], samples.py[i])
                                   : Vec2(samples.corner_x[i - count], samples.corner_y[i - count]);
          if (first == 0 && std::any_of(order.begin(), order.end(), [&](std::size_t s) {
                return (p - Vec2(samples.cx[s], samples.cy[s])).norm() <=
                       3 * samples.radius[s] * (1 + 1e-9);
              }))
            continue;
          worst = excess;
          failing = order.size();
          at_fault = missed.point[k];
        }
      }
      missed.checked = missed.distance;
    }
    next = done ? none : missed.point[static_cast<std::size_t>(widest - missed.passage.begin())];
    if (!done) level = *widest;
  }

  ThinPlace place;
  if (failing == 0) {
    place.width_mm = 2 * std::sqrt(passage[order[0]]);
    place.point_mm = {samples.cx[order[0]], samples.cy[order[0]]};
    return place;
  }
  // The point at fault passes from near enough to too far between that level and the next lower one
  // at which it comes nearer: on the way along a tip, or at once where a neck lets discs through.
  const Vec2 point = at_fault < count ? Vec2(samples.px[at_fault], samples.py[at_fault])
                                      : Vec2(samples.corner_x[at_fault - count],
                                             samples.corner_y[at_fault - count]);
  const auto distance_to = [&](std::size_t s) {
    return (point - Vec2(samples.cx[s], samples.cy[s])).norm() - samples.radius[s];
  };
  double before = infinity;
  for (std::size_t i = 0; i < failing; ++i) before = std::min(before, distance_to(order[i]));
  double after = before;
  bool at_once = false;
  std::size_t gate = none;
  for (std::size_t i = failing; i < count; ++i) {
    const std::size_t s = order[i];
    if (gate != none && passage[s] < passage[gate] * same) break;
    if (const double d = distance_to(s); d < after) {
      after = d;
      at_once = passage[s] < std::min(square[s], most) * same;
      if (gate == none || passage[s] < passage[gate]) gate = s;
    }
  }
  if (gate == none) {  // a sharp tip
    place.point_mm = point;
    return place;
  }
  const double high = std::sqrt(passage[order[failing - 1]]), low = std::sqrt(passage[gate]);
  const double above = before - 2 * high, below = std::min(0.0, after - 2 * low);
  const double share = at_once ? 0 : -below / (above - below);
  place.width_mm = 2 * (low + (high - low) * share);
  // Of all that had to be so narrow, the narrowest.
  for (const std::size_t s : order)
    if (passage[s] <= passage[gate] * (2 - same) && passage[s] >= passage[gate] * same &&
        square[s] < square[gate] * same)
      gate = s;
  place.point_mm = {samples.cx[gate], samples.cy[gate]};
  return place;
}

}  // namespace sixtyfold
