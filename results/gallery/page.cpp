#include "results/gallery/page.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "engine/allowed.h"
#include "engine/building/colourings.h"
#include "engine/text.h"
#include "results/drawings/drawing_svg.h"
#include "results/drawings/markup_text.h"
#include "results/drawings/part_drawing.h"
#include "results/files/design_name.h"
#include "results/gallery/page_assets.h"
#include "results/gallery/page_shape.h"
#include "results/gallery/page_text.h"

namespace sixtyfold {
namespace {

using nlohmann::ordered_json;

// Only the <svg> element, for a page has its own declaration and document type; without its
// description, which says in English what the card says in the page's language.
std::string strip_head(const std::string& svg) {
  const std::size_t open = svg.find("<desc>"), close = svg.find("</desc>");
  const std::size_t start = svg.find("<svg");
  if (open == std::string::npos || close == std::string::npos) return svg.substr(start);
  return svg.substr(start, open - start) + svg.substr(close + 7);
}

double round_to(double value, double step) { return std::round(value / step) * step; }

struct Fact {
  std::string key, value;
  const char* classes = "";  // of the row: "minor" is left out of a crowded poster
};

struct Card {
  int number = 0;
  std::string name;
  const Design* design = nullptr;
  BuildEffort effort;
  std::string fault;
  int panels = 0;
  double diameter_mm = 0;
};

std::string write_hours(double hours, const GalleryWords& words) {
  if (hours < 1) return words.say("under_an_hour");
  return words.say("about_hours", {{"n", std::to_string(std::lround(hours))}});
}

std::string write_cost(double cost, const GalleryOptions& options) {
  return options.words.write_number(cost, cost < 100 && cost != std::floor(cost) ? 2 : 0) +
         (options.currency.empty() ? "" : " " + options.currency);
}

std::string describe_reason(const EffortReason& reason, const GalleryWords& words) {
  const std::string value = words.write_number(reason.value, 0);
  switch (reason.kind) {
    case EffortReason::Kind::joints:
      return words.say("reason_joints", {{"n", value}});
    case EffortReason::Kind::plane_angle_deg:
      return words.say("reason_angle", {{"n", value}});
    case EffortReason::Kind::joint_length_mm:
      return words.say("reason_short", {{"n", value}});
    case EffortReason::Kind::springs:
      return words.say("reason_springs", {{"n", value}});
    case EffortReason::Kind::hard_steps:
      return words.say("reason_hard", {{"n", value}});
    case EffortReason::Kind::motion:
      break;
  }
  return words.say("reason_motion");
}

std::string find_difficulty(int difficulty, const GalleryWords& words) {
  return words.say("difficulty_" + std::to_string(difficulty));
}

std::vector<Fact> find_card_facts(const Card& card, const GalleryOptions& options) {
  const GalleryWords& words = options.words;
  const Score& score = card.design->score;
  std::vector<Fact> facts = {{"panels", std::to_string(card.panels)}};
  if (score.joints > 0) facts.push_back({"joints", std::to_string(score.joints)});
  facts.push_back({"across", card.diameter_mm >= 1000
                                 ? words.write_number(card.diameter_mm / 1000, 2) + " m"
                                 : words.write_number(card.diameter_mm, 0) + " mm"});
  const double price = options.price_per_sheet;
  if (score.sheets > 0) {
    facts.push_back({"sheets", std::to_string(score.sheets)});
    facts.push_back(
        {"cost", price > 0 ? write_cost(score.sheets * price, options) : words.say("type_price"),
         "price"});
  }
  facts.push_back({"work", write_hours(card.effort.person_hours, words), "work"});
  facts.push_back({"difficulty", find_difficulty(card.effort.difficulty, words), "difficulty"});
  if (score.mass_kg > 0)
    facts.push_back(
        {"mass", words.write_number(score.mass_kg, score.mass_kg < 10 ? 1 : 0) + " kg", "minor"});
  facts.push_back({"symmetry", describe_symmetry(card.design->symmetry, words), "minor wide"});
  return facts;
}

std::string write_card(const Card& card, const GalleryOptions& options) {
  const GalleryWords& words = options.words;
  PartDrawingOptions part;
  part.width_mm = 100;
  part.height_mm = 80;
  part.title = words.say("the_part");
  part.caption = {words.say("part_pattern"), words.say("part_outline"), words.say("part_scale"),
                  words.say("part_area")};
  const std::string name = make_markup_text(card.name), number = std::to_string(card.number);
  const Score& score = card.design->score;
  const auto say = [&](const std::string& key) { return make_markup_text(words.say(key), 2000); };
  const auto label = [&](const std::string& key) {
    return make_markup_text(words.say(key, {{"name", number + " " + card.name}}), 2000);
  };
  std::string text = "<li class=\"card\" data-number=\"" + number +
                     "\">\n<button class=\"picture\" type=\"button\" aria-label=\"" +
                     label("turn_label") + "\">" +
                     strip_head(make_card_picture(*card.design, card.name, options.colours)) +
                     "</button>\n<div class=\"body\"><div class=\"name\"><span class=\"number\">" +
                     number + "</span><h2>" + name + "</h2></div>\n<dl class=\"facts\">";
  for (const Fact& fact : find_card_facts(card, options))
    text += std::string("<div class=\"") + fact.classes + "\"><dt>" + say("fact_" + fact.key) +
            "</dt><dd" + (fact.key == "cost" ? " class=\"cost\"" : "") + ">" +
            make_markup_text(fact.value, 2000) + "</dd></div>";
  text += "</dl>\n";
  if (const std::string why = explain_looks(score, options.taste, words); !why.empty())
    text += "<p class=\"looks\">" + make_markup_text(why) + "</p>\n";
  if (!card.fault.empty())
    text += "<p class=\"note\">" + say("can_not_be_built") + " <span lang=\"en\">" +
            make_markup_text(card.fault) + "</span></p>\n";
  else if (score.internal_dof > 0)
    text +=
        "<p class=\"note\">" +
        make_markup_text(words.say("flexible", {{"n", std::to_string(score.internal_dof)}}), 2000) +
        "</p>\n";
  return text +
         "<div class=\"actions\"><button class=\"button turn-button\" type=\"button\" "
         "aria-label=\"" +
         label("turn_it_label") + "\">" + say("turn_it") +
         "</button>"
         "<button class=\"button compare-button\" type=\"button\" aria-pressed=\"false\" "
         "aria-label=\"" +
         label("compare_label") + "\">" + say("compare") +
         "</button>"
         "<button class=\"button choose\" type=\"button\" aria-pressed=\"false\"></button>"
         "</div></div>\n<template>" +
         strip_head(make_part_drawing_svg(card.design->orbits[0].panel, part)) +
         "</template></li>\n";
}

std::string write_footer(const std::vector<Design>& designs, const GalleryOptions& options,
                         const std::string& last_words) {
  const EffortAssumptions& e = options.effort;
  const CuttingOptions& cut = e.cutting;
  const GalleryWords& words = options.words;
  const Design& first = designs.front();
  const auto number = [&](double value) {  // as few decimals as say it
    std::string text = words.write_number(value, 2);
    const std::string mark = words.say("decimal_mark");
    while (text.size() > mark.size() && text.back() == '0') text.pop_back();
    if (text.size() > mark.size() &&
        text.compare(text.size() - mark.size(), mark.size(), mark) == 0)
      text.resize(text.size() - mark.size());
    return text;
  };
  const bool alike = std::all_of(designs.begin(), designs.end(), [&](const Design& design) {
    return design.limits.sheet_width_mm == first.limits.sheet_width_mm &&
           design.limits.sheet_height_mm == first.limits.sheet_height_mm &&
           design.thickness_mm == first.thickness_mm;
  });
  const std::string sheets =
      alike ? words.say("footer_sheets_alike", {{"width", number(first.limits.sheet_width_mm)},
                                                {"height", number(first.limits.sheet_height_mm)},
                                                {"thickness", number(first.thickness_mm)}})
            : words.say("footer_sheets");
  const bool knife = cut.tool == CutTool::knife;
  const std::string work = words.say(knife ? "footer_work_knife" : "footer_work_saw",
                                     {{"stack", number(cut.cutting_height_mm)},
                                      {"feed", number(cut.feed_mm_per_min)},
                                      {"corner", number(cut.corner_s)},
                                      {"setup", number(cut.stack_s / 60)},
                                      {"panel", number(e.minutes_per_panel)},
                                      {"joint", number(e.minutes_per_joint)}});
  const auto paragraph = [](const std::string& text) {
    return "<p>" + make_markup_text(text, 4000) + "</p>\n";
  };
  return paragraph(words.say("footer_cautions")) +
         paragraph(sheets + " " + work + " " + words.say("footer_difficulty")) +
         paragraph(words.say("footer_symmetry")) + "<p><!-- Made by sixtyfold. -->" +
         make_markup_text(words.say(last_words), 2000) + "</p>";
}

}  // namespace

std::string GalleryOptions::find_fault() const {
  if (std::string fault = allowed::sheet_price.find_fault(price_per_sheet); !fault.empty())
    return fault;
  if (!(currency.size() <= 20)) return "the currency has more than 20 letters";
  for (std::size_t i = 0; i < numbers.size(); ++i)
    if (!((i == 0 ? 1 : numbers[i - 1] + 1) <= numbers[i] && numbers[i] <= largest_gallery_number))
      return "the designs' numbers are to rise from 1 to 9999";
  return effort.find_fault();
}

namespace {

/// The parts of a page by which ballots are cast: here, or sent away.
struct VoteParts {
  std::string html, script, lead, last_words, connect;
  ordered_json data;
};

std::string make_page(const std::vector<Design>& designs, const GalleryOptions& options,
                      const VoteParts& vote) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (designs.empty()) throw std::invalid_argument("a gallery needs at least one design");
  if (designs.size() > most_gallery_designs)
    throw std::invalid_argument("a gallery holds at most " + std::to_string(most_gallery_designs) +
                                " designs; these are " + std::to_string(designs.size()));
  std::vector<int> numbers = options.numbers;
  if (numbers.empty())
    for (std::size_t i = 0; i < designs.size(); ++i) numbers.push_back(static_cast<int>(i) + 1);
  if (numbers.size() != designs.size())
    throw std::invalid_argument(
        format("%zu designs have %zu numbers; each needs one", designs.size(), numbers.size()));
  const GalleryWords& words = options.words;
  const std::string title = options.title.empty() ? words.say("title") : options.title;
  const std::vector<std::string> names = find_design_names(designs);
  std::string cards;
  ordered_json list = ordered_json::array();
  for (std::size_t i = 0; i < designs.size(); ++i) {
    const Design& design = designs[i];
    Card card{numbers[i],
              names[i],
              &design,
              measure_build_effort(design, options.effort),
              i < options.faults.size() ? options.faults[i] : "",
              0,
              0};
    for (const Orbit& orbit : design.orbits) card.panels += static_cast<int>(orbit.copies.size());
    card.diameter_mm = design.score.diameter_mm > 0 ? design.score.diameter_mm
                                                    : 2 * measure_enclosing_radius(design);
    cards += write_card(card, options);
    ordered_json reasons = ordered_json::array();
    for (const EffortReason& reason : card.effort.reasons)
      reasons.push_back(describe_reason(reason, words));
    list.push_back({{"number", card.number},
                    {"name", card.name},
                    {"symmetry", design.symmetry},
                    {"symmetryWords", describe_symmetry(design.symmetry, words)},
                    {"panels", card.panels},
                    {"joints", design.score.joints},
                    {"diameter", round_to(card.diameter_mm, 0.1)},
                    {"sheets", design.score.sheets},
                    {"appeal", round_to(design.score.appeal, 1e-4)},
                    {"openness", round_to(design.score.openness, 1e-4)},
                    {"hours", round_to(card.effort.person_hours, 0.01)},
                    {"difficulty", card.effort.difficulty},
                    {"difficultyWord", find_difficulty(card.effort.difficulty, words)},
                    {"reasons", reasons},
                    {"shape", make_page_shape(design, options.colours)}});
  }
  const bool here = vote.data.is_null();
  const std::vector<std::string> unused =
      here ? std::vector<std::string>{} : std::vector<std::string>{"map_", "guide_"};
  ordered_json data = {{"id", find_gallery_identity(designs, names, numbers)},
                       {"title", title},
                       {"price", options.price_per_sheet},
                       {"currency", options.currency},
                       {"words", make_script_words(words, unused)},
                       {"designs", list}};
  if (!here) data["ballot"] = vote.data;
  const std::string script = fill_in(page_js, words,
                                     {{"basics", basics_js},
                                      {"count", here ? count_js : ""},
                                      {"ballots", here ? ballots_js : ""},
                                      {"view", view_js},
                                      {"vote", vote.script}});
  const std::string lead = words.say(vote.lead, {{"n", std::to_string(designs.size())}});
  const auto part = [&](const char* name) {
    return fill_in(find_part(vote.html, name), words,
                   {{"paper", fill_in(paper_html, words, {})},
                    {"cast_buttons", fill_in(find_part(parts_html, "cast_buttons"), words, {})}});
  };
  return fill_in(page_html, words,
                 {{"title", make_markup_text(title)},
                  {"head", make_page_head(words, make_markup_text(title), page_css,
                                          make_policy_tag(vote.connect))},
                  {"turn_buttons", make_turn_buttons(words)},
                  {"vote_nav", part("nav")},
                  {"vote_result", part("result")},
                  {"vote_bar", part("bar")},
                  {"vote_dialogs", part("dialogs")},
                  {"lead", make_markup_text(lead, 2000)},
                  {"cards", cards},
                  {"footer", write_footer(designs, options, vote.last_words)},
                  {"data", write_script_json(data)},
                  {"script", script}});
}

}  // namespace

std::string make_card_picture(const Design& design, const std::string& name,
                              const std::string& colours) {
  DrawingOptions drawing;
  drawing.setting = Setting::plain;
  drawing.width_mm = 120;
  drawing.height_mm = 108;
  drawing.title = name;
  drawing.colours = colours;
  return make_drawing_svg(design, drawing);
}

std::string make_gallery_page(const std::vector<Design>& designs, const GalleryOptions& options) {
  return make_page(designs, options,
                   {vote_html,
                    fill_in(vote_js, options.words, {{"paper", paper_js}}),
                    designs.size() == 1 ? "lead_one" : "lead",
                    "footer_made",
                    "",
                    {}});
}

std::string make_ballot_page(const std::vector<Design>& designs, const GalleryOptions& options,
                             const BallotPaper& paper) {
  return make_page(designs, options,
                   {cast_html,
                    cast_js,
                    paper.closed ? "lead" : "phone_lead",
                    "phone_footer",
                    "; connect-src 'self'",
                    {{"method", paper.ranks ? "ranking" : "approval"}, {"closed", paper.closed}}});
}

}  // namespace sixtyfold
