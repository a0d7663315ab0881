#include <algorithm>
#include <cmath>

#include "engine/nest/nest.h"
#include "engine/shape/hub.h"
#include "engine/text.h"
#include "results/kit/template_parts.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

std::vector<Page> make_paper_model_pages(const Design& design, const FlatOptions& flat,
                                         const TemplateOptions& options) {
  const double radius = measure_enclosing_radius(design);
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
  for (const FinishedPart& part : finished.parts)
    if (part.pattern.body_mm.size() < 3 || !is_simple(part.pattern.outline_mm)) return {};
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
    if (!is_simple(small_part)) return {};
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
        const PartPlace place{spot, scale};
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
          drawing.name + ": paper model 1 : " + format("%.1f", 1 / scale) + ", " +
              format("%.0f", 2 * radius * scale) + " mm across, card about " +
              format("%.1f", options.card_mm) + " mm." +
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
