// The evaluator against its plain reference in tests/support: random panels of all branches.
//
// Nothing outside the project says what a random panel's numbers are, but the reference says it
// step by step in the order of the definitions, without culls, lanes and packed lists. Halved slots
// are left out: the reference trims for glued joints alone.
#include <bit>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <functional>
#include <sstream>

#include "engine/contact/blunt.h"
#include "engine/nest/sheet_fit.h"
#include "engine/random.h"
#include "engine/stock/stock_use.h"
#include "engine/structure/stiffness.h"
#include "engine/tolerance.h"
#include "engine/variant/body.h"
#include "engine/variant/structure.h"
#include "engine/variant/variant.h"
#include "search/space/carving.h"
#include "search/space/parameter_space.h"
#include "tests/support/draws.h"
#include "tests/support/plain_blunt.h"
#include "tests/support/plain_clearance.h"
#include "tests/support/plain_contact.h"
#include "tests/support/plain_hull.h"
#include "tests/support/plain_openness.h"
#include "tests/support/plain_stock.h"
#include "tests/support/plain_trim.h"
#include "tests/support/plain_width.h"
#include "tests/support/test_limits.h"

using namespace sixtyfold;

namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// Bit for bit.
bool is_same(double a, double b) {
  return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b);
}

bool is_same(const Contact& a, const Contact& b) {
  return a.kind == b.kind && is_same(a.from, b.from) && is_same(a.to, b.to) &&
         a.first_above == b.first_above && a.second_above == b.second_above;
}

bool is_same(const std::vector<Contact>& a, const std::vector<Contact>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const Contact& c, const Contact& d) { return is_same(c, d); });
}

bool is_same(const LabelledOutline& a, const LabelledOutline& b) {
  if (a.size() != b.size() || a.line != b.line) return false;
  for (std::size_t i = 0; i < a.size(); ++i)
    if (!is_same(a.x[i], b.x[i]) || !is_same(a.y[i], b.y[i])) return false;
  return true;
}

bool is_same(const Polygon& a, const Polygon& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const Vec2& p, const Vec2& q) {
    return is_same(p.x(), q.x()) && is_same(p.y(), q.y());
  });
}

/// What was compared of one part of the evaluator.
struct Tally {
  int compared = 0, differing = 0;
  double worst = 0;   ///< relative difference
  std::string first;  ///< where the first difference was

  void add(bool agree, const std::string& where) {
    ++compared;
    if (!agree && ++differing == 1) first = where;
  }
  void add(double found, double expected, double bound, const std::string& where) {
    const double largest = std::max(std::abs(found), std::abs(expected));
    const double difference = found == expected ? 0 : std::abs(found - expected) / largest;
    worst = std::max(worst, difference);
    std::ostringstream text;
    text.precision(17);
    text << where << ": " << found << ", plainly " << expected;
    add(difference <= bound, text.str());
  }
};

struct Comparison {
  Tally drawn_contacts, trimmed_contacts, trimmings, long_edges, blunted, hulls, joints, pieces,
      rays, openness, clearance, width, capped_width, interlocked, parts_room, parts_per_sheet,
      freedoms, stiffness;
  int cut = 0, hub_lost = 0, blunt = 0, joined = 0, apart = 0, scaled = 0, close_rays = 0, near = 0,
      blocked_rays = 0, narrow = 0, interlocked_best = 0, feasible = 0, rigid = 0;
  StiffnessWorkspace stiffness_work;

  void visit(const std::function<void(const char*, const Tally&)>& see) const {
    see("contacts of drawn outlines", drawn_contacts);
    see("contacts of trimmed outlines", trimmed_contacts);
    see("trimmed outlines", trimmings);
    see("outlines without short edges", long_edges);
    see("outlines with blunt tips", blunted);
    see("hulls", hulls);
    see("joints", joints);
    see("pieces", pieces);
    see("rays", rays);
    see("openness", openness);
    see("clearance", clearance);
    see("width", width);
    see("width up to a cap", capped_width);
    see("interlocked parts", interlocked);
    see("room for parts", parts_room);
    see("parts per sheet", parts_per_sheet);
    see("freedoms", freedoms);
    see("stiffness", stiffness);
  }
};

Limits make_limits() {
  Limits limits = test::make_easy_limits(20, 12, 10);
  limits.sheet_width_mm = 700;
  limits.sheet_height_mm = 1000;
  limits.thickness_mm = 3;
  return limits;
}

/// One panel, drawn at random, before and after both ways.
struct Sample {
  const OrbitScheme& scheme;
  const Draft& draft;
  const Limits& limits;
  const Variant& variant;
  std::string name;
  double drawn_radius;  ///< of the outline about its hub
};

void compare_contacts(const Sample& sample, const LabelledOutline& outline, Tally& tally) {
  TrimWorkspace work;
  for (const PairClass& pair : sample.scheme.pairs) {
    find_pair_contacts(sample.scheme, sample.variant.lines, pair, outline, 1e-9, work);
    const auto plainly =
        plain::find_pair_contacts(sample.scheme, sample.variant.lines, pair, outline, 1e-9);
    tally.add(is_same(work.contacts, plainly), sample.name);
  }
}

void compare_hull(const Sample& sample, const Polygon& polygon, Comparison& all) {
  all.hulls.add(is_same(make_convex_hull(polygon), plain::make_hull(polygon)), sample.name);
}

/// Returns the outline as it is trimmed, empty when the hub is lost.
LabelledOutline compare_trimming(const Sample& sample, Comparison& all) {
  TrimOptions options;
  options.style = sample.draft.style;
  options.hub = sample.draft.hub;
  options.coplanar_gap = 0.03 * sample.drawn_radius;
  options.least_crossing = 1e-9 * sample.drawn_radius;
  LabelledOutline drawn;
  if (sample.draft.lines.empty()) drawn.assign(sample.draft.outline);
  for (std::size_t i = 0; i < sample.draft.lines.size(); ++i)
    drawn.push(sample.draft.outline[i], sample.draft.lines[i]);
  compare_contacts(sample, drawn, all.drawn_contacts);
  compare_hull(sample, sample.draft.outline, all);
  LabelledOutline outline = drawn;
  TrimWorkspace work;
  const TrimStatus status =
      trim(sample.scheme, sample.variant.frame, sample.variant.lines, options, outline, work);
  const plain::Trimmed plainly =
      plain::trim(sample.scheme, sample.variant.frame, sample.variant.lines, options, drawn);
  all.trimmings.add(status == plainly.status && is_same(outline, plainly.outline), sample.name);
  all.cut += plainly.cuts > 0;
  all.hub_lost += plainly.status == TrimStatus::hub_lost;
  if (plainly.status != TrimStatus::clean) return {};
  compare_contacts(sample, plainly.outline, all.trimmed_contacts);
  compare_hull(sample, plainly.outline.to_polygon(), all);
  return plainly.outline;
}

/// Where the engine solves an equation the reference halves an interval: to 1e-9 of the width.
void compare_tips(const Sample& sample, const LabelledOutline& trimmed, Comparison& all) {
  const double least = 1e-7 * sample.drawn_radius, width = 0.08 * sample.drawn_radius;
  LabelledOutline outline = trimmed, scratch;
  outline.drop_short_edges(least);
  const LabelledOutline start = plain::drop_short_edges(trimmed, least);
  all.long_edges.add(is_same(outline, start), sample.name);
  if (start.size() < 3) return;
  const int tips = blunt_tips(outline, width, scratch);
  const auto [plainly, plain_tips] = plain::blunt_tips(start, width);
  bool agree = tips == plain_tips && outline.line == plainly.line;
  for (std::size_t i = 0; agree && i < outline.size(); ++i)
    agree = (outline.vertex(i) - plainly.vertex(i)).norm() <= 1e-9 * width;
  all.blunted.add(agree, sample.name);
  all.blunt += plain_tips > 0;
}

/// The joints are all contacts but crossings; the pieces are what they leave.
void compare_joints(const Sample& sample, Comparison& all) {
  const Variant& variant = sample.variant;
  std::vector<std::pair<int, Contact>> expected;
  for (const PairClass& pair : sample.scheme.pairs)
    for (const Contact& contact :
         plain::find_pair_contacts(sample.scheme, variant.lines, pair, variant.outline, 1e-9))
      if (contact.kind != ContactKind::crossing) expected.emplace_back(pair.element, contact);
  const bool agree = std::equal(expected.begin(), expected.end(), variant.joints.begin(),
                                variant.joints.end(), [](const auto& a, const PairJoint& b) {
                                  return a.first == b.element && is_same(a.second, b.contact);
                                });
  all.joints.add(agree, sample.name);
  all.joined += !expected.empty();
  // Once the scale is known, contacts too short to be joints glue nothing.
  const bool is_told = variant.score.joints > 0 && variant.score.touches > 0;
  const int pieces = plain::count_pieces(sample.scheme, variant.lines, variant.outline,
                                         is_told ? least_joint_mm / variant.scale_mm : 0);
  all.pieces.add(variant.score.pieces == pieces, sample.name);
  all.apart += pieces > 1;
}

/// Returns the engine's openness.
double compare_openness(const Sample& sample, const Frame& frame, const Polygon& outline,
                        Comparison& all) {
  std::vector<Mat3> copies;
  for (const int element : sample.scheme.copies)
    copies.push_back(sample.scheme.group->elements[index(element)]);
  const auto sights =
      plain::look_out(copies, frame, outline, make_sight_rays(sample.scheme.rays->rays));
  OpennessWorkspace work;
  const double found = measure_openness({frame, outline, {}}, *sample.scheme.rays, work);
  int open = 0;
  for (std::size_t i = 0; i < sights.size(); ++i) {
    const bool blocked = work.blocked[i];
    all.blocked_rays += blocked;
    all.close_rays += sights[i].is_close;
    all.rays.add(blocked == sights[i].blocked || sights[i].is_close, sample.name);
    open += !blocked;
  }
  all.openness.add(found == open / double(sights.size()), sample.name);
  return found;
}

constexpr double width_bound = 1e-12;
/// What find_thinnest_place promises: in a part that is its own mirror image two discs are as near,
/// and rounding decides which one is followed.
constexpr double mirrored_width_bound = 0.03;

void compare_width(const Sample& sample, const Polygon& outline, double enough, Comparison& all) {
  constexpr double infinity = std::numeric_limits<double>::infinity();
  const double capped = plain::measure_min_width(outline, enough);
  const double bound = sample.scheme.has_mirror() ? mirrored_width_bound : width_bound;
  all.width.add(measure_min_width(outline), plain::measure_min_width(outline, infinity), bound,
                sample.name);
  all.capped_width.add(measure_min_width(outline, {}, enough), capped, bound, sample.name);
  all.narrow += capped < enough;
}

std::vector<Segment> make_edges(const Polygon& outline) {
  std::vector<Segment> edges;
  for (std::size_t i = 0; i < outline.size(); ++i)
    edges.push_back({outline[i], outline[(i + 1) % outline.size()]});
  return edges;
}

/// The outline's edges and the tabs' at full depth, each joint's on its own edge of the panel and
/// on that of the image that lies against it.
std::vector<Segment> make_border(const Sample& sample, const Polygon& outline_mm) {
  const Variant& variant = sample.variant;
  const PointGroup& group = *sample.scheme.group;
  std::vector<Segment> border = make_edges(outline_mm);
  const auto add_tab = [&](int element, double from, double to, bool above) {
    const MeetingLine& line = variant.lines[index(element)];
    const double depth = sample.limits.tab_depth_mm;
    const Vec2 out = (above ? -depth : depth) * line.side;
    const Vec2 a = variant.scale_mm * line.point_at(from), b = variant.scale_mm * line.point_at(to);
    border.push_back({a, a + out});
    border.push_back({a + out, b + out});
    border.push_back({b + out, b});
  };
  for (const PairJoint& joint : variant.joints) {
    const auto& [kind, from, to, first_above, second_above] = joint.contact;
    const int inverse = group.invert(joint.element);
    const bool both = kind == ContactKind::edges;
    if (both || kind == ContactKind::edge_first) add_tab(joint.element, from, to, first_above);
    if (kind != ContactKind::edge_second && !(both && inverse != joint.element)) continue;
    if (group.elements[index(joint.element)].determinant() > 0)
      add_tab(inverse, -to, -from, second_above);
    else
      add_tab(inverse, from, to, second_above);
  }
  return border;
}

/// Returns the parts that fit a sheet, plainly counted. `border` may have tabs as well.
int compare_stock(const Sample& sample, const Polygon& outline_mm,
                  const std::vector<Segment>& border, Comparison& all) {
  Polygon points;
  for (const Segment& segment : border) points.push_back(segment.from);
  const Sheet sheet = make_sheet(sample.limits);
  const SheetFit fit = measure_sheet_fit(plain::make_hull(points), sheet);
  std::vector<Vec2> directions;
  for (const double angle : {fit.long_axis_rad, fit.roomiest_rad})
    directions.push_back({std::cos(angle), std::sin(angle)});
  const Interlocked found = find_interlocked(border, directions, sheet);
  const Interlocked plain_one = plain::find_interlocked(border, directions, sheet);
  const int plainly = plain_one.parts;
  all.interlocked.add(found.parts == plainly, sample.name);
  all.parts_room.add(found.room, plain_one.room, 1e-9, sample.name);
  const int expected = fit.fits ? std::max(plainly, fit.parts_per_sheet) : 0;
  all.interlocked_best += expected > fit.parts_per_sheet;
  PartSketch sketch;
  sketch.outline_mm = outline_mm;
  sketch.border_mm = border;
  sketch.copies = sample.scheme.panels();
  all.parts_per_sheet.add(estimate_stock_use(sketch, sample.limits).parts_per_sheet == expected,
                          sample.name);
  return expected;
}

/// The whole structure, copy by copy, without symmetry.
void compare_stiffness(const Sample& sample, const Polygon& outline_mm, Comparison& all) {
  SymmetricStructure structure;
  make_symmetric_structure(sample.scheme, sample.variant, outline_mm, structure);
  const Stiffness found = *find_stiffness(*sample.scheme.blocks, structure, all.stiffness_work,
                                          [](double) { return true; });
  const Stiffness plainly =
      measure_stiffness(make_structure(make_design(sample.scheme, sample.variant, sample.limits)));
  all.freedoms.add(found.internal_dof == plainly.internal_dof && found.pieces == plainly.pieces,
                   sample.name);
  all.stiffness.add(found.value, plainly.value, 1e-6, sample.name);
  if (const Score& score = sample.variant.score; sample.variant.status == Status::ok) {
    all.freedoms.add(score.internal_dof == plainly.internal_dof, sample.name);
    all.stiffness.add(score.stiffness, plainly.value, 1e-6, sample.name);
  }
  all.rigid += plainly.value > 0;
}

/// In millimetres: the distance of walls in space ends at the accuracy of GJK.
constexpr double clearance_bound_mm = 1e-4;

/// All copies, wall by wall; the edges are set back as engine/part/body_outline.h does it, which
/// has its own tests.
void compare_clearance(const Sample& sample, const Frame& frame, const Polygon& outline_mm,
                       Comparison& all) {
  const Variant& variant = sample.variant;
  const double t = sample.limits.thickness_mm;
  BodyOutline body;
  make_body_outline(sample.scheme, variant, outline_mm, t, body);
  ClearanceWorkspace work;
  find_joined_pairs(sample.scheme, variant, work.joined);
  const double found = measure_clearance(
      {sample.scheme, frame, variant.lines, variant.scale_mm, outline_mm, body.outline_mm, t},
      clearance_cap * t, work);
  const double plainly = plain::measure_clearance(
      {sample.scheme, frame, outline_mm, body.outline_mm, t, work.joined}, clearance_cap * t);
  all.clearance.add(
      std::abs(found - plainly) <= clearance_bound_mm,
      sample.name + ": " + std::to_string(found) + ", plainly " + std::to_string(plainly));
  if (variant.score.min_clearance_mm > 0)
    all.clearance.add(variant.score.min_clearance_mm == found, sample.name);
  all.near += plainly < t;
}

/// What the variant itself was given, once it has a scale.
void compare_scaled(const Sample& sample, Comparison& all) {
  const Variant& variant = sample.variant;
  const Score& score = variant.score;
  ++all.scaled;
  all.feasible += variant.status == Status::ok;
  Polygon outline_mm = variant.outline.to_polygon();
  for (Vec2& p : outline_mm) p *= variant.scale_mm;
  const double enough = 2 * sample.limits.min_width_mm;
  compare_width(sample, outline_mm, enough, all);
  if (score.min_width_mm > 0)
    all.capped_width.add(score.min_width_mm, plain::measure_min_width(outline_mm, enough),
                         sample.scheme.has_mirror() ? mirrored_width_bound : width_bound,
                         sample.name);
  Frame frame = variant.frame;
  frame.origin *= variant.scale_mm;
  const double openness = compare_openness(sample, frame, outline_mm, all);
  if (variant.status == Status::ok || variant.status == Status::openness ||
      variant.status == Status::clearance || variant.status == Status::narrow)
    all.openness.add(score.openness == openness, sample.name);
  if (all.scaled % 2 == 1) compare_clearance(sample, frame, outline_mm, all);
  const int parts = compare_stock(sample, outline_mm, make_border(sample, outline_mm), all);
  if (score.sheets > 0) all.parts_per_sheet.add(score.parts_per_sheet == parts, sample.name);
  if (all.scaled % 50 == 1) compare_stiffness(sample, outline_mm, all);
}

void compare_variant(const Sample& sample, Comparison& all) {
  const Variant& variant = sample.variant;
  const LabelledOutline trimmed = compare_trimming(sample, all);
  if (trimmed.size() == 0) return;
  compare_tips(sample, trimmed, all);
  Polygon outline = trimmed.to_polygon();
  compare_openness(sample, variant.frame, outline, all);
  for (Vec2& p : outline) p *= 120 / sample.drawn_radius;  // a dozen parts or so on a sheet
  compare_width(sample, outline, 60, all);
  compare_stock(sample, outline, make_edges(outline), all);
  if (variant.score.pieces == 0) return;  // nothing would fit the sheet
  compare_joints(sample, all);
  if (variant.score.joints > 0 && variant.score.pieces == 1) compare_scaled(sample, all);
}

int read_variant_count() {
  const char* text = std::getenv("SIXTYFOLD_REFERENCE_VARIANTS");
  return text ? std::stoi(text) : 4000;
}

}  // namespace

TEST_CASE("the evaluator agrees with its plain reference", "[reference]") {
  const Limits limits = make_limits();
  const std::vector<Branch> branches =
      find_branches({{"I", "O", "T", "D2", "D5", "D7", "C6", "Ih", "Td", "Th", "D3h", "D2d", "S6",
                      "C3v", "Ci", "Cs"},
                     {},
                     find_family_names()},
                    limits);
  const int wanted = read_variant_count();
  int without_outline = 0;
  Comparison all;
  VariantWorkspace work;
  Variant variant;
  Draft draft;
  for (int number = 0; number < wanted; ++number) {
    RandomStream random(31, Purpose::test, static_cast<std::uint64_t>(number));
    const Branch& branch = branches[random.below(branches.size())];
    const UnitPoint point = test::draw_point(branch.dimension(), random);
    make_draft(branch, to_values(branch, point), draft);
    draft.style = random.below(2) == 0 ? TrimStyle::lean : TrimStyle::meet;
    make_variant(branch.scheme, draft, limits, work, variant);
    if (variant.status == Status::bad_outline) {  // a body or cells that make none
      CHECK((branch.family == "carved" || branch.family == "cells"));
      ++without_outline;
      continue;
    }
    double radius = 0;
    for (const Vec2& p : draft.outline) radius = std::max(radius, (p - draft.hub).norm());
    compare_variant({branch.scheme, draft, limits, variant,
                     "variant " + std::to_string(number) + " of " + branch.symmetry + ", " +
                         branch.plane + ", " + branch.family,
                     radius},
                    all);
  }

  std::ostringstream seen;
  seen << branches.size() << " branches, " << wanted << " variants: " << all.cut << " cut, "
       << all.hub_lost << " lost their hub, " << all.blunt << " with tips cut off, " << all.joined
       << " with joints, " << all.apart << " in pieces, " << all.scaled << " scaled, " << all.narrow
       << " below the cap, " << all.blocked_rays << " rays blocked, " << all.close_rays
       << " close, " << all.interlocked_best << " best interlocked, " << all.feasible
       << " feasible, " << all.rigid << " rigid\n";
  all.visit([&](const char* part, const Tally& tally) {
    seen << part << ": " << tally.compared << " compared, " << tally.differing << " differ, worst "
         << tally.worst << '\n';
    INFO(part << ", first at " << tally.first);
    CHECK(tally.differing == 0);
  });
  if (std::getenv("SIXTYFOLD_REFERENCE_VARIANTS")) WARN(seen.str());
  INFO(seen.str());
  // Nothing agrees by not being seen: about half of what such panels usually come to.
  CHECK(all.trimmings.compared == wanted - without_outline);
  CHECK(without_outline < wanted / 3);
  CHECK(all.cut > wanted / 4);
  // Few: mirror images that cover each other are one copy.
  CHECK(all.hub_lost > wanted / 40);
  CHECK(all.blunt > wanted / 25);
  CHECK(all.joined > wanted / 5);
  CHECK(all.apart > wanted / 3);
  CHECK(all.scaled > wanted / 12);
  CHECK(all.narrow > wanted / 5);
  CHECK(all.blocked_rays > all.rays.compared / 5);
  CHECK(all.blocked_rays < all.rays.compared / 5 * 3);
  CHECK(all.interlocked_best > wanted / 9);
  CHECK(all.feasible > wanted / 20);
  CHECK(all.stiffness.compared > all.scaled / 50);
  CHECK(all.rigid > 0);
  // A ray that just touches an outline may fall either way, but hardly any does.
  CHECK(all.close_rays <= all.rays.compared / 100000);
}
