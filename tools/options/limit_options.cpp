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

template <class Choice>
auto read_name(const std::string& text) {
  Choice choice{};
  parse_name(text, choice);
  return choice;
}

int to_int(double value) { return value >= INT_MAX ? INT_MAX : static_cast<int>(value); }

template <class Parse>
auto within(Parse parse, Range bounds) {
  return [parse, bounds](const std::string& text) { return parse(text, bounds); };
}

auto within_count(const Allowed& range) {
  return [range](const std::string& text) {
    return parse_count(text, static_cast<int>(range.low), static_cast<int>(range.high));
  };
}

constexpr double endless = 1e6;
/// An open upper end is no limit.
double to_limit(const Range& range) {
  return range.high < endless ? range.high : std::numeric_limits<double>::infinity();
}

/// Adds the options of one command, by what they limit.
class LimitOptions {
 public:
  LimitOptions(CLI::App& command, LimitChanges& changes, LimitDefaults defaults)
      : command_(command), changes_(changes), defaults_(defaults) {}

  void add_stock();
  void add_part();
  void add_construction();
  void add_day();
  void add_firmness();
  void add_cutting();
  void add_kinds();

 private:
  /// An option whose text is read at once and changes the limits later.
  template <class Read, class Set>
  void add(const std::string& name, const std::string& shape, const std::string& help, Read read,
           Set set) {
    add_parsed_option(
        command_, name, shape,
        [&changes = changes_, read, set](const std::string& text) {
          const auto value = read(text);
          changes.typed.push_back([set, value](Limits& limits) { set(limits, value); });
        },
        help)
        ->group(group_name);
  }

  void add_length(const std::string& name, const std::string& help, double Limits::*field,
                  const Allowed& range) {
    const auto read = [range](const std::string& text) { return parse_length_mm(text, range); };
    add(name, "LENGTH", help, read,
        [field](Limits& limits, double value) { limits.*field = value; });
  }

  void add_flag(const std::string& name, const std::string& help, bool Limits::*field) {
    command_
        .add_flag_callback(
            name,
            [&changes = changes_, field] {
              changes.typed.push_back([field](Limits& limits) { limits.*field = true; });
            },
            help)
        ->group(group_name);
  }

  /// "; default 4 mm", or the file's where a file comes with its own.
  template <class... Values>
  std::string otherwise(const char* pattern, Values... values) const {
    return "; default " + (defaults_ == LimitDefaults::shipped ? format(pattern, values...)
                                                               : std::string("the design's"));
  }

  CLI::App& command_;
  LimitChanges& changes_;
  const LimitDefaults defaults_;
  const Limits usual_;
};

void LimitOptions::add_stock() {
  add("--sheet", "SIZE",
      "size of a sheet: 600x1200 (mm), 20x40in, A1" +
          otherwise("%.0fx%.0f mm", usual_.sheet_width_mm, usual_.sheet_height_mm),
      parse_sheet_size, [](Limits& limits, const SheetSize& sheet) {
        limits.sheet_width_mm = sheet.short_mm;
        limits.sheet_height_mm = sheet.long_mm;
        limits.sheet_price = 0;  // of another sheet
      });
  add_parsed_option(
      command_, "--price", "MONEY",
      [&changes = changes_](const std::string& text) {
        const double price =
            parse_number(text, {allowed::sheet_price.low, allowed::sheet_price.high});
        changes.price.push_back([price](Limits& limits) { limits.sheet_price = price; });
      },
      "of one sheet, in your own money; default: not known")
      ->group(group_name);
  add("--grain", "SIDE",
      "side of the sheet the grain runs along: long, short or none" + otherwise("none"),
      read_name<Grain>, [](Limits& limits, Grain grain) { limits.grain = grain; });
  add(
      "--thickness", "LENGTH", "thickness of the board" + otherwise("%g mm", usual_.thickness_mm),
      [](const std::string& text) { return parse_length_mm(text, allowed::thickness); },
      [](Limits& limits, double thickness) {
        limits.thickness_mm = thickness;
        limits.slot_play_mm = find_usual_slot_play(thickness);
      });
  add("--board-mass", "KG/M2",
      "mass of the board, kg a square metre" + otherwise("%g", usual_.mass_kg_per_m2),
      within(parse_number, {allowed::board_mass.low, allowed::board_mass.high}),
      [](Limits& limits, double mass) { limits.mass_kg_per_m2 = mass; });
  add_length("--edge-margin",
             "kept free along the sheet's edges" + otherwise("%g mm", usual_.edge_margin_mm),
             &Limits::edge_margin_mm, allowed::edge_margin);
  add_length("--gap", "between parts on the sheet" + otherwise("%g mm", usual_.gap_mm),
             &Limits::gap_mm, allowed::gap);
  add_flag("--turn-over", "parts may be laid turned over: both faces are alike",
           &Limits::both_faces_alike);
}

void LimitOptions::add_part() {
  add_length("--tab-depth", "depth of the tabs" + otherwise("%g mm", usual_.tab_depth_mm),
             &Limits::tab_depth_mm, allowed::tab_depth);
  add_length("--min-width", "thinnest tip or neck" + otherwise("%g mm", usual_.min_width_mm),
             &Limits::min_width_mm, allowed::min_width);
  add_length("--min-joint", "shortest joint" + otherwise("%g mm", usual_.min_joint_mm),
             &Limits::min_joint_mm, allowed::min_joint);
  add("--angles", "LOW..HIGH",
      "plane angles at joints, degrees" +
          otherwise("%g..%g", usual_.min_angle_deg, usual_.max_angle_deg),
      within(parse_range, {0, 180}), [](Limits& limits, const Range& range) {
        limits.min_angle_deg = range.low;
        limits.max_angle_deg = range.high;
      });
}

void LimitOptions::add_construction() {
  add("--diameter", "LOW..HIGH",
      "of the construction: 1200..2000, ..2m, 2..3m" +
          otherwise("..%g m", usual_.max_diameter_mm / 1000),
      within(parse_length_range_mm, {allowed::diameter.low, allowed::diameter.high}),
      [](Limits& limits, const Range& range) {
        limits.min_diameter_mm = range.low;
        limits.max_diameter_mm = range.high;
      });
  add("--panels", "LOW..HIGH",
      "number of panels: 12..60, ..60, 60" + otherwise("%d..", usual_.min_panels),
      within(parse_whole_range, {1, INT_MAX}), [](Limits& limits, const Range& range) {
        limits.min_panels = to_int(range.low);
        limits.max_panels = to_int(range.high);
      });
  add("--joints", "..HIGH", "number of joints at most: ..180" + otherwise("any"),
      within(parse_whole_range, {0, INT_MAX}),
      [](Limits& limits, const Range& range) { limits.max_joints = to_int(range.high); });
  add("--hard-steps", "..HIGH",
      "steps of the assembly without a way in, at most: ..3" +
          (defaults_ == LimitDefaults::shipped ? std::string("; default none are listed")
                                               : otherwise("any")),
      within(parse_whole_range, {0, INT_MAX}),
      [](Limits& limits, const Range& range) { limits.max_hard_steps = to_int(range.high); });
}

void LimitOptions::add_day() {
  add("--hours", "..HIGH",
      "of the whole day, from setting up to hanging, drying and breaks included: ..6" +
          otherwise("any"),
      within(parse_range, {0, endless}),
      [](Limits& limits, const Range& range) { limits.max_hours = to_limit(range); });
  add("--people", "NUMBER", "who build, for the hours" + otherwise("%d", usual_.people),
      within_count(allowed::people), [](Limits& limits, int people) { limits.people = people; });
  add("--saws", "NUMBER", "cutting places, for the hours" + otherwise("%d", usual_.saws),
      within_count(allowed::saws), [](Limits& limits, int saws) { limits.saws = saws; });
  add("--module-opening", "..HIGH",
      "narrowest door, 2 m high, that a module may need: ..900, ..0.9m" + otherwise("any"),
      within(parse_length_range_mm, {0, endless}),
      [](Limits& limits, const Range& range) { limits.max_module_opening_mm = to_limit(range); });
  add("--closure", "..HIGH",
      "by how much the last joint may miss when folds are off by up to a degree: ..15" +
          otherwise("any"),
      within(parse_length_range_mm, {0, endless}),
      [](Limits& limits, const Range& range) { limits.max_closure_mm = to_limit(range); });
}

void LimitOptions::add_firmness() {
  add_length(
      "--slot-play",
      "slots are wider and deeper than the board by so much, from the slot coupon" +
          otherwise("by the thickness, %g mm for %g mm", usual_.slot_play_mm, usual_.thickness_mm),
      &Limits::slot_play_mm, allowed::slot_play);
  add("--min-stiffness", "NUMBER", "least stiffness number" + otherwise("%g", usual_.min_stiffness),
      within(parse_number, {allowed::stiffness.low, allowed::stiffness.high}),
      [](Limits& limits, double value) { limits.min_stiffness = value; });
  add("--openness", "LOW..HIGH",
      "share of lines of sight out of the middle that no panel blocks: 0.1..0.6" +
          otherwise("%g..%g", usual_.min_openness, usual_.max_openness),
      within(parse_range, {0, 1}), [](Limits& limits, const Range& range) {
        limits.min_openness = range.low;
        limits.max_openness = range.high;
      });
}

void LimitOptions::add_cutting() {
  add("--tool", "TOOL",
      "knife or scroll-saw, with its usual feed: an assumption unless --feed gives yours" +
          otherwise("scroll-saw"),
      read_name<CutTool>, [](Limits& limits, CutTool tool) {
        limits.tool = tool;
        const CuttingOptions cutting =
            tool == CutTool::knife ? make_knife_options(limits.thickness_mm) : CuttingOptions{};
        limits.feed_mm_per_min = cutting.feed_mm_per_min;
      });
  add_length("--cutting-height",
             "of a stack on the saw" + otherwise("%g mm", usual_.cutting_height_mm),
             &Limits::cutting_height_mm, allowed::cutting_height);
  add_length("--throat",
             "from the saw's blade to its column" + otherwise("%g mm", usual_.throat_mm),
             &Limits::throat_mm, allowed::throat);
  add("--feed", "MM/MIN",
      "speed along the cut: time one stack and put in yours" +
          otherwise("%g", usual_.feed_mm_per_min),
      within(parse_number, {allowed::feed.low, allowed::feed.high}),
      [](Limits& limits, double feed) { limits.feed_mm_per_min = feed; });
}

void LimitOptions::add_kinds() {
  add_flag("--allow-flexible", "take designs that are not rigid, with their freedoms",
           &Limits::allow_flexible);
  add("--joints-by", "KIND", "how panels are joined: tab, slot or both" + otherwise("tab"),
      read_name<JointsBy>,
      [](Limits& limits, JointsBy joints_by) { limits.joints_by = joints_by; });
}

}  // namespace

void add_limit_options(CLI::App& command, LimitChanges& changes, LimitDefaults defaults) {
  LimitOptions options(command, changes, defaults);
  options.add_stock();
  options.add_part();
  options.add_construction();
  options.add_day();
  options.add_firmness();
  options.add_cutting();
  options.add_kinds();
}

Limits apply(const LimitChanges& changes, Limits limits) {
  for (const auto* some : {&changes.material, &changes.typed, &changes.price})
    for (const auto& change : *some) change(limits);
  if (const std::string fault = limits.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  return limits;
}

}  // namespace sixtyfold
