#include "results/gallery/page.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <map>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "engine/building/colourings.h"
#include "engine/text.h"
#include "results/drawings/drawing_svg.h"
#include "results/drawings/markup_text.h"
#include "results/drawings/palette.h"
#include "results/drawings/part_drawing.h"
#include "results/drawings/svg_text.h"
#include "results/drawings/triangulate.h"
#include "results/files/design_name.h"
#include "results/gallery/page_assets.h"

namespace sixtyfold {
namespace {

using nlohmann::ordered_json;

constexpr std::size_t most_ring_points = 300;  // of a panel on the page

// Only the <svg> element: a page has its own declaration and document type.
std::string strip_head(const std::string& svg) { return svg.substr(svg.find("<svg")); }

// What a screen can show of a ring: a thousandth of the construction, and never too many points.
Polygon make_screen_ring(const Polygon& ring, double radius_mm) {
  double tolerance = 0.001 * radius_mm;
  Polygon simple = make_simplified(make_counter_clockwise(ring), tolerance);
  while (simple.size() > most_ring_points) simple = make_simplified(simple, tolerance *= 2);
  return simple;
}

double round_to(double value, double step) { return std::round(value / step) * step; }

ordered_json make_shape(const Design& design) {
  double radius = 0;
  for (const Orbit& orbit : design.orbits)
    for (const Vec2& p : orbit.panel.outline_mm)
      radius = std::max(radius, orbit.panel.frame.to_space(p).norm());
  const std::vector<int> colours = find_coset_colours(design);
  ordered_json shape = {{"radius", round_to(radius, 0.1)},
                        {"thickness", design.thickness_mm},
                        {"coloured", *std::max_element(colours.begin(), colours.end()) > 0},
                        {"palette", panel_colours},
                        {"orbits", ordered_json::array()}};
  std::size_t first_copy = 0;
  for (const Orbit& orbit : design.orbits) {
    const Panel& panel = orbit.panel;
    const Polygon outer = make_screen_ring(panel.outline_mm, radius);
    std::vector<Polygon> holes;
    for (const Polygon& hole : panel.holes_mm) {
      Polygon ring = make_screen_ring(hole, radius);
      if (ring.size() >= 3) holes.push_back(std::move(ring));
    }
    const TrianglePatch patch = make_triangles(outer, holes);
    ordered_json item;
    for (const Vec2& p : patch.points)
      for (int k = 0; k < 2; ++k) item["points"].push_back(round_to(p[k], 0.01));
    item["rings"].push_back(outer.size());
    for (const Polygon& hole : holes) item["rings"].push_back(hole.size());
    item["triangles"] = ordered_json::array();
    for (const auto& triangle : patch.triangles)
      for (const int corner : triangle) item["triangles"].push_back(corner);
    for (const Vec3& v :
         {panel.frame.origin, panel.frame.x_axis, panel.frame.y_axis, panel.frame.normal})
      for (int k = 0; k < 3; ++k) item["frame"].push_back(round_to(v[k], 1e-5));
    const Vec3 middle = panel.frame.to_space(measure_centroid(panel.outline_mm));
    for (int k = 0; k < 3; ++k) item["middle"].push_back(round_to(middle[k], 0.01));
    for (const Mat3& copy : orbit.copies) {
      ordered_json columns;
      for (int column = 0; column < 3; ++column)
        for (int row = 0; row < 3; ++row) columns.push_back(round_to(copy(row, column), 1e-6));
      item["copies"].push_back(columns);
      item["colours"].push_back(colours[first_copy++]);
    }
    shape["orbits"].push_back(item);
  }
  return shape;
}

struct Fact {
  std::string name, value;
  const char* classes = "";  // of the row: "minor" is left out of a crowded poster
};

struct Option {
  int number = 0;
  std::string name;
  const Design* design = nullptr;
  BuildEffort effort;
  std::string fault;
  int panels = 0;
  double diameter_mm = 0;
};

std::string write_hours(double hours) {
  if (hours < 1) return "under an hour";
  return "about " + count_of(static_cast<int>(std::lround(hours)), "hour", "hours");
}

std::string write_cost(double cost, const std::string& currency) {
  return format(cost < 100 && cost != std::floor(cost) ? "%.2f" : "%.0f", cost) +
         (currency.empty() ? "" : " " + currency);
}

std::vector<Fact> find_card_facts(const Option& option, const GalleryOptions& options) {
  const Score& score = option.design->score;
  std::vector<Fact> facts = {{"panels", std::to_string(option.panels)}};
  if (score.joints > 0) facts.push_back({"joints", std::to_string(score.joints)});
  facts.push_back({"across", option.diameter_mm >= 1000
                                 ? format("%.2f m", option.diameter_mm / 1000)
                                 : format("%.0f mm", option.diameter_mm)});
  const double price = options.price_per_sheet;
  if (score.sheets > 0) {
    facts.push_back({"sheets", std::to_string(score.sheets)});
    facts.push_back(
        {"cost", price > 0 ? write_cost(score.sheets * price, options.currency) : "type a price",
         "price"});
  }
  facts.push_back({"work", write_hours(option.effort.person_hours), "work"});
  facts.push_back({"difficulty", find_difficulty_word(option.effort.difficulty), "difficulty"});
  if (score.mass_kg > 0)
    facts.push_back(
        {"mass", format(score.mass_kg < 10 ? "%.1f kg" : "%.0f kg", score.mass_kg), "minor"});
  facts.push_back({"symmetry", option.design->symmetry, "minor"});
  return facts;
}

// For the small print; groups of other families keep their symbol alone.
std::string describe_symmetry(const std::string& symbol) {
  static const std::map<std::string, std::string> solids = {
      {"T", "turns of a tetrahedron"}, {"O", "turns of a cube"}, {"I", "turns of an icosahedron"}};
  if (const auto solid = solids.find(symbol); solid != solids.end()) return solid->second;
  const bool plain =
      symbol.size() > 1 && symbol.find_first_not_of("0123456789", 1) == std::string::npos;
  if (plain && symbol[0] == 'C') return "turns about one axis, " + symbol.substr(1) + "-fold";
  if (plain && symbol[0] == 'D')
    return "turns about one axis, " + symbol.substr(1) + "-fold, and half turns across it";
  return "";
}

std::string write_card(const Option& option, const GalleryOptions& options) {
  DrawingOptions drawing;
  drawing.setting = Setting::plain;
  drawing.width_mm = 120;
  drawing.height_mm = 108;
  drawing.title = option.name;
  PartDrawingOptions part;
  part.width_mm = 100;
  part.height_mm = 80;
  part.title = "The part";
  const std::string name = make_markup_text(option.name), number = std::to_string(option.number);
  const Score& score = option.design->score;
  std::string card = "<li class=\"card\" data-number=\"" + number +
                     "\">\n<button class=\"picture\" type=\"button\" "
                     "aria-label=\"Turn " +
                     number + " " + name + " in three dimensions\">" +
                     strip_head(make_drawing_svg(*option.design, drawing)) +
                     "</button>\n<div class=\"body\"><div class=\"name\"><span class=\"number\">" +
                     number + "</span><h2>" + name + "</h2></div>\n<dl class=\"facts\">";
  for (const Fact& fact : find_card_facts(option, options))
    card += std::string("<div class=\"") + fact.classes + "\"><dt>" + fact.name + "</dt><dd" +
            (fact.name == "cost" ? " class=\"cost\"" : "") + ">" + make_markup_text(fact.value) +
            "</dd></div>";
  card += "</dl>\n";
  if (!option.fault.empty())
    card += "<p class=\"note\">Can not be built: " + make_markup_text(option.fault) + "</p>\n";
  else if (score.internal_dof > 0)
    card += "<p class=\"note\">Flexible: " + count_of(score.internal_dof, "degree", "degrees") +
            " of freedom</p>\n";
  return card +
         "<div class=\"actions\"><button class=\"button turn-button\" type=\"button\" "
         "aria-label=\"Turn it: " +
         number + " " + name +
         "\">Turn it</button>"
         "<button class=\"button compare-button\" type=\"button\" aria-pressed=\"false\" "
         "aria-label=\"Compare: " +
         number + " " + name +
         "\">Compare</button>"
         "<button class=\"button choose\" type=\"button\" aria-pressed=\"false\"></button>"
         "</div></div>\n<template>" +
         strip_head(make_part_drawing_svg(option.design->orbits[0].panel, part)) +
         "</template></li>\n";
}

std::string write_footer(const std::vector<Design>& designs, const GalleryOptions& options) {
  const EffortAssumptions& e = options.effort;
  const CuttingOptions& cut = e.cutting;
  const Design& first = designs.front();
  std::string text =
      "<p>Sharp blades, saws, hot glue and ladders hurt people: work as your own rules say. "
      "Anything that hangs over people, and any fire load in a public room, needs a competent "
      "person\u2019s judgement and has to follow local codes.</p>\n<p>Sheets: as many as hold all "
      "parts";
  const bool alike = std::all_of(designs.begin(), designs.end(), [&](const Design& design) {
    return design.limits.sheet_width_mm == first.limits.sheet_width_mm &&
           design.limits.sheet_height_mm == first.limits.sheet_height_mm &&
           design.thickness_mm == first.thickness_mm;
  });
  if (alike)
    text += format(" on board of %g \u00d7 %g mm, %g mm thick", first.limits.sheet_width_mm,
                   first.limits.sheet_height_mm, first.thickness_mm);
  text += format(
      ". Work: a rough guide for one person, in hours: %s at %g mm a minute, %g seconds more at a "
      "sharp corner and %g minutes to set up a %s; %g minutes a panel to mark and clean, %g "
      "minutes "
      "a joint to fold, glue and hold (common practice, no published source: time your own group). "
      "Difficulty: from easy up one level each for more than 100 joints, more than 200, a plane "
      "angle under 35\u00b0, a joint under 80 mm, a whole that moves.</p>\n",
      cut.tool == CutTool::knife ? "cutting by knife, one layer after another,"
                                 : format("sawing stacks of %g mm", cut.cutting_height_mm).c_str(),
      cut.feed_mm_per_min, cut.corner_s, cut.stack_s / 60,
      cut.tool == CutTool::knife ? "sheet" : "stack", e.minutes_per_panel, e.minutes_per_joint);
  std::map<std::string, std::string> symmetries;  // each once, in order
  for (const Design& design : designs)
    if (const std::string words = describe_symmetry(design.symmetry); !words.empty())
      symmetries[design.symmetry] = words;
  std::string list;
  for (const auto& [symbol, words] : symmetries)
    list += (list.empty() ? "" : "; ") + symbol + " " + words;
  if (!list.empty())
    text += "<p>Symmetry: which turns carry the whole onto itself. " + list + ".</p>\n";
  return text + "<p>Made by sixtyfold. This page is one file and asks nothing of any network.</p>";
}

// Replaces every {{key}} once; what is put in is not looked at again.
std::string fill_in(const std::string& page,
                    const std::vector<std::pair<std::string, std::string>>& parts) {
  std::string filled;
  for (std::size_t at = 0; at < page.size();) {
    const std::size_t open = page.find("{{", at);
    filled.append(page, at, open == std::string::npos ? open : open - at);
    if (open == std::string::npos) break;
    const std::size_t close = page.find("}}", open);
    const std::string key =
        close == std::string::npos ? "" : page.substr(open + 2, close - open - 2);
    const auto part = std::find_if(parts.begin(), parts.end(),
                                   [&](const auto& candidate) { return candidate.first == key; });
    filled += part == parts.end() ? "{{" : part->second;
    at = part == parts.end() ? open + 2 : close + 2;
  }
  return filled;
}

// JSON inside <script>: no "</script" and no "<!--" can occur without a '<'.
std::string write_script_json(const ordered_json& document) {
  std::string text = document.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace), safe;
  for (const char c : text) safe += c == '<' ? std::string("\\u003c") : std::string(1, c);
  return safe;
}

std::string hash_text(const std::string& text) {  // 64-bit FNV-1a (Fowler, Noll and Vo)
  std::uint64_t hash = 0xcbf29ce484222325u;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3u;
  char hex[17];
  std::snprintf(hex, sizeof hex, "%016llx", static_cast<unsigned long long>(hash));
  return hex;
}

}  // namespace

std::string GalleryOptions::find_fault() const {
  if (!(0 <= price_per_sheet && price_per_sheet <= 1e6))
    return "the price of a sheet is to be from 0 to 1000000";
  if (!(currency.size() <= 20)) return "the currency has more than 20 letters";
  if (title.empty()) return "the page's title is empty";
  return effort.find_fault();
}

std::string make_gallery_page(const std::vector<Design>& designs, const GalleryOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (designs.empty()) throw std::invalid_argument("a gallery needs at least one design");
  if (designs.size() > most_gallery_designs)
    throw std::invalid_argument("a gallery holds at most " + std::to_string(most_gallery_designs) +
                                " designs; these are " + std::to_string(designs.size()));
  const std::vector<std::string> names = find_design_names(designs);
  std::string cards;
  ordered_json list = ordered_json::array();
  for (std::size_t i = 0; i < designs.size(); ++i) {
    const Design& design = designs[i];
    Option option{static_cast<int>(i) + 1,
                  names[i],
                  &design,
                  measure_build_effort(design, options.effort),
                  i < options.faults.size() ? options.faults[i] : "",
                  0,
                  0};
    for (const Orbit& orbit : design.orbits) {
      option.panels += static_cast<int>(orbit.copies.size());
      for (const Vec2& p : orbit.panel.outline_mm)
        option.diameter_mm = std::max(option.diameter_mm, 2 * orbit.panel.frame.to_space(p).norm());
    }
    if (design.score.diameter_mm > 0) option.diameter_mm = design.score.diameter_mm;
    cards += write_card(option, options);
    list.push_back({{"number", option.number},
                    {"name", option.name},
                    {"symmetry", design.symmetry},
                    {"panels", option.panels},
                    {"joints", design.score.joints},
                    {"diameter", round_to(option.diameter_mm, 0.1)},
                    {"sheets", design.score.sheets},
                    {"openness", round_to(design.score.openness, 1e-4)},
                    {"hours", round_to(option.effort.person_hours, 0.01)},
                    {"difficulty", option.effort.difficulty},
                    {"difficultyWord", find_difficulty_word(option.effort.difficulty)},
                    {"reasons", option.effort.reasons},
                    {"shape", make_shape(design)}});
  }
  const std::string id = hash_text(options.title + write_script_json(list));
  const std::string script = fill_in(page_js, {{"vote", vote_js}, {"view", view_js}});
  const std::string lead = designs.size() == 1
                               ? "One design. Turn it, look inside, print it."
                               : std::to_string(designs.size()) +
                                     " designs, each from one flat part cut again and again. Turn "
                                     "them, compare them, vote.";
  return fill_in(page_html, {{"title", make_markup_text(options.title)},
                             {"lead", lead},
                             {"style", page_css},
                             {"cards", cards},
                             {"footer", write_footer(designs, options)},
                             {"data", write_script_json({{"id", id},
                                                         {"title", options.title},
                                                         {"price", options.price_per_sheet},
                                                         {"currency", options.currency},
                                                         {"options", list}})},
                             {"script", script}});
}

}  // namespace sixtyfold
