// Which copies collide, against CGAL's AABB tree and exact-predicate triangle tests (CGAL User and
// Reference Manual, "2D and 3D Linear Geometry Kernel", "3D Fast Intersection and Distance
// Computation"). Every copy is tested, by its triangles in space: no group theory, no meeting line.
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/AABB_triangle_primitive.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>

#include <catch2/catch.hpp>
#include <cstdlib>
#include <map>
#include <set>

#include "engine/shape/boolean.h"
#include "engine/shape/outline_family.h"
#include "engine/variant/variant.h"
#include "search/space/parameter_space.h"
#include "tests/support/draws.h"
#include "tests/support/ear_clipping.h"
#include "tests/support/sample_drafts.h"

using namespace sixtyfold;

namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Triangle = Kernel::Triangle_3;
using Triangles = std::vector<Triangle>;
using Tree = CGAL::AABB_tree<
    CGAL::AABB_traits<Kernel, CGAL::AABB_triangle_primitive<Kernel, Triangles::const_iterator>>>;

Triangles place_triangles(const Polygon& outline, const Frame& frame, const Mat3& copy) {
  Triangles placed;
  for (const auto& corners : support::find_triangles(outline)) {
    Kernel::Point_3 p[3];
    for (int k = 0; k < 3; ++k) {
      const Vec3 x = copy * frame.to_space(corners[static_cast<std::size_t>(k)]);
      p[k] = {x.x(), x.y(), x.z()};
    }
    if (!CGAL::collinear(p[0], p[1], p[2])) placed.emplace_back(p[0], p[1], p[2]);
  }
  return placed;
}

/// Elements g for which gP meets P, by CGAL.
std::set<int> find_meeting_copies(const PointGroup& group, const Polygon& outline,
                                  const Frame& frame) {
  const Triangles own = place_triangles(outline, frame, Mat3::Identity());
  Tree tree(own.begin(), own.end());
  tree.build();
  std::set<int> meeting;
  for (int e = 1; e < group.order(); ++e)
    for (const Triangle& triangle :
         place_triangles(outline, frame, group.elements[static_cast<std::size_t>(e)]))
      if (tree.do_intersect(triangle)) {
        meeting.insert(e);
        break;
      }
  return meeting;
}

/// The outline pushed in (or out) along every ray from the hub; for star-shaped outlines.
Polygon scale_about(const Polygon& outline, const Vec2& hub, double factor) {
  Polygon scaled;
  for (const Vec2& p : outline) scaled.push_back(hub + factor * (p - hub));
  return scaled;
}

/// SIXTYFOLD_VARIANTS_A_GROUP=7200 makes it a hundred thousand, by hand.
int find_variants_a_group() {
  if (const char* asked = std::getenv("SIXTYFOLD_VARIANTS_A_GROUP"))
    return std::max(8, std::atoi(asked));
#ifdef __SANITIZE_ADDRESS__
  return 40;
#else
  return 2000;
#endif
}
const int variants_a_group = find_variants_a_group();

const char* const symbols[] = {"I",  "O",   "T",  "D2", "D3",  "D5",  "D12", "C3",
                               "C6", "C17", "Cs", "Td", "D4h", "D3d", "S8"};

/// Below this common length the two methods may differ (outlines are about 1 across).
constexpr double band = 1e-9;

}  // namespace

TEST_CASE("drawn outlines collide where CGAL says so", "[oracle][outside]") {
  const auto& families = outline_families();
  for (const char* symbol : symbols) {
    const OrbitScheme scheme = support::make_generic_scheme(symbol);
    const PointGroup& group = *scheme.group;
    TrimWorkspace work;
    std::vector<MeetingLine> lines;
    LabelledOutline labelled;
    int disagreements = 0, in_band = 0, colliding = 0;
    for (int i = 0; i < variants_a_group; ++i) {
      RandomStream random(2, Purpose::test, static_cast<std::uint64_t>(i));
      Draft draft = support::make_sample_draft(static_cast<std::uint64_t>(i));
      const OutlineFamily& family = families[static_cast<std::size_t>(i) % families.size()];
      const std::vector<double> values = test::draw_values(family.parameters, random);
      const double size = random.uniform(0.2, 1);
      draft.outline = make_simplified(family.draw(values), 0.02);
      for (Vec2& p : draft.outline) p = draft.hub + size * p;
      const Frame frame = make_frame(draft.normal, draft.distance);
      find_meeting_lines(scheme, frame, lines);
      labelled.assign(draft.outline);
      const std::set<int> expected = find_meeting_copies(group, draft.outline, frame);
      for (const PairClass& pair : scheme.pairs) {
        find_pair_contacts(scheme, lines, pair, labelled, 0, work);
        double length = 0;
        for (const Contact& contact : work.contacts)
          if (contact.kind == ContactKind::crossing) length += contact.length();
        for (const int element : {pair.element, pair.inverse}) {
          if ((length > 0) == (expected.count(element) > 0)) continue;
          length < band ? ++in_band : ++disagreements;
        }
        colliding += length > 0;
      }
    }
    INFO(symbol << ": " << in_band << " inside the band");
    CHECK(disagreements == 0);
    CHECK(in_band < variants_a_group / 50);
    CHECK(colliding > variants_a_group / 8);
  }
}

TEST_CASE("trimmed outlines, pushed in by a hair, meet no copy by CGAL", "[oracle][outside]") {
  for (const char* symbol : symbols) {
    const OrbitScheme scheme = support::make_generic_scheme(symbol);
    TrimWorkspace work;
    std::vector<MeetingLine> lines;
    LabelledOutline outline;
    int meeting = 0, trimmed = 0, touching = 0;
    for (int i = 0; i < variants_a_group / 8; ++i) {
      const Draft draft = support::make_sample_draft(static_cast<std::uint64_t>(i));
      const Frame frame = make_frame(draft.normal, draft.distance);
      find_meeting_lines(scheme, frame, lines);
      outline.assign(make_simplified(draft.outline, 0.01));
      TrimOptions options;
      options.hub = draft.hub;
      if (trim(scheme, frame, lines, options, outline, work) != TrimStatus::clean) continue;
      ++trimmed;
      // A radial outline stays star-shaped about its hub when chords are cut off, so that pushing
      // it in along the rays is inside it and pushing it out is not.
      const Polygon polygon = make_simplified(outline.to_polygon(), 1e-9);
      meeting +=
          !find_meeting_copies(*scheme.group, scale_about(polygon, draft.hub, 1 - 1e-6), frame)
               .empty();
      touching +=
          !find_meeting_copies(*scheme.group, scale_about(polygon, draft.hub, 1 + 1e-6), frame)
               .empty();
    }
    INFO(symbol);
    CHECK(meeting == 0);
    CHECK(trimmed > variants_a_group / 10);
    CHECK(touching > trimmed / 10);
  }
}

TEST_CASE("mirrored, carved and celled panels, a hair narrower, meet no copy by CGAL",
          "[oracle][outside]") {
  RandomStream random(5, Purpose::test, 0);
  VariantWorkspace work;
  Variant variant;
  Draft draft;
  int built = 0, meeting = 0, touching = 0;
  for (const char* symbol : {"I", "O", "T", "D5", "Ih", "Oh", "Td", "D5h"})
    for (const Branch& branch :
         find_branches({{symbol}, {}, {"carved", "cells", "limbs"}}, Limits{})) {
      int ok = 0;
      for (int trial = 0; trial < 60 && ok < 2; ++trial) {
        const UnitPoint point = test::draw_point(branch.dimension(), random);
        make_draft(branch, to_values(branch, point), draft);
        make_variant(branch.scheme, draft, Limits{}, work, variant);
        if (variant.status != Status::ok) continue;
        ++ok;
        Polygon outline_mm = variant.outline.to_polygon();
        for (Vec2& p : outline_mm) p *= variant.scale_mm;
        Frame frame = variant.frame;
        frame.origin *= variant.scale_mm;
        const auto meets = [&](double by_mm) {
          Triangles own;
          const PolygonSet pieces = make_offset({outline_mm}, by_mm);
          for (const Polygon& piece : pieces)
            for (const Triangle& t : place_triangles(piece, frame, Mat3::Identity()))
              own.push_back(t);
          Tree tree(own.begin(), own.end());
          tree.build();
          for (const int e : branch.scheme.copies) {
            if (e == 0) continue;
            for (const Polygon& piece : pieces)
              for (const Triangle& t : place_triangles(
                       piece, frame, branch.scheme.group->elements[static_cast<std::size_t>(e)]))
                if (tree.do_intersect(t)) return true;
          }
          return false;
        };
        CAPTURE(symbol, branch.plane, branch.family, trial);
        const bool collides = meets(-0.2);
        CHECK_FALSE(collides);
        meeting += collides;
        touching += meets(0.2);
      }
      built += ok;
    }
  INFO(built << " built, " << meeting << " meet");
  CHECK(built > 150);
  CHECK(touching == built);  // they are joined, so wider ones do
}
