#include "results/kit/colour_pages.h"

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>

#include "engine/text.h"
#include "results/drawings/copies_picture.h"
#include "results/drawings/drawing_svg.h"
#include "results/drawings/page_flow.h"
#include "results/drawings/palette.h"
#include "results/files/design_hash.h"
#include "results/kit/kit_template.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

std::string list_copies(const std::vector<int>& copies) {
  std::string text;
  for (std::size_t k = 0; k < copies.size(); ++k)
    text += (k ? ", " : "") + std::to_string(copies[k] + 1);
  return text;
}

std::string tell_like(const Design& design, const ColourScheme& scheme) {
  if (scheme.like_joints == 0) return "no two joined panels alike";
  if (scheme.like_joints == static_cast<int>(design.joints.size()))
    return "joined panels all alike";
  return format("%d of %d joints between alike panels", scheme.like_joints,
                static_cast<int>(design.joints.size()));
}

}  // namespace

const char* find_colour_name(int colour) {
  static const std::vector<const char*> names = {"blue", "amber", "red",      "violet", "mint",
                                                 "plum", "cream", "sky blue", "brown",  "lime"};
  return names[at(colour) % names.size()];
}

const char* find_colour(int colour) { return panel_colours[at(colour) % panel_colours.size()]; }

std::string find_tint(int colour) {
  return to_hex(mix(make_colour(find_colour(colour)), make_colour("#ffffff"), 0.72));
}

namespace {

/// One colour with the panels that have it.
void add_colour_row(PageFlow& flow, const ColourScheme& scheme, int colour) {
  std::vector<int> copies;
  for (std::size_t copy = 0; copy < scheme.colour_of.size(); ++copy)
    if (scheme.colour_of[copy] == colour) copies.push_back(static_cast<int>(copy));
  flow.keep(12);
  const double y = flow.y();
  flow.page().add_polygon({{flow.left(), y + 0.6},
                           {flow.left() + 9, y + 0.6},
                           {flow.left() + 9, y + 6.6},
                           {flow.left(), y + 6.6}},
                          {page_ink, 0.25, find_colour(colour), ""});
  flow.page().add_text(
      {flow.left() + 12, y + 5},
      format("%s, %d panels", find_colour_name(colour), static_cast<int>(copies.size())),
      {3.6, TextAt::start, page_ink, true, 0});
  const double end =
      flow.page().add_paragraph({flow.left() + 52, y + 1}, list_copies(copies), flow.width() - 52,
                                {3.3, TextAt::start, page_ink, false, 0});
  flow.take(std::max(8.5, end - y + 2));
}

/// The colouring to build by.
void add_chosen(PageFlow& flow, const Design& design, const ColourScheme& chosen,
                CopiesPicture picture) {
  flow.paragraph(format("Colouring %s: %d colours. ", chosen.name.c_str(), chosen.colours) +
                 "Turned onto itself, the construction carries every colour onto a colour; " +
                 tell_like(design, chosen) + ". Numbers are those of the guide.");
  const double top = flow.take(112);
  picture.colour_of = chosen.colour_of;
  draw_copies(flow.page(), {{flow.left(), top}, {flow.right(), top + 108}}, design, picture);
  for (int colour = 0; colour < chosen.colours; ++colour) add_colour_row(flow, chosen, colour);
  flow.remark(
      "Colour the parts flat, before folding, or buy board of these colours: one colour is one "
      "stack or more at the saw.");
}

/// Of each number of colours the one with the fewest and the one with the most like joints: the
/// ends.
std::vector<const ColourScheme*> find_ends(const std::vector<ColourScheme>& schemes,
                                           const std::vector<int>& own) {
  std::vector<const ColourScheme*> ends;
  for (const ColourScheme& scheme : schemes) {
    if (scheme.colour_of == own) continue;
    const bool is_first = std::none_of(ends.begin(), ends.end(), [&](const ColourScheme* other) {
      return other->colours == scheme.colours;
    });
    const bool is_last = &scheme == &schemes.back() || (&scheme + 1)->colours != scheme.colours;
    if (is_first || is_last) ends.push_back(&scheme);
  }
  return ends;
}

/// Three in a row, twelve at most.
void add_others(PageFlow& flow, const Design& design,
                const std::vector<const ColourScheme*>& others, CopiesPicture picture) {
  const double cell = flow.width() / 3, height = cell + 10;
  flow.keep(height + 30);
  flow.heading("Other symmetric colourings");
  flow.paragraph(
      "Tell whoever prints the kit the name of the one to build by. Of each number the two ends "
      "are shown: neighbours differing most, and least.");
  double top = 0;
  for (std::size_t k = 0; k < std::min<std::size_t>(others.size(), 12); ++k) {
    const ColourScheme& other = *others[k];
    if (k % 3 == 0) top = flow.take(height);
    const double x = flow.left() + static_cast<double>(k % 3) * cell;
    picture.colour_of = other.colour_of;
    draw_copies(flow.page(), {{x + 3, top}, {x + cell - 3, top + cell - 6}}, design, picture);
    flow.page().add_text({x + cell / 2, top + cell - 1},
                         format("%s: %d colours of %d panels", other.name.c_str(), other.colours,
                                count_copies(design) / other.colours),
                         {3.3, TextAt::middle, page_ink, true, 0});
    flow.page().add_text({x + cell / 2, top + cell + 3}, tell_like(design, other),
                         {2.6, TextAt::middle, page_quiet, false, 0});
  }
}

}  // namespace

std::vector<Page> make_colour_pages(const Design& design, const ColourScheme& chosen,
                                    const Vec2& paper_mm) {
  PageFlow flow(paper_mm, (design.name.empty() ? "Construction" : design.name) +
                              ": colour plan \u00b7 design " + make_design_hash(design));
  flow.title("Colour plan", design.name);
  const std::vector<ColourScheme> schemes = find_colour_schemes(design);
  if (chosen.colours == 1 && schemes.empty()) {
    flow.paragraph(
        "These panels do not fall into a few equal classes, so no even colouring is offered.");
    return flow.finish();
  }
  CopiesPicture picture;
  picture.close_up = true;
  for (int copy = 0; copy < count_copies(design); ++copy) picture.shown.push_back(copy);
  if (chosen.colours > 1)
    add_chosen(flow, design, chosen, picture);
  else
    flow.paragraph("All panels of one colour, as you chose. Other symmetric colourings:");
  const std::vector<const ColourScheme*> others =
      find_ends(schemes, renumber_colours(chosen.colour_of));
  if (!others.empty()) add_others(flow, design, others, picture);
  return flow.finish();
}

}  // namespace sixtyfold
