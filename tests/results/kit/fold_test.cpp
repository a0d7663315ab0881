// The folded tabs of many designs, followed as a builder folds them.
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "engine/part/slab.h"
#include "engine/shape/boolean.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// The tab as a builder folds it: turned about its fold line by the printed angle, up or down.
std::vector<Vec3> fold(const Tab& tab, const std::vector<Vec2>& points) {
  const Vec2 a = tab.fold_from_mm;
  const Vec3 axis = Vec3(tab.fold_to_mm.x() - a.x(), tab.fold_to_mm.y() - a.y(), 0).normalized();
  const Eigen::AngleAxisd turn(-tab.fold_side * tab.fold_rad, axis);
  std::vector<Vec3> folded;
  for (const Vec2& p : points)
    folded.push_back(Vec3(a.x(), a.y(), 0) + turn * Vec3(p.x() - a.x(), p.y() - a.y(), 0));
  return folded;
}

/// Points of the flat tab, its corners left out.
std::vector<Vec2> make_grid(const Polygon& outline) {
  const Vec2 a = outline[0], b = outline[1], c = outline[2], d = outline[3];
  std::vector<Vec2> points;
  for (const double u : {0.05, 0.35, 0.65, 0.95})
    for (const double v : {0.1, 0.5, 0.9})
      points.push_back((1 - v) * ((1 - u) * a + u * b) + v * ((1 - u) * d + u * c));
  return points;
}

struct Footprint {
  int side;
  Polygon area;
};

}  // namespace

TEST_CASE(
    "every tab of every copy of 200 designs, folded in space, lies on the face it is named for",
    "[kit][fold]") {
  Limits limits;
  limits.allow_flexible = true;  // tabs fold alike whether or not the whole can move
  const auto designs = make_designs_of_many_groups([&](std::uint64_t) { return limits; });
  std::set<std::string> groups;
  int tabs = 0;
  for (const auto& [symbol, index, design] : designs) {
    groups.insert(symbol);
    CAPTURE(symbol, index);
    const Finished finished = make_finished(design, FlatOptions{});
    const FlatPattern& pattern = finished.parts[0].pattern;
    const double t = design.thickness_mm;
    CHECK(measure_slabs(design, finished).overlaps.empty());
    std::vector<Footprint> on_part;  // by symmetry, what lands on the part's own faces
    for (const Joint& joint : design.joints)
      for (const int side : {0, 1}) {
        const int owner = joint.panels[side], other = joint.panels[1 - side];
        const Frame own = make_copy_frame(design, owner), mate = make_copy_frame(design, other);
        const Vec2 middle = own.to_plane((joint.from_mm + joint.to_mm) / 2);
        const Tab* tab = nullptr;
        for (const Tab& one : pattern.tabs) {
          const PanelJoint& edge = finished.joints.joints[0][at(one.joint)];
          if (edge.role == JointRole::tab_edge &&
              ((edge.from_mm + edge.to_mm) / 2 - middle).norm() < 0.01)
            tab = &one;
        }
        if (!tab) continue;
        ++tabs;
        const auto to_space = [&](const Vec3& p) {
          return Vec3(own.origin + p.x() * own.x_axis + p.y() * own.y_axis + p.z() * own.normal);
        };
        Polygon on_mate;
        double height = 0;
        for (const Vec3& p : fold(*tab, tab->outline_mm)) {
          height = mate.height_of(to_space(p));
          CHECK(std::abs(std::abs(height) - t) <
                1e-3);  // one thickness from mid-surface to mid-surface
          on_mate.push_back(mate.to_plane(to_space(p)));
        }
        on_mate = make_counter_clockwise(on_mate);
        // Inside the face; of an edge-to-edge joint the fold itself may stand past the mate's
        // edge.
        const double outside =
            measure_set_area(make_difference({on_mate}, {design.orbits[0].panel.outline_mm}));
        if (joint.kind == JointKind::tab)
          CHECK(outside < 0.1);
        else
          CHECK(outside <= measure_area(on_mate) * 0.5);
        // Over its seat: the meeting line's segment runs along the tab.
        const Vec2 from = mate.to_plane(joint.from_mm), to = mate.to_plane(joint.to_mm),
                   along = (to - from).normalized();
        for (const Vec2& p : on_mate) {
          CHECK(along.dot(p - from) > -0.2);
          CHECK(along.dot(p - to) < 0.2);
        }
        const double aside = std::abs(cross(along, Vec2(measure_centroid(on_mate) - from)));
        CHECK(aside <
              tab->depth_mm + t / std::tan(std::min(tab->fold_rad, pi - tab->fold_rad)) + t);
        if (other == 0) on_part.push_back({height > 0 ? 1 : -1, on_mate});
        // Crossing no panel: no point of the tab's middle lies inside the board of a third copy.
        // By symmetry the first copy's tabs tell it for all.
        if (owner != 0) continue;
        for (const Vec3& p : fold(*tab, make_grid(tab->outline_mm)))
          for (int copy = 1; copy < count_copies(design); ++copy) {
            if (copy == other) continue;
            const Frame third = make_copy_frame(design, copy);
            const Vec3 space = to_space(p);
            if (std::abs(third.height_of(space)) > t / 2 - 0.1) continue;
            const Vec2 flat = third.to_plane(space);
            const bool inside = contains(pattern.body_mm, flat) &&
                                distance_to_boundary(pattern.body_mm, flat) > 0.5;
            CHECK_FALSE(inside);
          }
      }
    for (std::size_t i = 0; i < on_part.size(); ++i)
      for (std::size_t k = 0; k < i; ++k)
        if (on_part[i].side == on_part[k].side)
          CHECK(measure_set_area(make_intersection({on_part[i].area}, {on_part[k].area})) < 0.5);
  }
  CHECK(designs.size() >= 200);
  CHECK(groups.size() >= 20);
  CHECK(tabs > 2000);
}
