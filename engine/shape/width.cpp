#include "engine/shape/width.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "engine/lanes.h"

namespace sixtyfold {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr int samples_in_all = 72;  // spread evenly over the boundary, besides one on every edge

using Numbers = std::vector<double>;
using Parts = WidthWorkspace;
using Ball = Parts::Ball;
using Sample = Parts::Sample;
constexpr std::int32_t none = -1;
constexpr std::size_t lanes = 8;

std::size_t index(std::int32_t i) { return static_cast<std::size_t>(i); }

void add_loop(const Polygon& loop, bool reverse, Parts::Edges& edges) {
  const std::size_t count = loop.size(), first = edges.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Vec2& a = reverse ? loop[count - 1 - i] : loop[i];
    const Vec2& b = reverse ? loop[(2 * count - 2 - i) % count] : loop[i + 1 == count ? 0 : i + 1];
    const double l = (b - a).norm();
    edges.x.push_back(a.x());
    edges.y.push_back(a.y());
    edges.ux.push_back((b.x() - a.x()) / l);
    edges.uy.push_back((b.y() - a.y()) / l);
    edges.length.push_back(l);
    edges.previous.push_back(static_cast<std::int32_t>(first + (i == 0 ? count - 1 : i - 1)));
    edges.closes.push_back(i + 1 == count);
  }
}

// Fills the lanes of the last eight up with edges that nothing can touch.
void pad(Parts::Edges& edges) {
  const std::size_t size = (edges.size() + lanes - 1) / lanes * lanes;
  for (Numbers* numbers : {&edges.x, &edges.y, &edges.ux, &edges.uy, &edges.length})
    numbers->resize(size, std::numeric_limits<double>::quiet_NaN());
}

// The radius at which a disc that grows along n from a point first touches the inside or the start
// of an edge; infinity if it never does. (dx, dy): from the start of the edge to the point. Real is
// double or Four.
template <typename Real>
inline __attribute__((always_inline)) Real measure_radius(const Real& dx, const Real& dy, double ux,
                                                          double uy, double length, const Real& nx,
                                                          const Real& ny, double tiny) {
  const Real height = ux * dy - uy * dx;
  const Real closing = 1 - (ux * ny - uy * nx);
  // The radius is height / closing on the line and far2 / ahead at the start: one division for the
  // smaller of the two.
  const Real at = (ux * dx + uy * dy) * closing + height * (ux * nx + uy * ny);
  const auto on_line = (height > tiny) & (closing > 1e-14) & (at >= 0) & (at <= length * closing);
  const Real ahead = -2 * (nx * dx + ny * dy), far2 = dx * dx + dy * dy;
  const auto in_front = ahead > tiny;
  const auto line = on_line & ((ahead <= tiny) | (height * ahead < far2 * closing));
  const Real upper = line ? height : far2, lower = line ? closing : ahead;
  const Real radius = upper / lower;
  return (on_line | in_front) ? radius : Real{} + infinity;
}

// One disc against all edges, for the few that come one after another: the least radius lane by
// lane, and in which eight of edges.
SIXTYFOLD_LANES
void measure_radii(const double* x, const double* y, const double* ux, const double* uy,
                   const double* length, std::size_t count, double px, double py, double nx,
                   double ny, double tiny, double* radius, double* eight) {
  double least[lanes], where[lanes];
  for (std::size_t k = 0; k < lanes; ++k) least[k] = infinity, where[k] = 0;
  double block = 0;
  for (std::size_t start = 0; start < count; start += lanes, block += 1)
    for (std::size_t k = 0; k < lanes; ++k) {
      const std::size_t e = start + k;
      const double r =
          measure_radius<double>(px - x[e], py - y[e], ux[e], uy[e], length[e], nx, ny, tiny);
      where[k] = r < least[k] ? block : where[k];
      least[k] = r < least[k] ? r : least[k];
    }
  for (std::size_t k = 0; k < lanes; ++k) radius[k] = least[k], eight[k] = where[k];
}

// Several discs against all edges, four discs at a time: the least radius of each, and on which
// edge.
SIXTYFOLD_LANES
void measure_all_radii(const double* x, const double* y, const double* ux, const double* uy,
                       const double* length, std::size_t edges, const double* px, const double* py,
                       const double* nx, const double* ny, std::size_t discs, double tiny,
                       double* radius, double* edge) {
  for (std::size_t start = 0; start < discs; start += four) {
    Four p_x, p_y, n_x, n_y;
    load(px + start, p_x), load(py + start, p_y);
    load(nx + start, n_x), load(ny + start, n_y);
    Four least = Four{} + infinity, where{};
    Four number{};
    for (std::size_t e = 0; e < edges; ++e, number += 1) {
      const Four r =
          measure_radius<Four>(p_x - x[e], p_y - y[e], ux[e], uy[e], length[e], n_x, n_y, tiny);
      where = r < least ? number : where;
      least = r < least ? r : least;
    }
    store(least, radius + start);
    store(where, edge + start);
  }
}

// Where a disc touches the edge that stops it.
void set_contact(const Parts::Edges& edges, const Vec2& p, const Vec2& n, Ball& ball) {
  const std::size_t e = index(ball.edge);
  const Vec2 arm = p + ball.radius * n - Vec2(edges.x[e], edges.y[e]);
  const double touching = ball.radius * (1 + 1e-12);
  ball.at = arm.squaredNorm() > touching * touching
                ? std::clamp(edges.ux[e] * arm.x() + edges.uy[e] * arm.y(), 0.0, edges.length[e])
                : 0;
}

Ball find_ball(const Parts::Edges& edges, const Vec2& p, const Vec2& n, double tiny) {
  double radius[lanes], eight[lanes];
  measure_radii(edges.x.data(), edges.y.data(), edges.ux.data(), edges.uy.data(),
                edges.length.data(), edges.x.size(), p.x(), p.y(), n.x(), n.y(), tiny, radius,
                eight);
  Ball ball{infinity, 0, 0};
  for (const double r : radius) ball.radius = std::min(ball.radius, r);
  if (ball.radius == infinity) return ball;
  ball.edge = std::numeric_limits<std::int32_t>::max();  // the first of equals
  for (std::size_t k = 0; k < lanes; ++k)
    if (radius[k] == ball.radius)
      ball.edge = std::min(
          ball.edge, static_cast<std::int32_t>(eight[k] * lanes) + static_cast<std::int32_t>(k));
  set_contact(edges, p, n, ball);
  return ball;
}

void add_sample(const Vec2& p, const Vec2& n, const Ball& ball, std::size_t on, double where,
                std::vector<Sample>& samples) {
  samples.push_back({p, p + ball.radius * n, ball.radius, where, ball.at,
                     static_cast<std::int32_t>(on), ball.edge, none, none});
}

// A re-entrant corner at the start of edge e has a fan of normals. To an even spread of them joins
// the one towards what the narrowest disc meets, so that the narrowest disc of a neck is found.
void add_fan(const Parts::Edges& edges, std::size_t e, double tiny, Parts& work) {
  const std::size_t before = index(edges.previous[e]);
  const Vec2 start(edges.x[e], edges.y[e]);
  const Vec2 first(-edges.uy[before], edges.ux[before]), last(-edges.uy[e], edges.ux[e]);
  const double turn = std::atan2(cross(last, first), last.dot(first));  // clockwise, positive
  const auto normal_at = [&](double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return Vec2(c * first.x() + s * first.y(), c * first.y() - s * first.x());
  };
  const int count = 1 + 2 * static_cast<int>(turn / 0.5);
  std::vector<std::pair<double, Ball>>& fan = work.fan;
  fan.clear();
  for (int i = 0; i < count; ++i) {
    const double angle = turn * (i + 0.5) / count;
    fan.emplace_back(angle, find_ball(edges, start, normal_at(angle), tiny));
  }
  auto narrowest = *std::min_element(fan.begin(), fan.end(), [](const auto& a, const auto& b) {
    return a.second.radius < b.second.radius;
  });
  bool narrower = false;
  for (int i = 0; i < 3 && narrowest.second.radius < infinity; ++i) {
    const Ball& ball = narrowest.second;
    const std::size_t m = index(ball.edge);
    const Vec2 towards =
        Vec2(edges.x[m], edges.y[m]) + ball.at * Vec2(edges.ux[m], edges.uy[m]) - start;
    const double angle =
        std::clamp(std::atan2(cross(towards, first), towards.dot(first)), 0.0, turn);
    const Ball turned = find_ball(edges, start, normal_at(angle), tiny);
    if (!(turned.radius < ball.radius * (1 - 1e-9))) break;
    narrowest = {angle, turned};
    narrower = true;
  }
  if (narrower)
    fan.insert(std::find_if(fan.begin(), fan.end(),
                            [&](const auto& a) { return a.first > narrowest.first; }),
               narrowest);
  for (const auto& [angle, ball] : fan)
    if (ball.radius < infinity) add_sample(start, normal_at(angle), ball, e, 0, work.samples);
}

// The discs of the samples that wait for theirs, all at once; samples without one go.
void measure_waiting(const Parts::Edges& edges, double tiny, Parts& work) {
  Parts::Waiting& waiting = work.waiting;
  const std::size_t count = waiting.sample.size(), padded = (count + four - 1) / four * four;
  for (Numbers* numbers : {&waiting.px, &waiting.py, &waiting.nx, &waiting.ny})
    numbers->resize(padded, 0.0);
  waiting.radius.resize(padded);
  waiting.edge.resize(padded);
  measure_all_radii(edges.x.data(), edges.y.data(), edges.ux.data(), edges.uy.data(),
                    edges.length.data(), edges.size(), waiting.px.data(), waiting.py.data(),
                    waiting.nx.data(), waiting.ny.data(), padded, tiny, waiting.radius.data(),
                    waiting.edge.data());
  bool any_lost = false;
  for (std::size_t i = 0; i < count; ++i) {
    Sample& sample = work.samples[waiting.sample[i]];
    Ball ball{waiting.radius[i], static_cast<std::int32_t>(waiting.edge[i]), 0};
    sample.radius = ball.radius;
    if (ball.radius == infinity) {
      any_lost = true;
      continue;
    }
    const Vec2 n(waiting.nx[i], waiting.ny[i]);
    set_contact(edges, sample.point, n, ball);
    sample.centre = sample.point + ball.radius * n;
    sample.partner_edge = ball.edge;
    sample.partner_at = ball.at;
  }
  if (any_lost)
    std::erase_if(work.samples, [](const Sample& sample) { return sample.radius == infinity; });
}

// Samples of the boundary in order round each loop, each with its maximal disc; and the convex
// corners, whose disc is a point.
void make_samples(const Parts::Edges& edges, Parts& work) {
  std::vector<Sample>& samples = work.samples;
  samples.clear();
  work.corners.clear();
  work.waiting.clear();
  double perimeter = 0;
  for (std::size_t e = 0; e < edges.size(); ++e) perimeter += edges.length[e];
  const double tiny = 1e-10 * perimeter, spacing = perimeter / samples_in_all;
  for (std::size_t e = 0; e < edges.size(); ++e) {
    const Vec2 start(edges.x[e], edges.y[e]), along(edges.ux[e], edges.uy[e]);
    const Vec2 inward(-along.y(), along.x());
    const std::size_t before = index(edges.previous[e]);
    const Vec2 arriving(edges.ux[before], edges.uy[before]);
    const double turn = cross(arriving, along), cosine = arriving.dot(along);
    if (turn > 0.3 || (turn > 0 && cosine < 0)) {
      work.corners.push_back(start);
    } else if (turn < -0.1 || (turn < 0 && cosine < 0)) {
      add_fan(edges, e, tiny, work);
    }
    // An odd number: the disc at the middle of a side of a fine curve is the one that counts.
    const int pieces = 1 + 2 * static_cast<int>(edges.length[e] / (2 * spacing));
    for (int i = 0; i < pieces; ++i) {
      const double where = edges.length[e] * (i + 0.5) / pieces;
      const Vec2 p = start + where * along;
      work.waiting.add(samples.size(), p, inward);
      add_sample(p, inward, {0, none, 0}, e, where, samples);
    }
  }
  measure_waiting(edges, tiny, work);

  work.first_on.resize(edges.size());
  std::size_t loop_start = 0, at = 0;
  for (std::size_t e = 0; e < edges.size(); ++e) {
    work.first_on[e] = static_cast<std::int32_t>(at);
    while (at < samples.size() && index(samples[at].edge) == e) ++at;
    if (!edges.closes[e]) continue;
    for (std::size_t i = loop_start; i < at; ++i) {
      samples[i].next = static_cast<std::int32_t>(i + 1 < at ? i + 1 : loop_start);
      samples[i].previous = static_cast<std::int32_t>(i > loop_start ? i - 1 : at - 1);
    }
    loop_start = at;
  }
}

// Who can be reached from a sample across its disc: the samples on both sides of the place where
// the disc touches again, and the other way round.
void make_links(Parts& work) {
  const std::vector<Sample>& samples = work.samples;
  const auto last = static_cast<std::int32_t>(samples.size()) - 1;
  const auto squared_distance = [&](std::int32_t a, std::int32_t b) {
    return (samples[index(a)].centre - samples[index(b)].centre).squaredNorm();
  };
  work.across.resize(2 * samples.size());
  work.following.resize(2 * samples.size());
  work.first_link.assign(samples.size(), none);
  for (std::int32_t i = 0; i <= last; ++i) {
    const std::int32_t edge = samples[index(i)].partner_edge;
    const double at = samples[index(i)].partner_at;
    // Nearly all samples of an edge are evenly spaced: begin about there.
    const std::int32_t first = std::min(work.first_on[index(edge)], last);
    const std::int32_t past =
        index(edge) + 1 < work.first_on.size() ? work.first_on[index(edge) + 1] : last + 1;
    std::int32_t j = first;
    if (past - first > 4)
      j += static_cast<std::int32_t>((past - first - 1) *
                                     std::min(1.0, at / work.edges.length[index(edge)]));
    while (j > first && samples[index(j - 1)].at >= at) --j;
    while (samples[index(j)].edge == edge && samples[index(j)].at < at &&
           samples[index(j)].next > j)
      j = samples[index(j)].next;
    // Of several discs at a re-entrant corner only the nearest to this one will do.
    std::int32_t nearest = j;
    for (std::int32_t k = j; samples[index(k)].edge == edge && samples[index(k)].at == 0;) {
      if (squared_distance(i, k) < squared_distance(i, nearest)) nearest = k;
      if (samples[index(k)].next <= k) break;
      k = samples[index(k)].next;
    }
    const bool at_corner = samples[index(j)].edge == edge && samples[index(j)].at == 0;
    std::int32_t link = 2 * i;
    for (const std::int32_t k : {nearest, at_corner ? nearest : samples[index(j)].previous}) {
      work.across[index(link)] = k;
      work.following[index(link)] = work.first_link[index(k)];
      work.first_link[index(k)] = link++;
    }
  }
}

// All that can be reached from a sample along the boundary and across discs.
template <typename Visit>
void visit_links(const Parts& work, std::int32_t i, Visit&& visit_one) {
  const Sample& sample = work.samples[index(i)];
  visit_one(sample.next);
  visit_one(sample.previous);
  visit_one(work.across[2 * index(i)]);
  visit_one(work.across[2 * index(i) + 1]);
  for (std::int32_t link = work.first_link[index(i)]; link != none;
       link = work.following[index(link)])
    visit_one(link / 2);
}

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

// The points that the discs rolled so far do not touch are packed for the inner loops: samples, and
// convex corners, whose own disc is a point.
void add_missed(const Vec2& p, const Vec2& centre, double r2, Parts::Missed& missed) {
  missed.x.push_back(p.x());
  missed.y.push_back(p.y());
  missed.cx.push_back(centre.x());
  missed.cy.push_back(centre.y());
  missed.square.push_back(r2);
}

void remove_missed(std::int32_t number, bool packed, Parts::Missed& missed) {
  const std::int32_t at = missed.place_of[index(number)];
  if (packed)
    for (Numbers* numbers : {&missed.x, &missed.y, &missed.cx, &missed.cy, &missed.square,
                             &missed.distance, &missed.checked, &missed.passage}) {
      (*numbers)[index(at)] = numbers->back();
      numbers->pop_back();
    }
  missed.place_of[index(missed.point.back())] = at;
  missed.point[index(at)] = missed.point.back();
  missed.point.pop_back();
  missed.place_of[index(number)] = none;
}

void roll(const Sample& disc, double level, Parts::Missed& missed) {
  const std::size_t count = missed.x.size();
  lower_distances(missed.x.data(), missed.y.data(), count, disc.centre.x(), disc.centre.y(),
                  disc.radius, missed.distance.data());
  raise_passages(missed.cx.data(), missed.cy.data(), missed.square.data(), count, disc.centre.x(),
                 disc.centre.y(), disc.radius * disc.radius, level, missed.passage.data());
}

/// Largest of some numbers, none of them below 0.
SIXTYFOLD_LANES
double find_largest(const double* numbers, std::size_t count) {
  Four largest{};
  std::size_t start = 0;
  for (; start + four <= count; start += four) {
    Four next;
    load(numbers + start, next);
    largest = largest < next ? next : largest;
  }
  double result = find_largest_of(largest);
  for (; start < count; ++start) result = std::max(result, numbers[start]);
  return result;
}

/// Does any point that came nearer since the last look lie farther than `need`?
SIXTYFOLD_LANES
bool has_excess(const double* distance, const double* checked, std::size_t count, double need) {
  int any = 0;
  for (std::size_t k = 0; k < count; ++k)
    any |= static_cast<int>(distance[k] < checked[k]) & static_cast<int>(distance[k] > need);
  return any;
}

constexpr double same = 1 - 2e-9;  // of squares of radii

// Edges without length have no direction.
void make_distinct(const Polygon& polygon, Polygon& distinct) {
  const double least = 1e-12 * measure_perimeter(polygon);
  distinct.clear();
  for (const Vec2& p : polygon)
    if (distinct.empty() || (p - distinct.back()).norm() > least) distinct.push_back(p);
  while (distinct.size() > 1 && (distinct.front() - distinct.back()).norm() <= least)
    distinct.pop_back();
}

}  // namespace

ThinPlace find_thinnest_place(const Polygon& outline_mm, std::span<const Polygon> holes_mm,
                              double enough_mm, WidthWorkspace& work) {
  assert(outline_mm.size() >= 3);
  assert(enough_mm > 0);
  Parts::Edges& edges = work.edges;
  edges.clear();
  make_distinct(outline_mm, work.distinct);
  add_loop(work.distinct, false, edges);
  for (const Polygon& hole : holes_mm) {
    make_distinct(hole, work.distinct);
    add_loop(work.distinct, true, edges);
  }
  if (edges.size() < 3) return {};
  pad(edges);
  make_samples(edges, work);
  const std::vector<Sample>& samples = work.samples;
  const std::size_t count = samples.size();
  if (count == 0) return {};
  make_links(work);
  const auto square_of = [&](std::int32_t i) {
    return samples[index(i)].radius * samples[index(i)].radius;
  };

  // Every sample and every convex corner must lie within 2 r of a disc that rolls there, for every
  // r. A disc rolls from the widest place outwards, always to the widest place left (Prim 1957):
  // its passage falls as it goes. Passages are kept squared, which saves roots.
  Parts::Missed& missed = work.missed;
  missed.restart(count + work.corners.size());
  const double most = enough_mm < infinity ? enough_mm * enough_mm / 4 : infinity;
  Numbers& passage = work.passage;
  passage.assign(count, 0.0);
  std::vector<std::int32_t>& order = work.order;  // in which discs rolled
  order.clear();
  const auto widest_sample = std::max_element(
      samples.begin(), samples.end(),
      [](const Sample& a, const Sample& b) { return a.radius * a.radius < b.radius * b.radius; });
  auto next = static_cast<std::int32_t>(widest_sample - samples.begin());
  double level = std::min(square_of(next), most);
  std::size_t failing = 0;  // discs rolled down to the lowest level that fails
  std::int32_t at_fault = 0;
  while (next != none) {
    // Everything along the boundary and across discs that is no narrower, at once.
    const std::size_t first = order.size();
    const auto take = [&](std::int32_t i) {
      passage[index(i)] = level;
      remove_missed(i, first > 0, missed);
      order.push_back(i);
    };
    take(next);
    for (std::size_t i = first; i < order.size(); ++i)
      visit_links(work, order[i], [&](std::int32_t j) {
        if (missed.place_of[index(j)] != none && square_of(j) >= level) take(j);
      });
    if (first == 0) {  // most are gone by now: only the others need packing
      for (const std::int32_t number : missed.point)
        if (const std::size_t i = index(number); i < count)
          add_missed(samples[i].point, samples[i].centre, square_of(number), missed);
        else
          add_missed(work.corners[i - count], work.corners[i - count], 0, missed);
      missed.distance.assign(missed.point.size(), infinity);
      missed.checked.assign(missed.point.size(), infinity);
      missed.passage.assign(missed.point.size(), 0.0);
    }
    for (std::size_t i = first; i < order.size(); ++i) {
      roll(samples[index(order[i])], level, missed);
      visit_links(work, order[i], [&](std::int32_t j) {
        if (const std::int32_t k = missed.place_of[index(j)]; k != none)
          missed.passage[index(k)] =
              std::max(missed.passage[index(k)], std::min(level, square_of(j)));
      });
    }
    const double widest = find_largest(missed.passage.data(), missed.passage.size());
    const bool done = widest == 0;
    // All discs of this level rolled. Between two levels at which a point comes nearer to a disc
    // both its distance and its bound are taken as linear, so those levels alone are looked at.
    if (done || widest < level * same) {
      const double need = 2 * std::sqrt(level) * (1 + 1e-9);
      double worst = 0;
      const std::size_t to_check =
          has_excess(missed.distance.data(), missed.checked.data(), missed.point.size(), need)
              ? missed.point.size()
              : 0;
      for (std::size_t k = 0; k < to_check; ++k) {
        const double excess =
            missed.distance[k] < missed.checked[k] ? missed.distance[k] - need : 0;
        if (excess > worst) {
          // The discs of the first level are wider than it where widths are not told apart: near
          // enough to one of them is near enough, and smaller ones come nearer.
          const Vec2 p(missed.x[k], missed.y[k]);
          if (first == 0 && std::any_of(order.begin(), order.end(), [&](std::int32_t s) {
                return (p - samples[index(s)].centre).norm() <=
                       3 * samples[index(s)].radius * (1 + 1e-9);
              }))
            continue;
          worst = excess;
          failing = order.size();
          at_fault = missed.point[k];
        }
      }
      missed.checked = missed.distance;
    }
    next = none;
    if (done) break;
    next = missed.point[static_cast<std::size_t>(
        std::find(missed.passage.begin(), missed.passage.end(), widest) - missed.passage.begin())];
    level = widest;
  }

  ThinPlace place;
  if (failing == 0) {
    place.width_mm = 2 * std::sqrt(passage[index(order[0])]);
    place.point_mm = samples[index(order[0])].centre;
    return place;
  }
  // The point at fault passes from near enough to too far between that level and the next lower one
  // at which it comes nearer: on the way along a tip, or at once where a neck lets discs through.
  const Vec2 point = index(at_fault) < count ? samples[index(at_fault)].point
                                             : work.corners[index(at_fault) - count];
  const auto distance_to = [&](std::int32_t s) {
    return (point - samples[index(s)].centre).norm() - samples[index(s)].radius;
  };
  double before = infinity;
  for (std::size_t i = 0; i < failing; ++i) before = std::min(before, distance_to(order[i]));
  double after = before;
  bool at_once = false;
  std::int32_t gate = none;
  // Corners are never rolled to, and samples with no way to them neither.
  for (std::size_t i = failing; i < order.size(); ++i) {
    const std::int32_t s = order[i];
    if (gate != none && passage[index(s)] < passage[index(gate)] * same) break;
    if (const double d = distance_to(s); d < after) {
      after = d;
      at_once = passage[index(s)] < std::min(square_of(s), most) * same;
      if (gate == none || passage[index(s)] < passage[index(gate)]) gate = s;
    }
  }
  if (gate == none) {  // a sharp tip
    place.point_mm = point;
    return place;
  }
  const double high = std::sqrt(passage[index(order[failing - 1])]),
               low = std::sqrt(passage[index(gate)]);
  const double above = before - 2 * high, below = std::min(0.0, after - 2 * low);
  const double share = at_once ? 0 : -below / (above - below);
  place.width_mm = 2 * (low + (high - low) * share);
  // Of all that had to be so narrow, the narrowest.
  for (const std::int32_t s : order)
    if (passage[index(s)] <= passage[index(gate)] * (2 - same) &&
        passage[index(s)] >= passage[index(gate)] * same && square_of(s) < square_of(gate) * same)
      gate = s;
  place.point_mm = samples[index(gate)].centre;
  return place;
}

ThinPlace find_thinnest_place(const Polygon& outline_mm, std::span<const Polygon> holes_mm,
                              double enough_mm) {
  WidthWorkspace work;
  return find_thinnest_place(outline_mm, holes_mm, enough_mm, work);
}

}  // namespace sixtyfold
