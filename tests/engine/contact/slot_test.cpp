#include "engine/contact/slot.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/contact/rebuild.h"
#include "engine/part/slab.h"
#include "engine/shape/boolean.h"
#include "engine/variant/inspection.h"
#include "tests/support/random_designs.h"
#include "tests/support/test_limits.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

Polygon make_box(double x0, double y0, double x1, double y1) {
  return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
}

/// Two panels of their own kinds whose planes meet in the z axis at an angle; outlines are given as
/// (across, along the z axis).
Design make_two(const Polygon& first, const Polygon& second, double angle_deg = 90) {
  Design design;
  design.symmetry = "C1";
  design.limits.joints_by = JointsBy::slot;
  design.limits.min_angle_deg = 5;
  const double angle = to_radians(angle_deg);
  for (const Polygon* outline : {&first, &second}) {
    Orbit orbit;
    orbit.panel.outline_mm = *outline;
    orbit.panel.frame.origin = Vec3::Zero();
    const Vec3 across =
        outline == &first ? Vec3(1, 0, 0) : Vec3(std::cos(angle), std::sin(angle), 0);
    orbit.panel.frame.x_axis = across;
    orbit.panel.frame.y_axis = Vec3::UnitZ();
    orbit.panel.frame.normal = across.cross(Vec3::UnitZ());
    orbit.copies = {Mat3::Identity()};
    design.orbits.push_back(orbit);
  }
  return design;
}

std::vector<ConvexPlate> place(const Design& design, const Finished& finished, int copy,
                               const Vec3& shift) {
  const Frame frame = make_copy_frame(design, copy);
  std::vector<ConvexPlate> placed;
  for (const ConvexPlate& plate :
       finished.parts[static_cast<std::size_t>(find_copy(design, copy).orbit)].plates) {
    ConvexPlate moved;
    for (const Vec3& q : plate.middle)
      moved.middle.push_back(shift + frame.origin + q.x() * frame.x_axis + q.y() * frame.y_axis +
                             q.z() * frame.normal);
    const Vec3 h = plate.half;
    moved.half = h.x() * frame.x_axis + h.y() * frame.y_axis + h.z() * frame.normal;
    placed.push_back(moved);
  }
  return placed;
}

bool run_into_each_other(const std::vector<ConvexPlate>& a, const std::vector<ConvexPlate>& b) {
  for (const ConvexPlate& p : a)
    for (const ConvexPlate& q : b)
      if (measure_distance(p, q).distance <= 0) return true;
  return false;
}

/// The board of one joint's first panel, slid out of the other's slot along the line: free all the
/// way; pushed further in it is stopped at once by the bottoms of the slots.
void check_slides(const Design& design, const Finished& finished, const Joint& joint) {
  const int a = joint.panels[0], b = joint.panels[1];
  const std::vector<PanelJoint> joints = find_panel_joints(design, a);
  const auto seen = std::find_if(joints.begin(), joints.end(), [&](const PanelJoint& j) {
    return j.mate == b && &design.joints[static_cast<std::size_t>(j.joint)] == &joint;
  });
  REQUIRE(seen != joints.end());
  const Frame frame = make_copy_frame(design, a);
  const Vec3 out = (frame.to_space(seen->to_mm) - frame.to_space(seen->from_mm)).normalized();
  const double half = joint.length_mm() / 2;
  const auto standing = place(design, finished, b, Vec3::Zero());
  for (int step = 0; step <= 10; ++step)
    CHECK_FALSE(
        run_into_each_other(place(design, finished, a, 0.1 * step * (half + 1) * out), standing));
  CHECK(run_into_each_other(place(design, finished, a, -1.0 * out), standing));
}

}  // namespace

TEST_CASE("a slot is as wide as the board that goes through it", "[slot]") {
  // Elementary trigonometry: t/sin + t/tan.
  for (double deg = 10; deg <= 90; deg += 5) {
    const double theta = to_radians(deg), t = 4;
    CHECK(slot_width(t, theta) == Approx(t / std::sin(theta) + t / std::tan(theta)));
    // Independent: extent along x of the part of a band of width t at angle theta inside |y| <=
    // t/2.
    double low = 1e300, high = -1e300;
    for (double along = -60; along <= 60; along += 0.001)
      for (const double side : {-t / 2, t / 2}) {
        const Vec2 p = along * Vec2(std::cos(theta), std::sin(theta)) +
                       side * Vec2(-std::sin(theta), std::cos(theta));
        if (std::abs(p.y()) <= t / 2) low = std::min(low, p.x()), high = std::max(high, p.x());
      }
    CHECK(high - low == Approx(slot_width(t, theta)).margin(0.01));
  }
}

TEST_CASE("two panels are halved only where they can be slid together along the line", "[slot]") {
  const Polygon low = make_box(-60, -150, 60, 50), high = make_box(-60, -50, 60, 150);
  const auto joints_of = [](const Design& design) { return rebuild(design).joints.size(); };
  const Rebuilt staggered = rebuild(make_two(low, high));
  REQUIRE(staggered.joints.size() == 1);
  CHECK(staggered.collisions.empty());
  CHECK(staggered.joints[0].kind == JointKind::slot);
  CHECK(staggered.joints[0].length_mm() == Approx(100));
  // Joined by tabs they would be a collision.
  Design tabs = make_two(low, high);
  tabs.limits.joints_by = JointsBy::tab;
  CHECK(rebuild(tabs).collisions.size() == 1);
  // One would need a window.
  CHECK(joints_of(make_two(low, make_box(-60, -140, 60, 40))) == 0);
  CHECK(rebuild(make_two(low, make_box(-60, -140, 60, 40))).collisions.size() == 1);
  // Both end at the same place.
  CHECK(joints_of(make_two(low, make_box(-60, -150, 60, 50))) == 0);
  CHECK(joints_of(make_two(low, make_box(-60, -150, 60, 150))) == 0);
  // A second lobe in the way, and the same further off: the first crosses from -50 to 50 and comes
  // out downwards by 50.
  const auto with_lobe =
      [](double from) {  // the second panel: up from -50, and a lobe below, to one side joined
        return Polygon{{0 - 60, -50},    {20, -50},       {20, from}, {-60, from},
                       {-60, from - 40}, {60, from - 40}, {60, 150},  {-60, 150}};
      };
  CHECK(joints_of(make_two(make_box(-60, -80, 60, 50), with_lobe(-100))) == 0);
  CHECK(joints_of(make_two(make_box(-60, -80, 60, 50), with_lobe(-140))) == 1);
}

TEST_CASE("board that does not fold is told from tabs that need folding", "[slot]") {
  Limits limits;
  std::vector<Joint> joints(3);
  joints[0].kind = JointKind::slot;
  CHECK(find_fold_fault(joints, limits).empty());
  limits.joints_by = JointsBy::both;
  CHECK(find_fold_fault(joints, limits).empty());
  limits.joints_by = JointsBy::slot;
  CHECK(find_fold_fault(joints, limits).rfind("2 of its joints need folded tabs", 0) == 0);
  joints.resize(1);
  CHECK(find_fold_fault(joints, limits).empty());
}

TEST_CASE("two boards halved at any angle slide apart and stop at the bottom", "[slot]") {
  for (const double deg : {90.0, 60.0, 35.0}) {
    Design design =
        make_two(make_box(-60, -150, 60, 50), {{-60, -70}, {60, -30}, {60, 150}, {-60, 150}}, deg);
    design.joints = rebuild(design).joints;
    REQUIRE(design.joints.size() == 1);
    FlatOptions options;
    const Finished finished = make_finished(design, options);
    CHECK(measure_slabs(design, finished).overlaps.empty());
    for (const FinishedPart& part : finished.parts) {
      REQUIRE(part.pattern.slots.size() == 1);
      CHECK(part.pattern.slots[0].width_mm ==
            Approx(slot_width(4, to_radians(deg)) + options.slot_play_mm));
      CHECK(part.pattern.slots[0].depth_mm ==
            Approx((design.joints[0].length_mm() + options.slot_play_mm) / 2));
    }
    check_slides(design, finished, design.joints[0]);
    // Slots of a thinner board are too narrow.
    options.thickness_mm = 3;
    Finished tight = make_finished(design, options);
    for (FinishedPart& part : tight.parts)
      for (ConvexPlate& plate : part.plates) plate.half *= 4.0 / 3;
    CHECK_FALSE(measure_slabs(design, tight).overlaps.empty());
  }
}

TEST_CASE("designs joined by slots hold together by them alone, and every joint slides", "[slot]") {
  const Limits limits = test::make_slot_limits();
  int designs = 0, groups = 0;
  for (const char* symbol : {"D3", "D4", "D5", "D6", "D7", "D8"}) {
    int of_group = 0;
    for (std::uint64_t index = 0; index < 400 && of_group < 3; ++index) {
      const auto design = make_random_design(symbol, limits, index, false, true);
      if (!design) continue;
      ++of_group;
      ++designs;
      // The same joints, found from the copies alone.
      const Rebuilt rebuilt = rebuild(*design);
      CHECK(rebuilt.collisions.empty());
      CHECK(rebuilt.pieces == 1);
      CHECK(rebuilt.joints.size() == design->joints.size());
      for (const Joint& joint : rebuilt.joints) CHECK(joint.kind == JointKind::slot);
      CHECK(static_cast<int>(rebuilt.joints.size()) == design->score.slot_joints);
      const Finished finished = make_finished(*design, FlatOptions{});
      CHECK(finished.joints.faults.empty());
      CHECK(is_simple(finished.parts[0].pattern.outline_mm));
      if (!measure_slabs(*design, finished).overlaps.empty())
        continue;  // check says so to the user
      for (const Joint& joint : design->joints) {
        if (joint.panels[0] != 0 && joint.panels[1] != 0) continue;
        check_slides(*design, finished, joint);
      }
    }
    groups += of_group > 0;
  }
  CHECK(groups >= 5);
  CHECK(designs >= 13);
}

TEST_CASE("a panel slides out of all its slots the same way", "[slot]") {
  // Slots along a line held from both ends lock (a ring of boards, each slotted into the next):
  // what a panel slides out along is one direction, and the copies that it meets otherwise are cut
  // back. Here it is read off the finished design's joints, not off the meeting lines.
  Limits limits;
  limits.joints_by = JointsBy::both;
  limits.allow_flexible = true;
  limits.min_angle_deg = 30;
  limits.max_angle_deg = 150;
  int slotted = 0, with_several = 0, leaning = 0;
  for (const double strain : {0.0, 0.01})
    for (const char* symbol : {"I", "O", "T", "D3", "D5", "D6", "S4", "D3d", "Td"})
      for (const bool upright : {false, true})
        for (std::uint64_t index = 0; index < 60; ++index) {
          limits.working_strain = strain;
          const auto design = make_random_design(symbol, limits, index, false, upright);
          if (!design || design->score.slot_joints == 0) continue;
          ++slotted;
          const Frame frame = make_copy_frame(*design, 0);
          std::vector<Vec3> ways;
          for (const PanelJoint& joint : find_panel_joints(*design, 0))
            if (joint.kind == JointKind::slot)
              ways.push_back(
                  (frame.to_space(joint.to_mm) - frame.to_space(joint.from_mm)).normalized());
          with_several += ways.size() > 1;
          for (const Vec3& way : ways) {
            const double cosine = way.dot(ways[0]);
            leaning += cosine < 1 - 1e-6;
            if (strain > 0)
              CHECK(cosine > 0);  // boards that bend may be sprung in along leaning slots
            else
              CHECK(cosine == Approx(1));
          }
        }
  CHECK(slotted > 40);
  CHECK(with_several > 10);
  CHECK(leaning > 0);
}
