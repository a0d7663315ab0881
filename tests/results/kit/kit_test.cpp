// The kit's files, read back by other programs, and the laws of its plans.
#include "results/kit/kit.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <regex>
#include <set>
#include <sstream>

#include "engine/building/assembly.h"
#include "engine/shape/boolean.h"
#include "results/drawings/text_width.h"
#include "results/files/file.h"
#include "results/kit/partner_pages.h"
#include "results/kit/sheet_files.h"
#include "results/kit/template_parts.h"
#include "tests/support/found_designs.h"
#include "tests/support/pdf_paths.h"
#include "tests/support/polyhedra.h"
#include "tests/support/random_designs.h"
#include "tests/support/run_program.h"
#include "tests/support/svg_standard.h"
#include "tests/support/test_limits.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

Design make_sample(const char* symbol, bool may_move = false) {
  Limits limits;
  limits.allow_flexible = may_move;
  return make_first_random_design(symbol, limits, 700);
}

TemplateDrawing make_drawing(const Design& design, const TemplateOptions& options = {}) {
  return make_template_drawing(design, make_finished(design, FlatOptions{}), 0, options);
}

/// Straight stroked lines of exactly 100 mm, across or up.
int count_bars(const PdfPage& page, bool across) {
  int bars = 0;
  for (const PdfPath& path : page.paths) {
    if (!path.stroked || path.points_mm.size() != 2) continue;
    const Vec2 length = (path.points_mm[1] - path.points_mm[0]).cwiseAbs();
    const double along = across ? length.x() : length.y(), aside = across ? length.y() : length.x();
    bars += static_cast<int>(std::abs(along - 100) < 0.005 && aside < 0.005);
  }
  return bars;
}

/// The path with so many corners that is drawn, not clipped by: the outline of the part.
const PdfPath* find_outline(const PdfPage& page, std::size_t corners) {
  for (const PdfPath& path : page.paths)
    if (path.stroked && path.closed && path.points_mm.size() == corners) return &path;
  return nullptr;
}

}  // namespace

TEST_CASE("the DXF gives another program's reader the cut line and its layers", "[kit]") {
  // Read by ezdxf (Debian's python3-ezdxf), which also audits the file against the DXF reference.
  std::vector<Design> designs{make_sample("I"), make_sample("T"), make_sample("D5")};
  for (const Design& windowed : make_found_designs({"I", "O"}, 2, 21, 0.25)) {
    designs.push_back(windowed);
    CHECK(make_drawing(windowed).cut_mm.size() == 1 + windowed.orbits[0].panel.holes_mm.size());
  }
  for (const Design& design : designs) {
    const TemplateDrawing drawing = make_drawing(design);
    const ScratchFolder folder;
    write_file(folder.path() / "part.dxf", make_template_dxf(drawing));
    const std::string script = source_folder() + "/tests/support/read_dxf.py";
    const ProgramResult read = run_program({"/usr/bin/python3", script, "part.dxf"}, folder.path());
    CAPTURE(design.symmetry, read.err);
    REQUIRE(read.status == 0);
    std::istringstream lines(read.out);
    std::set<std::string> layers;
    std::vector<Polygon> rings;
    std::size_t folds = 0, marks = 0;
    for (std::string line; std::getline(lines, line);) {
      std::istringstream in(line);
      std::string word, layer, closed, pair;
      in >> word >> layer;
      if (word == "version") CHECK(layer == "AC1009");
      if (word == "errors") CHECK(layer == "0");
      if (word == "layer") layers.insert(layer);
      if (word == "line") (layer == "FOLD" ? folds : marks) += 1;
      if (word != "ring") continue;
      CHECK(layer == "CUT");
      in >> closed;
      CHECK(closed == "closed");
      rings.emplace_back();
      double x = 0, y = 0;
      while (in >> pair) {
        REQUIRE(std::sscanf(pair.c_str(), "%lf,%lf", &x, &y) == 2);
        rings.back().emplace_back(x, y);
      }
    }
    for (const char* layer : {"CUT", "FOLD", "MARK"}) CHECK(layers.count(layer) == 1);
    REQUIRE(rings.size() == drawing.cut_mm.size());
    for (std::size_t k = 0; k < rings.size(); ++k) {
      REQUIRE(rings[k].size() == drawing.cut_mm[k].size());
      for (std::size_t i = 0; i < rings[k].size(); ++i)
        CHECK((rings[k][i] - drawing.cut_mm[k][i]).norm() < 1e-3);
    }
    std::size_t wanted_folds = 0;
    for (const auto& line : drawing.lines) wanted_folds += static_cast<std::size_t>(line.is_fold);
    CHECK(folds == wanted_folds);
    CHECK(marks == drawing.lines.size() - wanted_folds);
  }
}

TEST_CASE(
    "pages have the sizes of their standards, bars of 100.00 mm, and tiles that make the part",
    "[kit]") {
  // Measured in the PDF's own coordinates. ISO 216: A4 210 x 297 mm, A3 297 x 420 mm; ANSI/ASME
  // Y14.1: Letter 215.9 x 279.4 mm.
  const std::map<Paper, Vec2> sizes = {
      {Paper::a4, {210, 297}}, {Paper::a3, {297, 420}}, {Paper::letter, {215.9, 279.4}}};
  for (const auto& [paper, size] : sizes) {
    CHECK(measure_paper(paper) == size);
    TemplateOptions options;
    options.paper = paper;
    const TemplateDrawing drawing = make_drawing(make_sample("T"), options);
    const std::vector<Page> pages = make_tiled_pages(drawing, options);
    const std::string bytes = make_pdf(pages);
    CHECK(bytes == make_pdf(pages));
    const std::vector<PdfPage> read = read_pdf(bytes);
    REQUIRE(read.size() == pages.size());
    const std::size_t corners = drawing.cut_mm[0].size();
    Polygon part;              // on the plane of the first tile
    std::vector<Box> windows;  // on the same plane
    for (std::size_t k = 0; k < read.size(); ++k) {
      CHECK(std::min(read[k].width_mm, read[k].height_mm) == Approx(size.x()).margin(0.01));
      CHECK(std::max(read[k].width_mm, read[k].height_mm) == Approx(size.y()).margin(0.01));
      CHECK(count_bars(read[k], true) == 1);
      CHECK(count_bars(read[k], false) == 1);
      if (k == 0) continue;  // the map
      const PdfPath* outline = find_outline(read[k], corners);
      REQUIRE(outline != nullptr);
      if (part.empty()) part = outline->points_mm;
      // Tiles differ by a shift alone.
      const Vec2 shift = outline->points_mm[0] - part[0];
      for (std::size_t i = 0; i < corners; ++i)
        CHECK((outline->points_mm[i] - shift - part[i]).norm() < 0.005);
      // The frame drawn round the tile.
      Box window{Vec2::Constant(1e9), Vec2::Constant(-1e9)};
      double largest = 0;
      for (const PdfPath& path : read[k].paths)
        if (path.stroked && path.closed && path.points_mm.size() == 4 &&
            measure_area(path.points_mm) * measure_area(path.points_mm) > largest) {
          largest = measure_area(path.points_mm) * measure_area(path.points_mm);
          window = measure_box(path.points_mm);
        }
      windows.push_back({window.low - shift, window.high - shift});
    }
    REQUIRE(part.size() == corners);
    // The same shape as the template: all distances, so up to the turning that saves paper.
    for (std::size_t i = 0; i < corners; ++i)
      for (std::size_t k = 0; k < i; k += 3)
        CHECK((part[i] - part[k]).norm() ==
              Approx((drawing.cut_mm[0][i] - drawing.cut_mm[0][k]).norm()).margin(0.01));
    CHECK(measure_area(part) * measure_area(drawing.cut_mm[0]) <
          0);  // y down here, up there: the same face
    // Every bit of the line is on some tile.
    for (std::size_t i = 0; i < corners; ++i)
      for (const double s : {0.0, 0.25, 0.5, 0.75}) {
        const Vec2 p = (1 - s) * part[i] + s * part[(i + 1) % corners];
        bool shown = false;
        for (const Box& window : windows)
          shown = shown ||
                  ((p - window.low).minCoeff() > -0.01 && (window.high - p).minCoeff() > -0.01);
        CHECK(shown);
      }
  }
}

TEST_CASE("a kit is whole: its PDFs are sound, with text as text and fonts embedded", "[kit]") {
  // qpdf checks the files, pdffonts and pdftotext (poppler) read them.
  const Design design = make_sample("D5");
  KitOptions options = make_kit_options(design);
  options.purchase.price = 2;
  const Kit kit = make_kit(design, options);
  std::set<std::string> names;
  const ScratchFolder folder;
  for (const KitFile& file : kit.files) {
    names.insert(file.name);
    CHECK(!file.bytes.empty());
    write_file(folder.path() / file.name, file.bytes);
    if (file.name.find(".pdf") == std::string::npos) continue;
    CAPTURE(file.name);
    CHECK(run_program({"qpdf", "--check", file.name}, folder.path()).status == 0);
    std::istringstream fonts(run_program({"pdffonts", file.name}, folder.path()).out);
    std::string line;
    std::getline(fonts, line);
    const std::size_t column = line.find("emb");
    std::getline(fonts, line);
    int count = 0;
    for (; std::getline(fonts, line); ++count) CHECK(line.substr(column, 3) == "yes");
    CHECK(count >= 1);
  }
  for (const char* name :
       {"template.svg", "template.pdf", "template.dxf", "coupon.pdf", "gauges.pdf", "numbers.pdf",
        "sheet-01.dxf", "sheet-01.svg", "paper-model.pdf", "guide.html", "guide.pdf", "colours.pdf",
        "cutting-plan.pdf", "day.pdf"})
    CHECK(names.count(name) == 1);
  const auto text_of = [&](const char* name) {
    return run_program({"pdftotext", "-layout", name, "-"}, folder.path()).out;
  };
  const std::string guide = text_of("guide.pdf");
  for (const char* words :
       {"glued", "How well it closes", "Base first", "wrong: turned over", "Local codes"}) {
    CAPTURE(words);
    CHECK(guide.find(words) != std::string::npos);
  }
  const std::string day = text_of("day.pdf");
  for (const char* words : {"Hour by hour", "break", "Shopping list", "no load calculation",
                            "torn tab", "common practice, no published source"}) {
    CAPTURE(words);
    CHECK(day.find(words) != std::string::npos);
  }
  // Volunteers read it: no word of group theory, of the computing, or of the command line.
  for (const char* name : {"guide.pdf", "day.pdf", "colours.pdf", "numbers.pdf", "gauges.pdf"})
    for (const char* word : {"coset", "Monte Carlo", "linearised", "Schoenflies", "--"}) {
      CAPTURE(name, word);
      CHECK(text_of(name).find(word) == std::string::npos);
    }
  // Same design and options, same bytes.
  const Kit again = make_kit(design, options);
  REQUIRE(again.files.size() == kit.files.size());
  for (std::size_t k = 0; k < kit.files.size(); ++k)
    CHECK(again.files[k].bytes == kit.files[k].bytes);
}

TEST_CASE("the slot coupon's comb is as wide as it says, kerf taken off", "[kit][slot]") {
  for (const double thickness : {0.5, 3.0, 6.2, 18.0})
    for (const double kerf : {0.0, 0.3}) {
      TemplateOptions options;
      options.kerf_mm = kerf;
      const std::vector<double> plays = find_coupon_plays(thickness);
      CHECK(std::is_sorted(plays.begin(), plays.end()));
      CHECK(plays.front() < 0);
      CHECK(plays.back() > 0.2);
      // Read back from the PDF: slots are the stretches of a comb at the height of their mouths.
      const std::vector<PdfPage> pages =
          read_pdf(make_pdf({make_slot_coupon_page(options, thickness, 0.3)}));
      REQUIRE(pages.size() == 1);
      CHECK(count_bars(pages[0], true) == 1);
      std::vector<double> widths;
      for (const PdfPath& path : pages[0].paths) {
        const Polygon& points = path.points_mm;
        if (!path.stroked || !path.closed || points.size() < 12 || points.size() % 4 != 0) continue;
        double low = 0;
        for (const Vec2& p : points) low = std::max(low, p.y());
        std::vector<double> mouths;
        for (const Vec2& p : points)
          if (std::abs(p.y() - low) < 1e-3) mouths.push_back(p.x());
        std::sort(mouths.begin(), mouths.end());
        for (std::size_t i = 1; i + 2 < mouths.size(); i += 2)
          widths.push_back(mouths[i + 1] - mouths[i]);
        for (const Vec2& p : points) {
          CHECK(p.x() < pages[0].width_mm - 5);
          CHECK(p.y() < pages[0].height_mm - 20);
        }
      }
      REQUIRE(widths.size() == plays.size());
      for (std::size_t k = 0; k < plays.size(); ++k)
        CHECK(widths[k] == Approx(std::max(0.1, thickness + plays[k] - kerf)).margin(0.01));
    }
}

TEST_CASE("a kit of slots alone has a slot coupon and no words on tabs", "[kit][slot]") {
  const Limits limits = test::make_slot_limits();
  const Design design = make_first_random_design("D5", limits, 0, false, true);
  const Kit kit = make_kit(design, make_kit_options(design));
  const ScratchFolder folder;
  const auto text_of = [&](const char* name) {
    for (const KitFile& file : kit.files)
      if (file.name == name) write_file(folder.path() / name, file.bytes);
    return run_program({"pdftotext", "-layout", name, "-"}, folder.path()).out;
  };
  CHECK_THAT(text_of("coupon.pdf"),
             Catch::Contains("Slot coupon") && Catch::Contains("--slot-play"));
  const std::string guide = text_of("guide.pdf");
  CHECK_THAT(guide, Catch::Contains("slot into") && Catch::Contains("until the bottoms touch"));
  for (const char* word : {"tabs", "seat", "Tab"}) {
    CAPTURE(word);
    CHECK(guide.find(word) == std::string::npos);
  }
}

TEST_CASE("options of a kit out of range are one sentence", "[kit]") {
  const Design design = make_sample("D5");
  KitOptions options = make_kit_options(design);
  options.colours = "7";
  CHECK_THROWS_WITH(make_kit(design, options), Catch::Contains("--colours is 7; this design has"));
  options.colours = "modules";
  options.assembly.reach.hand_mm = std::nan("");
  CHECK_THROWS_WITH(make_kit(design, options), Catch::Contains("the passage for a hand"));
}

TEST_CASE("whole sheets: every part once, face up, its number engraved, by another reader",
          "[kit]") {
  const Design design = make_sample("D5");
  KitOptions options = make_kit_options(design);
  options.pattern.kerf_mm = 0.4;
  const Finished finished = make_finished(design, options.flat);
  TemplateOptions plain = options.pattern;
  plain.notch_mm = 0;
  const TemplateDrawing drawing = make_template_drawing(design, finished, 0, plain);
  PurchaseOptions ordering = options.purchase;
  ordering.cutting.thickness_mm = design.thickness_mm;
  const Purchase purchase = make_purchase(design, finished, ordering);
  const auto files = make_sheet_files(drawing, purchase.parts[0], 0, "", 100);
  REQUIRE(files.size() == 2 * at(purchase.sheets));
  const ScratchFolder folder;
  const double area = measure_area(drawing.cut_mm[0]);
  int parts = 0, folds = 0;
  for (const auto& file : files) {
    CAPTURE(file.name);
    if (file.name.find(".svg") != std::string::npos) {
      CHECK(find_svg_faults(file.bytes).empty());
      continue;
    }
    write_file(folder.path() / "sheet.dxf", file.bytes);
    const ProgramResult read = run_program(
        {"/usr/bin/python3", source_folder() + "/tests/support/read_dxf.py", "sheet.dxf"},
        folder.path());
    REQUIRE(read.status == 0);
    std::istringstream lines(read.out);
    std::vector<Polygon> on_sheet;
    for (std::string line; std::getline(lines, line);) {
      std::istringstream in(line);
      std::string word, layer, closed, pair;
      in >> word >> layer;
      if (word == "errors") CHECK(layer == "0");
      if (word == "line" && layer == "FOLD") ++folds;
      if (word != "ring" || layer != "CUT") continue;
      in >> closed;
      Polygon ring;
      double x = 0, y = 0;
      while (in >> pair) {
        REQUIRE(std::sscanf(pair.c_str(), "%lf,%lf", &x, &y) == 2);
        ring.emplace_back(x, y);
        CHECK(x > 0);
        CHECK(x < ordering.sheet.long_mm);
        CHECK(y > 0);
        CHECK(y < ordering.sheet.short_mm);
      }
      CHECK(measure_area(ring) == Approx(area).epsilon(1e-5));
      // Not turned over: the corners come in the same order and at the same distances.
      for (std::size_t i = 2; i < ring.size(); ++i)
        CHECK(cross(Vec2(ring[1] - ring[0]), Vec2(ring[i] - ring[0])) ==
              Approx(cross(Vec2(drawing.cut_mm[0][1] - drawing.cut_mm[0][0]),
                           Vec2(drawing.cut_mm[0][i] - drawing.cut_mm[0][0])))
                  .epsilon(1e-4)
                  .margin(1));
      for (const Polygon& other : on_sheet)
        CHECK(measure_set_area(make_intersection({ring}, {other})) < 0.01);
      on_sheet.push_back(ring);
      ++parts;
    }
  }
  CHECK(parts == purchase.count_parts());
  CHECK(folds == parts * static_cast<int>(finished.parts[0].pattern.tabs.size()));
}

TEST_CASE("the table of partners: what goes to a panel comes back from it", "[kit]") {
  for (const char* symbol : {"I", "D5", "Th", "C6"}) {
    const Design design = make_sample(symbol, true);
    const Finished finished = make_finished(design, FlatOptions{});
    const auto partners =
        find_partners(design, finished, find_joint_sides(design, finished.joints));
    REQUIRE(partners.size() == at(count_copies(design)));
    std::size_t rows = 0;
    for (std::size_t copy = 0; copy < partners.size(); ++copy)
      for (const Partner& partner : partners[copy]) {
        ++rows;
        const auto& back = partners[at(partner.panel)];
        CHECK(std::count_if(back.begin(), back.end(), [&](const Partner& other) {
                return other.joint == partner.joint && other.panel == static_cast<int>(copy) &&
                       other.own == partner.other && other.other == partner.own;
              }) == 1);
        // One letter on both sides, a tab on a seat or on its like.
        CHECK(partner.own.substr(partner.own.find(' ') + 1) ==
              partner.other.substr(partner.other.find(' ') + 1));
        if (partner.own.rfind("seat", 0) == 0) CHECK(partner.other.rfind("tab", 0) == 0);
      }
    CHECK(rows == 2 * design.joints.size());
  }
}

TEST_CASE("angle gauges: a wedge for every fold and every plane angle, as wide as they are",
          "[kit]") {
  const Design design = make_sample("T");
  const Finished finished = make_finished(design, FlatOptions{});
  const auto gauges = find_gauge_angles(finished);
  const auto has = [&](bool is_fold, double wedge) {
    return std::any_of(gauges.begin(), gauges.end(), [&](const GaugeAngle& gauge) {
      return gauge.is_fold == is_fold && std::abs(gauge.wedge_deg - wedge) < 0.05;
    });
  };
  for (const Tab& tab : finished.parts[0].pattern.tabs)
    CHECK(has(true, 180 - to_degrees(tab.fold_rad)));
  for (const Joint& joint : design.joints) CHECK(has(false, joint.angle_deg));
  for (const GaugeAngle& gauge : gauges) {
    const Polygon wedge = make_gauge(gauge.wedge_deg, 55);
    CHECK(is_simple(wedge));
    const Vec2 a = wedge[1] - wedge[0], b = wedge[wedge.size() - 2] - wedge.back();
    CHECK(to_degrees(std::atan2(cross(a, b), a.dot(b))) == Approx(gauge.wedge_deg).margin(1e-6));
  }
}

TEST_CASE("holes to hang from stand where the text says, and their lines meet in the ring",
          "[kit]") {
  int rigged = 0;
  for (const char* symbol : {"I", "T", "D5", "C6", "Th"}) {
    const Design design = make_sample(symbol, true);
    const Finished finished = make_finished(design, FlatOptions{});
    EventOptions options;
    const Rigging rigging = find_rigging(design, finished, options);
    CAPTURE(symbol, rigging.fault);
    if (rigging.points.empty()) {
      CHECK(!rigging.fault.empty());
      continue;
    }
    ++rigged;
    double upward = 0;
    for (const RigPoint& point : rigging.points) {
      const FlatPattern& pattern = finished.parts[at(find_copy(design, point.copy).orbit)].pattern;
      CHECK(contains(pattern.body_mm, point.hole_mm));
      CHECK(distance_to_boundary(pattern.body_mm, point.hole_mm) > options.rigging.edge_mm - 0.01);
      for (const Seat& seat : pattern.seats)
        if (!seat.tab_mm.empty())
          CHECK_FALSE(contains(make_counter_clockwise(seat.tab_mm), point.hole_mm));
      CHECK((make_copy_frame(design, point.copy).to_space(point.hole_mm) - point.point_mm).norm() <
            1e-9);
      CHECK((rigging.ring_mm - point.point_mm).norm() == Approx(point.line_mm));
      CHECK(rigging.up.dot(rigging.ring_mm - point.point_mm) > 0);
      CHECK(point.line_n >= point.upward_n - 1e-9);
      upward += point.upward_n;
    }
    CHECK(rigging.most_lean_deg < 45);
    CHECK(upward == Approx(rigging.load.weight_n).epsilon(1e-3));  // strings give a little
  }
  CHECK(rigged >= 2);
}

TEST_CASE("the order of assembly makes every joint once and pushes through nothing", "[kit]") {
  // Replayed by small steps of the moving module, not by swept hulls.
  Limits limits;
  int designs = 0, straight = 0, in_modules = 0;
  for (const char* symbol : {"T", "D5", "C6", "D3"})
    for (std::uint64_t index = 0; index < 12; ++index) {
      const auto design = make_random_design(symbol, limits, 700 + index);
      if (!design) continue;
      ++designs;
      const Finished finished = make_finished(*design, FlatOptions{});
      const AssemblyPlan plan = plan_assembly(*design, finished);
      std::set<int> made, placed;
      // Which copy each tab of each copy is glued to, told by where the mate of the first copy's
      // tab goes.
      const auto middle_of = [&](int copy) {
        return make_copy_frame(*design, copy)
            .to_space(measure_centroid(design->orbits[0].panel.outline_mm));
      };
      const Mat3 back = design->orbits[0].copies[0].transpose();
      const auto find_mate = [&](int copy, int tab) {
        const Vec3 there = design->orbits[0].copies[at(copy)] * back *
                           middle_of(finished.parts[0].pattern.tabs[at(tab)].mate);
        for (int other = 0; other < count_copies(*design); ++other)
          if (other != copy && (middle_of(other) - there).norm() < 1e-3) return other;
        return -1;
      };
      struct Plate {
        ConvexPlate plate;
        int mate;  // -1: body
      };
      const auto plates_of = [&](int copy, double shrink) {
        std::vector<Plate> plates;
        const Frame frame = make_copy_frame(*design, copy);
        for (std::size_t i = 0; i < finished.parts[0].plates.size(); ++i) {
          ConvexPlate plate = finished.parts[0].plates[i];
          const auto turn = [&](const Vec3& v) {
            return Vec3(v.x() * frame.x_axis + v.y() * frame.y_axis + v.z() * frame.normal);
          };
          for (Vec3& p : plate.middle) p = frame.origin + turn(p);
          plate.half = shrink * turn(plate.half);
          const int tab = finished.parts[0].tab_of[i];
          plates.push_back({plate, tab < 0 ? -1 : find_mate(copy, tab)});
        }
        return plates;
      };
      for (const auto& joints : plan.joints_in_module)
        for (const int n : joints) CHECK(made.insert(n).second);
      // Where tabs are held open, the folded ones are those that are glued: inside the module that
      // comes, and between copies that stand.
      const auto is_hit = [&](const std::vector<int>& copies, const std::set<int>& there,
                              ComingIn coming_in, const Vec3& push) {
        const bool all_folded = coming_in == ComingIn::straight;
        const std::set<int> coming(copies.begin(), copies.end());
        std::vector<ConvexPlate> moving, standing;
        for (const int copy : copies)
          for (const Plate& plate : plates_of(copy, 0.9))
            if (all_folded || plate.mate < 0 || coming.count(plate.mate))
              moving.push_back(plate.plate);
        for (const int copy : there)
          for (const Plate& plate : plates_of(copy, 0.9))
            if (all_folded || plate.mate < 0 || there.count(plate.mate))
              standing.push_back(plate.plate);
        for (double s = 0; s < 500; s += 25)
          for (ConvexPlate plate : moving) {
            for (Vec3& p : plate.middle) p += s * push;
            for (const ConvexPlate& other : standing)
              if (measure_distance(plate, other).distance <= 0) return true;
          }
        return false;
      };
      const auto is_push = [](ComingIn way) {
        return way == ComingIn::straight || way == ComingIn::tabs_open;
      };
      // Panel by panel on the table: the module's panels once, its joints once.
      CHECK(plan.in_module.size() == (plan.chosen.panels > 1 ? plan.steps.size() : 0));
      for (std::size_t m = 0; m < plan.in_module.size(); ++m) {
        std::set<int> there, joined;
        for (const PanelStep& step : plan.in_module[m]) {
          for (const int n : step.joints) {
            CHECK(joined.insert(n).second);
            const Joint& joint = design->joints[at(n)];
            CHECK((joint.panels[0] == step.copy || joint.panels[1] == step.copy));
            CHECK((there.count(joint.panels[0]) + there.count(joint.panels[1])) == 1);
          }
          if (!there.empty() && is_push(step.coming_in)) {
            ++in_modules;
            CHECK_FALSE(is_hit({step.copy}, there, step.coming_in, step.push));
          }
          CHECK(there.insert(step.copy).second);
        }
        CHECK(there == std::set<int>(plan.steps[m].copies.begin(), plan.steps[m].copies.end()));
        const auto module =
            std::find(plan.chosen.modules.begin(), plan.chosen.modules.end(), plan.steps[m].copies);
        REQUIRE(module != plan.chosen.modules.end());
        const auto& own =
            plan.joints_in_module[static_cast<std::size_t>(module - plan.chosen.modules.begin())];
        CHECK(joined == std::set<int>(own.begin(), own.end()));
      }
      for (const AssemblyStep& step : plan.steps) {
        for (const int n : step.joints) {
          CHECK(made.insert(n).second);
          const Joint& joint = design->joints[at(n)];
          CHECK((placed.count(joint.panels[0]) + placed.count(joint.panels[1])) == 1);
        }
        if (!placed.empty()) CHECK(!step.joints.empty());
        if (!placed.empty() && is_push(step.coming_in)) {
          ++straight;
          CHECK_FALSE(is_hit(step.copies, placed, step.coming_in, step.push));
        }
        placed.insert(step.copies.begin(), step.copies.end());
      }
      CHECK(made.size() == design->joints.size());
      CHECK(static_cast<int>(placed.size()) == count_copies(*design));
    }
  CHECK(designs >= 5);
  CHECK(straight > 5);
  CHECK(in_modules > 20);
}

TEST_CASE("a round part is cut along arcs", "[kit][outside]") {
  // What ezdxf makes of the bulges: all arcs have the circle's middle and radius.
  TemplateDrawing drawing;
  Polygon ring;
  for (int i = 0; i < 60; ++i)
    ring.emplace_back(30 + 240 * std::cos(pi * i / 30), 10 + 240 * std::sin(pi * i / 30));
  drawing.cut_mm = {ring};
  const ScratchFolder folder;
  write_file(folder.path() / "part.dxf", make_template_dxf(drawing));
  const std::string script = source_folder() + "/tests/support/read_dxf.py";
  const ProgramResult read = run_program({"/usr/bin/python3", script, "part.dxf"}, folder.path());
  CAPTURE(read.err);
  REQUIRE(read.status == 0);
  std::istringstream lines(read.out);
  int arcs = 0;
  for (std::string line; std::getline(lines, line);) {
    double x = 0, y = 0, radius = 0;
    if (std::sscanf(line.c_str(), "arc CUT %lf,%lf %lf", &x, &y, &radius) != 3) continue;
    ++arcs;
    CHECK(Vec2(x - 30, y - 10).norm() < 0.1);
    CHECK(radius == Approx(240).margin(0.1));
  }
  CHECK(arcs == 60);
}

TEST_CASE("a day of sixty parts takes a group of twenty about three hours", "[kit]") {
  // Common practice, no published source. Parts of 3 m outline with a dozen sharp turns and three
  // tabs, twelve modules of five, two saws, 10 stacks of 6.
  const CuttingOptions cutting;
  EventWork work;
  work.parts = 60, work.modules = 12, work.tabs_per_part = 3, work.joints_in_module = 5;
  for (int k = 0; k < 11; ++k)
    work.stacks.push_back(
        {6, cutting.stack_s / 60, 3000 / cutting.feed_mm_per_min + 12 * cutting.corner_s / 60});
  work.joints_at_step.assign(12, 5);
  work.joints_at_step[0] = 0;
  const ScheduleOptions stations;
  REQUIRE(stations.people == 20);
  DayOptions options;
  const DayPlan day = make_day_plan(work, stations, options, true, true);
  CAPTURE(day.minutes);
  CHECK(day.minutes > 150);
  CHECK(day.minutes < 225);
  for (const DaySpan& span : day.spans) {
    CHECK(span.to > span.from);
    CHECK(span.to <= day.minutes + 1e-9);
  }
  // Cutting is the longest; the crew at the construction waits for modules, so its work counts.
  const auto& at_station = day.schedule.stations;
  const double cutting_min = at_station[static_cast<int>(Station::cut)].to -
                             at_station[static_cast<int>(Station::trace)].from;
  CHECK(cutting_min >
        at_station[static_cast<int>(Station::assembly)].work_min / stations.assembly_people);
  CHECK(cutting_min > day.schedule.minutes / 3);
  // Laws: every part of the day makes it longer; what is told to help does, and nothing else is.
  DayOptions painted = options, lazy = options;
  painted.painted = true;
  lazy.break_min = 40;
  CHECK(make_day_plan(work, stations, painted, true, true).minutes > day.minutes + 20);
  CHECK(make_day_plan(work, stations, lazy, true, true).minutes > day.minutes + 20);
  for (const Saving& saving : find_savings(work, stations, painted)) {
    CHECK(saving.minutes >= 3);
    CHECK(saving.minutes < day.minutes + 100);
  }
  ScheduleOptions crowd = stations;
  crowd.people = 200, crowd.saws = 40;
  for (const Saving& saving : find_savings(work, crowd, options)) {
    CHECK(saving.what != "five more people");
    CHECK(saving.what != "one more saw");
  }
}

TEST_CASE("the day takes what such days take, and obeys its laws", "[kit]") {
  // Common practice, no published source: a scroll-saw stack of about six sheets of single-wall
  // board, which is about 4 mm thick, is about 25 mm high.
  CuttingOptions cutting;
  const CuttingPlan plan = plan_cutting({{0, 0}, {500, 0}, {500, 250}, {0, 250}}, {}, 60, cutting);
  CHECK(plan.blanks_per_stack == 6);
  CHECK(plan.stacks == 10);
  // Common practice, no published source: sixty parts take a group about three hours to cut,
  // assemble and glue, cutting being the longest. Setting: curly parts of 3 m outline with a dozen
  // sharp turns and four tabs, twelve modules of five, one saw, fifteen people.
  ScheduleOptions options;
  options.saws = 1;
  options.people = 15;
  EventWork work;
  work.parts = 60, work.modules = 12, work.tabs_per_part = 4, work.joints_in_module = 5;
  for (int k = 0; k < 10; ++k)
    work.stacks.push_back(
        {6, cutting.stack_s / 60, 3000 / cutting.feed_mm_per_min + 12 * cutting.corner_s / 60});
  work.joints_at_step.assign(12, 5);
  work.joints_at_step[0] = 0;
  const Schedule schedule = simulate(work, options);
  CHECK(schedule.minutes > 120);
  CHECK(schedule.minutes < 240);
  const auto length_of = [&](Station from, Station to) {
    return schedule.stations[static_cast<int>(to)].to -
           schedule.stations[static_cast<int>(from)].from;
  };
  CAPTURE(schedule.minutes);
  CHECK(length_of(Station::trace, Station::cut) > length_of(Station::module, Station::module));
  // Assembling waits for modules; the time its crew works is what counts.
  CHECK(length_of(Station::trace, Station::cut) >
        schedule.stations[static_cast<int>(Station::assembly)].work_min / options.assembly_people);
  // Laws: one more saw or more people never make the day much longer; work fits into the people's
  // time.
  for (int saws = 1; saws < 5; ++saws) {
    ScheduleOptions a = options, b = options;
    a.saws = saws;
    b.saws = saws + 1;
    CHECK(simulate(work, b).minutes <= simulate(work, a).minutes * 1.1);
  }
  double work_minutes = 0;
  for (const auto& span : schedule.stations) work_minutes += span.work_min;
  CHECK(schedule.minutes * options.people >= work_minutes);
  CHECK(schedule.stations[static_cast<int>(Station::assembly)].to == Approx(schedule.minutes));
  const Savings savings = measure_savings(work, options);
  CHECK(savings.saw_min > 10);  // with one saw the saw is what holds it up
  CHECK(name_bottleneck(schedule, savings, options, true).find("saws are the bottleneck") !=
        std::string::npos);
}

TEST_CASE("no label of a template reaches beyond its part", "[kit]") {
  // A narrow part, everything that is written on it close to its edges.
  TemplateDrawing drawing;
  drawing.cut_mm = {{{0, 0}, {60, 0}, {60, 240}, {0, 240}}};
  drawing.name = "A name that is far longer than its part is wide";
  drawing.hash = "01234567";
  drawing.letters = {{Vec2(2, 3), "A1"}, {Vec2(58, 238), "A2"}};
  for (int copy = 0; copy < 4; ++copy)
    drawing.add_hanging_hole({8, 10}, copy, "P" + std::to_string(copy + 1));
  Page page(100, 300);
  draw_part(page, drawing, {{20, 270}, 1});
  const std::string svg = page.to_svg();
  const std::regex text("<text x=\"([-0-9.]+)\" y=\"([-0-9.]+)\"([^>]*)>([^<]*)</text>"),
      size("font-size=\"([0-9.]+)\"");
  int labels = 0;
  for (std::sregex_iterator it(svg.begin(), svg.end(), text), end; it != end; ++it) {
    const std::string how = (*it)[3], words = (*it)[4];
    if (how.find("middle") == std::string::npos || how.find("rotate") != std::string::npos)
      continue;
    std::smatch found;
    REQUIRE(std::regex_search(how, found, size));
    const double x = std::stod((*it)[1]), y = std::stod((*it)[2]);
    const double half =
        measure_text_width(words, std::stod(found[1]), how.find("bold") != std::string::npos) / 2;
    CAPTURE(words);
    CHECK(x - half >= 20 - 0.1);
    CHECK(x + half <= 80 + 0.1);
    CHECK(y <= 270 + 0.1);
    CHECK(y >= 30);
    ++labels;
  }
  CHECK(labels >= 5);
}

TEST_CASE("beyond a hundred sheets a kit says that it writes no files of them", "[kit]") {
  const Design design = make_sample("Ih");
  KitOptions options = make_kit_options(design);
  // So small that one part fills a sheet.
  const Rectangle least =
      measure_least_rectangle(make_finished(design, options.flat).parts[0].pattern.outline_mm);
  const double margins = 2 * options.purchase.sheet.edge_margin_mm + 2;
  options.purchase.sheet.long_mm = least.long_mm + margins;
  options.purchase.sheet.short_mm = least.short_mm + margins;
  const Kit kit = make_kit(design, options);
  CHECK(std::none_of(kit.files.begin(), kit.files.end(),
                     [](const KitFile& file) { return file.name.rfind("sheet-", 0) == 0; }));
  CHECK(std::any_of(kit.warnings.begin(), kit.warnings.end(), [](const std::string& warning) {
    return warning.find("files of whole sheets are written for up to 100") != std::string::npos;
  }));
}

TEST_CASE("the nest lays out what the kit cuts", "[kit][nest]") {
  // The fold of the board and the side of the tabs are the same: so is the part.
  const ScratchFolder folder;
  const ProgramResult found =
      run_sixtyfold({"find", "--group", "O", "--material", "corrugated-bc", "--budget", "6000",
                     "--count", "1", "--out", "run", "--quiet"},
                    folder.path());
  REQUIRE(found.status == 0);
  REQUIRE(run_sixtyfold({"kit", "run/001.json", "--spares", "0", "--out", "kit"}, folder.path())
              .status == 0);
  const ProgramResult nest = run_sixtyfold({"nest", "run/001.json", "--json"}, folder.path());
  REQUIRE(nest.status == 0);
  write_file(folder.path() / "nest.json", nest.out);
  // Python measures the nest's polygon and the first outline of the kit's first sheet.
  const ProgramResult same = run_program(
      {"python3", "-c",
       "import json, re\n"
       "def area(ps): return abs(sum(a[0]*b[1]-b[0]*a[1] for a, b in zip(ps, ps[1:]+ps[:1])))/2\n"
       "mine = area(json.load(open('nest.json'))['parts'][0]['flat_pattern_mm'])\n"
       "path = re.search(r'id=\"CUT\".*?d=\"M(.*?)Z', open('kit/sheet-01.svg').read(), re.S)[1]\n"
       "theirs = area([tuple(map(float, p.split())) for p in path.split('L')])\n"
       "print(mine, theirs); assert abs(mine / theirs - 1) < 1e-4\n"},
      folder.path());
  INFO(same.out << same.err);
  CHECK(same.status == 0);
  const ProgramResult check = run_sixtyfold({"check", "run/001.json"}, folder.path());
  CHECK(check.out.find("kit and nest lay them out with the board's fold") != std::string::npos);
}
