#include "results/kit/kit_template.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>

#include "engine/nest/nest.h"
#include "engine/shape/boolean.h"
#include "engine/shape/hub.h"
#include "results/drawings/text_width.h"
#include "results/files/design_json.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

std::string fixed(double v, int digits) {
  char text[40];
  std::snprintf(text, sizeof text, "%.*f", digits, v);
  return text;
}

const char* const fold_up_colour = "#b3261e";
const char* const fold_down_colour = "#1f4fa3";
const char* const seat_colour = "#2e7d32";

/// A notch: a slim triangle into the part from the outline along `inward`.
Polygon make_notch(const Vec2& tip_outside, const Vec2& inward, double depth) {
  const Vec2 across(-inward.y(), inward.x());
  return {tip_outside - 0.3 * depth * inward + 0.4 * across, tip_outside + depth * inward,
          tip_outside - 0.3 * depth * inward - 0.4 * across};
}

/// Puts the part on a page: y down, its own origin at `origin`.
struct Placing {
  Vec2 origin;
  double scale = 1;
  Vec2 operator()(const Vec2& p) const {
    return {origin.x() + scale * p.x(), origin.y() - scale * p.y()};
  }
  Polygon operator()(const Polygon& polygon) const {
    Polygon placed;
    for (const Vec2& p : polygon) placed.push_back((*this)(p));
    return placed;
  }
};

Box measure_drawing_box(const TemplateDrawing& drawing) {
  return measure_box(drawing.cut_mm.front());
}

/// Text along a line, readable from below.
double text_angle_deg(const Vec2& along) {
  double angle = to_degrees(std::atan2(-along.y(), along.x()));
  if (angle > 90) angle -= 180;
  if (angle <= -90) angle += 180;
  return angle;
}

void draw_part(Page& page, const TemplateDrawing& drawing, const Placing& place,
               bool filled = true) {
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
      label = std::string(line.side > 0 ? "fold up " : "fold down ") + fixed(line.angle_deg, 0) +
              "\u00b0";
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

const char* const slot_line =
    "A slot goes into the slot with the same letter and the other number of another panel (A1 into "
    "A2, and a "
    "letter alone into its like), until both bottoms touch.";

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

/// With its long side across the page.
TemplateDrawing lay_across(const TemplateDrawing& drawing) {
  return turn_drawing(drawing, -measure_least_rectangle(drawing.cut_mm.front()).direction_rad);
}

/// Tiles of one paper size over one placing of the part.
struct Tiling {
  Vec2 paper, window, step, whole;
  int columns = 1, rows = 1;
  std::vector<int>
      page_of;  ///< number of the page that shows a tile, by rows; 0: nothing of the part on it
  int tiles = 0;
  Vec2 origin;  ///< of the part on the whole
};

constexpr double tile_left = 15, tile_right = 8, tile_top = 8, tile_bottom = 20;

Tiling make_tiling(const TemplateDrawing& drawing, const Vec2& paper, double overlap_mm) {
  Tiling tiling;
  const Box box = measure_drawing_box(drawing);
  tiling.paper = paper;
  tiling.window = paper - Vec2(tile_left + tile_right, tile_top + tile_bottom);
  tiling.step = tiling.window - Vec2(overlap_mm, overlap_mm);
  const auto count = [&](double size, double window) {
    return size <= window
               ? 1
               : 1 + static_cast<int>(std::ceil((size - window) / (window - overlap_mm) - 1e-9));
  };
  tiling.columns = count(box.size().x() + 4, tiling.window.x());
  tiling.rows = count(box.size().y() + 4, tiling.window.y());
  tiling.whole = tiling.window +
                 Vec2((tiling.columns - 1) * tiling.step.x(), (tiling.rows - 1) * tiling.step.y());
  tiling.origin = {(tiling.whole.x() - box.size().x()) / 2 - box.low.x(),
                   (tiling.whole.y() + box.size().y()) / 2 + box.low.y()};
  // Tiles that show nothing of the part are not printed.
  const Polygon on_whole = Placing{tiling.origin, 1}(drawing.cut_mm.front());
  tiling.page_of.assign(at(tiling.columns * tiling.rows), 0);
  for (int k = 0; k < tiling.columns * tiling.rows; ++k) {
    const Vec2 low((k % tiling.columns) * tiling.step.x(), (k / tiling.columns) * tiling.step.y()),
        high = low + tiling.window;
    if (measure_set_area(make_intersection({{low, {high.x(), low.y()}, high, {low.x(), high.y()}}},
                                           {on_whole})) > 1)
      tiling.page_of[at(k)] = ++tiling.tiles + 1;
  }
  return tiling;
}

}  // namespace

std::string TemplateOptions::find_fault() const {
  const auto text = [](double v) { return fixed(v, 3); };
  if (!(0 <= kerf_mm && kerf_mm <= 5))
    return "kerf_mm is " + text(kerf_mm) + ", but must be from 0 to 5 mm";
  if (!(0 <= notch_mm && notch_mm <= 10))
    return "notch_mm is " + text(notch_mm) + ", but must be from 0 to 10 mm";
  if (!(5 <= overlap_mm && overlap_mm <= 40))
    return "overlap_mm is " + text(overlap_mm) + ", but must be from 5 to 40 mm";
  if (!(50 <= model_diameter_mm && model_diameter_mm <= 1000))
    return "model_diameter_mm is " + text(model_diameter_mm) + ", but must be from 50 to 1000 mm";
  if (!(0.05 <= card_mm && card_mm <= 2))
    return "card_mm is " + text(card_mm) + ", but must be from 0.05 to 2 mm";
  return "";
}

SlotName name_slot(const PartJoints& joints, int orbit, int joint) {
  const std::string letter = make_letter(joints.letter[at(orbit)][at(joint)]);
  for (const JointPair& pair : joints.pairs)
    for (const int side : {0, 1}) {
      if (pair.orbit[side] != orbit || pair.index[side] != joint) continue;
      const std::pair own(orbit, joint), other(pair.orbit[1 - side], pair.index[1 - side]);
      if (own == other) break;
      return {letter + (own < other ? "1" : "2"), letter + (own < other ? "2" : "1")};
    }
  return {letter, letter};
}

std::string make_design_hash(const Design& design) {
  Design bare;
  bare.symmetry = design.symmetry;
  bare.orbits = design.orbits;
  for (Orbit& orbit : bare.orbits) orbit.panel.flat_pattern_mm.clear();
  std::uint64_t hash = 14695981039346656037ull;
  for (const char c : write_design_json(bare))
    hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ull;
  char text[20];
  std::snprintf(text, sizeof text, "%08x", static_cast<unsigned>(hash ^ (hash >> 32)));
  return text;
}

Vec2 measure_paper(Paper paper) {
  switch (paper) {
    case Paper::a4:
      return {210, 297};
    case Paper::a3:
      return {297, 420};
    case Paper::letter:
      return {215.9, 279.4};
  }
  return {210, 297};
}

TemplateDrawing make_template_drawing(const Design& design, const Finished& finished, int orbit,
                                      const TemplateOptions& options) {
  const FlatPattern& pattern = finished.parts[at(orbit)].pattern;
  const auto& letter = finished.joints.letter[at(orbit)];
  TemplateDrawing drawing;
  drawing.name = (design.name.empty() ? "part" : design.name) +
                 (design.orbits.size() > 1 ? ", part " + std::to_string(orbit + 1) : "");
  drawing.hash = make_design_hash(design);
  PolygonSet cut{pattern.outline_mm};
  PolygonSet notches;
  // A line's end is notched where it reaches the outline of the cut part, else pricked.
  const auto mark_end = [&](const Vec2& end, const Vec2& inward) {
    if (distance_to_boundary(pattern.outline_mm, end) <= 1.5 && options.notch_mm > 0)
      notches.push_back(make_notch(end, inward, options.notch_mm));
    else
      drawing.pricks_mm.push_back(end);
  };
  // Where a seat runs to the mid-surface outline, the cut part may end a setback earlier.
  const auto clip = [&](Vec2 from, Vec2 to) {
    const Vec2 step = (to - from) / 400;
    Vec2 a = from, b = to;
    for (int k = 0; k < 160 && !contains(pattern.outline_mm, a); ++k) a += step;
    for (int k = 0; k < 160 && !contains(pattern.outline_mm, b); ++k) b -= step;
    return std::make_pair(a, b);
  };
  for (const Tab& tab : pattern.tabs) {
    const std::string name = make_letter(letter[at(tab.joint)]);
    drawing.lines.push_back(
        {tab.fold_from_mm, tab.fold_to_mm, true, tab.fold_side, to_degrees(tab.fold_rad), name});
    const Vec2 along = (tab.fold_to_mm - tab.fold_from_mm).normalized();
    mark_end(tab.fold_from_mm, along);
    mark_end(tab.fold_to_mm, -along);
    drawing.letters.emplace_back(measure_centroid(tab.outline_mm), name);
  }
  for (const Seat& seat : pattern.seats) {
    const PanelJoint& joint = finished.joints.joints[at(orbit)][at(seat.joint)];
    const std::string name = make_letter(letter[at(seat.joint)]);
    if (joint.role == JointRole::plain_edge) {  // the edge itself is the seat: a letter beside it
      const Vec2 along = (seat.to_mm - seat.from_mm).normalized();
      drawing.letters.emplace_back(
          (seat.from_mm + seat.to_mm) / 2 + 9 * Vec2(-along.y(), along.x()),
          name + (seat.side > 0 ? "" : "\u2032"));
      continue;
    }
    const auto [from, to] = clip(seat.from_mm, seat.to_mm);
    drawing.lines.push_back({from, to, false, seat.side, 0, name});
    const Vec2 along = (to - from).normalized();
    mark_end(from, along);
    mark_end(to, -along);
  }
  // Clear of the slot's bottom at true size and on a small model.
  const double beside_slot =
      std::max(9.0, 0.018 * measure_least_rectangle(pattern.outline_mm).long_mm);
  for (const Slot& slot : pattern.slots)
    drawing.letters.emplace_back(slot.bottom_mm() + beside_slot * slot.inwards(),
                                 name_slot(finished.joints, orbit, slot.joint).own);
  drawing.has_slots = !pattern.slots.empty();
  cut = make_difference(cut, notches);
  if (options.kerf_mm > 0) cut = make_offset(cut, options.kerf_mm / 2);
  double others = 0;
  drawing.cut_mm = {take_largest(cut, others)};
  for (Polygon hole : pattern.holes_mm) {
    if (options.kerf_mm > 0) {
      const PolygonSet smaller = make_offset({hole}, -options.kerf_mm / 2);
      if (!smaller.empty()) hole = smaller.front();
    }
    drawing.cut_mm.push_back(hole);
  }
  drawing.has_grain = design.limits.grain != Grain::none;
  drawing.grain_rad = measure_least_rectangle(pattern.outline_mm).direction_rad;
  int turned_over = 0;
  const auto& copies = design.orbits[at(orbit)].copies;
  for (const Mat3& copy : copies) turned_over += static_cast<int>(copy.determinant() < 0);
  drawing.note =
      "cut " + std::to_string(copies.size()) + " from " + fixed(design.thickness_mm, 1) +
      " mm board" +
      (turned_over
           ? ", " + std::to_string(turned_over) +
                 " of them turned over: there up and down, this face and the other change places"
           : "");
  return drawing;
}

Page make_template_page(const TemplateDrawing& given) {
  const TemplateDrawing drawing = lay_across(given);
  const Box box = measure_drawing_box(drawing);
  // Print grows with the sheet, so that it can be read on a wall.
  const double scale = std::clamp(box.size().x() / 260, 1.0, 3.0), margin = 18;
  const double width = std::max(box.size().x() + 2 * margin, 190.0), inner = width - 2 * margin;
  PageText text;
  text.size_mm = 3.1 * scale;
  std::vector<std::string> sentences = find_reading_lines(drawing);
  double foot = 18 * scale + 16;
  sentences.push_back(knife_caution);
  for (const std::string& sentence : sentences)
    foot += static_cast<double>(break_lines(sentence, inner, text.size_mm).size()) * text.size_mm *
            line_spacing;
  const double height = std::max(box.size().y(), 110.0) + 2 * margin + foot;
  Page page(std::ceil(width), std::ceil(height));
  page.add_polygon(
      {{0, 0}, {page.width_mm(), 0}, {page.width_mm(), page.height_mm()}, {0, page.height_mm()}},
      {"", 0, "#ffffff", ""});
  const double left = (page.width_mm() - box.size().x()) / 2;
  draw_part(page, drawing, {{left - box.low.x(), margin + box.high.y()}, 1});
  const double y = page.height_mm() - foot;
  page.add_line({margin, y - 4}, {page.width_mm() - margin, y - 4}, {"#2a7fae", 0.8, "", ""});
  PageText title;
  title.size_mm = 6 * scale;
  title.bold = true;
  page.add_text({margin, y + 5 * scale}, drawing.name, title);
  page.add_text({margin, y + 11 * scale},
                "scale 1 : 1  \u00b7  design " + drawing.hash + "  \u00b7  " + drawing.note, text);
  double line = y + 12.5 * scale;
  for (std::size_t k = 0; k < sentences.size(); ++k) {
    if (k + 1 == sentences.size()) text.colour = "#8a1c14";
    line = page.add_paragraph({margin, line}, sentences[k], inner, text);
  }
  add_check_bars(page, {margin, page.height_mm() - 10}, {4, margin});
  return page;
}

std::vector<Page> make_tiled_pages(const TemplateDrawing& given, const TemplateOptions& options) {
  const Vec2 upright = measure_paper(options.paper);
  // Turned so that it takes the fewest pages; of equal ones the first, which is across.
  TemplateDrawing drawing = lay_across(given);
  Tiling grid = make_tiling(drawing, upright, options.overlap_mm);
  for (int k = 0; k < 12; ++k)
    for (const Vec2& paper : {upright, Vec2(upright.y(), upright.x())}) {
      const TemplateDrawing turned = turn_drawing(lay_across(given), k * pi / 12);
      const Tiling other = make_tiling(turned, paper, options.overlap_mm);
      if (other.tiles < grid.tiles) grid = other, drawing = turned;
    }
  const double left = tile_left, right = tile_right, top = tile_top, bottom = tile_bottom;
  const Vec2 step = grid.step, whole = grid.whole;
  const std::vector<int>& page_of = grid.page_of;
  const int tiles = grid.tiles, count = tiles + 1;
  // The part drawn once; every tile shows its window of it.
  Page content(whole.x(), whole.y());
  draw_part(content, drawing, {grid.origin, 1});

  std::vector<Page> pages;
  PageText small;
  small.size_mm = 2.8;
  const PageStyle hair{"#777777", 0.2, "", ""};

  Page first(grid.paper.x(), grid.paper.y());
  PageText title;
  title.size_mm = 7;
  title.bold = true;
  first.add_text({left, 20}, drawing.name, title);
  PageText text;
  text.size_mm = 3.6;
  double y = 24;
  y = first.add_paragraph({left, y},
                          "Template at true size on " + std::to_string(tiles) +
                              (tiles == 1 ? " page" : " pages") + "; " + drawing.note +
                              ". Design " + drawing.hash + ".",
                          grid.paper.x() - left - right, text);
  y = first.add_paragraph(
      {left, y + 1.5},
      "Print at 100 %, not fitted to the page, and measure both 100 mm bars on every page before "
      "gluing. Lay the pages by rows; neighbours overlap by " +
          fixed(options.overlap_mm, 0) + " mm: bring their crosses together, then glue.",
      grid.paper.x() - left - right, text);
  for (const std::string& sentence : find_reading_lines(drawing))
    y = first.add_paragraph({left, y + 1}, sentence, grid.paper.x() - left - right, text);
  text.colour = "#8a1c14";
  y = first.add_paragraph({left, y + 1}, knife_caution, grid.paper.x() - left - right, text);
  // The map: the part and the windows, small.
  const Box room{{left, y + 6}, {grid.paper.x() - right, grid.paper.y() - bottom - 4}};
  const double scale = std::min({room.size().x() / whole.x(), room.size().y() / whole.y(), 0.5});
  const Vec2 corner((room.low.x() + room.high.x() - scale * whole.x()) / 2, room.low.y());
  for (const Polygon& ring : drawing.cut_mm) {
    Polygon placed;
    for (const Vec2& p : Placing{grid.origin, 1}(ring)) placed.push_back(corner + scale * p);
    first.add_polygon(placed, {"#000000", 0.3, "#eee8d8", ""});
  }
  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column) {
      const Vec2 low = corner + scale * Vec2(column * step.x(), row * step.y()),
                 high = low + scale * grid.window;
      first.add_polygon({low, {high.x(), low.y()}, high, {low.x(), high.y()}},
                        {"#1f4fa3", 0.3, "", "2 1"});
      PageText number;
      number.size_mm = 5;
      number.at = TextAt::middle;
      number.colour = "#1f4fa3";
      const int shown = page_of[at(row * grid.columns + column)];
      first.add_text((low + high) / 2 + Vec2(0, 2), shown ? std::to_string(shown) : "blank",
                     number);
    }
  add_check_bars(first, {left, grid.paper.y() - 14}, {5, top});
  small.at = TextAt::end;
  first.add_text({grid.paper.x() - right, grid.paper.y() - 8}, "page 1 of " + std::to_string(count),
                 small);
  pages.push_back(first);

  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column) {
      const int shown = page_of[at(row * grid.columns + column)];
      if (shown == 0) continue;
      Page page(grid.paper.x(), grid.paper.y());
      const Vec2 low(left, top), high = low + grid.window;
      const Vec2 shift = low - Vec2(column * step.x(), row * step.y());
      page.add_window(content, shift, {low, high});
      page.add_polygon({low, {high.x(), low.y()}, high, {low.x(), high.y()}}, hair);
      // Register crosses in the middle of the overlaps, at the same places of the part on both
      // tiles.
      const double half = options.overlap_mm / 2;
      for (const double x : {low.x() + half, high.x() - half})
        for (const double yy : {low.y() + half, high.y() - half}) {
          page.add_line({x - 3, yy}, {x + 3, yy}, {"#000000", 0.2, "", ""});
          page.add_line({x, yy - 3}, {x, yy + 3}, {"#000000", 0.2, "", ""});
          page.add_circle({x, yy}, 1.5, {"#000000", 0.2, "", ""});
        }
      const double foot = grid.paper.y() - 14;
      add_check_bars(page, {left, foot}, {5, top});
      // Which page comes next to each side.
      const auto neighbour = [&](int r, int c) {
        return r < 0 || r >= grid.rows || c < 0 || c >= grid.columns
                   ? 0
                   : page_of[at(r * grid.columns + c)];
      };
      const auto name_side = [&](int page_number, const Vec2& where, double turned) {
        if (page_number > 0)
          page.add_text(where, "page " + std::to_string(page_number),
                        {3, TextAt::middle, "#1f4fa3", false, turned});
      };
      const Vec2 middle = (low + high) / 2;
      name_side(neighbour(row - 1, column), {middle.x(), low.y() + half + 1}, 0);
      name_side(neighbour(row + 1, column), {middle.x(), high.y() - half + 1}, 0);
      name_side(neighbour(row, column - 1), {low.x() + half + 1, middle.y()}, -90);
      name_side(neighbour(row, column + 1), {high.x() - half + 1, middle.y()}, -90);
      // Where this tile is: a small map.
      const double cell = std::min(4.0, 9.0 / grid.rows);
      for (int r = 0; r < grid.rows; ++r)
        for (int c = 0; c < grid.columns; ++c) {
          const Vec2 a(left + 106 + cell * 1.4 * c, foot + cell * r);
          page.add_polygon(
              {a, a + Vec2(cell * 1.4, 0), a + Vec2(cell * 1.4, cell), a + Vec2(0, cell)},
              {"#555555", 0.2, r == row && c == column ? "#555555" : "#ffffff", ""});
        }
      small.at = TextAt::end;
      page.add_text({grid.paper.x() - right, foot + 2.5},
                    "row " + std::to_string(row + 1) + ", column " + std::to_string(column + 1),
                    small);
      page.add_text({grid.paper.x() - right, foot + 6.5},
                    "page " + std::to_string(shown) + " of " + std::to_string(count), small);
      page.add_text({grid.paper.x() - right, foot + 10.5}, drawing.name + " \u00b7 " + drawing.hash,
                    small);
      pages.push_back(page);
    }
  return pages;
}

std::string make_template_dxf(const TemplateDrawing& drawing) {
  std::string out;
  const auto pair = [&out](int code, const std::string& value) {
    out += (code < 10 ? "  " : code < 100 ? " " : "") + std::to_string(code) + "\n" + value + "\n";
  };
  const auto coordinate = [](double v) { return fixed(v, 4); };
  const Box box = measure_drawing_box(drawing);
  pair(999, "sixtyfold template, millimetres, seen on the outside face, design " + drawing.hash);
  pair(0, "SECTION"), pair(2, "HEADER");
  pair(9, "$ACADVER"), pair(1, "AC1009");
  pair(9, "$EXTMIN"), pair(10, coordinate(box.low.x())), pair(20, coordinate(box.low.y())),
      pair(30, "0.0");
  pair(9, "$EXTMAX"), pair(10, coordinate(box.high.x())), pair(20, coordinate(box.high.y())),
      pair(30, "0.0");
  pair(0, "ENDSEC");
  pair(0, "SECTION"), pair(2, "TABLES");
  pair(0, "TABLE"), pair(2, "LTYPE"), pair(70, "1");
  pair(0, "LTYPE"), pair(2, "CONTINUOUS"), pair(70, "0"), pair(3, "Solid line"), pair(72, "65"),
      pair(73, "0"), pair(40, "0.0");
  pair(0, "ENDTAB");
  pair(0, "TABLE"), pair(2, "LAYER"), pair(70, "3");
  for (const auto& [name, colour] :
       {std::make_pair("CUT", "7"), std::make_pair("FOLD", "1"), std::make_pair("MARK", "3")}) {
    pair(0, "LAYER"), pair(2, name), pair(70, "0"), pair(62, colour), pair(6, "CONTINUOUS");
  }
  pair(0, "ENDTAB"), pair(0, "ENDSEC");
  pair(0, "SECTION"), pair(2, "ENTITIES");
  for (const Polygon& ring : drawing.cut_mm) {
    pair(0, "POLYLINE"), pair(8, "CUT"), pair(66, "1"), pair(10, "0.0"), pair(20, "0.0"),
        pair(30, "0.0"), pair(70, "1");
    for (const Vec2& p : ring) {
      pair(0, "VERTEX"), pair(8, "CUT"), pair(10, coordinate(p.x())), pair(20, coordinate(p.y())),
          pair(30, "0.0");
    }
    pair(0, "SEQEND"), pair(8, "CUT");
  }
  for (const TemplateDrawing::Line& line : drawing.lines) {
    pair(0, "LINE"), pair(8, line.is_fold ? "FOLD" : "MARK");
    pair(10, coordinate(line.from.x())), pair(20, coordinate(line.from.y())), pair(30, "0.0");
    pair(11, coordinate(line.to.x())), pair(21, coordinate(line.to.y())), pair(31, "0.0");
  }
  for (const Vec2& p : drawing.pricks_mm) {
    pair(0, "CIRCLE"), pair(8, "MARK"), pair(10, coordinate(p.x())), pair(20, coordinate(p.y())),
        pair(30, "0.0"), pair(40, "1.0");
  }
  const auto add_text = [&](const Vec2& p, double height, const std::string& text) {
    std::string plain;  // R12 text is ASCII
    for (const char c : text) {
      if (static_cast<unsigned char>(c) < 128)
        plain += c;
      else if (static_cast<unsigned char>(c) >= 0xC0)
        plain += '\'';
    }
    pair(0, "TEXT"), pair(8, "MARK"), pair(10, coordinate(p.x())), pair(20, coordinate(p.y())),
        pair(30, "0.0");
    pair(40, coordinate(height)), pair(1, plain);
  };
  for (const auto& [where, letter] : drawing.letters) add_text(where, 6, letter);
  for (const TemplateDrawing::Line& line : drawing.lines) {
    const Vec2 along = (line.to - line.from).normalized();
    add_text((line.from + line.to) / 2 + 2 * Vec2(-along.y(), along.x()), 3,
             line.is_fold ? (line.side > 0 ? "UP " : "DOWN ") + fixed(line.angle_deg, 0)
                          : "SEAT " + line.letter + (line.side > 0 ? "" : " OTHER FACE"));
  }
  pair(0, "ENDSEC"), pair(0, "EOF");
  return out;
}

Page make_coupon_page(const TemplateOptions& options, double thickness_mm) {
  const Vec2 paper =
      options.paper == Paper::letter ? measure_paper(Paper::letter) : measure_paper(Paper::a4);
  const double margin = 16;
  Page page(paper.x(), paper.y());
  const PageStyle cut{"#000000", 0.4, "#fffdf7", ""}, fold{fold_up_colour, 0.35, "", "6 3"},
      line{"#000000", 0.25, "#ffffff", ""};
  const double width = paper.x() - 2 * margin;
  PageText text;
  text.size_mm = 3.2;
  page.add_text({margin, 21}, "Test coupon", {8, TextAt::start, "#22262e", true, 0});
  page.add_line({margin, 24.5}, {paper.x() - margin, 24.5}, {"#2a7fae", 0.8, "", ""});
  double y = page.add_paragraph({margin, 26},
                                "Cut, fold and glue this first. Trace it on the board you will "
                                "use, cut it as you will cut the parts, and read three numbers. "
                                "Give them to the kit, and the template changes with them.",
                                width, text);
  const auto section = [&](const char* number, const char* name, const char* option,
                           const std::string& how) {
    y += 4;
    page.add_circle({margin + 3, y + 2.5}, 3, {"", 0, "#2a7fae", ""});
    page.add_text({margin + 3, y + 3.9}, number, {3.8, TextAt::middle, "#ffffff", true, 0});
    page.add_text({margin + 9, y + 4}, name, {4.4, TextAt::start, "#22262e", true, 0});
    if (*option) {
      // Room to write the number that was read.
      page.add_text({paper.x() - margin - 34, y + 4}, option,
                    {3.2, TextAt::end, "#22262e", true, 0});
      page.add_polygon({{paper.x() - margin - 32, y - 1.5},
                        {paper.x() - margin - 8, y - 1.5},
                        {paper.x() - margin - 8, y + 6},
                        {paper.x() - margin - 32, y + 6}},
                       line);
      page.add_text({paper.x() - margin, y + 4}, "mm", {3.2, TextAt::end, "#22262e", false, 0});
    }
    y = page.add_paragraph({margin + 9, y + 7.5}, how, width - 9, text) + 2.5;
  };
  const auto box = [&](double x, double w, double h, const PageStyle& style) {
    page.add_polygon({{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, style);
  };
  section("1", "Thickness", "--thickness",
          "Cut the ten squares, stack them, press by hand, measure the stack and divide by 10.");
  for (int k = 0; k < 10; ++k) box(margin + 9 + 16.5 * k, 14, 14, cut);
  y += 14;
  section("2", "Kerf: what the cut takes away", "--kerf",
          "Cut the 100 mm strip along the outside of its outline, then along all nine lines. Push "
          "the ten pieces together and measure their "
          "length L: the kerf is (100 mm - L) / 9.");
  box(margin + 9, 100, 18, cut);
  for (int k = 1; k < 10; ++k)
    page.add_line({margin + 9 + 10.0 * k, y}, {margin + 9 + 10.0 * k, y + 18}, cut);
  y += 18;
  section("3", "Fold allowance", "--fold-allowance",
          "Score and fold both strips by 90\u00b0 along the dashes and glue the small leg to "
          "scrap. Measure the long leg M over the outside of the fold: "
          "the fold allowance is " +
              fixed(60 + thickness_mm / 2, 2) +
              " mm - M. One strip runs along the grain, one across: take the one that is as your "
              "folds are, or the mean.");
  for (const int k : {0, 1}) {
    const double x = margin + 9 + 86.0 * k;
    box(x, 82, 30, cut);
    page.add_line({x + 60, y}, {x + 60, y + 30}, fold);
    page.add_text({x + 30, y + 10}, "60.00 mm to the fold",
                  {3.2, TextAt::middle, "#444444", false, 0});
    page.add_text({x + 71, y + 10}, "glue here", {3.2, TextAt::middle, "#444444", false, 0});
    page.add_text({x + 30, y + 24}, "grain", {3.2, TextAt::middle, "#444444", false, 0});
    const Vec2 middle(x + 30, y + 18), half = k == 0 ? Vec2(12, 0) : Vec2(0, 4);
    page.add_line(middle - half, middle + half, {"#444444", 0.35, "", ""});
    for (const double s : {-1.0, 1.0})
      for (const double t : {-1.0, 1.0})
        page.add_line(middle + s * half,
                      middle + s * half - 2 * s * half.normalized() +
                          1.2 * t * Vec2(-half.y(), half.x()).normalized(),
                      {"#444444", 0.35, "", ""});
  }
  y += 30;
  section(
      "4", "Glue", "",
      "Glue two scraps face to face, wait the drying time, pull them apart by hand. Board that "
      "tears before the glue lets go is a good joint. Note the minutes the glue needed: --dry.");
  y += 1;
  PageText caution = text;
  caution.colour = "#8a1c14";
  const auto lines = break_lines(knife_caution, width - 12, text.size_mm);
  const double height = 4 + static_cast<double>(lines.size()) * text.size_mm * line_spacing;
  box(margin, width, height, {"", 0, "#fbefec", ""});
  box(margin, 1.4, height, {"", 0, "#8a1c14", ""});
  page.add_paragraph({margin + 6, y + 2}, knife_caution, width - 12, caution);
  add_check_bars(page, {margin + 9, paper.y() - 14}, {5, 60});
  page.add_text({paper.x() - margin, paper.y() - 8.5},
                "for board " + fixed(thickness_mm, 2) + " mm thick",
                {2.7, TextAt::end, "#5a564f", false, 0});
  return page;
}

std::vector<Page> make_paper_model_pages(const Design& design, const FlatOptions& flat,
                                         const TemplateOptions& options) {
  double radius = 0;
  for (const Orbit& orbit : design.orbits)
    for (const Vec2& p : orbit.panel.outline_mm)
      radius = std::max(radius, orbit.panel.frame.to_space(p).norm());
  const Vec2 paper = measure_paper(options.paper);
  const double margin = 10, foot = 14;
  double scale = options.model_diameter_mm / (2 * radius);
  // Card is thin: the same construction with the setbacks of card, so that the model closes.
  FlatOptions card = flat;
  card.thickness_mm = std::clamp(options.card_mm / scale, 0.1, 50.0);
  card.fold_allowance_mm = 0;
  card.gap_mm = std::max(card.gap_mm, 0.8 / scale);
  Design model = design;
  model.thickness_mm = card.thickness_mm;
  const Finished finished = make_finished(model, card);
  TemplateOptions plain = options;
  plain.kerf_mm = 0;
  plain.notch_mm = 0;
  std::vector<Page> pages;
  int copy = 0;
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    TemplateDrawing drawing = make_template_drawing(model, finished, static_cast<int>(o), plain);
    drawing.pricks_mm.clear();
    // Nested like sheets, at a size at which one fits a page.
    const Vec2 room(paper.x() - 2 * margin, paper.y() - 2 * margin - foot);
    const double gap = 2;
    const Rectangle least = measure_least_rectangle(drawing.cut_mm.front());
    const double fit = std::min(std::max(room.x(), room.y()) / least.long_mm,
                                std::min(room.x(), room.y()) / least.short_mm) *
                       0.99;
    scale = std::min(scale, fit);
    NestOptions nesting;
    nesting.sheet.short_mm = std::min(room.x(), room.y());
    nesting.sheet.long_mm = std::max(room.x(), room.y());
    nesting.sheet.grain = Grain::none;
    nesting.sheet.edge_margin_mm = 0;
    nesting.sheet.gap_mm = gap;
    nesting.copies = static_cast<int>(design.orbits[o].copies.size());
    Polygon small_part;
    for (const Vec2& p : drawing.cut_mm.front()) small_part.push_back(scale * p);
    const Nest nest = make_nest(small_part, nesting);
    const int per_page = std::max(1, nest.parts_per_sheet), total = nesting.copies;
    const Vec2 seat = find_hub(drawing.cut_mm.front());
    const double seat_room = distance_to_boundary(drawing.cut_mm.front(), seat) * scale;
    for (int start = 0; start < total; start += per_page) {
      Page page(paper.x(), paper.y());
      for (int k = start; k < std::min(total, start + per_page); ++k) {
        // The nest's x runs along the long side: up the page.
        const Placement placement =
            nest.placements.empty() ? Placement{} : nest.placements[at(k - start)];
        const Vec2 spot(margin + nesting.sheet.short_mm - placement.position_mm.y(),
                        margin + nesting.sheet.long_mm - placement.position_mm.x());
        const TemplateDrawing turned = turn_drawing(drawing, placement.rotation_rad + pi / 2);
        const Placing place{spot, scale};
        const bool mirrored = design.orbits[o].copies[at(k)].determinant() < 0;
        if (!options.tint_of.empty())
          for (const Polygon& ring : turned.cut_mm)
            page.add_polygon(place(ring), {"", 0, options.tint_of[at(copy + k)], ""});
        draw_part(page, turned, place, options.tint_of.empty());
        const Vec2 number_at = rotate(seat, placement.rotation_rad + pi / 2);
        const double size = std::clamp(0.9 * seat_room, 2.5, 7.0);
        page.add_text(place(number_at) + Vec2(0, 0.36 * size),
                      std::to_string(copy + k + 1) + (mirrored ? " over" : ""),
                      {size, TextAt::middle, "#000000", true, 0});
      }
      PageText small;
      small.size_mm = 2.8;
      page.add_text(
          {margin, paper.y() - margin - 3},
          drawing.name + ": paper model 1 : " + fixed(1 / scale, 1) + ", " +
              fixed(2 * radius * scale, 0) + " mm across, card about " + fixed(options.card_mm, 1) +
              " mm." +
              (drawing.has_slots_alone() ? "" : " Red: fold towards you. Blue: fold away."),
          small);
      std::string reading = drawing.has_slots_alone()
                                ? ""
                                : "Glue every tab to the seat with its letter; a letter with "
                                  "\u2032 sits at an edge on the other face. ";
      if (drawing.has_slots) reading += "Push slot A1 into A2 of another part.";
      page.add_text({margin, paper.y() - margin + 1}, reading, small);
      pages.push_back(page);
    }
    copy += total;
  }
  for (std::size_t k = 0; k < pages.size(); ++k) {
    PageText small;
    small.size_mm = 2.8;
    small.at = TextAt::end;
    pages[k].add_text({paper.x() - margin, paper.y() - margin + 1},
                      "page " + std::to_string(k + 1) + " of " + std::to_string(pages.size()),
                      small);
  }
  return pages;
}

}  // namespace sixtyfold
