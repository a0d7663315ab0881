#include "results/kit/template_parts.h"

#include <algorithm>
#include <cmath>

#include "engine/nest/nest.h"

namespace sixtyfold {

namespace {

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
