#include "engine/nest/nest.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/nest/block_packing.h"
#include "engine/nest/corner_packing.h"
#include "engine/nest/sheet_fit.h"
#include "engine/nest/spaced_outline.h"
#include "engine/random.h"
#include "tests/support/nest_oracle.h"
#include "tests/support/outlines.h"
#include "tests/support/polygon_oracle.h"

using namespace sixtyfold;

namespace {

/// Not star-shaped: a band along a sine wave, thinner to its ends.
Polygon make_blade(double length) {
  Polygon low, high;
  for (int i = 0; i <= 24; ++i) {
    const double t = -1 + i / 12.0;
    const Vec2 middle{t, 0.35 * std::sin(pi * t)};
    const Vec2 along = Vec2{1, 0.35 * pi * std::cos(pi * t)}.normalized();
    const Vec2 out =
        (0.16 * std::sqrt(std::max(0.0, 1 - t * t)) + 0.02) * Vec2{-along.y(), along.x()};
    low.push_back(length / 2 * (middle - out));
    high.push_back(length / 2 * (middle + out));
  }
  low.insert(low.end(), high.rbegin(), high.rend());
  return low;
}

std::vector<std::pair<std::string, Polygon>> make_shapes() {
  return {
      {"blade", make_blade(520)},
      {"three lobes", make_radial(60, [](double t) { return 150 * (1 + 0.45 * std::cos(3 * t)); })},
      {"star", make_radial(10, [](double t) { return std::cos(5 * t) > 0 ? 190.0 : 80.0; })},
      {"L", Polygon{{0, 0}, {300, 0}, {300, 120}, {120, 120}, {120, 260}, {0, 260}}},
      {"pinwheel",
       make_radial(
           72, [](double t) { return 160 * (1 + 0.4 * std::cos(4 * t) + 0.2 * std::sin(2 * t)); })},
      {"triangle", Polygon{{0, 0}, {400, 0}, {110, 230}}}};
}

NestOptions make_options(Grain grain, double gap, double margin) {
  NestOptions options;
  options.sheet.short_mm = 1000, options.sheet.long_mm = 1600;
  options.sheet.grain = grain;
  options.sheet.gap_mm = gap;
  options.sheet.edge_margin_mm = margin;
  options.effort = 1;
  return options;
}

}  // namespace

TEST_CASE("parts of a nest keep gap and margin, judged by another library", "[stock][nest]") {
  for (const auto& [name, part] : make_shapes())
    for (const Grain grain : {Grain::none, Grain::along_long_side, Grain::along_short_side}) {
      const NestOptions options = make_options(grain, 4, 6);
      const Nest nest = make_nest(part, options);
      const oracle::NestFaults faults = oracle::measure_nest(nest, part);
      INFO(name << ", grain " << int(grain) << ": " << nest.parts_per_sheet << " parts");
      CHECK(nest.parts_per_sheet >= 3);
      CHECK(faults.overlap_mm2 == 0);
      CHECK(faults.least_gap_mm >= 4 - 0.001);
      CHECK(faults.least_margin_mm >= 6 - 0.001);
      CHECK(nest.parts_per_sheet >=
            measure_sheet_fit(make_convex_hull(part), options.sheet).parts_per_sheet);
    }
}

TEST_CASE("with grain every part lies along it, and none is turned over unless allowed",
          "[stock][nest]") {
  for (const bool alike : {false, true})
    for (const auto& [name, part] : make_shapes()) {
      NestOptions options = make_options(Grain::along_long_side, 3, 5);
      options.sheet.both_faces_alike = alike;
      Sheet huge = options.sheet;
      const double axis = measure_largest_scale(make_convex_hull(part), 0, huge).direction_rad;
      const Nest nest = make_nest(part, options);
      for (const Placement& placement : nest.placements) {
        const double lies = placement.turned_over ? placement.rotation_rad + pi - axis
                                                  : placement.rotation_rad + axis;
        INFO(name << " lies at " << to_degrees(lies) << " degrees");
        CHECK(std::abs(std::remainder(lies, pi)) < 1e-9);
        if (!alike) CHECK_FALSE(placement.turned_over);
      }
      CHECK(oracle::measure_nest(nest, part).overlap_mm2 == 0);
    }
}

TEST_CASE("random hooked and wavy parts on random sheets never overlap", "[stock][nest]") {
  RandomStream random(31, Purpose::test, 0);
  for (int round = 0; round < 24; ++round) {
    const double bend = random.uniform(0.1, 0.6), width = random.uniform(0.08, 0.2),
                 waves = random.uniform(0.6, 1.4);
    Polygon low, part;
    for (int i = 0; i <= 20; ++i) {
      const double t = -1 + i / 10.0;
      const Vec2 middle{t, bend * std::sin(waves * pi * t)};
      const Vec2 along = Vec2{1, bend * waves * pi * std::cos(waves * pi * t)}.normalized();
      const Vec2 out = width * Vec2{-along.y(), along.x()};
      low.push_back(260 * (middle - out));
      part.push_back(260 * (middle + out));
    }
    std::reverse(part.begin(), part.end());
    part.insert(part.begin(), low.begin(), low.end());
    if (!is_simple(part)) continue;
    NestOptions options =
        make_options(static_cast<Grain>(random.below(3)), random.uniform(0.5, 6), 4);
    options.sheet.short_mm = random.uniform(600, 1000),
    options.sheet.long_mm = random.uniform(1000, 1700);
    const oracle::NestFaults faults = oracle::measure_nest(make_nest(part, options), part);
    INFO("round " << round);
    CHECK(faults.overlap_mm2 == 0);
    CHECK(faults.least_gap_mm >= options.sheet.gap_mm - 0.001);
    CHECK(faults.least_margin_mm >= 4 - 0.001);
  }
}

// Densities of the infinite plane (tests/sources.md 4) are approached from below as sheets grow,
// and never exceeded: pentagon, Kuperberg and Kuperberg 1990, Hales and Kusner 2016; heptagon,
// Kallus 2013 (best known); octagon, Fejes Toth 1950.
TEST_CASE("utilisation grows with the sheet and stays below the densest packing", "[stock][nest]") {
  const double root2 = std::sqrt(2.0);
  for (const auto& [corners, density] :
       {std::pair{5, (5 - std::sqrt(5.0)) / 3}, std::pair{7, 0.892691},
        std::pair{8, (4 + 4 * root2) / (5 + 4 * root2)}}) {
    const Polygon part = make_regular(corners, 50);
    double last = 0;
    for (const double side : {400.0, 1200.0, 3600.0}) {
      NestOptions options;
      options.sheet.short_mm = options.sheet.long_mm = side;
      options.sheet.gap_mm = options.sheet.edge_margin_mm = 0;
      options.effort = 1;
      const Nest nest = make_nest(part, options);
      INFO(corners << " corners, side " << side << ": " << nest.full_utilisation);
      CHECK(nest.full_utilisation < density);
      CHECK(nest.full_utilisation > last);
      // Parts keep the gap, here none, to 0.001 mm.
      CHECK(oracle::measure_nest(nest, part).overlap_mm2 <= 0.001 * measure_perimeter(part));
      last = nest.full_utilisation;
    }
    CHECK(last > density - 0.04);
  }
}

// Every convex shape has a double lattice of density sqrt(3)/2 at least (Kuperberg and Kuperberg
// 1990), so a large sheet takes nearly that.
TEST_CASE("large sheets of convex parts come near the double lattice theorem's bound",
          "[stock][nest]") {
  for (const Polygon& part :
       {Polygon{{0, 0}, {90, 0}, {130, 40}, {60, 100}, {-10, 60}},
        Polygon{{0, 0}, {100, 0}, {112, 30}, {60, 70}, {10, 45}}, make_regular(9, 50)}) {
    NestOptions options;
    options.sheet.short_mm = options.sheet.long_mm = 3600;
    options.sheet.gap_mm = options.sheet.edge_margin_mm = 0;
    options.effort = 1;
    const Nest nest = make_nest(part, options);
    CHECK(nest.full_utilisation > std::sqrt(3.0) / 2 - 0.04);
    CHECK(nest.full_utilisation < 1);
  }
}

namespace {

/// Rectangles of sides l and w in a room of sides length and width.
struct PalletCase {
  double length, width, l, w;
  int optimum;
};

void check_packed(const PalletCase& c, const std::vector<PackedRectangle>& packed) {
  std::vector<Polygon> boxes;
  for (const PackedRectangle& r : packed) {
    const Vec2 high = r.low + (r.upright ? Vec2{c.w, c.l} : Vec2{c.l, c.w});
    CHECK((r.low.minCoeff() > -1e-6 && high.x() < c.length + 1e-6 && high.y() < c.width + 1e-6));
    boxes.push_back({r.low, {high.x(), r.low.y()}, high, {r.low.x(), high.y()}});
  }
  double overlap = 0;
  for (std::size_t i = 0; i < boxes.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) overlap += oracle::overlap_area(boxes[i], boxes[j]);
  CHECK(overlap < 1e-6);
}

// Certified optima of the pallet loading problem (tests/sources.md 4; Lins, Lins and Morabito
// 2003; Birgin, Lobato and Morabito 2010). The recursion into five blocks falls one short of these.
const std::vector<PalletCase> beyond_five_blocks = {{43, 26, 7, 3, 53},  {49, 28, 8, 3, 57},
                                                    {57, 34, 7, 4, 69},  {61, 38, 10, 3, 77},
                                                    {67, 37, 11, 3, 75}, {63, 44, 8, 5, 69}};
const std::vector<PalletCase> slower = {
    {61, 35, 10, 3, 71},  {61, 38, 6, 5, 77},   {67, 40, 11, 3, 81},
    {74, 46, 7, 5, 97},   {74, 49, 11, 4, 82},  {93, 46, 13, 4, 82},
    {106, 59, 13, 5, 96}, {141, 71, 13, 8, 96}, {86, 52, 9, 5, 99}};

void check_by_corners(const std::vector<PalletCase>& cases) {
  for (const PalletCase& c : cases) {
    const auto packed =
        pack_rectangles_by_corners({c.length, c.width}, {c.l, c.w}, c.optimum, 50'000'000);
    INFO(c.length << " x " << c.width << " with " << c.l << " x " << c.w);
    CHECK(static_cast<int>(packed.size()) == c.optimum);
    check_packed(c, packed);
  }
}

}  // namespace

TEST_CASE("rectangles: five blocks reach the known counts", "[stock][nest]") {
  std::vector<PalletCase> cases = {{22, 16, 5, 3, 23},         {14, 10, 3, 2, 23},
                                   {40, 25, 7, 3, 47},         {52, 33, 9, 4, 47},
                                   {42, 31, 9, 4, 35},         {1200, 800, 400, 300, 8},
                                   {1200, 1000, 400, 300, 10}, {1000, 1000, 205, 159, 30}};
  for (const PalletCase& c : cases) {
    const auto packed = pack_rectangles({c.length, c.width}, {c.l, c.w}, 2'000'000);
    INFO(c.length << " x " << c.width << " with " << c.l << " x " << c.w);
    CHECK(static_cast<int>(packed.size()) == c.optimum);
    check_packed(c, packed);
  }
}

TEST_CASE("rectangles: L-shaped pieces reach certified optima, and never more", "[stock][nest]") {
  check_by_corners(beyond_five_blocks);
  CHECK(pack_rectangles_by_corners({42, 31}, {9, 4}, 36, 1'000'000).empty());
  CHECK(pack_rectangles_by_corners({43, 26}, {7, 3}, 54, 1'000'000).empty());
}

TEST_CASE("rectangles: L-shaped pieces reach the other optima of the table", "[stock][nest]") {
  check_by_corners(slower);
}

TEST_CASE("a nest of rectangles is optimal where the optimum is known", "[stock][nest]") {
  for (const PalletCase& c :
       {beyond_five_blocks[0], beyond_five_blocks[1], PalletCase{22, 16, 5, 3, 23},
        PalletCase{52, 33, 9, 4, 47}, PalletCase{1000, 1000, 205, 159, 30}}) {
    const double unit = c.length < 500 ? 20 : 1;
    NestOptions options;
    options.sheet.short_mm = unit * c.width, options.sheet.long_mm = unit * c.length;
    options.sheet.gap_mm = options.sheet.edge_margin_mm = 0;
    options.effort = 3;
    const Polygon part{{0, 0}, {unit * c.l, 0}, {unit * c.l, unit * c.w}, {0, unit * c.w}};
    const Nest nest = make_nest(part, options);
    INFO(c.length << " x " << c.width << " with " << c.l << " x " << c.w);
    CHECK(nest.parts_per_sheet == c.optimum);
    CHECK(oracle::measure_nest(nest, part).overlap_mm2 < 1e-3);
  }
}

TEST_CASE("rectangles that tile a sheet fill it, and the saw's gap is counted", "[stock][nest]") {
  NestOptions options = make_options(Grain::none, 0, 0);
  const Polygon part{{0, 0}, {200, 0}, {200, 160}, {0, 160}};
  CHECK(make_nest(part, options).parts_per_sheet == 50);
  CHECK(make_nest(part, options).full_utilisation == Approx(1));
  options.sheet.gap_mm = 3;
  options.sheet.long_mm = 8 * 200 + 7 * 3, options.sheet.short_mm = 6 * 160 + 5 * 3;
  CHECK(make_nest(part, options).parts_per_sheet == 48);
  options.sheet.long_mm -= 1, options.sheet.short_mm -= 1;
  CHECK(make_nest(part, options).parts_per_sheet < 48);
}

TEST_CASE("sheets, last sheet and offcuts add up", "[stock][nest]") {
  NestOptions options = make_options(Grain::none, 0, 0);
  options.copies = 60;
  const Polygon part{{0, 0}, {400, 0}, {400, 320}, {0, 320}};
  const Nest nest = make_nest(part, options);
  REQUIRE(nest.parts_per_sheet == 12);
  CHECK(nest.sheets == 5);
  CHECK(nest.parts_on_last_sheet == 12);
  options.copies = 61;
  const Nest more = make_nest(part, options);
  CHECK(more.sheets == 6);
  CHECK(more.parts_on_last_sheet == 1);
  CHECK(more.utilisation == Approx(61 * 0.128 / (6 * 1.6)));
  REQUIRE_FALSE(more.last_offcuts_mm.empty());
  CHECK(more.last_offcuts_mm[0].size().prod() >= 1000 * 1190);
  for (const Box& box : more.last_offcuts_mm) {
    const Polygon cut{box.low, {box.high.x(), box.low.y()}, box.high, {box.low.x(), box.high.y()}};
    CHECK(oracle::overlap_area(cut, more.placements[0].place(part)) < 1e-6);
  }
}

TEST_CASE("half and quarter sheets are nested as pieces", "[stock][nest]") {
  const Polygon part{{0, 0}, {390, 0}, {390, 240}, {0, 240}};
  for (const FirstCut cut : {FirstCut::halves, FirstCut::quarters}) {
    NestOptions options = make_options(Grain::none, 3, 5);
    options.first_cut = cut;
    const Nest nest = make_nest(part, options);
    CHECK(nest.parts_per_sheet % (cut == FirstCut::halves ? 2 : 4) == 0);
    CHECK(nest.parts_per_sheet > 0);
    const oracle::NestFaults faults = oracle::measure_nest(nest, part);
    CHECK(faults.overlap_mm2 == 0);
    CHECK(faults.least_margin_mm >= 5 - 0.001);
  }
}

TEST_CASE("same part, same nest; turned and moved part, as many parts", "[stock][nest]") {
  const NestOptions options = make_options(Grain::none, 3, 5);
  const Polygon part = make_blade(600);
  const Nest a = make_nest(part, options), b = make_nest(part, options);
  REQUIRE(a.placements.size() == b.placements.size());
  for (std::size_t i = 0; i < a.placements.size(); ++i) {
    CHECK(a.placements[i].position_mm == b.placements[i].position_mm);
    CHECK(a.placements[i].rotation_rad == b.placements[i].rotation_rad);
  }
  Polygon moved;
  for (const Vec2& p : part) moved.push_back(p + Vec2{5000, -300});
  CHECK(make_nest(moved, options).parts_per_sheet == a.parts_per_sheet);
}

TEST_CASE("hostile parts: too large, needles, bays, many corners, wrong way round",
          "[stock][nest]") {
  const NestOptions options = make_options(Grain::none, 3, 5);
  CHECK(make_nest(make_regular(6, 2000), options).parts_per_sheet == 0);
  CHECK(make_nest(make_regular(6, 2000), options).sheets == 0);
  // A needle.
  CHECK(make_nest({{0, 0}, {900, 0}, {900, 0.2}}, options).parts_per_sheet > 100);
  // A comb whose bays close when the gap is added.
  Polygon comb{{0, 0}, {420, 0}};
  for (int i = 20; i >= 0; --i) {
    comb.push_back({20.0 * i + 18, 150});
    comb.push_back({20.0 * i, 150});
    if (i > 0) comb.push_back({20.0 * i, 20}), comb.push_back({20.0 * i - 2, 20});
  }
  REQUIRE(is_simple(comb));
  const Nest combs = make_nest(comb, options);
  CHECK(combs.parts_per_sheet >= 15);
  CHECK(oracle::measure_nest(combs, comb).least_gap_mm >= 3 - 0.001);
  const Polygon fine = make_radial(
      2000, [](double t) { return 200 * (1 + 0.3 * std::cos(3 * t)) + std::cos(211 * t); });
  const Nest fines = make_nest(fine, options);
  CHECK(fines.parts_per_sheet >= 6);
  CHECK(oracle::measure_nest(fines, fine).least_gap_mm >= 3 - 0.001);
  Polygon clockwise = make_blade(500);
  std::reverse(clockwise.begin(), clockwise.end());
  CHECK(make_nest(clockwise, options).parts_per_sheet ==
        make_nest(make_blade(500), options).parts_per_sheet);
  CHECK_THROWS_AS(make_nest({{0, 0}, {100, 100}, {100, 0}, {0, 100}}, options),
                  std::invalid_argument);
  CHECK_THROWS_AS(make_nest({{0, 0}, {100, 100}}, options), std::invalid_argument);
  NestOptions bad = options;
  bad.copies = 0;
  CHECK_THROWS_AS(make_nest(comb, bad), std::invalid_argument);
}

TEST_CASE("the spaced outline keeps half the gap from the part all round", "[stock][nest]") {
  for (const auto& [name, part] : make_shapes()) {
    const Polygon spaced = make_spaced_outline(part, {5});
    INFO(name);
    for (const Vec2& p : spaced) CHECK(distance_to_boundary(part, p) >= 2.5 - 0.001);
    for (const Vec2& p : part) CHECK(distance_to_boundary(spaced, p) >= 2.5 - 0.001);
    CHECK(oracle::overlap_area(part, spaced) == Approx(measure_area(part)));
  }
}
