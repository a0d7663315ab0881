#include "tests/support/plain_width.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace sixtyfold::plain {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double same = 1 - 1e-9;  // radii this close are the same
constexpr std::size_t none = static_cast<std::size_t>(-1);

struct Edge {
  Vec2 start, along;
  double length;
  Vec2 inward() const { return {-along.y(), along.x()}; }
};

/// The largest disc that touches the boundary at a point from inside, and where else it touches:
/// `at` from the start of `edge`.
struct Ball {
  double radius = infinity;
  std::size_t edge = none;
  double at = 0;
};

/// A point of the boundary with its disc; at a convex corner the disc is a point.
struct Place {
  Vec2 point, centre;
  double radius = 0;
  std::size_t edge = none;  ///< the one it lies on, `at` from its start; none at a corner
  double at = 0;
  Ball ball;
  std::vector<std::size_t> links;  ///< along the boundary and across discs
  bool rolled = false;             ///< a disc has been here
  double passage = 0;              ///< the widest disc known to come through
  double distance = infinity;      ///< to the nearest disc
  double checked = infinity;       ///< what it was at the last level looked at
};

std::vector<Edge> make_edges(const Polygon& polygon) {
  const double least = 1e-12 * measure_perimeter(polygon);
  Polygon distinct;
  for (const Vec2& p : polygon)
    if (distinct.empty() || (p - distinct.back()).norm() > least) distinct.push_back(p);
  while (distinct.size() > 1 && (distinct.front() - distinct.back()).norm() <= least)
    distinct.pop_back();
  std::vector<Edge> edges;
  for (std::size_t i = 0; i < distinct.size(); ++i) {
    const Vec2 step = distinct[(i + 1) % distinct.size()] - distinct[i];
    const double length = step.norm();
    edges.push_back({distinct[i], {step.x() / length, step.y() / length}, length});
  }
  return edges;
}

/// The radius at which a disc that grows from p towards n touches the inside or the start of an
/// edge.
double measure_radius(const Edge& edge, const Vec2& p, const Vec2& n, double tiny) {
  const Vec2 d = p - edge.start;
  const double height = cross(edge.along, d), closing = 1 - cross(edge.along, n);
  const double at = edge.along.dot(d) * closing + height * edge.along.dot(n);
  const bool on_line = height > tiny && closing > 1e-14 && 0 <= at && at <= edge.length * closing;
  const double ahead = -2 * n.dot(d), far2 = d.dot(d);
  const bool in_front = ahead > tiny;
  return std::min(on_line ? height / closing : infinity, in_front ? far2 / ahead : infinity);
}

Ball find_ball(const std::vector<Edge>& edges, const Vec2& p, const Vec2& n, double tiny) {
  Ball ball;
  for (std::size_t e = 0; e < edges.size(); ++e)
    if (const double radius = measure_radius(edges[e], p, n, tiny); radius < ball.radius) {
      ball.radius = radius;
      ball.edge = e;
    }
  if (ball.edge == none) return ball;
  const Edge& edge = edges[ball.edge];
  const Vec2 arm = p + ball.radius * n - edge.start;
  if (arm.norm() > ball.radius * (1 + 1e-12))
    ball.at = std::clamp(edge.along.dot(arm), 0.0, edge.length);
  return ball;
}

void add_place(const Vec2& p, const Vec2& n, const Ball& ball, std::size_t edge, double at,
               std::vector<Place>& places) {
  if (ball.radius == infinity) return;
  Place place;
  place.point = p;
  place.centre = p + ball.radius * n;
  place.radius = ball.radius;
  place.edge = edge;
  place.at = at;
  place.ball = ball;
  places.push_back(place);
}

/// At a re-entrant corner a disc touches with any of a fan of normals: an even spread of them, and
/// the one towards what the narrowest disc meets.
void add_fan(const std::vector<Edge>& edges, std::size_t e, double tiny,
             std::vector<Place>& places) {
  const Vec2 start = edges[e].start;
  const Vec2 first = edges[(e + edges.size() - 1) % edges.size()].inward();
  const Vec2 last = edges[e].inward();
  const double turn = std::atan2(cross(last, first), last.dot(first));  // clockwise, positive
  const auto normal_at = [&](double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return Vec2(c * first.x() + s * first.y(), c * first.y() - s * first.x());
  };
  struct Ray {
    double angle;
    Ball ball;
  };
  const auto make_ray = [&](double angle) {
    return Ray{angle, find_ball(edges, start, normal_at(angle), tiny)};
  };
  std::vector<Ray> fan;
  const int count = 1 + 2 * static_cast<int>(turn / 0.5);
  for (int i = 0; i < count; ++i) fan.push_back(make_ray(turn * (i + 0.5) / count));
  const auto is_narrower = [](const Ray& a, const Ray& b) { return a.ball.radius < b.ball.radius; };
  Ray narrowest = *std::min_element(fan.begin(), fan.end(), is_narrower);
  bool found = false;
  for (int i = 0; i < 3 && narrowest.ball.edge != none; ++i) {
    const Edge& met = edges[narrowest.ball.edge];
    const Vec2 towards = met.start + narrowest.ball.at * met.along - start;
    const Ray turned =
        make_ray(std::clamp(std::atan2(cross(towards, first), towards.dot(first)), 0.0, turn));
    if (!(turned.ball.radius < narrowest.ball.radius * (1 - 1e-9))) break;
    narrowest = turned;
    found = true;
  }
  if (found) fan.push_back(narrowest);
  std::stable_sort(fan.begin(), fan.end(),
                   [](const Ray& a, const Ray& b) { return a.angle < b.angle; });
  for (const Ray& ray : fan) add_place(start, normal_at(ray.angle), ray.ball, e, 0, places);
}

/// Places in order along the boundary; the convex corners come last.
std::vector<Place> make_places(const std::vector<Edge>& edges) {
  double perimeter = 0;
  for (const Edge& edge : edges) perimeter += edge.length;
  const double tiny = 1e-10 * perimeter, spacing = perimeter / 72;
  std::vector<Place> places, corners;
  for (std::size_t e = 0; e < edges.size(); ++e) {
    const Edge& edge = edges[e];
    const Vec2 arriving = edges[(e + edges.size() - 1) % edges.size()].along;
    const double turn = cross(arriving, edge.along), cosine = arriving.dot(edge.along);
    if (turn > 0.3 || (turn > 0 && cosine < 0)) {
      Place corner;
      corner.point = corner.centre = edge.start;
      corners.push_back(corner);
    } else if (turn < -0.1 || (turn < 0 && cosine < 0)) {
      add_fan(edges, e, tiny, places);
    }
    const int pieces = 1 + 2 * static_cast<int>(edge.length / (2 * spacing));
    for (int i = 0; i < pieces; ++i) {
      const double at = edge.length * (i + 0.5) / pieces;
      const Vec2 p = edge.start + at * edge.along;
      add_place(p, edge.inward(), find_ball(edges, p, edge.inward(), tiny), e, at, places);
    }
  }
  places.insert(places.end(), corners.begin(), corners.end());
  return places;
}

/// Links the first `count` places along the boundary, and across each disc to the places on both
/// sides of where it touches again.
void link(std::vector<Place>& places, std::size_t count) {
  const auto join = [&](std::size_t i, std::size_t j) {
    places[i].links.push_back(j);
    places[j].links.push_back(i);
  };
  for (std::size_t i = 0; i < count; ++i) join(i, (i + 1) % count);
  for (std::size_t i = 0; i < count; ++i) {
    const Ball& ball = places[i].ball;
    // The first place on that edge not before that point, else the next one along the boundary,
    // or the last of all.
    std::size_t after = 0;
    while (after + 1 < count && (places[after].edge < ball.edge ||
                                 (places[after].edge == ball.edge && places[after].at < ball.at)))
      ++after;
    if (places[after].edge != ball.edge || places[after].at != 0) {
      join(i, after);
      join(i, (after + count - 1) % count);
      continue;
    }
    // Of several discs at a re-entrant corner only the nearest to this one will do.
    std::size_t nearest = after;
    for (std::size_t k = after; k < count && places[k].edge == ball.edge && places[k].at == 0; ++k)
      if ((places[k].centre - places[i].centre).norm() <
          (places[nearest].centre - places[i].centre).norm())
        nearest = k;
    join(i, nearest);
  }
}

/// What can come from one disc through to another: between two discs that overlap one of half their
/// common chord, between any others the narrower.
double measure_passage(const Place& disc, const Place& other) {
  const double r2 = disc.radius * disc.radius, s2 = other.radius * other.radius;
  const double d2 = (other.centre - disc.centre).squaredNorm(), half = d2 + r2 - s2;
  const double narrower = std::min(disc.radius, other.radius);
  if (half <= 0 || half >= 2 * d2 || d2 <= 0.0625 * r2) return narrower;
  const double chord2 = r2 - half * half / (4 * d2);
  return std::min(narrower, std::sqrt(std::max(chord2, 0.0)));
}

}  // namespace

double measure_min_width(const Polygon& outline_mm, double enough_mm) {
  const std::vector<Edge> edges = make_edges(outline_mm);
  if (edges.size() < 3) return 0;
  std::vector<Place> places = make_places(edges);
  const auto count = static_cast<std::size_t>(
      std::count_if(places.begin(), places.end(), [](const Place& p) { return p.edge != none; }));
  if (count == 0) return 0;
  link(places, count);

  // Every place must lie within 2 r of a disc that rolls there, for every r. A disc rolls from the
  // widest place outwards, always to the widest place left (Prim 1957): its radius falls as it
  // goes.
  const double most = enough_mm / 2;
  std::size_t next = 0;
  for (std::size_t i = 0; i < count; ++i)
    if (places[i].radius > places[next].radius) next = i;
  double level = std::min(places[next].radius, most);
  std::vector<std::size_t> order;            // in which discs rolled
  std::size_t failing = 0, at_fault = none;  // discs rolled down to the lowest level that fails
  while (next != none) {
    // Everything along the boundary and across discs that is no narrower, at once.
    const std::size_t first = order.size();
    const auto take = [&](std::size_t i) {
      places[i].rolled = true;
      places[i].passage = level;
      order.push_back(i);
    };
    take(next);
    for (std::size_t i = first; i < order.size(); ++i)
      for (const std::size_t j : places[order[i]].links)
        if (!places[j].rolled && places[j].radius >= level) take(j);
    for (std::size_t i = first; i < order.size(); ++i) {
      const Place& disc = places[order[i]];
      for (Place& other : places) {
        if (other.rolled) continue;
        other.distance = std::min(other.distance, (other.point - disc.centre).norm() - disc.radius);
        other.passage = std::max(other.passage, std::min(level, measure_passage(disc, other)));
      }
      for (const std::size_t j : disc.links)
        if (!places[j].rolled)
          places[j].passage = std::max(places[j].passage, std::min(level, places[j].radius));
    }
    next = none;
    double widest = 0;
    for (std::size_t i = 0; i < places.size(); ++i)
      if (!places[i].rolled && places[i].passage > widest) {
        widest = places[i].passage;
        next = i;
      }
    // All discs of this level rolled. Between two levels at which a place comes nearer to a disc
    // both its distance and its bound are taken as linear, so those levels alone are looked at.
    if (widest < level * same) {
      const double need = 2 * level * (1 + 1e-9);
      double worst = 0;
      for (std::size_t i = 0; i < places.size(); ++i) {
        const Place& place = places[i];
        if (place.rolled || !(place.distance < place.checked)) continue;
        if (!(place.distance - need > worst)) continue;
        // The discs of the first level are wider than it where widths are not told apart: near
        // enough to one of them is near enough, and smaller ones come nearer.
        const bool is_near =
            first == 0 && std::any_of(order.begin(), order.end(), [&](std::size_t s) {
              return (place.point - places[s].centre).norm() <= 3 * places[s].radius * (1 + 1e-9);
            });
        if (is_near) continue;
        worst = place.distance - need;
        failing = order.size();
        at_fault = i;
      }
      for (Place& place : places) place.checked = place.distance;
    }
    level = widest;
  }
  if (failing == 0) return 2 * places[order[0]].passage;

  // The place at fault passes from near enough to too far between that level and the next lower one
  // at which it comes nearer: on the way along a tip, or at once where a neck lets discs through.
  const auto distance_to = [&](std::size_t s) {
    return (places[at_fault].point - places[s].centre).norm() - places[s].radius;
  };
  double before = infinity;
  for (std::size_t i = 0; i < failing; ++i) before = std::min(before, distance_to(order[i]));
  double after = before, low = 0;
  bool nearer = false, at_once = false;
  for (std::size_t i = failing; i < order.size(); ++i) {
    const Place& disc = places[order[i]];
    if (nearer && disc.passage < low * same) break;
    if (!(distance_to(order[i]) < after)) continue;
    after = distance_to(order[i]);
    at_once = disc.passage < std::min(disc.radius, most) * same;
    low = nearer ? std::min(low, disc.passage) : disc.passage;
    nearer = true;
  }
  if (!nearer) return 0;  // a sharp tip
  const double high = places[order[failing - 1]].passage;
  const double above = before - 2 * high, below = std::min(0.0, after - 2 * low);
  return 2 * (low + (high - low) * (at_once ? 0 : -below / (above - below)));
}

}  // namespace sixtyfold::plain
