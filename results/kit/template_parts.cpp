#include "results/kit/template_parts.h"

#include <algorithm>
#include <cmath>

#include "engine/nest/nest.h"
#include "engine/shape/hub.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

/// Text along a line, readable from below.
double text_angle_deg(const Vec2& along) {
  double angle = to_degrees(std::atan2(-along.y(), along.x()));
  if (angle > 90) angle -= 180;
  if (angle <= -90) angle += 180;
  return angle;
}

const char* const slot_line =
    "A slot goes into the slot with the same letter and the other number of another panel (A1 into "
    "A2, and a "
    "letter alone into its like), until both bottoms touch.";

}  // namespace

Box measure_drawing_box(const TemplateDrawing& drawing) {
  return measure_box(drawing.cut_mm.front());
}

Vec2 rotate(const Vec2& p, double angle) {
  return {std::cos(angle) * p.x() - std::sin(angle) * p.y(),
          std::sin(angle) * p.x() + std::cos(angle) * p.y()};
}

TemplateDrawing turn_drawing(TemplateDrawing drawing, double angle) {
  const auto turn = [&](Vec2& p) { p = rotate(p, angle); };
  for (Polygon& ring : drawing.cut_mm)
    for (Vec2& p : ring) turn(p);
  for (auto& line : drawing.lines) turn(line.from), turn(line.to);
  for (Vec2& p : drawing.pricks_mm) turn(p);
  for (auto& letter : drawing.letters) turn(letter.first);
  drawing.grain_rad += angle;
  return drawing;
}

TemplateDrawing lay_across(const TemplateDrawing& drawing) {
  return turn_drawing(drawing, -measure_least_rectangle(drawing.cut_mm.front()).direction_rad);
}

void draw_part(Page& page, const TemplateDrawing& drawing, const PartPlace& place, bool filled) {
  const bool small = place.scale < 0.6;
  for (const Polygon& ring : drawing.cut_mm)
    page.add_polygon(place(ring), {"#000000", small ? 0.25 : 0.4, filled ? "#fffdf7" : "", ""});
  for (const TemplateDrawing::Line& line : drawing.lines) {
    const char* colour = !line.is_fold   ? seat_colour
                         : line.side > 0 ? fold_up_colour
                                         : fold_down_colour;
    PageStyle style{colour, small ? 0.2 : 0.35, "", ""};
    if (line.is_fold)
      style.dashes_mm = line.side > 0 ? (small ? "2 1" : "6 3") : (small ? "2 1 0.5 1" : "6 2 1 2");
    else if (line.side < 0)
      style.dashes_mm = small ? "0.6 0.8" : "1.2 1.6";
    page.add_line(place(line.from), place(line.to), style);
    if (small) continue;
    const Vec2 along = (line.to - line.from).normalized(), left(-along.y(), along.x());
    std::string label;
    if (line.is_fold)
      label = std::string(line.side > 0 ? "fold up " : "fold down ") +
              format("%.0f", line.angle_deg) + "\u00b0";
    else
      label = "seat " + line.letter + (line.side > 0 ? "" : " (other face)");
    const double length = (line.to - line.from).norm();
    PageText how;
    how.size_mm = std::min(4.0, length / (0.62 * static_cast<double>(label.size())));
    how.at = TextAt::middle;
    how.colour = colour;
    how.turned_deg = text_angle_deg(along);
    // Inside of a fold, above a seat; the side that is up on the page gets the smaller shift.
    const Vec2 middle = (line.from + line.to) / 2;
    const double up = left.y() > 0 || (left.y() == 0 && left.x() < 0) ? 1.6 : 4.6;
    page.add_text(place(middle + up * left), label, how);
  }
  for (const Vec2& p : drawing.pricks_mm) {
    page.add_circle(place(p), small ? 0.5 : 1.2, {"#000000", 0.25, "", ""});
    page.add_circle(place(p), small ? 0.12 : 0.25, {"", 0, "#000000", ""});
  }
  for (const auto& [where, letter] : drawing.letters) {
    PageText how;
    how.size_mm = small ? 2.6 : 9;
    how.at = TextAt::middle;
    how.bold = true;
    page.add_text(place(where) + Vec2(0, 0.35 * how.size_mm), letter, how);
  }
  if (small) return;
  // The grain arrow and the part's name where there is most room.
  const Vec2 centre = find_hub(drawing.cut_mm.front());
  const double room = distance_to_boundary(drawing.cut_mm.front(), centre),
               text_size = std::clamp(room / 12, 3.2, 7.0);
  if (drawing.has_grain) {
    const Vec2 dir(std::cos(drawing.grain_rad), std::sin(drawing.grain_rad)),
        side(-dir.y(), dir.x());
    const Vec2 middle = centre + (side.y() > 0 ? 1 : -1) * 2.2 * text_size * side;
    const double half = std::clamp(0.8 * room, 12.0, 60.0);
    const Vec2 a = middle - half * dir, b = middle + half * dir;
    const PageStyle style{"#666666", 0.4, "", ""};
    page.add_line(place(a), place(b), style);
    for (const double s : {-1.0, 1.0}) {
      page.add_line(place(b), place(b - 5 * dir + s * 2.5 * side), style);
      page.add_line(place(a), place(a + 5 * dir + s * 2.5 * side), style);
    }
    PageText how;
    how.size_mm = 0.8 * text_size;
    how.at = TextAt::middle;
    how.colour = "#666666";
    how.turned_deg = text_angle_deg(dir);
    page.add_text(place(middle + (side.y() > 0 ? 1.6 : -1.6) * side), "grain", how);
  }
  PageText how;
  how.at = TextAt::middle;
  how.colour = "#444444";
  how.size_mm = text_size;
  how.bold = true;
  page.add_text(place(centre) + Vec2(0, 0.4 * text_size), "OUTSIDE FACE", how);
  how.bold = false;
  how.size_mm = 0.75 * text_size;
  page.add_text(place(centre) + Vec2(0, 1.6 * text_size),
                drawing.name + "  \u00b7  1 : 1  \u00b7  " + drawing.hash, how);
}

std::vector<std::string> find_reading_lines(const TemplateDrawing& drawing) {
  if (drawing.has_slots_alone())
    return {"Black: cut. Try one pair of parts before cutting the rest.", slot_line};
  std::vector<std::string> lines = {
      "Black: cut. Red dashes: fold up, towards you. Blue dash-dot: fold down. Score before "
      "folding; check the "
      "angle with the coupon.",
      "Green: seat, where the tab with the same letter is glued; dotted when it is on the other "
      "face: prick its "
      "ends through the board.",
      "Small circle: prick through. Small notch in the outline: end of a fold or seat line.",
  };
  if (drawing.has_slots) lines.push_back(slot_line);
  return lines;
}

const char* const knife_caution =
    "Knives and saws cut people too: the adult in charge decides who cuts. Cut away from the hand "
    "on a mat with a "
    "steel rule; read the saw maker's manual; wear eye protection at the saw. Local rules come "
    "first.";

}  // namespace sixtyfold
