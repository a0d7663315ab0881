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

/// Every sample and every convex corner must lie within 2 r of a disc that rolls there, for every
/// r. A disc rolls from the widest place outwards, always to the widest place left (Prim 1957): its
/// passage falls as it goes. Passages are kept squared, which saves roots.
class Rolling {
 public:
  Rolling(double enough_mm, Parts& work)
      : work_(work),
        samples_(work.samples),
        count_(work.samples.size()),
        missed_(work.missed),
        passage_(work.passage),
        order_(work.order),
        most_(enough_mm < infinity ? enough_mm * enough_mm / 4 : infinity) {
    missed_.restart(count_ + work.corners.size());
    passage_.assign(count_, 0.0);
    order_.clear();
  }

  ThinPlace find_thinnest() {
    roll_down();
    return failing_ == 0 ? tell_widest() : tell_fault();
  }

 private:
  double square_of(std::int32_t i) const {
    return samples_[index(i)].radius * samples_[index(i)].radius;
  }
  bool is_first_level() const { return first_ == 0; }

  void roll_down() {
    const auto widest_sample = std::max_element(
        samples_.begin(), samples_.end(),
        [](const Sample& a, const Sample& b) { return a.radius * a.radius < b.radius * b.radius; });
    auto next = static_cast<std::int32_t>(widest_sample - samples_.begin());
    level_ = std::min(square_of(next), most_);
    while (true) {
      take_level(next);
      if (is_first_level()) pack_missed();
      roll_level();
      const double widest = find_largest(missed_.passage.data(), missed_.passage.size());
      // All discs of this level rolled. Between two levels at which a point comes nearer to a disc
      // both its distance and its bound are taken as linear, so those levels alone are looked at.
      if (widest == 0 || widest < level_ * same) check_level();
      if (widest == 0) break;
      next = missed_.point[static_cast<std::size_t>(
          std::find(missed_.passage.begin(), missed_.passage.end(), widest) -
          missed_.passage.begin())];
      level_ = widest;
    }
  }

  /// Everything along the boundary and across discs that is no narrower, at once.
  void take_level(std::int32_t next) {
    first_ = order_.size();
    const auto take = [&](std::int32_t i) {
      passage_[index(i)] = level_;
      remove_missed(i, first_ > 0, missed_);
      order_.push_back(i);
    };
    take(next);
    for (std::size_t i = first_; i < order_.size(); ++i)
      visit_links(work_, order_[i], [&](std::int32_t j) {
        if (missed_.place_of[index(j)] != none && square_of(j) >= level_) take(j);
      });
  }

  /// After the first level most are gone: only the others need packing.
  void pack_missed() {
    for (const std::int32_t number : missed_.point)
      if (const std::size_t i = index(number); i < count_)
        add_missed(samples_[i].point, samples_[i].centre, square_of(number), missed_);
      else
        add_missed(work_.corners[i - count_], work_.corners[i - count_], 0, missed_);
    missed_.distance.assign(missed_.point.size(), infinity);
    missed_.checked.assign(missed_.point.size(), infinity);
    missed_.passage.assign(missed_.point.size(), 0.0);
  }

  void roll_level() {
    for (std::size_t i = first_; i < order_.size(); ++i) {
      roll(samples_[index(order_[i])], level_, missed_);
      visit_links(work_, order_[i], [&](std::int32_t j) {
        if (const std::int32_t k = missed_.place_of[index(j)]; k != none)
          missed_.passage[index(k)] =
              std::max(missed_.passage[index(k)], std::min(level_, square_of(j)));
      });
    }
  }

  /// Whether a point that is left is too far from all discs so far, and which is the farthest.
  void check_level() {
    const double need = 2 * std::sqrt(level_) * (1 + 1e-9);
    double worst = 0;
    const std::size_t to_check =
        has_excess(missed_.distance.data(), missed_.checked.data(), missed_.point.size(), need)
            ? missed_.point.size()
            : 0;
    for (std::size_t k = 0; k < to_check; ++k) {
      const double excess =
          missed_.distance[k] < missed_.checked[k] ? missed_.distance[k] - need : 0;
      if (!(excess > worst)) continue;
      // The discs of the first level are wider than it where widths are not told apart: near
      // enough to one of them is near enough, and smaller ones come nearer.
      if (is_first_level() && is_near_a_disc(Vec2(missed_.x[k], missed_.y[k]))) continue;
      worst = excess;
      failing_ = order_.size();
      at_fault_ = missed_.point[k];
    }
    missed_.checked = missed_.distance;
  }

  bool is_near_a_disc(const Vec2& p) const {
    return std::any_of(order_.begin(), order_.end(), [&](std::int32_t s) {
      return (p - samples_[index(s)].centre).norm() <= 3 * samples_[index(s)].radius * (1 + 1e-9);
    });
  }

  ThinPlace tell_widest() const {
    ThinPlace place;
    place.width_mm = 2 * std::sqrt(passage_[index(order_[0])]);
    place.point_mm = samples_[index(order_[0])].centre;
    return place;
  }

  /// The point at fault passes from near enough to too far between that level and the next lower
  /// one at which it comes nearer: on the way along a tip, or at once where a neck lets discs
  /// through.
  ThinPlace tell_fault() const {
    const Vec2 point = index(at_fault_) < count_ ? samples_[index(at_fault_)].point
                                                 : work_.corners[index(at_fault_) - count_];
    const auto distance_to = [&](std::int32_t s) {
      return (point - samples_[index(s)].centre).norm() - samples_[index(s)].radius;
    };
    double before = infinity;
    for (std::size_t i = 0; i < failing_; ++i) before = std::min(before, distance_to(order_[i]));
    double after = before;
    bool at_once = false;
    std::int32_t gate = none;
    // Corners are never rolled to, and samples with no way to them neither.
    for (std::size_t i = failing_; i < order_.size(); ++i) {
      const std::int32_t s = order_[i];
      if (gate != none && passage_[index(s)] < passage_[index(gate)] * same) break;
      if (const double d = distance_to(s); d < after) {
        after = d;
        at_once = passage_[index(s)] < std::min(square_of(s), most_) * same;
        if (gate == none || passage_[index(s)] < passage_[index(gate)]) gate = s;
      }
    }
    ThinPlace place;
    if (gate == none) {  // a sharp tip
      place.point_mm = point;
      return place;
    }
    const double high = std::sqrt(passage_[index(order_[failing_ - 1])]),
                 low = std::sqrt(passage_[index(gate)]);
    const double above = before - 2 * high, below = std::min(0.0, after - 2 * low);
    const double share = at_once ? 0 : -below / (above - below);
    place.width_mm = 2 * (low + (high - low) * share);
    place.point_mm = samples_[index(find_narrowest(gate))].centre;
    return place;
  }

  /// Of all that had to be as narrow as the gate, the narrowest.
  std::int32_t find_narrowest(std::int32_t gate) const {
    for (const std::int32_t s : order_)
      if (passage_[index(s)] <= passage_[index(gate)] * (2 - same) &&
          passage_[index(s)] >= passage_[index(gate)] * same &&
          square_of(s) < square_of(gate) * same)
        gate = s;
    return gate;
  }

  Parts& work_;
  const std::vector<Sample>& samples_;
  std::size_t count_;
  Parts::Missed& missed_;
  Numbers& passage_;
  std::vector<std::int32_t>& order_;  ///< in which discs rolled
  double most_;
  double level_ = 0;
  std::size_t first_ = 0;    ///< in `order_`, of those of this level
  std::size_t failing_ = 0;  ///< discs rolled down to the lowest level that fails
  std::int32_t at_fault_ = 0;
};

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
  if (work.samples.empty()) return {};
  make_links(work);
  return Rolling(enough_mm, work).find_thinnest();
}

ThinPlace find_thinnest_place(const Polygon& outline_mm, std::span<const Polygon> holes_mm,
                              double enough_mm) {
  WidthWorkspace work;
  return find_thinnest_place(outline_mm, holes_mm, enough_mm, work);
}

}  // namespace sixtyfold
