#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <map>
#include <set>
#include <sstream>

#include "engine/shape/boolean.h"
#include "results/build_guide.h"
#include "results/event_plan.h"
#include "results/kit_template.h"
#include "tests/support/polyhedra.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Reads the closed polylines of a layer of an R12 DXF: pairs of code and value lines, nothing of ours.
std::vector<Polygon> read_polylines(const std::string& dxf, const std::string& layer) {
  std::istringstream in(dxf);
  std::vector<Polygon> rings;
  std::string code, value, entity;
  bool wanted = false;
  while (std::getline(in, code) && std::getline(in, value)) {
    const int number = std::stoi(code);
    if (number == 0) {
      entity = value;
      if (entity == "POLYLINE") rings.emplace_back();
      if (entity == "VERTEX") rings.back().emplace_back(0, 0);
    }
    if (number == 8 && entity == "POLYLINE") wanted = value == layer;
    if (entity == "VERTEX" && wanted && number == 10) rings.back().back().x() = std::stod(value);
    if (entity == "VERTEX" && wanted && number == 20) rings.back().back().y() = std::stod(value);
  }
  return rings;
}

/// The tab as a builder folds it: turned about its fold line by the printed angle, up or down.
std::vector<Vec3> fold(const Tab& tab) {
  const Vec2 a = tab.fold_from_mm;
  const Vec3 axis = Vec3(tab.fold_to_mm.x() - a.x(), tab.fold_to_mm.y() - a.y(), 0).normalized();
  const Eigen::AngleAxisd turn(-tab.fold_side * tab.fold_rad, axis);
  std::vector<Vec3> folded;
  for (const Vec2& p : tab.outline_mm)
    folded.push_back(Vec3(a.x(), a.y(), 0) + turn * Vec3(p.x() - a.x(), p.y() - a.y(), 0));
  return folded;
}

}  // namespace

TEST_CASE("every tab, folded in space, lies on the face it is named for", "[kit]") {
  Limits limits;
  int designs = 0, tabs = 0;
  for (const char* symbol : {"I", "O", "T", "D5", "D3", "C6", "Td", "D7", "Ih", "C4", "Oh", "D3d"}) {
    int of_group = 0;
    for (std::uint64_t index = 0; index < 150 && of_group < 20; ++index) {
      const auto design = make_random_design(symbol, limits, 300 + index, index % 6 == 5);
      if (!design) continue;
      ++of_group, ++designs;
      const Finished finished = make_finished(*design, FlatOptions{});
      const FlatPattern& pattern = finished.parts[0].pattern;
      const Frame own = make_copy_frame(*design, 0);
      const double t = design->thickness_mm;
      CHECK(measure_slabs(*design, finished).overlaps.empty());  // crossing no panel, overlapping no tab
      for (const Tab& tab : pattern.tabs) {
        const PanelJoint& joint = finished.joints.joints[0][at(tab.joint)];
        if (joint.role != JointRole::tab_edge) continue;
        ++tabs;
        const Frame mate = make_copy_frame(*design, tab.mate);
        Polygon on_mate;
        double height = 0;
        for (const Vec3& p : fold(tab)) {
          const Vec3 space = own.origin + p.x() * own.x_axis + p.y() * own.y_axis + p.z() * own.normal;
          height = mate.height_of(space);
          CHECK(std::abs(std::abs(height) - t) < 1e-3);  // one thickness from mid-surface to mid-surface
          on_mate.push_back(mate.to_plane(space));
        }
        on_mate = make_counter_clockwise(on_mate);
        // Inside the face; of an edge-to-edge joint the fold itself may stand past the mate's edge.
        const double outside = measure_set_area(make_difference({on_mate}, {design->orbits[0].panel.outline_mm}));
        if (joint.kind == JointKind::tab) CHECK(outside < 0.1);
        else CHECK(outside <= measure_area(on_mate) * 0.5);
        // Over its seat: the meeting line's segment runs along the tab.
        const Joint& whole = design->joints[at(joint.joint)];
        const Vec2 from = mate.to_plane(whole.from_mm), to = mate.to_plane(whole.to_mm);
        const Vec2 along = (to - from).normalized();
        for (const Vec2& p : on_mate) {
          CHECK(along.dot(p - from) > -0.2);
          CHECK(along.dot(p - to) < 0.2);
        }
        CHECK(std::abs(cross(along, Vec2(measure_centroid(on_mate) - from))) < tab.depth_mm + t / std::tan(std::min(tab.fold_rad, pi - tab.fold_rad)) + t);
      }
    }
  }
  CHECK(designs >= 100);
  CHECK(tabs > 100);
}

TEST_CASE("the DXF read back gives the cut line, and the pages their sizes and bars", "[kit]") {
  const Design design = make_dodecahedron(300, 4);
  const Finished finished = make_finished(design, FlatOptions{});
  TemplateOptions options;
  const TemplateDrawing drawing = make_template_drawing(design, finished, 0, options);
  const auto rings = read_polylines(make_template_dxf(drawing), "CUT");
  REQUIRE(rings.size() == drawing.cut_mm.size());
  REQUIRE(rings[0].size() == drawing.cut_mm[0].size());
  for (std::size_t i = 0; i < rings[0].size(); ++i) CHECK((rings[0][i] - drawing.cut_mm[0][i]).norm() < 1e-3);

  // ISO 216: A4 210 x 297 mm, A3 297 x 420 mm; ANSI/ASME Y14.1 Letter 215.9 x 279.4 mm.
  CHECK(measure_paper(Paper::a4) == Vec2(210, 297));
  CHECK(measure_paper(Paper::a3) == Vec2(297, 420));
  CHECK(measure_paper(Paper::letter) == Vec2(215.9, 279.4));
  for (const Paper paper : {Paper::a4, Paper::a3, Paper::letter}) {
    options.paper = paper;
    const auto pages = make_tiled_pages(drawing, options);
    REQUIRE(pages.size() > 1);
    for (const Page& page : pages) {
      CHECK(std::min(page.width_mm(), page.height_mm()) == measure_paper(paper).x());
      CHECK(std::max(page.width_mm(), page.height_mm()) == measure_paper(paper).y());
      CHECK(page.to_svg().find("this bar must measure 100 mm") != std::string::npos);
    }
    const std::string pdf = make_pdf(pages);
    CHECK(pdf == make_pdf(pages));
    // Media boxes in points of 1/72 inch (ISO 32000-1).
    std::size_t boxes = 0;
    for (std::size_t k = pdf.find("/MediaBox [ 0 0 "); k != std::string::npos; k = pdf.find("/MediaBox [ 0 0 ", k + 1)) {
      std::istringstream numbers(pdf.substr(k + 16, 40));
      double width = 0, height = 0;
      numbers >> width >> height;
      CHECK(std::min(width, height) == Approx(measure_paper(paper).x() * 72 / 25.4).margin(0.01));
      ++boxes;
    }
    CHECK(boxes == pages.size());
  }
}

TEST_CASE("tiles laid together by their overlaps are the template again", "[kit]") {
  // The map from a tile to the part is a pure shift by whole steps: check it on the windows' shifts in the
  // SVG, which are what a printer sees.
  const Design design = make_dodecahedron(400, 4);
  const Finished finished = make_finished(design, FlatOptions{});
  TemplateOptions options;
  const TemplateDrawing drawing = make_template_drawing(design, finished, 0, options);
  std::map<std::pair<int, int>, Vec2> shifts;
  Vec2 window(0, 0);
  for (const Page& page : make_tiled_pages(drawing, options)) {
    const std::string svg = page.to_svg();
    const std::size_t where = svg.find("<g transform=\"translate(");
    if (where == std::string::npos) continue;
    std::istringstream in(svg.substr(where + 24, 40));
    Vec2 shift;
    in >> shift.x() >> shift.y();
    const std::size_t row_at = svg.find(">row ");
    REQUIRE(row_at != std::string::npos);
    int row = 0, column = 0;
    REQUIRE(std::sscanf(svg.c_str() + row_at, ">row %d, column %d", &row, &column) == 2);
    shifts[{row, column}] = shift;
    window = {page.width_mm() - 23, page.height_mm() - 28};
  }
  REQUIRE(shifts.size() > 3);
  const Vec2 first = shifts.begin()->second;
  const auto [row0, column0] = shifts.begin()->first;
  for (const auto& [place, shift] : shifts) {
    CHECK(shift.x() - first.x() == Approx(-(place.second - column0) * (window.x() - options.overlap_mm)).margin(1e-3));
    CHECK(shift.y() - first.y() == Approx(-(place.first - row0) * (window.y() - options.overlap_mm)).margin(1e-3));
  }
}

TEST_CASE("the order of assembly makes every joint once and pushes through nothing", "[kit]") {
  // Replayed by small steps of the moving module, not by swept hulls.
  Limits limits;
  int designs = 0, straight = 0;
  for (const char* symbol : {"T", "D5", "C6", "D3"})
    for (std::uint64_t index = 0; index < 12; ++index) {
      const auto design = make_random_design(symbol, limits, 700 + index);
      if (!design) continue;
      ++designs;
      const Finished finished = make_finished(*design, FlatOptions{});
      const AssemblyPlan plan = plan_assembly(*design, finished);
      std::set<int> made, placed;
      const auto plates_of = [&](int copy, double shrink) {
        std::vector<std::pair<ConvexPlate, bool>> plates;
        const Frame frame = make_copy_frame(*design, copy);
        for (std::size_t i = 0; i < finished.parts[0].plates.size(); ++i) {
          ConvexPlate plate = finished.parts[0].plates[i];
          const auto turn = [&](const Vec3& v) { return Vec3(v.x() * frame.x_axis + v.y() * frame.y_axis + v.z() * frame.normal); };
          for (Vec3& p : plate.middle) p = frame.origin + turn(p);
          plate.half = shrink * turn(plate.half);
          plates.emplace_back(plate, finished.parts[0].tab_of[i] >= 0);
        }
        return plates;
      };
      for (const auto& joints : plan.joints_in_module)
        for (const int n : joints) CHECK(made.insert(n).second);
      for (const AssemblyStep& step : plan.steps) {
        for (const int n : step.joints) {
          CHECK(made.insert(n).second);
          const Joint& joint = design->joints[at(n)];
          CHECK((placed.count(joint.panels[0]) + placed.count(joint.panels[1])) == 1);
        }
        if (!placed.empty()) CHECK(!step.joints.empty());
        if (!placed.empty() && step.coming_in != ComingIn::no_straight_push) {
          ++straight;
          const bool tabs_too = step.coming_in == ComingIn::straight;
          bool hit = false;
          for (double s = 0; s < 500 && !hit; s += 25)
            for (const int moving : step.copies)
              for (auto [plate, is_tab] : plates_of(moving, 0.9)) {
                if (is_tab && !tabs_too) continue;
                for (Vec3& p : plate.middle) p += s * step.push;
                for (const int standing : placed)
                  for (const auto& [other, other_tab] : plates_of(standing, 0.9))
                    hit = hit || (!(other_tab && !tabs_too) && measure_distance(plate, other).distance <= 0);
              }
          CHECK_FALSE(hit);
        }
        placed.insert(step.copies.begin(), step.copies.end());
      }
      CHECK(made.size() == design->joints.size());
      CHECK(static_cast<int>(placed.size()) == count_copies(*design));
    }
  CHECK(designs >= 5);
  CHECK(straight > 5);
}

TEST_CASE("the day takes what such days take, and obeys its laws", "[kit]") {
  // Common practice, no published source: a scroll-saw stack of about six sheets of single-wall board is
  // about 25 mm high.
  EventOptions options;
  CHECK(static_cast<int>(options.stack_height_mm / 4.0) == 6);
  // Common practice, no published source: sixty parts take a group about three hours to cut, assemble and
  // glue. Setting: parts of 1.5 m outline with three tabs, twenty modules, one saw, twenty people.
  options.saws = 1;
  EventWork work;
  work.parts = 60, work.spares = 3, work.modules = 20, work.parts_per_stack = 6;
  work.cut_length_mm = 1500, work.tabs_per_part = 3, work.joints_in_module = 3;
  work.joints_at_step.assign(20, 4);
  work.joints_at_step[0] = 0;
  const Schedule schedule = simulate(work, options);
  CHECK(schedule.minutes > 100);
  CHECK(schedule.minutes < 260);
  // Laws: one more saw or more people never make the day much longer; no work, no time.
  for (int saws = 1; saws < 5; ++saws) {
    EventOptions a = options, b = options;
    a.saws = saws;
    b.saws = saws + 1;
    CHECK(simulate(work, b).minutes <= simulate(work, a).minutes * 1.1);
  }
  double work_minutes = 0;
  for (const auto& span : schedule.stations) work_minutes += span.work_min;
  CHECK(schedule.minutes * options.people >= work_minutes);
  CHECK(schedule.stations[4].to == Approx(schedule.minutes));
}
