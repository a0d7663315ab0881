// The part as template, tiles and paper model show it.

#include <algorithm>
#include <cmath>

#include "engine/shape/hub.h"
#include "engine/text.h"
#include "results/drawings/text_width.h"
#include "results/kit/template_parts.h"

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

/// A part being drawn; below 0.6 of its size without words along its lines.
class PartPicture {
 public:
  PartPicture(Page& page, const TemplateDrawing& drawing, const PartPlace& place)
      : page_(page),
        drawing_(drawing),
        place_(place),
        small_(place.scale < 0.6),
        box_(measure_box(place(drawing.cut_mm.front()))) {}

  void draw(bool filled);

 private:
  using Line = TemplateDrawing::Line;

  void add_outline(bool filled);
  void add_line(const Line& line);
  void add_line_name(const Line& line, const char* colour);
  bool is_right_of_seat(const Line& line, const Vec2& left) const;
  void add_seat_letters();
  void add_pricks();
  void add_other_letters();
  void add_hanging_holes();
  void add_grain(const Vec2& centre, double room, double text_mm);
  void add_title(const Vec2& centre, double text_mm);

  Page& page_;
  const TemplateDrawing& drawing_;
  const PartPlace place_;
  const bool small_;
  const Box box_;
};

void PartPicture::add_outline(bool filled) {
  std::vector<Polygon> borders;
  for (const Polygon& ring : drawing_.cut_mm) borders.push_back(place_(ring));
  page_.add_curved(borders, place_.scale,
                   {"#000000", small_ ? 0.25 : 0.4, filled ? "#fffdf7" : "", ""});
}

void PartPicture::add_line(const Line& line) {
  const char* const colour = !line.is_fold   ? seat_colour
                             : line.side > 0 ? fold_up_colour
                                             : fold_down_colour;
  PageStyle style{colour, small_ ? 0.2 : 0.35, "", ""};
  if (line.is_fold)
    style.dashes_mm = line.side > 0 ? (small_ ? "2 1" : "6 3") : (small_ ? "2 1 0.5 1" : "6 2 1 2");
  else if (line.side < 0)
    style.dashes_mm = small_ ? "0.6 0.8" : "1.2 1.6";
  page_.add_line(place_(line.from), place_(line.to), style);
  if (!small_) add_line_name(line, colour);
}

/// Of a line along a seat: whether the seat lies on the side away from `left`.
bool PartPicture::is_right_of_seat(const Line& line, const Vec2& left) const {
  return !line.is_fold &&
         std::any_of(drawing_.seats.begin(), drawing_.seats.end(), [&](const auto& seat) {
           return seat.letter == line.letter && seat.side == line.side &&
                  distance_to_boundary(seat.area_mm, (line.from + line.to) / 2) < 0.5 &&
                  left.dot(measure_centroid(seat.area_mm) - line.from) < 0;
         });
}

/// What the line is, along it, inside of its fold or its seat.
void PartPicture::add_line_name(const Line& line, const char* colour) {
  const std::string label = name_line(line);
  if (label.empty()) return;
  const double length = (line.to - line.from).norm();
  const double size = std::min(4.0, length / (0.62 * static_cast<double>(label.size())));
  if (size < 1.5) return;
  const Vec2 along = (line.to - line.from).normalized(), left(-along.y(), along.x());
  const Vec2 inside = is_right_of_seat(line, left) ? Vec2(-left) : left;
  // The side that is up on the page gets the smaller shift.
  const double shift = inside.y() > 0 || (inside.y() == 0 && inside.x() < 0) ? 1.6 : 4.6;
  page_.add_text(place_((line.from + line.to) / 2 + shift * inside), label,
                 {size, TextAt::middle, colour, false, text_angle_deg(along)});
}

void PartPicture::add_seat_letters() {
  const PageText how{small_ ? 2.2 : 9, TextAt::middle, seat_colour, true};
  for (const TemplateDrawing::SeatArea& seat : drawing_.seats)
    if (seat.area_mm.size() >= 3)
      page_.add_text(place_(measure_centroid(seat.area_mm)) + Vec2(0, 0.35 * how.size_mm),
                     seat.letter + (seat.side > 0 ? "" : "\u2032"), how);
}

void PartPicture::add_pricks() {
  for (const Vec2& p : drawing_.pricks_mm) {
    page_.add_circle(place_(p), small_ ? 0.5 : 1.2, {"#000000", 0.25, "", ""});
    page_.add_circle(place_(p), small_ ? 0.12 : 0.25, {"", 0, "#000000", ""});
  }
}

void PartPicture::add_other_letters() {
  const PageText how{small_ ? 2.6 : 9, TextAt::middle, "#000000", true};
  for (const auto& [where, letter] : drawing_.letters)
    add_label(page_, box_, place_(where) + Vec2(0, 0.35 * how.size_mm), letter, how);
}

void PartPicture::add_hanging_holes() {
  for (const TemplateDrawing::HangingHole& hole : drawing_.holes) {
    const PageStyle style{hanging_colour, 0.4, "", "2 1.2"};
    page_.add_circle(place_(hole.middle), 5, style);
    for (const Vec2& d : {Vec2(8, 0), Vec2(0, 8)})
      page_.add_line(place_(hole.middle - d), place_(hole.middle + d), style);
    add_label(page_, box_, place_(hole.middle) + Vec2(0, 12.5), hole.panels + " only",
              {3.2, TextAt::middle, hanging_colour, false, 0});
  }
}

/// An arrow with two heads along the grain.
void PartPicture::add_grain(const Vec2& centre, double room, double text_mm) {
  const Vec2 dir(std::cos(drawing_.grain_rad), std::sin(drawing_.grain_rad)),
      side(-dir.y(), dir.x());
  const Vec2 middle = centre + (side.y() > 0 ? 1 : -1) * 2.2 * text_mm * side;
  const double half = std::clamp(0.8 * room, 12.0, 60.0);
  const Vec2 a = middle - half * dir, b = middle + half * dir;
  const PageStyle style{"#666666", 0.4, "", ""};
  page_.add_line(place_(a), place_(b), style);
  for (const double s : {-1.0, 1.0}) {
    page_.add_line(place_(b), place_(b - 5 * dir + s * 2.5 * side), style);
    page_.add_line(place_(a), place_(a + 5 * dir + s * 2.5 * side), style);
  }
  page_.add_text(place_(middle + (side.y() > 0 ? 1.6 : -1.6) * side), "grain",
                 {0.8 * text_mm, TextAt::middle, "#666666", false, text_angle_deg(dir)});
}

void PartPicture::add_title(const Vec2& centre, double text_mm) {
  const char* const colour = "#444444";
  add_label(page_, box_, place_(centre) + Vec2(0, 0.4 * text_mm), "OUTSIDE FACE",
            {text_mm, TextAt::middle, colour, true});
  add_label(page_, box_, place_(centre) + Vec2(0, 1.6 * text_mm),
            drawing_.name + "  \u00b7  1 : 1  \u00b7  " + drawing_.hash,
            {0.75 * text_mm, TextAt::middle, colour});
}

void PartPicture::draw(bool filled) {
  add_outline(filled);
  for (const Line& line : drawing_.lines) add_line(line);
  add_seat_letters();
  add_pricks();
  add_other_letters();
  if (small_) return;
  add_hanging_holes();
  const auto [centre, room] = find_room(drawing_);
  const double text_mm = std::clamp(room / 12, 3.2, 7.0);
  if (drawing_.has_grain) add_grain(centre, room, text_mm);
  add_title(centre, text_mm);
}

}  // namespace

void draw_part(Page& page, const TemplateDrawing& drawing, const PartPlace& place, bool filled) {
  PartPicture(page, drawing, place).draw(filled);
}

}  // namespace sixtyfold
