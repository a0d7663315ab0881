#include <algorithm>
#include <cmath>

#include "engine/building/joint_sides.h"
#include "engine/nest/nest.h"
#include "engine/shape/boolean.h"
#include "engine/shape/hub.h"
#include "engine/text.h"
#include "results/kit/template_parts.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// What is written on a tab, a seat or at a slot of one copy, in the part's plane.
struct Note {
  Vec2 where;
  std::string text;
  int side;  ///< seats: the face; 0: both faces
};

/// Letter and number of the partner, at every joint of one copy.
std::vector<Note> find_notes(const Design& design, const Finished& finished,
                             const JointSides& sides, int copy, double beside_mm) {
  const int orbit = find_copy(design, copy).orbit;
  const FlatPattern& pattern = finished.parts[at(orbit)].pattern;
  std::vector<Note> notes;
  const auto add = [&](const Vec2& where, const std::string& letter, int index, int side) {
    const int n = sides.joint[at(copy)][at(index)];
    if (n < 0) return;
    const Joint& joint = design.joints[at(n)];
    const int other = joint.panels[0] == copy ? joint.panels[1] : joint.panels[0];
    notes.push_back({where, letter + ":" + std::to_string(other + 1), side});
  };
  const auto letter_of = [&](int index) {
    return make_letter(finished.joints.letter[at(orbit)][at(index)]);
  };
  for (const Tab& tab : pattern.tabs)
    add(measure_centroid(tab.outline_mm), letter_of(tab.joint), tab.joint, 0);
  for (const Seat& seat : pattern.seats) {
    if (seat.tab_mm.empty()) {
      const Vec2 along = (seat.to_mm - seat.from_mm).normalized();
      add((seat.from_mm + seat.to_mm) / 2 + beside_mm * Vec2(-along.y(), along.x()),
          letter_of(seat.joint), seat.joint, seat.side);
      continue;
    }
    double others = 0;
    const Polygon area = take_largest(
        make_intersection({make_counter_clockwise(seat.tab_mm)}, {pattern.body_mm}), others);
    if (area.size() >= 3) add(measure_centroid(area), letter_of(seat.joint), seat.joint, seat.side);
  }
  for (const Slot& slot : pattern.slots)
    add(slot.bottom_mm() + beside_mm * slot.inwards(),
        name_slot(finished.joints, orbit, slot.joint).own, slot.joint, 0);
  return notes;
}

/// One face of the drawing: the folds, and of the seats those on it.
TemplateDrawing take_face(TemplateDrawing drawing, bool is_turned_over, bool is_back) {
  if (is_turned_over)
    for (auto& line : drawing.lines) line.side = -line.side;
  if (is_back) drawing = mirror_drawing(drawing);
  drawing.lines.erase(std::remove_if(drawing.lines.begin(), drawing.lines.end(),
                                     [](const TemplateDrawing::Line& line) {
                                       return !line.is_fold && line.side < 0;
                                     }),
                      drawing.lines.end());
  drawing.seats.clear();
  drawing.letters.clear();
  drawing.pricks_mm.clear();
  return drawing;
}

/// So long on paper, so long in board.
void draw_scale_bar(Page& page, const Vec2& from, double scale) {
  const PageStyle style{"#000000", 0.3, "", ""};
  page.add_line(from, from + Vec2(50, 0), style);
  for (int k = 0; k <= 5; ++k)
    page.add_line(from + Vec2(10 * k, -1.4), from + Vec2(10 * k, 0), style);
  page.add_text(from + Vec2(52, 0.4), format("50 mm on paper, %.0f mm at full size", 50 / scale),
                {2.6, TextAt::start, "#000000", false, 0});
}

/// Crosses at the same places of a front and its back.
void draw_register(Page& page) {
  const PageStyle style{"#777777", 0.2, "", ""};
  for (const double x : {6.0, page.width_mm() - 6})
    for (const double y : {6.0, page.height_mm() - 6}) {
      page.add_line({x - 3, y}, {x + 3, y}, style);
      page.add_line({x, y - 3}, {x, y + 3}, style);
      page.add_circle({x, y}, 1.5, style);
    }
}

constexpr double margin_mm = 10, foot_mm = 14;

/// The copies of one panel, as they come onto pages.
struct ModelPart {
  const Design& model;
  const Finished& finished;
  const JointSides& sides;
  const TemplateOptions& options;
  TemplateDrawing drawing;
  double scale = 1;
  int orbit = 0, first_copy = 0;  ///< the first of its copies among all
  Vec2 label = Vec2::Zero();      ///< where the number has most room, in the panel's plane
  double label_room_mm = 0;       ///< on paper
};

/// Copy `k` of the part with its number and what belongs on its tabs, seats and slots.
void draw_copy(Page& page, const ModelPart& part, int k, const Vec2& spot, double turn,
               bool is_back) {
  const int copy = part.first_copy + k;
  const bool over = part.model.orbits[at(part.orbit)].copies[at(k)].determinant() < 0;
  const TemplateDrawing face = take_face(turn_drawing(part.drawing, turn), over, is_back);
  const PartPlace place{is_back ? Vec2(page.width_mm() - spot.x(), spot.y()) : spot, part.scale};
  const std::vector<std::string>& tint_of = part.options.tint_of;
  if (!tint_of.empty()) {
    std::vector<Polygon> borders;
    for (const Polygon& ring : face.cut_mm) borders.push_back(place(ring));
    page.add_curved(borders, part.scale, {"", 0, tint_of[at(copy)], ""});
  }
  draw_part(page, face, place, tint_of.empty());
  const auto put = [&](const Vec2& p) {
    const Vec2 turned = rotate(p, turn);
    return place(is_back ? Vec2(-turned.x(), turned.y()) : turned);
  };
  for (const Note& note :
       find_notes(part.model, part.finished, part.sides, copy, std::max(9.0, 2.4 / part.scale))) {
    const int facing = (over ? -1 : 1) * (is_back ? -1 : 1);
    if (note.side != 0 && note.side != facing) continue;
    page.add_text(put(note.where) + Vec2(0, 0.7), note.text,
                  {2.0, TextAt::middle, note.side == 0 ? "#000000" : seat_colour, true, 0});
  }
  const double size = std::clamp(0.9 * part.label_room_mm, 2.5, 7.0);
  page.add_text(
      put(part.label) + Vec2(0, 0.36 * size),
      std::to_string(copy + 1) + (over ? " over" : "") + (is_back ? " inside" : ""),
      {is_back ? 0.6 * size : size, TextAt::middle, is_back ? "#777777" : "#000000", true, 0});
}

/// At the foot of a page: scale, card, and how what is written is read.
void write_foot(Page& page, const ModelPart& part, double across_mm, bool is_back) {
  const TemplateDrawing& drawing = part.drawing;
  PageText small;
  small.size_mm = 2.8;
  const double foot = page.height_mm() - margin_mm;
  page.add_text({margin_mm, foot - 7.5},
                drawing.name + ": paper model 1 : " + format("%.1f", 1 / part.scale) + ", " +
                    format("%.0f", across_mm) + " mm across, card about " +
                    format("%.1f", part.options.card_mm) + " mm." +
                    (drawing.has_slots_alone() ? "" : " Red: fold towards you. Blue: fold away."),
                small);
  std::string reading = drawing.has_slots_alone()
                            ? ""
                            : "\u201cB:36\u201d on a tab: over the green seat B of part 36. ";
  if (drawing.has_slots) reading += "\u201cA1:36\u201d at a slot: into slot A2 of part 36. ";
  page.add_text({margin_mm, foot - 3},
                reading + (is_back ? "Back of the page before: the crosses meet."
                                   : "Print on both sides, turned about the long edge."),
                small);
  draw_scale_bar(page, {margin_mm, foot + 1}, part.scale);
}

/// Nested like sheets, each the room of a page.
NestOptions make_page_nesting(const Vec2& room_mm, int copies) {
  NestOptions nesting;
  nesting.sheet.short_mm = std::min(room_mm.x(), room_mm.y());
  nesting.sheet.long_mm = std::max(room_mm.x(), room_mm.y());
  nesting.sheet.grain = Grain::none;
  nesting.sheet.edge_margin_mm = 0;
  nesting.sheet.gap_mm = 2;
  nesting.copies = copies;
  return nesting;
}

/// Front and back of every page that the copies of a part fill.
void add_part_pages(std::vector<Page>& pages, const ModelPart& part, const Nest& nest,
                    const NestOptions& nesting, const Vec2& paper_mm, double across_mm) {
  const int per_page = std::max(1, nest.parts_per_sheet), total = nesting.copies;
  for (int start = 0; start < total; start += per_page) {
    for (const bool is_back : {false, true}) {
      Page page(paper_mm.x(), paper_mm.y());
      for (int k = start; k < std::min(total, start + per_page); ++k) {
        // The nest's x runs along the long side: up the page.
        const Placement placement =
            nest.placements.empty() ? Placement{} : nest.placements[at(k - start)];
        const Vec2 spot(margin_mm + nesting.sheet.short_mm - placement.position_mm.y(),
                        margin_mm + nesting.sheet.long_mm - placement.position_mm.x());
        draw_copy(page, part, k, spot, placement.rotation_rad + pi / 2, is_back);
      }
      draw_register(page);
      write_foot(page, part, across_mm, is_back);
      pages.push_back(page);
    }
  }
}

void number_pages(std::vector<Page>& pages) {
  PageText small;
  small.size_mm = 2.8;
  small.at = TextAt::end;
  for (std::size_t k = 0; k < pages.size(); ++k)
    pages[k].add_text({pages[k].width_mm() - margin_mm, pages[k].height_mm() - margin_mm + 1},
                      "page " + std::to_string(k + 1) + " of " + std::to_string(pages.size()),
                      small);
}

}  // namespace

std::vector<Page> make_paper_model_pages(const Design& design, const FlatOptions& flat,
                                         const TemplateOptions& options) {
  const double radius = measure_enclosing_radius(design);
  const Vec2 paper = measure_paper(options.paper);
  const Vec2 room(paper.x() - 2 * margin_mm, paper.y() - 2 * margin_mm - foot_mm);
  double scale = options.model_diameter_mm / (2 * radius);
  // Card is thin: the same construction with the setbacks of card, so that the model closes.
  FlatOptions card = flat;
  card.thickness_mm = std::clamp(options.card_mm / scale, 0.1, 50.0);
  card.fold_allowance_mm = 0;
  card.gap_mm = std::max(card.gap_mm, 0.8 / scale);
  Design model = design;
  model.thickness_mm = card.thickness_mm;
  const Finished finished = make_finished(model, card);
  for (const FinishedPart& part : finished.parts)
    if (part.pattern.body_mm.size() < 3 || !is_simple(part.pattern.outline_mm)) return {};
  TemplateOptions plain = options;
  plain.kerf_mm = 0;
  plain.notch_mm = 0;
  std::vector<Page> pages;
  const JointSides sides = find_joint_sides(model, finished.joints);
  int copy = 0;
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    ModelPart part{model, finished, sides, options,
                   make_template_drawing(model, finished, static_cast<int>(o), plain)};
    // At a size at which one fits a page.
    const Rectangle least = measure_least_rectangle(part.drawing.cut_mm.front());
    const double fit = std::min(std::max(room.x(), room.y()) / least.long_mm,
                                std::min(room.x(), room.y()) / least.short_mm) *
                       0.99;
    scale = std::min(scale, fit);
    Polygon small_part;
    for (const Vec2& p : part.drawing.cut_mm.front()) small_part.push_back(scale * p);
    if (!is_simple(small_part)) return {};
    const auto [label, label_room] = find_roomiest_spot(part.drawing.cut_mm);
    part.scale = scale;
    part.orbit = static_cast<int>(o);
    part.first_copy = copy;
    part.label = label;
    part.label_room_mm = label_room * scale;
    const NestOptions nesting =
        make_page_nesting(room, static_cast<int>(design.orbits[o].copies.size()));
    add_part_pages(pages, part, make_nest(small_part, nesting), nesting, paper, 2 * radius * scale);
    copy += nesting.copies;
  }
  number_pages(pages);
  return pages;
}

}  // namespace sixtyfold
