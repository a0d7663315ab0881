#include "results/reports/place_report.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "engine/text.h"
#include "results/drawings/drawing_svg.h"
#include "results/drawings/number_text.h"
#include "results/drawings/page.h"
#include "results/drawings/palette.h"
#include "results/drawings/text_width.h"
#include "results/reports/report_page.h"

namespace sixtyfold {
namespace {

/// As few digits as read back as the same number.
std::string write_exact(double value) {
  char text[400];
  const auto end = std::to_chars(text, text + sizeof text, value + 0.0, std::chars_format::fixed);
  return std::string(text, end.ptr);
}

std::string tell_cut(const PlacedPart& part) {
  if (part.kept > 0.9995) return "Nothing of the drawing is cut off.";
  std::string text = format(
      "%.1f %% of the drawing is kept, %.1f %% is cut off where copies would pass through each "
      "other",
      100 * part.kept, 100 * std::max(0.0, 1 - part.kept - part.blunted));
  if (part.blunted > 5e-4)
    text += format(", %.1f %% with tips thinner than the limits allow", 100 * part.blunted);
  return text + ".";
}

}  // namespace

std::string write_placing_options(const PartPlacing& placing) {
  return "--symmetry " + placing.symmetry + " --normal " + write_exact(placing.normal.x()) + "," +
         write_exact(placing.normal.y()) + "," + write_exact(placing.normal.z()) + " --distance " +
         write_exact(placing.distance_mm) + " --scale " + write_exact(placing.scale) + " --turn " +
         write_exact(placing.turn_deg) + " --shift " + write_exact(placing.shift_mm.x()) + "," +
         write_exact(placing.shift_mm.y());
}

std::string make_place_report(const OwnPart& part, const FoundPlace& place) {
  const Score& score = place.inspection.design.score;
  std::string text;
  if (place.inspection.buildable()) {
    text = format("Placed, and it passes the check: %d panels, %d joints, %.2f m across.\n",
                  score.panels, score.joints, score.diameter_mm / 1000);
  } else {
    text = "It does NOT pass the check: " + place.inspection.faults.front() + ".\n";
    for (std::size_t i = 1; i < place.inspection.faults.size(); ++i)
      text += "  And: " + place.inspection.faults[i] + ".\n";
    for (const std::string& advice : place.advice) text += "  " + advice + "\n";
  }
  const Vec2 size = measure_box(part.outline_mm).size();
  text += "  " + tell_cut(place.part) + "\n";
  text += format("  The drawing is %.1f x %.1f mm, %zu points, %zu holes; the part is %s it.\n",
                 size.x(), size.y(), part.outline_mm.size(), part.holes_mm.size(),
                 std::abs(place.placing.scale - 1) < 1e-9
                     ? "as large as"
                     : format("%.3g times as large as", place.placing.scale).c_str());
  if (score.hard_steps > 0)
    text +=
        format("  %d steps of putting it together have no straight way in.\n", score.hard_steps);
  text += "  The place, to give again: " + write_placing_options(place.placing) + "\n";
  if (place.progress.tried > 1)
    text += format("  %llu places tried, %llu of them keep all limits.\n",
                   static_cast<unsigned long long>(place.progress.tried),
                   static_cast<unsigned long long>(place.progress.fitting));
  return text;
}

namespace {

constexpr const char* gone_dashes = "1.4 0.9";

/// The drawing in its plane, what is cut off it and where copies are glued, in a box of the page.
void draw_part(Page& page, const FoundPlace& place, const Box& room) {
  const Design& design = place.inspection.design;
  const Panel& panel = design.orbits.front().panel;
  const Polygon& drawn = place.part.drawn_mm;
  const double turn = measure_least_rectangle(drawn).direction_rad;
  const Box box = measure_box_along(drawn, turn);
  const double scale = std::min(room.size().x() / box.size().x(), room.size().y() / box.size().y());
  const Eigen::Rotation2Dd back(-turn);
  const auto lay = [&](const Vec2& p) -> Vec2 {
    const Vec2 from_middle = scale * (back * p - (box.low + box.high) / 2);
    const Vec2 middle = (room.low + room.high) / 2;
    return {middle.x() + from_middle.x(), middle.y() - from_middle.y()};
  };
  const auto lay_rings = [&](std::vector<Polygon> rings) {
    for (Polygon& ring : rings)
      for (Vec2& p : ring) p = lay(p);
    return rings;
  };
  std::vector<Polygon> kept{panel.outline_mm};
  kept.insert(kept.end(), panel.holes_mm.begin(), panel.holes_mm.end());
  page.add_fine(lay_rings({drawn}), {"", 0, gone_colour, "", false, 0.35});
  page.add_fine(lay_rings(kept), {ink_colour, 0.3, board_colour});
  page.add_fine(lay_rings({drawn}), {gone_colour, 0.3, "", gone_dashes});
  for (const Joint& joint : design.joints) {
    if (joint.panels[0] != 0 && joint.panels[1] != 0) continue;
    page.add_line(lay(panel.frame.to_plane(joint.from_mm)), lay(panel.frame.to_plane(joint.to_mm)),
                  {kept_colour, 1.1, "", "", true});
  }
}

std::vector<std::pair<std::string, std::string>> make_place_rows(const FoundPlace& place) {
  const Score& score = place.inspection.design.score;
  const PartPlacing& at = place.placing;
  const double across = score.diameter_mm / 1000;
  return {{"drawing kept", format("%.1f %%", 100 * place.part.kept)},
          {"panels, joints", format("%d, %d", score.panels, score.joints)},
          {"across", format("%.2f m", across)},
          {"shortest joint", format("%.0f mm", score.shortest_joint_mm)},
          {"plane angles", format("%.0f to %.0f deg", score.min_angle_deg, score.max_angle_deg)},
          {"stiffness number", format("%.3g", score.stiffness)},
          {"sheets", score.sheets > 0 ? format("%d", score.sheets) : std::string("does not fit")},
          {"scale of the drawing", write_number(at.scale, 4)},
          {"plane from the centre", format("%.0f mm", at.distance_mm)},
          {"turned in it", format("%.1f deg", at.turn_deg)},
          {"shifted in it", format("%.0f, %.0f mm", at.shift_mm.x(), at.shift_mm.y())}};
}

}  // namespace

std::string make_place_svg(const OwnPart& part, const FoundPlace& place) {
  const Design& placed = place.inspection.design;
  const bool passes = place.inspection.buildable();
  const std::string title = placed.name + ", placed";
  Page page({297, 210}, title, tell_cut(place.part));
  page.add_ground(paper_colour);
  DrawingOptions drawing;
  drawing.width_mm = 92;
  drawing.height_mm = 88;
  drawing.setting = Setting::plain;
  const Vec2 size(drawing.width_mm, drawing.height_mm), left(10, 30), right(106, 30);
  const Design drawn = make_drawn_design(part, place.placing, placed.limits);
  page.add_svg(make_drawing_svg(drawn, drawing), {left, left + size});
  page.add_svg(make_drawing_svg(placed, drawing), {right, right + size});
  page.add_text({10, 17}, title, {7.5, TextAt::start, ink_colour, true});
  const std::string verdict =
      passes ? "It passes the check."
             : "It does not pass the check: " + place.inspection.faults.front() + ".";
  page.add_text({10, 24}, break_lines(verdict, 277, 3.8).front(),
                {3.8, TextAt::start, passes ? quiet_ink : gone_colour});
  page.add_text({56, 122}, "as drawn, copies through each other", {4, TextAt::middle, quiet_ink});
  page.add_text({152, 122}, "as it can be built", {4, TextAt::middle, ink_colour});
  double y = 34;
  for (const auto& [name, value] : make_place_rows(place)) {
    page.add_text({206, y}, name, {3.6, TextAt::start, quiet_ink});
    page.add_text({287, y}, value, {3.6, TextAt::end, ink_colour});
    page.add_line({206, y + 2.2}, {287, y + 2.2}, {rule_colour, 0.2});
    y += 7.4;
  }
  page.add_line({10, 127}, {287, 127}, {rule_colour, 0.3});
  draw_part(page, place, {{16, 134}, {196, 194}});
  double x = 16;
  const auto legend = [&](const PageStyle& mark, const std::string& label, double step) {
    page.add_line({x, 201.8}, {x + 8, 201.8}, mark);
    page.add_text({x + 10, 203}, label, {3.4, TextAt::start, quiet_ink});
    x += step;
  };
  legend({gone_colour, 0.35, "", gone_dashes}, "drawn", 24);
  legend({ink_colour, 0.35}, "kept", 22);
  legend({kept_colour, 1.1}, "glued: an edge of it, or another's edge on its face", 40);
  double line = 134;
  page.add_text({206, line}, "To place it so again", {4.2, TextAt::start, ink_colour, true});
  for (const std::string& text : break_lines(
           "sixtyfold tune --outline FILE " + write_placing_options(place.placing), 80, 3.4))
    page.add_text({206, line += 5.2}, text, {3.4, TextAt::start, quiet_ink});
  return page.to_svg();
}

}  // namespace sixtyfold
