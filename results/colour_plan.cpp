#include "results/colour_plan.h"

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>

#include "engine/text.h"
#include "results/copies_picture.h"
#include "results/copy_elements.h"
#include "results/drawing_svg.h"
#include "results/kit_template.h"
#include "results/page_flow.h"
#include "results/palette.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

void count_like(const Design& design, ColourScheme& scheme) {
  scheme.like_joints = 0;
  for (const Joint& joint : design.joints)
    scheme.like_joints += static_cast<int>(scheme.colour_of[at(joint.panels[0])] ==
                                           scheme.colour_of[at(joint.panels[1])]);
}

/// Classes numbered by their first copy: equal for equal partitions.
std::vector<int> renumber(const std::vector<int>& colour_of) {
  std::map<int, int> number;
  std::vector<int> plain;
  for (const int colour : colour_of)
    plain.push_back(number.emplace(colour, static_cast<int>(number.size())).first->second);
  return plain;
}

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

std::vector<ColourScheme> find_colour_schemes(const Design& design) {
  std::vector<ColourScheme> schemes;
  if (!is_point_group(design.symmetry)) return schemes;
  const PointGroup group = make_point_group(design.symmetry);
  const auto elements = find_copy_elements(design, group);
  if (elements.empty()) return schemes;
  std::set<std::vector<int>> seen;
  for (const Subgroup& subgroup : find_subgroups(group)) {
    const auto classes = find_coset_copies(group, subgroup, elements);
    if (classes.size() < 2 || classes.size() > panel_colours.size()) continue;
    ColourScheme scheme;
    scheme.subgroup = name_subgroup(group, subgroup);
    scheme.colours = static_cast<int>(classes.size());
    scheme.colour_of.assign(elements.size(), 0);
    for (std::size_t c = 0; c < classes.size(); ++c)
      for (const int copy : classes[c]) scheme.colour_of[at(copy)] = static_cast<int>(c);
    if (!seen.insert(scheme.colour_of).second) continue;
    count_like(design, scheme);
    schemes.push_back(std::move(scheme));
  }
  std::stable_sort(
      schemes.begin(), schemes.end(), [](const ColourScheme& a, const ColourScheme& b) {
        return a.colours != b.colours ? a.colours < b.colours : a.like_joints < b.like_joints;
      });
  return schemes;
}

ColourScheme choose_colour_scheme(const Design& design, int colours) {
  const std::vector<ColourScheme> schemes = find_colour_schemes(design);
  ColourScheme plain;
  plain.colour_of.assign(at(count_copies(design)), 0);
  plain.like_joints = static_cast<int>(design.joints.size());
  if (colours == 1) return plain;
  if (colours == 0) {
    const std::vector<int> drawn = find_coset_colours(design);
    for (const ColourScheme& scheme : schemes)
      if (renumber(drawn) == scheme.colour_of) {
        ColourScheme chosen = scheme;
        chosen.colour_of = drawn;
        return chosen;
      }
    return plain;
  }
  std::set<int> possible{1};
  for (const ColourScheme& scheme : schemes) {
    if (scheme.colours == colours) return scheme;
    possible.insert(scheme.colours);
  }
  std::string list;
  for (const int count : possible) list += (list.empty() ? "" : ", ") + std::to_string(count);
  throw std::invalid_argument("colours is " + std::to_string(colours) +
                              ", but this design has symmetric colourings of " + list +
                              (possible.size() == 1 ? " only" : " colours only"));
}

std::vector<Page> make_colour_pages(const Design& design, const ColourScheme& chosen,
                                    const Vec2& paper_mm) {
  PageFlow flow(paper_mm, (design.name.empty() ? "Construction" : design.name) +
                              ": colour plan \u00b7 design " + make_design_hash(design));
  flow.title("Colour plan", design.name);
  const std::vector<ColourScheme> schemes = find_colour_schemes(design);
  if (chosen.colours == 1 && schemes.empty()) {
    flow.paragraph(
        "No subgroup divides these copies into a few equal classes, so no symmetric colouring is "
        "offered.");
    return flow.finish();
  }
  std::vector<int> everything;
  for (int copy = 0; copy < count_copies(design); ++copy) everything.push_back(copy);
  CopiesPicture picture;
  picture.shown = everything;
  picture.close_up = true;
  if (chosen.colours > 1) {
    flow.paragraph(format("%d colours. ", chosen.colours) +
                   "Panels of one colour are the copies of one coset of the subgroup " +
                   chosen.subgroup +
                   ", so every turn of the construction carries colours onto colours; " +
                   tell_like(design, chosen) + ". Numbers are those of the guide.");
    const double top = flow.take(112);
    picture.colour_of = chosen.colour_of;
    draw_copies(flow.page(), {{flow.left(), top}, {flow.right(), top + 108}}, design, picture);
    for (int colour = 0; colour < chosen.colours; ++colour) {
      std::vector<int> copies;
      for (std::size_t copy = 0; copy < chosen.colour_of.size(); ++copy)
        if (chosen.colour_of[copy] == colour) copies.push_back(static_cast<int>(copy));
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
          flow.page().add_paragraph({flow.left() + 52, y + 1}, list_copies(copies),
                                    flow.width() - 52, {3.3, TextAt::start, page_ink, false, 0});
      flow.take(std::max(8.5, end - y + 2));
    }
    flow.remark(
        "Colour the parts flat, before folding, or buy board of these colours: one colour is one "
        "stack or more at the saw.");
  } else {
    flow.paragraph("All panels of one colour, as you chose. Other symmetric colourings:");
  }
  std::vector<const ColourScheme*> others;
  const std::vector<int> own = renumber(chosen.colour_of);
  for (const ColourScheme& scheme : schemes) {
    if (scheme.colour_of == own) continue;
    // Of each number of colours the one with the fewest and the one with the most like joints: the
    // ends.
    int same = 0;
    for (const ColourScheme* other : others)
      same += static_cast<int>(other->colours == scheme.colours);
    const bool last = &scheme == &schemes.back() || (&scheme + 1)->colours != scheme.colours;
    if (same == 0 || last) others.push_back(&scheme);
  }
  if (!others.empty()) {
    const double cell = flow.width() / 3, height = cell + 10;
    flow.keep(height + 30);
    flow.heading("Other symmetric colourings");
    flow.paragraph(
        "Print the kit again with --colours and the number of colours to build by another one. Of "
        "each number the two ends are shown: neighbours differing most, and least.");
    double top = 0;
    for (std::size_t k = 0; k < std::min<std::size_t>(others.size(), 12); ++k) {
      if (k % 3 == 0) top = flow.take(height);
      const double x = flow.left() + static_cast<double>(k % 3) * cell;
      picture.colour_of = others[k]->colour_of;
      draw_copies(flow.page(), {{x + 3, top}, {x + cell - 3, top + cell - 6}}, design, picture);
      flow.page().add_text({x + cell / 2, top + cell - 1},
                           format("%d colours of %d panels", others[k]->colours,
                                  static_cast<int>(own.size()) / others[k]->colours),
                           {3.3, TextAt::middle, page_ink, true, 0});
      flow.page().add_text({x + cell / 2, top + cell + 3}, tell_like(design, *others[k]),
                           {2.6, TextAt::middle, page_quiet, false, 0});
    }
  }
  return flow.finish();
}

}  // namespace sixtyfold
