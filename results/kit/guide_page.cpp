#include "results/kit/guide_page.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "engine/shape/hub.h"
#include "engine/text.h"
#include "results/drawings/markup_text.h"
#include "results/files/design_hash.h"
#include "results/gallery/page_assets.h"
#include "results/gallery/page_shape.h"
#include "results/gallery/page_text.h"
#include "results/kit/guide_assets.h"
#include "results/kit/guide_steps.h"

namespace sixtyfold {
namespace {

using nlohmann::ordered_json;

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// To a tenth of a millimetre.
ordered_json write_place(const Vec3& p) {
  ordered_json place;
  for (int k = 0; k < 3; ++k) place.push_back(std::round(10 * p[k]) / 10);
  return place;
}

ordered_json write_direction(const Vec3& v) {
  ordered_json direction;
  for (int k = 0; k < 3; ++k) direction.push_back(std::round(1e5 * v[k]) / 1e5);
  return direction;
}

const char* word_of(ComingIn coming_in) {
  switch (coming_in) {
    case ComingIn::straight:
      return "straight";
    case ComingIn::tabs_open:
      return "open";
    case ComingIn::sprung:
      return "spring";
    case ComingIn::hard:
      break;
  }
  return "hard";
}

ordered_json write_panels(const Design& design, const ColourScheme& colours) {
  const std::vector<int> turned = find_turned_over(design);
  const std::set<int> over(turned.begin(), turned.end());
  ordered_json list = ordered_json::array();
  for (int copy = 0; copy < count_copies(design); ++copy) {
    const Panel& panel = design.orbits[at(find_copy(design, copy).orbit)].panel;
    std::vector<Polygon> rings{panel.outline_mm};
    rings.insert(rings.end(), panel.holes_mm.begin(), panel.holes_mm.end());
    const Vec2 free = find_roomiest_spot(rings).point;
    ordered_json item = {{"label", write_place(make_copy_frame(design, copy).to_space(free))}};
    if (over.count(copy)) item["over"] = true;
    if (colours.colours > 1) item["colour"] = colours.colour_of[at(copy)];
    list.push_back(item);
  }
  return list;
}

ordered_json write_joints(const Design& design, const Finished& finished,
                          const AssemblyPlan& plan) {
  const JointSides sides = find_joint_sides(design, finished.joints);
  ordered_json list = ordered_json::array();
  for (std::size_t n = 0; n < design.joints.size(); ++n) {
    const Joint& joint = design.joints[n];
    const Reach& reach = plan.reach[n];
    list.push_back({{"letter", letter_of(design, finished, sides, static_cast<int>(n))},
                    {"panels", {joint.panels[0], joint.panels[1]}},
                    {"kind", joint.kind == JointKind::tab    ? "tab"
                             : joint.kind == JointKind::slot ? "slot"
                                                             : "edge"},
                    {"from", write_place(joint.from_mm)},
                    {"to", write_place(joint.to_mm)},
                    {"reach", !reach.hand    ? "no_hand"
                              : !reach.clamp ? "no_clamp"
                                             : ""}});
  }
  return list;
}

ordered_json write_pieces(const Design& design, const AssemblyPlan& plan) {
  const std::vector<StepHands> hands = find_step_hands(design, plan);
  ordered_json list = ordered_json::array();
  for (std::size_t s = 0; s < plan.steps.size(); ++s) {
    const AssemblyStep& step = plan.steps[s];
    ordered_json item = {{"panels", step.copies},          {"joints", step.joints},
                         {"way", word_of(step.coming_in)}, {"push", write_direction(step.push)},
                         {"loose", step.internal_dof},     {"guided", hands[s].guided},
                         {"held", hands[s].held},          {"loosest", hands[s].loosest},
                         {"bends", ordered_json::array()}, {"inside", ordered_json::array()}};
    for (const Bend& bend : step.spring.bends)
      if (bend.deflection_mm > 0.5)
        item["bends"].push_back({{"n", bend.copy + 1},
                                 {"mm", std::lround(bend.deflection_mm)},
                                 {"free", std::lround(bend.free_length_mm)}});
    if (s < plan.in_module.size())
      for (const PanelStep& one : plan.in_module[s])
        item["inside"].push_back({{"panel", one.copy},
                                  {"joints", one.joints},
                                  {"way", word_of(one.coming_in)},
                                  {"push", write_direction(one.push)}});
    list.push_back(item);
  }
  return list;
}

/// The pages as pictures of one document: what a page calls by a name is called by another on each.
/// Quotes in texts are escaped, so that no text is taken for a name.
std::string write_paper(const std::vector<Page>& pages) {
  std::string text;
  for (std::size_t k = 0; k < pages.size(); ++k) {
    const std::string svg = pages[k].to_svg();
    std::size_t from = svg.find("<svg");
    for (;;) {
      const std::size_t next =
          std::min(svg.find("id=\"window", from), svg.find("=\"url(#window", from));
      if (next == std::string::npos) break;
      const std::size_t name = svg.find("window", next);
      text += svg.substr(from, name - from) + format("page%zu-window", k + 1);
      from = name + 6;
    }
    text += svg.substr(from);
  }
  return text;
}

}  // namespace

std::string make_guide_page(const Design& design, const Finished& finished,
                            const AssemblyPlan& plan, const Closure& closure,
                            const std::vector<Page>& paper, const GuidePageOptions& options) {
  const GalleryWords& words = options.words;
  const std::string name = design.name.empty() ? "Construction" : design.name;
  const std::string title = words.say("guide_title", {{"name", name}});
  const ColourScheme& colours = options.guide.colours;
  ordered_json shape =
      make_page_shape(design, colours.colours > 1 ? colours.name : "board", &finished);
  bool has_tabs = false, has_slots = false;
  for (const FinishedPart& part : finished.parts) {
    has_tabs = has_tabs || !part.pattern.tabs.empty();
    has_slots = has_slots || !part.pattern.slots.empty();
  }
  const ordered_json data = {
      {"design", make_design_hash(design)},
      {"name", name},
      {"words", make_script_words(words)},
      {"across", words.write_number(2 * measure_enclosing_radius(design) / 1000, 2)},
      {"tabs", has_tabs},
      {"slots", has_slots},
      {"pairs", has_paired_slots(design, finished)},
      {"folds", plan.folds},
      {"faults", options.guide.limit_faults},
      {"dryFrom", find_dry_from(closure, options.guide.tolerance)},
      {"teams", options.teams},
      {"panels", write_panels(design, colours)},
      {"joints", write_joints(design, finished, plan)},
      {"pieces", write_pieces(design, plan)},
      {"shape", shape}};
  return fill_in(
      guide_html, words,
      {{"title", make_markup_text(title, 2000)},
       {"head", make_page_head(words, make_markup_text(title, 2000),
                               std::string(page_css) + guide_css, make_policy_tag())},
       {"turn_buttons", make_turn_buttons(words)},
       {"name", make_markup_text(name)},
       {"paper", write_paper(paper)},
       {"data", write_script_json(data)},
       {"script", fill_in(guide_js, words, {{"basics", basics_js}, {"view", view_js}})}});
}

}  // namespace sixtyfold
