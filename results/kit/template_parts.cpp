#include "results/kit/template_parts.h"

#include <algorithm>
#include <cmath>

#include "engine/nest/nest.h"
#include "engine/shape/hub.h"
#include "engine/text.h"
#include "results/drawings/text_width.h"

namespace sixtyfold {

namespace {

/// Text along a line, readable from below.
double text_angle_deg(const Vec2& along) {
  double angle = to_degrees(std::atan2(-along.y(), along.x()));
  if (angle > 90) angle -= 180;
  if (angle <= -90) angle += 180;
  return angle;
}

std::string name_line(const TemplateDrawing::Line& line) {
  using Mark = TemplateDrawing::Mark;
  const std::string face = line.side > 0 ? "" : " (other face)";
  switch (line.mark) {
    case Mark::fold:
      return std::string(line.side > 0 ? "fold up " : "fold down ") +
             format("%.0f", line.angle_deg) + "\u00b0";
    case Mark::crease:
      return "crease " + line.letter + face;
    case Mark::free_edge:
      return "free edge " + line.letter + face;
    case Mark::standing_edge:
      return "edge " + line.letter + " stands here" + face;
    case Mark::middle:
      return "middle";
    case Mark::end:
      break;
  }
  return "";
}

/// Where the part's name and the grain arrow have most room beside the seats, and how much.
std::pair<Vec2, double> find_room(const TemplateDrawing& drawing) {
  const Polygon& outline = drawing.cut_mm.front();
  const Box box = measure_box(outline);
  Vec2 best = find_hub(outline);
  double room = 0;
  constexpr int steps = 48;
  for (int k = 0; k < steps * steps; ++k) {
    const Vec2 p = box.low + Vec2((k % steps + 0.5) / steps * box.size().x(),
                                  (k / steps + 0.5) / steps * box.size().y());
    if (!contains(outline, p)) continue;
    double free = distance_to_boundary(outline, p);
    for (std::size_t r = 1; r < drawing.cut_mm.size() && free > room; ++r)
      free = contains(drawing.cut_mm[r], p)
                 ? 0
                 : std::min(free, distance_to_boundary(drawing.cut_mm[r], p));
    for (const TemplateDrawing::SeatArea& seat : drawing.seats)
      if (free > room && seat.area_mm.size() >= 3)
        free =
            contains(seat.area_mm, p) ? 0 : std::min(free, distance_to_boundary(seat.area_mm, p));
    for (const TemplateDrawing::HangingHole& hole : drawing.holes)
      free = std::min(free, (hole.middle - p).norm() - 14);
    if (free > room) best = p, room = free;
  }
  return {best, std::max(room, 1.0)};
}

/// A text about its middle, moved so far that it stays beside the part and on its page; smaller and
/// in lines where it is longer than the part.
void add_label(Page& page, const Box& part, Vec2 anchor, const std::string& text, PageText how) {
  const double room = part.size().x();
  double own = measure_text_width(text, how.size_mm, how.bold);
  if (own > room) how.size_mm = std::max(std::min(2.4, how.size_mm), how.size_mm * room / own);
  const std::vector<std::string> lines = break_lines(text, room, how.size_mm, how.bold);
  own = 0;
  for (const std::string& line : lines)
    own = std::max(own, measure_text_width(line, how.size_mm, how.bold));
  const double half = std::min(own, room) / 2, step = line_spacing * how.size_mm,
               below = step * static_cast<double>(lines.size() - 1),
               top = part.low.y() + 0.73 * how.size_mm;
  anchor.x() = std::clamp(anchor.x(), part.low.x() + half, part.high.x() - half);
  anchor.y() = std::clamp(anchor.y(), top, std::max(top, part.high.y() - below));
  for (const std::string& line : lines) {
    page.add_text(anchor, line, how);
    anchor.y() += step;
  }
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
  for (auto& seat : drawing.seats)
    for (Vec2& p : seat.area_mm) turn(p);
  for (auto& hole : drawing.holes) turn(hole.middle);
  for (Vec2& p : drawing.pricks_mm) turn(p);
  for (auto& letter : drawing.letters) turn(letter.first);
  drawing.grain_rad += angle;
  return drawing;
}

TemplateDrawing mirror_drawing(TemplateDrawing drawing) {
  const auto flip = [](Vec2& p) { p.x() = -p.x(); };
  for (Polygon& ring : drawing.cut_mm) {
    for (Vec2& p : ring) flip(p);
    std::reverse(ring.begin(), ring.end());
  }
  for (auto& line : drawing.lines) flip(line.from), flip(line.to), line.side = -line.side;
  for (auto& seat : drawing.seats) {
    for (Vec2& p : seat.area_mm) flip(p);
    seat.side = -seat.side;
  }
  for (auto& hole : drawing.holes) flip(hole.middle);
  for (Vec2& p : drawing.pricks_mm) flip(p);
  for (auto& letter : drawing.letters) flip(letter.first);
  drawing.grain_rad = pi - drawing.grain_rad;
  return drawing;
}

TemplateDrawing lay_across(const TemplateDrawing& drawing) {
  return turn_drawing(drawing, -measure_least_rectangle(drawing.cut_mm.front()).direction_rad);
}

void draw_part(Page& page, const TemplateDrawing& drawing, const PartPlace& place, bool filled) {
  const bool small = place.scale < 0.6;
  const Box whole = measure_box(place(drawing.cut_mm.front()));
  std::vector<Polygon> borders;
  for (const Polygon& ring : drawing.cut_mm) borders.push_back(place(ring));
  page.add_curved(borders, place.scale,
                  {"#000000", small ? 0.25 : 0.4, filled ? "#fffdf7" : "", ""});
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
    std::string label = name_line(line);
    if (label.empty()) continue;
    const double length = (line.to - line.from).norm();
    PageText how;
    how.size_mm = std::min(4.0, length / (0.62 * static_cast<double>(label.size())));
    if (how.size_mm < 1.5) continue;
    how.at = TextAt::middle;
    how.colour = colour;
    how.turned_deg = text_angle_deg(along);
    // Inside of a fold and of a seat; the side that is up on the page gets the smaller shift.
    Vec2 inside = left;
    for (const TemplateDrawing::SeatArea& seat : drawing.seats)
      if (!line.is_fold && seat.letter == line.letter && seat.side == line.side &&
          distance_to_boundary(seat.area_mm, (line.from + line.to) / 2) < 0.5 &&
          left.dot(measure_centroid(seat.area_mm) - line.from) < 0)
        inside = -left;
    const Vec2 middle = (line.from + line.to) / 2;
    const double up = inside.y() > 0 || (inside.y() == 0 && inside.x() < 0) ? 1.6 : 4.6;
    page.add_text(place(middle + up * inside), label, how);
  }
  for (const TemplateDrawing::SeatArea& seat : drawing.seats) {
    if (seat.area_mm.size() < 3) continue;
    PageText how;
    how.size_mm = small ? 2.2 : 9;
    how.at = TextAt::middle;
    how.bold = true;
    how.colour = seat_colour;
    page.add_text(place(measure_centroid(seat.area_mm)) + Vec2(0, 0.35 * how.size_mm),
                  seat.letter + (seat.side > 0 ? "" : "\u2032"), how);
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
    add_label(page, whole, place(where) + Vec2(0, 0.35 * how.size_mm), letter, how);
  }
  if (small) return;
  for (const TemplateDrawing::HangingHole& hole : drawing.holes) {
    const PageStyle style{hanging_colour, 0.4, "", "2 1.2"};
    page.add_circle(place(hole.middle), 5, style);
    for (const Vec2& d : {Vec2(8, 0), Vec2(0, 8)})
      page.add_line(place(hole.middle - d), place(hole.middle + d), style);
    add_label(page, whole, place(hole.middle) + Vec2(0, 12.5), hole.panels + " only",
              {3.2, TextAt::middle, hanging_colour, false, 0});
  }
  const auto [centre, room] = find_room(drawing);
  const double text_size = std::clamp(room / 12, 3.2, 7.0);
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
  add_label(page, whole, place(centre) + Vec2(0, 0.4 * text_size), "OUTSIDE FACE", how);
  how.bold = false;
  how.size_mm = 0.75 * text_size;
  add_label(page, whole, place(centre) + Vec2(0, 1.6 * text_size),
            drawing.name + "  \u00b7  1 : 1  \u00b7  " + drawing.hash, how);
}

std::vector<std::string> find_reading_lines(const TemplateDrawing& drawing) {
  const std::string violet =
      "Violet: holes to hang it from, drilled 10 mm wide in the panels named and in no others, "
      "once "
      "the numbers are on; see the plan of the day.";
  if (drawing.has_slots_alone()) {
    std::vector<std::string> lines = {"Black: cut. Try one pair of parts before cutting the rest.",
                                      slot_line};
    if (!drawing.holes.empty()) lines.push_back(violet);
    return lines;
  }
  std::vector<std::string> lines = {
      "Black: cut. Red dashes: fold up, towards you. Blue dash-dot: fold down. Score before "
      "folding; hold each fold against its gauge.",
      "Green: seat, the outline of what the tab with the same letter covers. Lay its crease on the "
      "line named crease and its free edge on the line named free edge. Dotted, and the letter "
      "with "
      "\u2032: on the other face; prick its corners through the board.",
      "Small circle: prick through. Small notch in the outline: end of a fold or seat line.",
  };
  if (!drawing.holes.empty()) lines.push_back(violet);
  if (!drawing.hinge_note.empty()) lines.push_back(drawing.hinge_note);
  if (std::any_of(drawing.lines.begin(), drawing.lines.end(),
                  [](const auto& line) { return line.mark == TemplateDrawing::Mark::middle; }))
    lines.push_back(
        "A tab with a line named middle is glued to the tab with its letter of another panel: "
        "crease on crease, middle on middle.");
  if (drawing.has_slots) lines.push_back(slot_line);
  return lines;
}

const char* const knife_caution =
    "Knives and saws cut people too: the adult in charge decides who cuts. Cut away from the hand "
    "on a mat with a "
    "steel rule; read the saw maker's manual; wear eye protection at the saw. Local rules come "
    "first.";

}  // namespace sixtyfold
