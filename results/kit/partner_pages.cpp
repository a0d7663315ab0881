#include "results/kit/partner_pages.h"

#include <algorithm>
#include <cmath>

#include "engine/text.h"
#include "results/drawings/page_flow.h"
#include "results/drawings/text_width.h"
#include "results/files/design_hash.h"
#include "results/kit/colour_pages.h"
#include "results/kit/guide_steps.h"
#include "results/kit/kit_template.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// What the part's joint is called where it stands on the template.
std::string name_own(const Finished& finished, int orbit, int index) {
  const PanelJoint& joint = finished.joints.joints[at(orbit)][at(index)];
  const FlatPattern& pattern = finished.parts[at(orbit)].pattern;
  const std::string letter = make_letter(finished.joints.letter[at(orbit)][at(index)]);
  if (joint.role == JointRole::slot) return "slot " + name_slot(finished.joints, orbit, index).own;
  for (const Tab& tab : pattern.tabs)
    if (tab.joint == index) return "tab " + letter;
  for (const Seat& seat : pattern.seats)
    if (seat.joint == index && (joint.role == JointRole::seat || !seat.tab_mm.empty()))
      return "seat " + letter;
  return "edge " + letter;
}

PageText write(double size, const char* colour = page_ink, bool bold = false,
               TextAt where = TextAt::start) {
  return {size, where, colour, bold, 0};
}

/// Rows side by side in columns, the head on every page.
void draw_table(PageFlow& flow, const std::vector<std::vector<Partner>>& partners) {
  struct Row {
    int panel;
    const Partner* partner;
  };
  std::vector<Row> rows;
  for (std::size_t copy = 0; copy < partners.size(); ++copy)
    for (const Partner& partner : partners[copy])
      rows.push_back({static_cast<int>(copy), &partner});
  const int columns = 3;
  const double line = 4.3, gap = 5, cell = (flow.width() - (columns - 1) * gap) / columns;
  for (std::size_t next = 0; next < rows.size();) {
    flow.keep(40);
    const double room = flow.bottom() - flow.y();
    const auto most = static_cast<std::size_t>(std::max(1.0, std::floor((room - 7) / line)));
    const std::size_t left = rows.size() - next,
                      each = std::min(most, (left + columns - 1) / columns);
    const double top = flow.take(7 + line * static_cast<double>(each));
    Page& page = flow.page();
    for (int c = 0; c < columns; ++c) {
      const double x = flow.left() + c * (cell + gap);
      const char* const heads[] = {"panel", "edge", "goes to", "edge"};
      const double at_x[] = {0, 0.2, 0.52, 0.72};
      if (next >= rows.size()) break;
      for (int k = 0; k < 4; ++k)
        page.add_text({x + at_x[k] * cell, top + 4}, heads[k], write(2.7, page_quiet));
      page.add_line({x, top + 5.4}, {x + cell, top + 5.4}, {"#d8d2c4", 0.3, "", ""});
      for (std::size_t r = 0; r < each && next < rows.size(); ++r, ++next) {
        const Row& row = rows[next];
        const double y = top + 9 + line * static_cast<double>(r);
        const bool first = r == 0 || rows[next - 1].panel != row.panel;
        if (first && r > 0)
          page.add_line({x, y - 3.2}, {x + cell, y - 3.2}, {"#d8d2c4", 0.15, "", ""});
        if (first) page.add_text({x, y}, std::to_string(row.panel + 1), write(3, page_ink, true));
        page.add_text({x + at_x[1] * cell, y}, row.partner->own, write(3));
        page.add_text({x + at_x[2] * cell, y}, std::to_string(row.partner->panel + 1),
                      write(3, page_ink, true));
        page.add_text({x + at_x[3] * cell, y}, row.partner->other, write(3));
      }
    }
  }
}

void draw_stickers(PageFlow& flow, const Design& design,
                   const std::vector<std::vector<Partner>>& partners, const ColourScheme& colours) {
  std::size_t most = 0;
  for (const auto& list : partners) most = std::max(most, list.size());
  const int columns = 4;
  const double cell = flow.width() / columns, line = 3.4,
               height = std::max(19.0, 3 + line * static_cast<double>((most + 1) / 2));
  double top = 0;
  for (std::size_t copy = 0; copy < partners.size(); ++copy) {
    const auto column = static_cast<int>(copy) % columns;
    if (column == 0) top = flow.take(height);
    const double x = flow.left() + column * cell;
    Page& page = flow.page();
    const bool coloured = colours.colours > 1;
    page.add_polygon(
        {{x, top}, {x + cell, top}, {x + cell, top + height}, {x, top + height}},
        {"#9a948a", 0.2, coloured ? find_tint(colours.colour_of[copy]) : std::string("#ffffff"),
         "1.5 1.5"});
    page.add_text({x + 2, top + 9}, std::to_string(copy + 1), write(9, page_ink, true));
    const CopyPlace place = find_copy(design, static_cast<int>(copy));
    if (design.orbits[at(place.orbit)].copies[at(place.number)].determinant() < 0)
      page.add_text({x + 2, top + 13.5}, "over", write(3, page_caution, true));
    if (design.orbits.size() > 1)
      page.add_text({x + 2, top + 16.8}, format("part %d", place.orbit + 1),
                    write(2.4, page_quiet));
    // One below the other as far as there is room, then in a second column.
    const double from = x + 4 + measure_text_width(std::to_string(copy + 1), 9, true);
    const std::size_t rows = std::max<std::size_t>(5, (partners[copy].size() + 1) / 2);
    const double width = (x + cell - 1 - from) / (partners[copy].size() > rows ? 2 : 1);
    for (std::size_t k = 0; k < partners[copy].size(); ++k) {
      const Partner& partner = partners[copy][k];
      const std::string text = partner.own + " \u2192 " + std::to_string(partner.panel + 1);
      page.add_text({from + static_cast<double>(k / rows) * width,
                     top + 4.2 + line * static_cast<double>(k % rows)},
                    text, write(std::min(2.6, 2.6 * (width - 1) / measure_text_width(text, 2.6))));
    }
  }
}

}  // namespace

std::vector<std::vector<Partner>> find_partners(const Design& design, const Finished& finished,
                                                const JointSides& sides) {
  std::vector<std::vector<Partner>> partners(at(count_copies(design)));
  for (std::size_t n = 0; n < design.joints.size(); ++n) {
    const Joint& joint = design.joints[n];
    std::string names[2];
    for (const int s : {0, 1}) {
      const int index = sides.index[n][at(s)];
      names[s] =
          index < 0 ? "edge" : name_own(finished, find_copy(design, joint.panels[s]).orbit, index);
    }
    for (const int s : {0, 1})
      partners[at(joint.panels[s])].push_back(
          {names[s], joint.panels[1 - s], names[1 - s], static_cast<int>(n)});
  }
  for (auto& list : partners)
    std::stable_sort(list.begin(), list.end(), [](const Partner& a, const Partner& b) {
      const auto key = [](const std::string& name) {
        return std::make_pair(name.substr(name.find(' ') + 1), name);
      };
      return key(a.own) < key(b.own);
    });
  return partners;
}

std::vector<Page> make_partner_pages(const Design& design, const Finished& finished,
                                     const ColourScheme& colours, const Vec2& paper_mm) {
  PageFlow flow(paper_mm, (design.name.empty() ? "Construction" : design.name) +
                              ": numbers \u00b7 design " + make_design_hash(design));
  const auto partners = find_partners(design, finished, find_joint_sides(design, finished.joints));
  flow.title("Numbers", "which edge of which panel goes to which, and a sticker for every panel");
  flow.paragraph(
      "Every panel has a number, every tab, seat and slot a letter that stands on the template. "
      "Find your panel at the left, its edge beside it, and the panel and edge it goes to.");
  draw_table(flow, partners);
  const bool has_seats =
      std::any_of(finished.parts.begin(), finished.parts.end(),
                  [](const FinishedPart& part) { return !part.pattern.seats.empty(); });
  flow.skip(4);
  flow.keep(80);
  flow.heading("Stickers");
  flow.paragraph(
      std::string("Print on sticker paper, or on paper and glue. Cut along the dashes. One sticker "
                  "on the outside face of each panel, in the middle") +
      (has_seats ? ", clear of the green seats." : ", clear of the slots.") +
      (find_turned_over(design).empty()
           ? ""
           : " \u201cover\u201d: this panel is turned over, its outside face looks inwards."));
  draw_stickers(flow, design, partners, colours);
  return flow.finish();
}

}  // namespace sixtyfold
