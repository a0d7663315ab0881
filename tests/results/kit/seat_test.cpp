// The printed template rebuilt in space: boards with thickness, folded about their hinge, laid on
// the seats as they are drawn. Where the panels come to lie is compared with the design. Nothing of
// engine/part/setback.h is used.
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/building/tab_side.h"
#include "results/kit/kit_template.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }
using Line = TemplateDrawing::Line;
using Mark = TemplateDrawing::Mark;

Vec3 at_height(const Vec2& p, double z) { return {p.x(), p.y(), z}; }
Vec2 middle_of(const Line& line) { return (line.from + line.to) / 2; }

/// The line of that kind and letter nearest to `there`; null when the drawing has none.
const Line* find_line(const TemplateDrawing& drawing, Mark mark, const std::string& letter,
                      const Vec2& there) {
  const Line* best = nullptr;
  for (const Line& line : drawing.lines)
    if (line.mark == mark && line.letter == letter &&
        (!best || (middle_of(line) - there).norm() < (middle_of(*best) - there).norm()))
      best = &line;
  return best;
}

/// A face with a line on it: where it is, which way the tab runs from its crease, what it faces.
struct Face {
  Vec3 point, run, out;
};

/// Rigid motion that lays face a on face b, in the two parts' own frames; `mirrored`: of the two
/// copies one is turned over, so that one of the frames is left-handed.
struct Pose {
  Mat3 turn;
  Vec3 from, to;
  Vec3 operator()(const Vec3& p) const { return turn * (p - from) + to; }
};
Pose lay(const Face& a, const Face& b, bool mirrored) {
  Mat3 own, other;
  own.col(0) = a.run, own.col(1) = a.out, own.col(2) = a.run.cross(a.out);
  other.col(0) = b.run, other.col(1) = -b.out, other.col(2) = b.run.cross(Vec3(-b.out));
  if (mirrored) other.col(2) = -other.col(2);
  return {other * own.transpose(), a.point, b.point};
}

/// A printed tab, folded: its glued face at a point `depth` from the crease, in the part's frame.
struct FoldedTab {
  Vec2 out;     // away from the body, flat
  Vec3 crease;  // middle of the fold, on the glued face
  Vec3 run, face_out;
  Face at_depth(double depth) const { return {crease + depth * run, run, face_out}; }
};
FoldedTab fold(const TemplateDrawing& drawing, const Line& line, double t, double hinge_depth) {
  // The letter stands on the tab.
  const Vec2 along = (line.to - line.from).normalized(), middle = middle_of(line);
  const Vec2* letter = nullptr;
  for (const auto& [where, name] : drawing.letters)
    if (name == line.letter && (!letter || (where - middle).norm() < (*letter - middle).norm()))
      letter = &where;
  REQUIRE(letter != nullptr);
  Vec2 out(along.y(), -along.x());
  if (out.dot(*letter - middle) < 0) out = -out;
  const double s = line.side, angle = to_radians(line.angle_deg);
  const Vec3 flat = at_height(out, 0), up(0, 0, 1);
  FoldedTab tab;
  tab.out = out;
  tab.run = std::cos(angle) * flat + s * std::sin(angle) * up;
  const Vec3 normal = std::cos(angle) * up - s * std::sin(angle) * flat;  // the tab's own "up"
  // The face outside the fold is that away from the side it folds to.
  tab.face_out = -s * normal;
  const Vec3 hinge = at_height(middle, -s * (t / 2 - hinge_depth));
  tab.crease = hinge + hinge_depth * tab.face_out;
  return tab;
}

Vec3 to_local(const Frame& frame, const Vec3& p) {
  const Vec3 q = p - frame.origin;
  return {q.dot(frame.x_axis), q.dot(frame.y_axis), q.dot(frame.normal)};
}

}  // namespace

TEST_CASE(
    "200 designs rebuilt from their printed templates: every panel comes to lie within 0.3 mm",
    "[kit][seat]") {
  int designs = 0, tabs = 0, on_edges = 0, doubles = 0;
  double worst = 0, least_deg = 180, most_deg = 0;  // plane angles
  const auto limits_of = [](std::uint64_t index) {
    Limits limits;
    limits.allow_flexible = true;
    limits.thickness_mm = index % 3 == 0 ? 4 : index % 3 == 1 ? 2 : 6.5;
    return limits;
  };
  for (const auto& [symbol, index, design] : make_designs_of_many_groups(limits_of)) {
    ++designs;
    const double t = design.thickness_mm;
    // Of the layers from the face outside the fold to the one inside it: which keeps its length.
    const double shares[] = {0.5, 0, 0.2, 0.8, 1};
    const double hinge_depth = shares[designs % 5] * t;
    CAPTURE(symbol, index, t, hinge_depth);
    FlatOptions options;
    options.thickness_mm = t;
    options.fold_allowance_mm = t / 2 - hinge_depth;
    const TabSide tab_sides[] = {TabSide::shortest, TabSide::inside, TabSide::outside};
    options.tab_side = tab_sides[designs % 3];
    const Finished finished = make_finished(design, options);
    TemplateOptions plain;
    plain.notch_mm = 0;
    const TemplateDrawing drawing = make_template_drawing(design, finished, 0, plain);
    const FlatPattern& pattern = finished.parts[0].pattern;
    for (const Joint& joint : design.joints)
      for (const int side : {0, 1}) {
        const int owner = joint.panels[side], other = joint.panels[1 - side];
        const Frame own = make_copy_frame(design, owner), mate = make_copy_frame(design, other);
        const Vec2 middle = own.to_plane((joint.from_mm + joint.to_mm) / 2),
                   on_mate = mate.to_plane((joint.from_mm + joint.to_mm) / 2);
        // The tab of this edge, as it is cut; its letter and depth.
        const Tab* tab = nullptr;
        for (const Tab& one : pattern.tabs) {
          const PanelJoint& edge = finished.joints.joints[0][at(one.joint)];
          if (((edge.from_mm + edge.to_mm) / 2 - middle).norm() < 0.01) tab = &one;
        }
        if (!tab) continue;
        const bool is_double =
            finished.joints.joints[0][at(tab->joint)].role == JointRole::double_tab;
        const std::string letter = make_letter(finished.joints.letter[0][at(tab->joint)]);
        const Vec2 fold_middle = (tab->fold_from_mm + tab->fold_to_mm) / 2;
        const Line* line = find_line(drawing, Mark::fold, letter, fold_middle);
        REQUIRE(line != nullptr);
        CHECK((middle_of(*line) - fold_middle).norm() < 0.01);
        const FoldedTab folded = fold(drawing, *line, t, hinge_depth);
        const bool mirrored = (design.orbits[0].copies[at(owner)].determinant() < 0) !=
                              (design.orbits[0].copies[at(other)].determinant() < 0);
        Face own_face = folded.at_depth(tab->depth_mm), mate_face;
        if (is_double) {  // two folded tabs, crease on crease
          // Crease on crease, the printed middles on each other.
          const Line* mid = find_line(drawing, Mark::middle, letter, middle);
          const Line* other_mid = find_line(drawing, Mark::middle, letter, on_mate);
          REQUIRE(mid != nullptr);
          REQUIRE(other_mid != nullptr);
          const Line* second = nullptr;
          for (const Line& one : drawing.lines) {
            const Vec2 way = (one.to - one.from).normalized();
            if (one.is_fold && one.letter == letter &&
                std::abs(cross(way, Vec2(other_mid->from - one.from))) < 0.01 &&
                (!second ||
                 (middle_of(one) - on_mate).norm() < (middle_of(*second) - on_mate).norm()))
              second = &one;
          }
          REQUIRE(second != nullptr);
          own_face = folded.at_depth(0);
          own_face.point += at_height(mid->from - middle_of(*line), 0);
          mate_face = fold(drawing, *second, t, hinge_depth).at_depth(0);
          mate_face.point += at_height(other_mid->from - middle_of(*second), 0);
          ++doubles;
        } else {
          const Line* free = find_line(drawing, Mark::free_edge, letter, on_mate);
          REQUIRE(free != nullptr);
          // The printed free edge is as long as the tab's, and its ends are those of the tab.
          const Vec2 a = tab->outline_mm[2], b = tab->outline_mm[3], way = (a - b).normalized();
          CHECK((free->to - free->from).norm() == Approx((a - b).norm()).margin(0.3));
          own_face.point += at_height(way * way.dot((a + b) / 2 - fold_middle), 0);
          const TemplateDrawing::SeatArea* area = nullptr;
          for (const auto& seat : drawing.seats)
            if (seat.letter == letter &&
                (!area || distance_to_boundary(seat.area_mm, middle_of(*free)) <
                              distance_to_boundary(area->area_mm, middle_of(*free))))
              area = &seat;
          REQUIRE(area != nullptr);
          CHECK(area->side == free->side);
          const Vec2 along = (free->to - free->from).normalized();
          Vec2 run(along.y(), -along.x());
          if (run.dot(measure_centroid(area->area_mm) - free->from) > 0) run = -run;
          const double face = free->side;
          mate_face = {at_height(middle_of(*free), face * t / 2), at_height(run, 0),
                       Vec3(0, 0, face)};
          on_edges += static_cast<int>(joint.kind == JointKind::edge);
          // The printed crease, where it is on the board, is where the tab's crease comes to lie.
          const Line* crease = find_line(drawing, Mark::crease, letter, on_mate);
          if (crease && joint.kind == JointKind::tab) {
            const Pose pose = lay(own_face, mate_face, mirrored);
            for (const Vec2& p : {tab->fold_from_mm, tab->fold_to_mm}) {
              const Vec3 there = pose(folded.crease + at_height(p - fold_middle, 0));
              CHECK(std::min((there - at_height(crease->from, face * t / 2)).norm(),
                             (there - at_height(crease->to, face * t / 2)).norm()) < 0.3);
            }
          }
        }
        ++tabs;
        least_deg = std::min(least_deg, joint.angle_deg);
        most_deg = std::max(most_deg, joint.angle_deg);
        const Pose pose = lay(own_face, mate_face, mirrored);
        double off = 0;
        for (const Vec2& p : design.orbits[0].panel.outline_mm)
          off = std::max(off, (pose(at_height(p, 0)) - to_local(mate, own.to_space(p))).norm());
        worst = std::max(worst, off);
        CAPTURE(letter, line->angle_deg, is_double, name_of(joint.kind));
        CHECK(off < 0.3);
      }
  }
  CAPTURE(worst, least_deg, most_deg, on_edges, doubles);
  CHECK(designs >= 200);
  CHECK(tabs > 2000);
  CHECK(on_edges > 20);
  CHECK(doubles > 20);
  CHECK(least_deg < 25);
  CHECK(most_deg > 150);
  CHECK(worst < 0.3);
}

TEST_CASE("tabs lie on the side asked for where they can, and never cost one", "[kit][seat]") {
  int moved = 0, inside_seen = 0;
  for (const char* symbol : {"I", "O", "T", "D5", "Td"})
    for (std::uint64_t index = 700; index < 740; ++index) {
      Limits limits;
      limits.allow_flexible = true;
      const auto design = make_random_design(symbol, limits, index);
      if (!design) continue;
      CAPTURE(symbol, index);
      FlatOptions options;
      const auto fit = [&](TabSide side) {
        options.tab_side = side;
        return make_finished(*design, options);
      };
      const Finished inside = fit(TabSide::inside), outside = fit(TabSide::outside);
      const auto count = [](const Finished& finished, int side) {
        int sum = 0;
        for (const Tab& tab : finished.parts[0].pattern.tabs) sum += tab.fold_side == side;
        return sum;
      };
      CHECK(count(inside, 1) <= count(outside, 1));
      moved += count(outside, 1) - count(inside, 1);
      for (const Tab& tab : inside.parts[0].pattern.tabs)
        if (tab.fold_rad > pi / 2 + 1e-9 && tab.fold_side < 0) {
          CHECK(to_degrees(tab.fold_rad) <= most_far_fold_deg + 1e-6);
          ++inside_seen;
        }
      const TabSide chosen = choose_tab_side(*design, FlatOptions{});
      const Finished taken = fit(chosen), shortest = fit(TabSide::shortest);
      CHECK(taken.parts[0].pattern.tabs.size() == shortest.parts[0].pattern.tabs.size());
      CHECK(measure_slabs(*design, taken).overlaps.size() <=
            measure_slabs(*design, shortest).overlaps.size());
    }
  CHECK(moved > 5);
  CHECK(inside_seen > 0);
}
