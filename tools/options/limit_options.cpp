#include "tools/options/limit_options.h"

#include <climits>
#include <limits>
#include <stdexcept>

#include "engine/allowed.h"
#include "engine/stock/cutting.h"
#include "engine/stock/material.h"
#include "engine/text.h"
#include "results/files/names.h"
#include "tools/options/arguments.h"
#include "tools/options/options.h"

namespace sixtyfold {

namespace {

constexpr char group_name[] = "Limits";

/// An option whose text is read at once and changes the limits later.
template <class Read, class Set>
void add_limit(CLI::App& command, LimitChanges& changes, const std::string& name,
               const std::string& shape, const std::string& help, Read read, Set set) {
  add_parsed_option(
      command, name, shape,
      [&changes, read, set](const std::string& text) {
        const auto value = read(text);
        changes.typed.push_back([set, value](Limits& limits) { set(limits, value); });
      },
      help)
      ->group(group_name);
}

void add_length(CLI::App& command, LimitChanges& changes, const std::string& name,
                const std::string& help, double Limits::*field, const Allowed& range) {
  const auto read = [range](const std::string& text) { return parse_length_mm(text, range); };
  add_limit(command, changes, name, "LENGTH", help, read,
            [field](Limits& limits, double value) { limits.*field = value; });
}

template <class Choice>
auto read_name(const std::string& text) {
  Choice choice{};
  parse_name(text, choice);
  return choice;
}

int to_int(double value) { return value >= INT_MAX ? INT_MAX : static_cast<int>(value); }

}  // namespace

void add_limit_options(CLI::App& command, LimitChanges& changes, LimitDefaults defaults) {
  const Limits usual;
  // "; default 4 mm", or the file's where a file comes with its own.
  const auto otherwise = [defaults](const char* pattern, auto... values) {
    return "; default " + (defaults == LimitDefaults::shipped ? format(pattern, values...)
                                                              : std::string("the design's"));
  };
  const auto within = [](auto parse, Range bounds) {
    return [parse, bounds](const std::string& text) { return parse(text, bounds); };
  };
  const auto within_count = [](const Allowed& range) {
    return [range](const std::string& text) {
      return parse_count(text, static_cast<int>(range.low), static_cast<int>(range.high));
    };
  };
  add_limit(command, changes, "--sheet", "SIZE",
            "size of a sheet: 600x1200 (mm), 20x40in, A1" +
                otherwise("%.0fx%.0f mm", usual.sheet_width_mm, usual.sheet_height_mm),
            parse_sheet_size, [](Limits& limits, const SheetSize& sheet) {
              limits.sheet_width_mm = sheet.short_mm;
              limits.sheet_height_mm = sheet.long_mm;
              limits.sheet_price = 0;  // of another sheet
            });
  add_parsed_option(
      command, "--price", "MONEY",
      [&changes](const std::string& text) {
        const double price =
            parse_number(text, {allowed::sheet_price.low, allowed::sheet_price.high});
        changes.price.push_back([price](Limits& limits) { limits.sheet_price = price; });
      },
      "of one sheet, in your own money; default: not known")
      ->group(group_name);
  add_limit(command, changes, "--grain", "SIDE",
            "side of the sheet the grain runs along: long, short or none" + otherwise("none"),
            read_name<Grain>, [](Limits& limits, Grain grain) { limits.grain = grain; });
  add_limit(
      command, changes, "--thickness", "LENGTH",
      "thickness of the board" + otherwise("%g mm", usual.thickness_mm),
      [](const std::string& text) { return parse_length_mm(text, allowed::thickness); },
      [](Limits& limits, double thickness) {
        limits.thickness_mm = thickness;
        limits.slot_play_mm = find_usual_slot_play(thickness);
      });
  add_limit(command, changes, "--board-mass", "KG/M2",
            "mass of the board, kg a square metre" + otherwise("%g", usual.mass_kg_per_m2),
            within(parse_number, {allowed::board_mass.low, allowed::board_mass.high}),
            [](Limits& limits, double mass) { limits.mass_kg_per_m2 = mass; });
  add_length(command, changes, "--edge-margin",
             "kept free along the sheet's edges" + otherwise("%g mm", usual.edge_margin_mm),
             &Limits::edge_margin_mm, allowed::edge_margin);
  add_length(command, changes, "--gap",
             "between parts on the sheet" + otherwise("%g mm", usual.gap_mm), &Limits::gap_mm,
             allowed::gap);
  command
      .add_flag_callback(
          "--turn-over",
          [&changes] {
            changes.typed.push_back([](Limits& limits) { limits.both_faces_alike = true; });
          },
          "parts may be laid turned over: both faces are alike")
      ->group(group_name);
  add_length(command, changes, "--tab-depth",
             "depth of the tabs" + otherwise("%g mm", usual.tab_depth_mm), &Limits::tab_depth_mm,
             allowed::tab_depth);
  add_length(command, changes, "--min-width",
             "thinnest tip or neck" + otherwise("%g mm", usual.min_width_mm), &Limits::min_width_mm,
             allowed::min_width);
  add_length(command, changes, "--min-joint",
             "shortest joint" + otherwise("%g mm", usual.min_joint_mm), &Limits::min_joint_mm,
             allowed::min_joint);
  add_limit(command, changes, "--angles", "LOW..HIGH",
            "plane angles at joints, degrees" +
                otherwise("%g..%g", usual.min_angle_deg, usual.max_angle_deg),
            within(parse_range, {0, 180}), [](Limits& limits, const Range& range) {
              limits.min_angle_deg = range.low;
              limits.max_angle_deg = range.high;
            });
  add_limit(command, changes, "--diameter", "LOW..HIGH",
            "of the construction: 1200..2000, ..2m, 2..3m" +
                otherwise("..%g m", usual.max_diameter_mm / 1000),
            within(parse_length_range_mm, {allowed::diameter.low, allowed::diameter.high}),
            [](Limits& limits, const Range& range) {
              limits.min_diameter_mm = range.low;
              limits.max_diameter_mm = range.high;
            });
  add_limit(command, changes, "--panels", "LOW..HIGH",
            "number of panels: 12..60, ..60, 60" + otherwise("%d..", usual.min_panels),
            within(parse_whole_range, {1, INT_MAX}), [](Limits& limits, const Range& range) {
              limits.min_panels = to_int(range.low);
              limits.max_panels = to_int(range.high);
            });
  add_limit(command, changes, "--joints", "..HIGH",
            "number of joints at most: ..180" + otherwise("any"),
            within(parse_whole_range, {0, INT_MAX}),
            [](Limits& limits, const Range& range) { limits.max_joints = to_int(range.high); });
  add_limit(command, changes, "--hard-steps", "..HIGH",
            "steps of the assembly without a way in, at most: ..3" +
                (defaults == LimitDefaults::shipped ? std::string("; default none are listed")
                                                    : otherwise("any")),
            within(parse_whole_range, {0, INT_MAX}),
            [](Limits& limits, const Range& range) { limits.max_hard_steps = to_int(range.high); });
  // An open upper end is no limit.
  const double endless = 1e6;
  const auto to_limit = [endless](const Range& range) {
    return range.high < endless ? range.high : std::numeric_limits<double>::infinity();
  };
  add_limit(command, changes, "--hours", "..HIGH",
            "of the whole day, from setting up to hanging, drying and breaks included: ..6" +
                otherwise("any"),
            within(parse_range, {0, endless}),
            [to_limit](Limits& limits, const Range& range) { limits.max_hours = to_limit(range); });
  add_limit(command, changes, "--people", "NUMBER",
            "who build, for the hours" + otherwise("%d", usual.people),
            within_count(allowed::people),
            [](Limits& limits, int people) { limits.people = people; });
  add_limit(command, changes, "--saws", "NUMBER",
            "cutting places, for the hours" + otherwise("%d", usual.saws),
            within_count(allowed::saws), [](Limits& limits, int saws) { limits.saws = saws; });
  add_limit(command, changes, "--module-opening", "..HIGH",
            "narrowest door, 2 m high, that a module may need: ..900, ..0.9m" + otherwise("any"),
            within(parse_length_range_mm, {0, endless}),
            [to_limit](Limits& limits, const Range& range) {
              limits.max_module_opening_mm = to_limit(range);
            });
  add_limit(
      command, changes, "--closure", "..HIGH",
      "by how much the last joint may miss when folds are off by up to a degree: ..15" +
          otherwise("any"),
      within(parse_length_range_mm, {0, endless}),
      [to_limit](Limits& limits, const Range& range) { limits.max_closure_mm = to_limit(range); });
  add_length(
      command, changes, "--slot-play",
      "slots are wider and deeper than the board by so much, from the slot coupon" +
          otherwise("by the thickness, %g mm for %g mm", usual.slot_play_mm, usual.thickness_mm),
      &Limits::slot_play_mm, allowed::slot_play);
  add_limit(command, changes, "--min-stiffness", "NUMBER",
            "least stiffness number" + otherwise("%g", usual.min_stiffness),
            within(parse_number, {allowed::stiffness.low, allowed::stiffness.high}),
            [](Limits& limits, double value) { limits.min_stiffness = value; });
  add_limit(command, changes, "--openness", "LOW..HIGH",
            "share of lines of sight out of the middle that no panel blocks: 0.1..0.6" +
                otherwise("%g..%g", usual.min_openness, usual.max_openness),
            within(parse_range, {0, 1}), [](Limits& limits, const Range& range) {
              limits.min_openness = range.low;
              limits.max_openness = range.high;
            });
  add_limit(command, changes, "--tool", "TOOL",
            "knife or scroll-saw, with its usual feed: an assumption unless --feed gives yours" +
                otherwise("scroll-saw"),
            read_name<CutTool>, [](Limits& limits, CutTool tool) {
              limits.tool = tool;
              const CuttingOptions cutting = tool == CutTool::knife
                                                 ? make_knife_options(limits.thickness_mm)
                                                 : CuttingOptions{};
              limits.feed_mm_per_min = cutting.feed_mm_per_min;
            });
  add_length(command, changes, "--cutting-height",
             "of a stack on the saw" + otherwise("%g mm", usual.cutting_height_mm),
             &Limits::cutting_height_mm, allowed::cutting_height);
  add_length(command, changes, "--throat",
             "from the saw's blade to its column" + otherwise("%g mm", usual.throat_mm),
             &Limits::throat_mm, allowed::throat);
  add_limit(command, changes, "--feed", "MM/MIN",
            "speed along the cut: time one stack and put in yours" +
                otherwise("%g", usual.feed_mm_per_min),
            within(parse_number, {allowed::feed.low, allowed::feed.high}),
            [](Limits& limits, double feed) { limits.feed_mm_per_min = feed; });
  command
      .add_flag_callback(
          "--allow-flexible",
          [&changes] {
            changes.typed.push_back([](Limits& limits) { limits.allow_flexible = true; });
          },
          "take designs that are not rigid, with their freedoms")
      ->group(group_name);
  add_limit(command, changes, "--joints-by", "KIND",
            "how panels are joined: tab, slot or both" + otherwise("tab"), read_name<JointsBy>,
            [](Limits& limits, JointsBy joints_by) { limits.joints_by = joints_by; });
}

Limits apply(const LimitChanges& changes, Limits limits) {
  for (const auto* some : {&changes.material, &changes.typed, &changes.price})
    for (const auto& change : *some) change(limits);
  if (const std::string fault = limits.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  return limits;
}

}  // namespace sixtyfold
