#include "engine/part/alike_slots.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "engine/part/part_joints.h"
#include "engine/random.h"
#include "engine/variant/variant.h"
#include "results/kit/kit_template.h"
#include "tests/support/random_designs.h"
#include "tests/support/test_limits.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

/// Panels that stand upright across a mirror plane of the group, their outlines their own mirror
/// images, joined by slots.
std::optional<Design> make_mirrored(const std::string& symbol, const Limits& limits,
                                    std::uint64_t index) {
  RandomStream random(37, Purpose::test, index);
  const auto group = std::make_shared<const PointGroup>(make_point_group(symbol));
  std::vector<Vec3> mirrors;
  for (const Mat3& element : group->elements)
    if (element.determinant() < 0 && std::abs(element.trace() - 1) < 1e-9 &&
        std::abs(element(2, 2) - 1) < 1e-9) {
      // I - M = 2 m m^T for the mirror M with the normal m.
      const Mat3 twice = Mat3::Identity() - element;
      const int column = twice.col(0).norm() > twice.col(1).norm() ? 0 : 1;
      mirrors.emplace_back(twice.col(column).normalized());
    }
  Draft draft;
  draft.normal = Vec3::UnitZ().cross(mirrors[random.below(mirrors.size())]).normalized();
  draft.distance = random.uniform(0.2, 0.7);
  const Frame frame = make_frame(draft.normal, draft.distance);
  const Vec2 up = frame.to_plane(frame.origin + Vec3::UnitZ()), aside(-up.y(), up.x());
  const double size = random.uniform(0.5, 1.0), tall = random.uniform(-0.4, 0.4),
               wide = random.uniform(-0.5, 0.5), lobes = random.uniform(-0.4, 0.4);
  const int points = 48;
  for (int i = 0; i < points; ++i) {
    const double a = 2 * pi * (i + 0.5) / points;
    const double radius =
        size * (1 + tall * std::cos(a) + wide * std::cos(2 * a) + lobes * std::cos(3 * a));
    draft.outline.emplace_back(std::max(radius, 0.15) * (std::cos(a) * up + std::sin(a) * aside));
  }
  const OrbitScheme scheme =
      make_orbit_scheme(std::make_shared<const GroupTables>(make_group_tables(*group)),
                        draft.normal, false, frame.to_space(draft.hub));
  return test::make_design_of(scheme, draft, limits);
}

/// Every slot goes into the one that its name says, seen from both sides.
void check_names(const PartJoints& joints) {
  for (std::size_t o = 0; o < joints.joints.size(); ++o)
    for (std::size_t i = 0; i < joints.joints[o].size(); ++i) {
      if (joints.joints[o][i].role != JointRole::slot) continue;
      const SlotName name = name_slot(joints, static_cast<int>(o), static_cast<int>(i));
      for (const JointPair& pair : joints.pairs)
        for (const int side : {0, 1}) {
          if (pair.orbit[side] != static_cast<int>(o) || pair.index[side] != static_cast<int>(i))
            continue;
          const SlotName other = name_slot(joints, pair.orbit[1 - side], pair.index[1 - side]);
          CHECK(other.own == name.other);
          CHECK(other.other == name.own);
        }
    }
}

}  // namespace

TEST_CASE("slots that a part's own mirror swaps carry one name", "[slot][alike_slots]") {
  int designs = 0, with_alike = 0;
  for (const char* symbol : {"D2d", "D3d", "D4d", "D5d"})
    for (std::uint64_t index = 0; index < 150; ++index) {
      const auto design = make_mirrored(symbol, test::make_slot_limits(), index);
      if (!design) continue;
      ++designs;
      const PartJoints joints = find_part_joints(*design);
      check_names(joints);
      // The mirror is known: it turns over what lies aside of the z axis in the panel's plane.
      const Frame& frame = design->orbits[0].panel.frame;
      const Vec2 up = frame.to_plane(frame.origin + Vec3::UnitZ()).normalized();
      const auto mirror = [&](const Vec2& p) { return Vec2(2 * up.dot(p) * up - p); };
      for (std::size_t i = 0; i < joints.joints[0].size(); ++i)
        for (std::size_t k = 0; k < joints.joints[0].size(); ++k) {
          const PanelJoint &a = joints.joints[0][i], &b = joints.joints[0][k];
          if ((mirror(a.from_mm) - b.from_mm).norm() > 0.01 ||
              (mirror(a.to_mm) - b.to_mm).norm() > 0.01 ||
              std::abs(a.angle_rad - b.angle_rad) > 1e-6)
            continue;
          with_alike += i != k;
          CHECK(joints.alike[0][i] == joints.alike[0][k]);
          CHECK(name_slot(joints, 0, static_cast<int>(i)).own ==
                name_slot(joints, 0, static_cast<int>(k)).own);
        }
    }
  CHECK(designs > 10);
  CHECK(with_alike > 10);
}

TEST_CASE("slots of parts without a symmetry of their own keep their names",
          "[slot][alike_slots]") {
  int slots = 0;
  for (const char* symbol : {"D3", "D5", "D6"})
    for (std::uint64_t index = 0; index < 60; ++index) {
      const auto design = make_random_design(symbol, test::make_slot_limits(), index, false, true);
      if (!design) continue;
      const PartJoints joints = find_part_joints(*design);
      check_names(joints);
      std::set<std::string> names;
      for (std::size_t i = 0; i < joints.joints[0].size(); ++i) {
        CHECK(joints.alike[0][i] == static_cast<int>(i));
        names.insert(name_slot(joints, 0, static_cast<int>(i)).own);
      }
      CHECK(names.size() == joints.joints[0].size());
      slots += static_cast<int>(names.size());
    }
  CHECK(slots > 20);
}

TEST_CASE("an isometry has to keep everything that one can see", "[slot][alike_slots]") {
  Panel panel;
  panel.outline_mm = {{-100, -50}, {100, -50}, {100, 50}, {-100, 50}};
  const auto slot = [](double x, double y, double angle_deg) {
    PanelJoint joint;
    joint.kind = JointKind::slot;
    joint.role = JointRole::slot;
    joint.from_mm = {x, y}, joint.to_mm = {x, 0};
    joint.angle_rad = angle_deg * pi / 180;
    return joint;
  };
  using Numbers = std::vector<int>;
  // Mirrored left to right; turned half about; and both.
  CHECK(find_alike_slots(panel, {slot(-40, 50, 90), slot(40, 50, 90)}) == Numbers{0, 0});
  CHECK(find_alike_slots(panel, {slot(-40, 50, 90), slot(40, -50, 90)}) == Numbers{0, 0});
  CHECK(find_alike_slots(panel, {slot(-40, 50, 90), slot(40, 50, 90), slot(-40, -50, 90),
                                 slot(40, -50, 90)}) == Numbers{0, 0, 0, 0});
  // Elsewhere, at another angle, with a third slot that has no image, with a corner cut off.
  CHECK(find_alike_slots(panel, {slot(-40, 50, 90), slot(30, 50, 90)}) == Numbers{0, 1});
  CHECK(find_alike_slots(panel, {slot(-40, 50, 90), slot(40, 50, 80)}) == Numbers{0, 1});
  CHECK(find_alike_slots(panel, {slot(-40, 50, 90), slot(40, 50, 90), slot(70, 50, 90)}) ==
        Numbers{0, 1, 2});
  panel.outline_mm = {{-100, -50}, {100, -50}, {100, 40}, {90, 50}, {-100, 50}};
  CHECK(find_alike_slots(panel, {slot(-40, 50, 90), slot(40, 50, 90)}) == Numbers{0, 1});
}
