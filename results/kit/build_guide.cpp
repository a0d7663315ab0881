#include "results/kit/build_guide.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/building/handling.h"
#include "engine/part/same_sides.h"
#include "engine/shape/boolean.h"
#include "engine/structure/body.h"
#include "engine/text.h"
#include "results/drawings/copies_picture.h"
#include "results/drawings/page_flow.h"
#include "results/drawings/text_width.h"
#include "results/files/design_hash.h"
#include "results/gallery/words.h"
#include "results/kit/guide_steps.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

PageText make_text(double size, const char* colour = page_ink, bool bold = false,
                   TextAt where = TextAt::start) {
  PageText how;
  how.size_mm = size, how.colour = colour, how.bold = bold, how.at = where;
  return how;
}

class Guide {
 public:
  Guide(const Design& design, const Finished& finished, const AssemblyPlan& plan,
        const Closure& closure, const GuideOptions& options)
      : design_(design),
        finished_(finished),
        plan_(plan),
        closure_(closure),
        options_(options),
        sides_(find_joint_sides(design, finished.joints)),
        copies_(count_copies(design)),
        name_(design.name.empty() ? "Construction" : design.name),
        hands_(find_step_hands(design, plan)),
        dry_from_(find_dry_from(closure, options.tolerance)),
        flow_(measure_paper(options.paper == Paper::a3 ? Paper::a4 : options.paper),
              name_ + ": build guide \u00b7 design " + make_design_hash(design)) {
    for (const int copy : find_turned_over(design)) turned_over_.insert(copy);
  }

  std::vector<Page> draw() {
    draw_cover();
    draw_part_section();
    if (plan_.chosen.panels > 1) draw_module_section();
    draw_steps();
    draw_reach();
    draw_closing();
    return flow_.finish();
  }

 private:
  bool has_modules() const { return plan_.chosen.panels > 1; }
  const char* unit_word() const { return has_modules() ? "module" : "panel"; }

  std::string name_copy(int copy) const {
    std::string text = std::to_string(copy + 1);
    if (options_.colours.colours > 1)
      text += std::string(" ") + find_colour_name(options_.colours.colour_of[at(copy)]);
    if (turned_over_.count(copy)) text += " over";
    return text;
  }
  std::string list_copies(const std::vector<int>& copies) const {
    std::string text;
    for (std::size_t k = 0; k < copies.size(); ++k) text += (k ? ", " : "") + name_copy(copies[k]);
    return text;
  }
  CopiesPicture make_picture(std::vector<int> shown, std::vector<int> fresh) const {
    CopiesPicture picture;
    picture.shown = std::move(shown), picture.fresh = std::move(fresh);
    if (options_.colours.colours > 1) picture.colour_of = options_.colours.colour_of;
    picture.numbers = picture.close_up = true;
    return picture;
  }
  void mark(CopiesPicture& picture, const std::vector<int>& joints) const {
    for (const int n : joints)
      picture.glued_mm.emplace_back(design_.joints[at(n)].from_mm, design_.joints[at(n)].to_mm);
  }

  /// What a tick box stands beside: letter, panels, and where a clamp or a hand does not reach.
  std::string name_joint(int n) const {
    const Joint& joint = design_.joints[at(n)];
    const char* between = joint.kind == JointKind::tab    ? " on "
                          : joint.kind == JointKind::slot ? " into "
                                                          : " to ";
    const Reach& reach = plan_.reach[at(n)];
    return letter_of(design_, finished_, sides_, n) + ": " + std::to_string(joint.panels[0] + 1) +
           between + std::to_string(joint.panels[1] + 1) +
           (!reach.hand    ? " \u2020"
            : !reach.clamp ? " *"
                           : "");
  }
  void draw_boxes(double x, double y, int joint) {
    for (const double dx : {0.0, 5.2})
      flow_.page().add_polygon(
          {{x + dx, y}, {x + dx + 3.8, y}, {x + dx + 3.8, y + 3.8}, {x + dx, y + 3.8}},
          {page_ink, 0.28, "#ffffff", ""});
    flow_.page().add_text({x + 10.8, y + 3.2}, name_joint(joint), make_text(3.2));
  }

  void draw_cover() {
    flow_.title(name_, "build guide");
    std::vector<int> everything;
    for (int copy = 0; copy < copies_; ++copy) everything.push_back(copy);
    const double top = flow_.take(92);
    CopiesPicture picture = make_picture(everything, {});
    picture.numbers = false;
    picture.tabs = &finished_;
    draw_copies(flow_.page(), {{flow_.left(), top + 1}, {flow_.right(), top + 87}}, design_,
                picture);
    if (has_tabs())
      flow_.page().add_text({flow_.left() + flow_.width() / 2, top + 91},
                            "white: the tabs, as they lie when glued",
                            make_text(2.7, page_quiet, false, TextAt::middle));
    double diameter = 0;
    for (const auto& corners : find_corners(design_))
      for (const Vec3& p : corners) diameter = std::max(diameter, 2 * p.norm());
    flow_.facts({{std::to_string(copies_), "panels from one template"},
                 {std::to_string(plan_.steps.size()),
                  has_modules() ? format("modules of %d panels", plan_.chosen.panels)
                                : std::string("steps")},
                 {std::to_string(design_.joints.size()), "joints to glue"},
                 {format("%.2f m", diameter / 1000), "across"},
                 {format("%.1f kg", measure_mass_kg(design_)), "of board"}});
    if (!options_.limit_faults.empty()) {
      std::vector<std::string> sentences;
      for (const std::string& fault : options_.limit_faults)
        sentences.push_back("Not within its limits: " + fault + ".");
      flow_.cautions(sentences);
    }
    if (design_.orbits.size() > 1)
      flow_.paragraph(format("There are %d templates, one for each part.",
                             static_cast<int>(design_.orbits.size())));
    draw_way_of_working();
    flow_.point(
        "Every joint has two boxes. Tick the first when it is fitted dry, the second when it is "
        "glued.");
    flow_.point(
        "A joint is written with its letter and its two panels. Letters stand on the template, "
        "numbers are written on the parts.");
    for (const std::string& example : explain_joint_names()) flow_.point(example);
    if (!plan_.folds)
      flow_.point(
          "Slots hold by friction until they are glued: push everything together dry first, then "
          "run glue along both walls of each slot. Try slots of the coupon before cutting.");
    flow_.point(
        format("* no clamp that opens %.0f mm and reaches %.0f mm in gets there: press by hand, or "
               "weigh or tape it while it dries.",
               options_.reach.clamp_opening_mm, options_.reach.clamp_depth_mm));
    flow_.point(
        format("\u2020 no hand gets there either (a passage %.0f mm wide, an arm of %.0f mm): glue "
               "it first, with a neighbour still open, or press it with a padded stick.",
               options_.reach.hand_mm, options_.reach.arm_mm));
    flow_.cautions(find_build_cautions());
  }

  /// An example of each way in which this design's joints are written.
  std::vector<std::string> explain_joint_names() const {
    std::vector<std::string> examples;
    const auto tell = [&](JointKind kind, const auto& explain) {
      for (const Joint& joint : design_.joints)
        if (joint.kind == kind) {
          const int n = static_cast<int>(&joint - design_.joints.data());
          const std::string letter = letter_of(design_, finished_, sides_, n);
          examples.push_back(format("\u201c%s: %d %s %d\u201d ", letter.c_str(),
                                    joint.panels[0] + 1,
                                    kind == JointKind::tab    ? "on"
                                    : kind == JointKind::slot ? "into"
                                                              : "to",
                                    joint.panels[1] + 1) +
                             explain(letter, joint.panels[0] + 1, joint.panels[1] + 1));
          return;
        }
    };
    tell(JointKind::tab, [](const std::string& letter, int a, int b) {
      return format("is tab %s of panel %d on seat %s of panel %d.", letter.c_str(), a,
                    letter.c_str(), b);
    });
    tell(JointKind::edge, [](const std::string& letter, int a, int b) {
      return format("joins the edges %s of panels %d and %d.", letter.c_str(), a, b);
    });
    tell(JointKind::slot, [&](const std::string& letter, int a, int b) {
      return format("is a slot %s of panel %d in a slot %s of panel %d", letter.c_str(), a,
                    letter.c_str(), b) +
             (has_paired_slots(design_, finished_)
                  ? "; of slots with a number 1 goes into 2 and 2 into 1."
                  : ".");
    });
    return examples;
  }

  /// One order for everything, told once.
  void draw_way_of_working() {
    const std::size_t dry_from = dry_from_, steps = plan_.steps.size();
    int number = 0;
    const auto say = [&](const std::string& text) {
      flow_.point(text, std::to_string(++number) + ".");
    };
    const auto name_steps = [](std::size_t from, std::size_t to) {
      return from == to       ? format("Step %zu", from)
             : from + 1 == to ? format("Steps %zu and %zu", from, to)
                              : format("Steps %zu to %zu", from, to);
    };
    say(std::string("Parts: cut, ") +
        (has_tabs() ? "score, fold, hold each fold against its gauge, " : "") +
        "put the sticker with its number on the outside face.");
    if (has_modules())
      say("Modules: fit all joints of one dry, tick; then glue, tick; let it dry before it is "
          "carried.");
    if (dry_from >= steps) {
      say(name_steps(1, steps) +
          ": fit dry, tick, glue at once, tick. The next step begins when the glue holds.");
      return;
    }
    if (dry_from > 1) say(name_steps(1, dry_from) + ": fit dry, tick, glue at once, tick.");
    say(name_steps(dry_from + 1, steps) + ": fit dry and tick. No glue yet.");
    say(
        format("Step %zu: when the last %s is in, even out by eye, then glue every joint that is "
               "still dry.",
               steps + 1, unit_word()));
  }

  /// The flat part, its long side across; a mirrored one is crossed out.
  void draw_part(const FinishedPart& part, int orbit, const Box& box, bool mirrored) {
    const FlatPattern& pattern = part.pattern;
    const double turn = measure_least_rectangle(pattern.outline_mm).direction_rad;
    const Box own = measure_box_along(pattern.outline_mm, turn);
    const double scale = std::min(box.size().x() / own.size().x(), box.size().y() / own.size().y());
    const Vec2 middle = (box.low + box.high) / 2, centre = (own.low + own.high) / 2;
    const auto place = [&](const Vec2& p) {
      const Vec2 turned(std::cos(turn) * p.x() + std::sin(turn) * p.y(),
                        -std::sin(turn) * p.x() + std::cos(turn) * p.y());
      return Vec2(middle.x() + (mirrored ? -1 : 1) * scale * (turned.x() - centre.x()),
                  middle.y() - scale * (turned.y() - centre.y()));
    };
    const auto place_all = [&](const Polygon& polygon) {
      Polygon placed;
      for (const Vec2& p : polygon) placed.push_back(place(p));
      return placed;
    };
    std::vector<Polygon> rings{place_all(pattern.outline_mm)};
    for (const Polygon& hole : pattern.holes_mm) rings.push_back(place_all(hole));
    Page& page = flow_.page();
    page.add_curved(rings, scale, {page_ink, 0.35, mirrored ? "#f0f0f0" : "#f3e7cf", ""});
    const double letter_size = mirrored ? 2.8 : 4;
    for (const Tab& tab : pattern.tabs) {
      if (!mirrored)
        page.add_polygon(place_all(tab.outline_mm),
                         {"", 0, tab.fold_side > 0 ? "#f3c9bd" : "#c5d5ee", ""});
      page.add_line(place(tab.fold_from_mm), place(tab.fold_to_mm),
                    {tab.fold_side > 0 ? "#b3261e" : "#1f4fa3", 0.4, "",
                     tab.fold_side > 0 ? "2.4 1.2" : "2.4 0.9 0.5 0.9"});
    }
    page.add_curved(rings, scale, {page_ink, 0.35, "", ""});
    for (const Tab& tab : pattern.tabs)
      page.add_text(place(measure_centroid(tab.outline_mm)) + Vec2(0, 0.36 * letter_size),
                    make_letter(finished_.joints.letter[at(orbit)][at(tab.joint)]),
                    make_text(letter_size, page_ink, true, TextAt::middle));
    for (const Seat& seat : pattern.seats) {
      const char* dashes = seat.side > 0 ? "" : "0.6 0.8";
      const std::string letter = make_letter(finished_.joints.letter[at(orbit)][at(seat.joint)]) +
                                 (seat.side > 0 ? "" : "\u2032");
      if (!seat.tab_mm.empty()) {
        double others = 0;
        const Polygon area = take_largest(
            make_intersection({make_counter_clockwise(seat.tab_mm)}, {pattern.body_mm}), others);
        if (area.size() < 3) continue;
        page.add_polygon(place_all(area), {"#2e7d32", 0.3, "", dashes});
        page.add_text(place(measure_centroid(area)) + Vec2(0, 0.36 * 0.8 * letter_size), letter,
                      make_text(0.8 * letter_size, "#2e7d32", true, TextAt::middle));
        continue;
      }
      page.add_line(place(seat.from_mm), place(seat.to_mm), {"#2e7d32", 0.4, "", dashes});
      const Vec2 from = place(seat.from_mm), to = place(seat.to_mm),
                 across = Vec2(-(to - from).y(), (to - from).x()).normalized();
      page.add_text((from + to) / 2 + 2.4 * (across.y() < 0 ? across : Vec2(-across)) +
                        Vec2(0, 0.36 * 0.8 * letter_size),
                    letter, make_text(0.8 * letter_size, "#2e7d32", true, TextAt::middle));
    }
    for (const Slot& slot : pattern.slots)
      page.add_text(place(slot.bottom_mm()) +
                        0.9 * letter_size *
                            (place(slot.bottom_mm() + slot.inwards()) - place(slot.bottom_mm()))
                                .normalized() +
                        Vec2(0, 0.36 * letter_size),
                    name_slot(finished_.joints, orbit, slot.joint).own,
                    make_text(letter_size, page_ink, true, TextAt::middle));
    if (mirrored) cross_out(box);
  }

  void cross_out(const Box& box) {
    flow_.page().add_line(box.low, box.high, {"#b3261e", 0.8, "", ""});
    flow_.page().add_line({box.low.x(), box.high.y()}, {box.high.x(), box.low.y()},
                          {"#b3261e", 0.8, "", ""});
  }

  void draw_captions(double y, double split, const char* right_words, const char* wrong_words) {
    flow_.page().add_text({(flow_.left() + split) / 2, y}, right_words,
                          make_text(3.5, "#2e7d32", true, TextAt::middle));
    flow_.page().add_text({(split + flow_.right()) / 2, y}, wrong_words,
                          make_text(3.5, "#b3261e", true, TextAt::middle));
  }

  void draw_part_section() {
    flow_.keep(150);
    const bool can_lie_wrong = std::any_of(
        finished_.parts.begin(), finished_.parts.end(),
        [](const FinishedPart& part) { return find_same_sides(part) == SameSides::no; });
    flow_.heading(can_lie_wrong ? "1  The part, and its mirror image" : "1  The part");
    flow_.paragraph(
        std::string(can_lie_wrong
                        ? "Lay a part down with its outside face up. If it looks like the large "
                          "picture it lies right; if it only fits the small one it is turned over. "
                        : "") +
        (has_tabs()
             ? "Red tabs fold up towards you, blue ones down. Green outlines are seats, what "
               "a tab covers: dotted, on the other face."
             : ""));
    for (std::size_t o = 0; o < finished_.parts.size(); ++o) {
      if (finished_.parts.size() > 1) flow_.subheading("Part " + std::to_string(o + 1));
      const double top = flow_.take(84), split = flow_.left() + 0.7 * flow_.width();
      draw_part(finished_.parts[o], static_cast<int>(o),
                {{flow_.left() + 2, top + 2}, {split - 6, top + 74}}, false);
      const SameSides same = find_same_sides(finished_.parts[o]);
      if (same == SameSides::no) {
        draw_part(finished_.parts[o], static_cast<int>(o),
                  {{split + 6, top + 18}, {flow_.right() - 2, top + 58}}, true);
        draw_captions(top + 81, split, "right: outside face up", "wrong: turned over");
      }
      if (same == SameSides::part && finished_.parts[o].pattern.tabs.empty())
        flow_.paragraph(
            "This part is the same from both sides: it can not lie wrong, and slots that change "
            "places when it is turned over are alike.");
      else if (same == SameSides::part)
        flow_.paragraph(
            "This part is the same from both sides, folds and all: it can not lie "
            "wrong.");
      if (same == SameSides::blank)
        flow_.paragraph(
            has_tabs()
                ? "The cut part is the same from both sides: until its tabs are folded either "
                  "face may lie up, and left and right are alike. Fold as drawn."
                : "The cut part is the same from both sides: go by the letters at its slots.");
      std::vector<std::vector<std::string>> rows = {{"Tab", "Fold", "Through", "Depth", "Glued"}};
      for (const Tab& tab : finished_.parts[o].pattern.tabs) {
        const PanelJoint& joint = finished_.joints.joints[o][at(tab.joint)];
        const std::string letter = make_letter(finished_.joints.letter[o][at(tab.joint)]);
        rows.push_back(
            {letter, tab.fold_side > 0 ? "up (red)" : "down (blue)",
             format("%.0f\u00b0", to_degrees(tab.fold_rad)), format("%.0f mm", tab.depth_mm),
             joint.role == JointRole::double_tab ? "to tab " + letter + " of the other panel"
             : joint.kind == JointKind::edge ? "inside the other panel, along its edge " + letter
                                             : "over seat " + letter + " of the other panel"});
      }
      if (rows.size() > 1) flow_.table({1, 2, 1.6, 1.6, 6}, rows);
      draw_slots(static_cast<int>(o));
      for (const int i : finished_.parts[o].pattern.joints_without_tab)
        flow_.point("Edge " + make_letter(finished_.joints.letter[o][at(i)]) +
                    " has no tab, since none of a useful depth fits: glue the edge itself and back "
                    "it with a strip of board or tape.");
    }
    if (!turned_over_.empty())
      flow_.paragraph(format("%d of the panels are turned over, so that the outside face lies "
                             "inside; they are marked \u201cover\u201d. On them up and down change "
                             "places: fold every tab the other way. ",
                             static_cast<int>(turned_over_.size())) +
                      "Panels over: " + list_numbers({turned_over_.begin(), turned_over_.end()}) +
                      ".");
  }

  bool has_tabs() const {
    return std::any_of(finished_.parts.begin(), finished_.parts.end(),
                       [](const FinishedPart& part) { return !part.pattern.tabs.empty(); });
  }

  bool has_slots() const {
    return std::any_of(finished_.parts.begin(), finished_.parts.end(),
                       [](const FinishedPart& part) { return !part.pattern.slots.empty(); });
  }

  void draw_slots(int orbit) {
    const FlatPattern& pattern = finished_.parts[at(orbit)].pattern;
    if (pattern.slots.empty()) return;
    std::vector<std::vector<std::string>> rows = {
        {"Slot", "Width", "Depth", "Planes at", "Pushed into"}};
    std::vector<Vec2> directions;
    for (const Slot& slot : pattern.slots) {
      const SlotName name = name_slot(finished_.joints, orbit, slot.joint);
      const PanelJoint& joint = finished_.joints.joints[at(orbit)][at(slot.joint)];
      const std::vector<std::string> row = {
          name.own, format("%.1f mm", slot.width_mm), format("%.0f mm", slot.depth_mm),
          format("%.0f\u00b0", to_degrees(joint.angle_rad)),
          "slot " + name.other + " of the other panel, until both bottoms touch"};
      // Slots that are alike say the same.
      if (std::find(rows.begin(), rows.end(), row) == rows.end()) rows.push_back(row);
      const bool known = std::any_of(directions.begin(), directions.end(),
                                     [&](const Vec2& d) { return d.dot(slot.inwards()) > 0.999; });
      if (!known) directions.push_back(slot.inwards());
    }
    flow_.table({1, 1.6, 1.6, 1.6, 6}, rows);
    std::string text =
        "Slots are wider than the board is thick where panels do not cross at a right angle; the "
        "glue fills what is left. ";
    if (directions.size() > 1)
      text += format(
          "A panel has slots in %d directions, and a stiff board goes into one of them at a time: "
          "the later slots of a panel close only if the board gives a little, or "
          "its neighbours are still loose. Try it on the paper model first, and leave the glue "
          "until a whole ring stands dry.",
          static_cast<int>(directions.size()));
    flow_.paragraph(text);
  }

  static std::string list_numbers(const std::vector<int>& copies) {
    std::string text;
    for (std::size_t k = 0; k < copies.size(); ++k)
      text += (k ? ", " : "") + std::to_string(copies[k] + 1);
    return text;
  }

  void draw_module_section() {
    const ModuleChoice& chosen = plan_.chosen;
    flow_.keep(150);
    flow_.heading("2  One module");
    flow_.paragraph(plan_.reason + " All modules are alike. " +
                    (chosen.internal_dof == 0
                         ? "Glued, it holds its shape by itself."
                         : "Glued, it still moves in " +
                               count_of(chosen.internal_dof, "way", "ways") +
                               ": handle it like a hinge until it is in place."));
    const std::vector<int>& copies = plan_.steps.front().copies;
    const double top = flow_.take(92), split = flow_.left() + 0.64 * flow_.width();
    CopiesPicture picture = make_picture(copies, copies);
    picture.look_from = LookFrom::own_axis;
    draw_copies(flow_.page(), {{flow_.left() + 2, top + 2}, {split - 6, top + 82}}, design_,
                picture);
    bool chiral = true;
    for (const int copy : copies) chiral = chiral && !turned_over_.count(copy);
    if (chiral) {
      picture.mirrored = true;
      const Box wrong{{split + 6, top + 18}, {flow_.right() - 2, top + 66}};
      draw_copies(flow_.page(), wrong, design_, picture);
      cross_out(wrong);
      draw_captions(top + 89, split, "right: seen from outside, along its axis",
                    "wrong: its mirror image");
    } else {
      flow_.page().add_text({(flow_.left() + split) / 2, top + 89}, "the module from outside",
                            make_text(3.5, page_ink, true, TextAt::middle));
      flow_.page().add_paragraph({split + 6, top + 26},
                                 "This module has panels turned over. Its mirror image is a module "
                                 "too, so look at the numbers, not at the shape alone.",
                                 flow_.right() - split - 8, make_text(3.5));
    }
    draw_module_sequence(copies);
    draw_choices();
    draw_module_list();
  }

  /// One panel after another, in the order in which each has a way in.
  void draw_module_sequence(const std::vector<int>& copies) {
    if (copies.size() < 2 || copies.size() > 20) return;
    flow_.subheading("Panel by panel (module 1; the others alike)");
    const std::vector<PanelStep>& order = plan_.in_module.front();
    const int columns = 4;
    const double cell = flow_.width() / columns, height = 46;
    double top = 0;
    std::vector<int> shown{order.front().copy};
    for (std::size_t k = 1; k < order.size(); ++k) {
      const int column = static_cast<int>(k - 1) % columns;
      if (column == 0) top = flow_.take(height);
      shown.push_back(order[k].copy);
      const std::vector<int>& joints = order[k].joints;
      std::string text;
      for (const int n : joints) text += (text.empty() ? "" : ",  ") + name_joint(n);
      CopiesPicture picture = make_picture(shown, k == 1 ? shown : std::vector<int>{order[k].copy});
      mark(picture, joints);
      if (k > 1)
        for (const int n : joints)
          for (const int copy : design_.joints[at(n)].panels)
            if (copy != order[k].copy) picture.named.push_back(copy);
      const double x = flow_.left() + column * cell;
      draw_copies(flow_.page(), {{x + 2, top + 1}, {x + cell - 2, top + 34}}, design_, picture);
      double y = top + 36;
      for (const std::string& line : break_lines(text, cell - 3, 2.9)) {
        flow_.page().add_text({x + cell / 2, y += 3.6}, line,
                              make_text(2.9, page_ink, false, TextAt::middle));
        if (y > top + 42) break;
      }
    }
  }

  void draw_choices() {
    if (plan_.considered.size() < 3) return;
    flow_.subheading("Why this module: the ways that were weighed");
    std::vector<std::vector<std::string>> rows = {
        {"Module", "Modules", "Joints inside", "Loose movements", "Stiffness"}};
    std::set<std::vector<std::string>> seen;
    int chosen_row = -1;
    for (const ModuleChoice& choice : plan_.considered) {
      if (choice.panels == 1 || rows.size() > 7) continue;
      std::vector<std::string> row = {
          describe(choice), std::to_string(choice.modules.size()), std::to_string(choice.joints),
          std::to_string(choice.internal_dof),
          choice.internal_dof > 0 ? "0" : format("%.2g", choice.stiffness)};
      if (choice.modules == plan_.chosen.modules) chosen_row = static_cast<int>(rows.size());
      if (seen.insert(row).second) rows.push_back(std::move(row));
    }
    flow_.table({5, 1.6, 2, 2.4, 1.6}, rows, chosen_row);
    flow_.remark(
        "All the ways to divide it into equal modules that hang together, best first: fewest loose "
        "movements, then most joints a panel, then stiffest. Stiffness compares designs; it is no "
        "proof of "
        "strength.");
  }

  void draw_module_list() {
    flow_.keep(60);
    flow_.subheading("All modules, in the order in which they are placed");
    const int columns = 3;
    const double cell = flow_.width() / columns, line = 5.2;
    double top = 0, height = 0;
    for (std::size_t m = 0; m < plan_.steps.size(); ++m) {
      const std::vector<int>& panels = plan_.steps[m].copies;
      const auto& joints = joints_in(panels);
      if (m % columns == 0) {
        height = 0;  // of the tallest of the row
        for (std::size_t k = m; k < std::min(plan_.steps.size(), m + columns); ++k) {
          const std::vector<int>& own = plan_.steps[k].copies;
          const std::size_t lines = break_lines(list_copies(own), cell - 6, 2.9).size();
          height = std::max(height, 8 + 3.9 * static_cast<double>(lines) +
                                        line * static_cast<double>(joints_in(own).size()));
        }
        top = flow_.take(height + 2.5);
      }
      const double x = flow_.left() + static_cast<double>(m % columns) * cell;
      flow_.page().add_polygon(
          {{x, top}, {x + cell - 2, top}, {x + cell - 2, top + height}, {x, top + height}},
          {"#d8d2c4", 0.25, "", ""});
      flow_.page().add_text({x + 2, top + 4.8}, "Module " + std::to_string(m + 1),
                            make_text(3.5, page_ink, true));
      flow_.page().add_text({x + cell - 4, top + 4.8}, "dry, glued",
                            make_text(2.3, page_quiet, false, TextAt::end));
      double y = top + 5.4;
      for (const std::string& text : break_lines(list_copies(panels), cell - 6, 2.9))
        flow_.page().add_text({x + 2, y += 3.9}, text, make_text(2.9));
      y += 1.6;
      for (const int n : joints) {
        draw_boxes(x + 2, y, n);
        y += line;
      }
    }
  }

  const std::vector<int>& joints_in(const std::vector<int>& panels) const {
    const auto found = std::find(plan_.chosen.modules.begin(), plan_.chosen.modules.end(), panels);
    return plan_.joints_in_module[static_cast<std::size_t>(found - plan_.chosen.modules.begin())];
  }

  void draw_steps() {
    const int steps = static_cast<int>(plan_.steps.size());
    flow_.keep(140);
    flow_.heading(has_modules() ? "3  The modules in order" : "2  The panels in order");
    std::vector<int> closing, open, sprung;
    int worst = 0;
    for (int s = 0; s < steps; ++s) {
      if (plan_.steps[at(s)].coming_in == ComingIn::hard) closing.push_back(s);
      if (plan_.steps[at(s)].coming_in == ComingIn::sprung) sprung.push_back(s);
      if (plan_.steps[at(s)].coming_in == ComingIn::tabs_open) open.push_back(s);
      worst = std::max(worst, plan_.steps[at(s)].internal_dof);
    }
    std::string text = std::string(
        "Base first. Red lines are the joints to make, the arrow is the way in: a straight push "
        "from outside, computed against every board that stands. ");
    if (!open.empty())
      text += count_of(static_cast<int>(open.size()), "step needs", "steps need") +
              " the tabs of the new joints held open on the way in. ";
    const auto list_steps = [](const std::vector<int>& some) {
      return std::string(some.size() == 1 ? "step " : "steps ") + list_numbers(some);
    };
    if (!sprung.empty())
      text += "Boards have to be bent at " + list_steps(sprung) +
              ": try it with the paper model first. ";
    if (closing.empty() && sprung.empty())
      text += "Every " + std::string(unit_word()) + " has such a way in.";
    if (!closing.empty())
      text +=
          "No straight push reaches the place of the closing pieces, and no board may be bent so "
          "far: " +
          list_steps(closing) + ".";
    if (worst > 0)
      text += format(" At most %s loose on the way: support it then.",
                     count_of(worst, "movement is", "movements are").c_str());
    flow_.paragraph(text);
    std::vector<int> placed;
    for (int s = 0; s < steps; ++s) {
      const AssemblyStep& step = plan_.steps[at(s)];
      placed.insert(placed.end(), step.copies.begin(), step.copies.end());
      draw_step(s, step, placed);
    }
    draw_last_step(placed);
  }

  /// What was left dry is glued, once all stands.
  void draw_last_step(const std::vector<int>& placed) {
    const std::size_t dry_from = dry_from_;
    std::vector<int> dry;
    for (std::size_t s = dry_from; s < plan_.steps.size(); ++s)
      dry.insert(dry.end(), plan_.steps[s].joints.begin(), plan_.steps[s].joints.end());
    if (dry.empty()) return;
    const double top = flow_.take(78), picture_mm = 72, x = flow_.left() + picture_mm + 5;
    Page& page = flow_.page();
    page.add_line({flow_.left(), top}, {flow_.right(), top}, {"#d8d2c4", 0.25, "", ""});
    CopiesPicture picture = make_picture(placed, {});
    mark(picture, dry);
    draw_copies(page, {{flow_.left(), top + 2}, {flow_.left() + picture_mm, top + 76}}, design_,
                picture);
    page.add_text({x, top + 5.6}, format("Step %zu", plan_.steps.size() + 1),
                  make_text(4.4, page_accent, true));
    page.add_text({flow_.right(), top + 5.6}, "glue what is dry",
                  make_text(3.2, page_ink, true, TextAt::end));
    page.add_paragraph(
        {x, top + 8.5},
        count_of(static_cast<int>(dry.size()), "joint is", "joints are") +
            (dry_from + 1 == plan_.steps.size()
                 ? format(" still dry: those of step %zu", dry_from + 1)
                 : format(" still dry: those of steps %zu %s %zu", dry_from + 1,
                          dry_from + 2 == plan_.steps.size() ? "and" : "to", plan_.steps.size())) +
            ", red in the picture. Walk round it and even out the gaps by eye. " +
            (has_tabs()
                 ? "Then open one joint at a time, glue it, close it, clip it, and tick its "
                   "second box at the step where it stands. "
                 : "Then run glue along both walls of one slot at a time, press it home, and "
                   "tick its second box at the step where it stands. ") +
            "Begin at the lowest and go round, so that no side pulls.",
        flow_.right() - x, make_text(3.3));
  }

  /// Where hands go.
  std::string tell_holds(const AssemblyStep& step, const StepHands& hands) const {
    if (hands.guided.empty()) return " It meets nothing that stands yet: hold it.";
    if (step.copies.size() == 1) return " Hold it by the end away from the red lines.";
    return " Hold it at panel " + std::to_string(hands.held + 1) + "; guide " +
           (hands.guided.size() == 1 ? "panel " : "panels ") + list_numbers(hands.guided) +
           " to the red lines.";
  }

  void draw_step(int s, const AssemblyStep& step, const std::vector<int>& placed) {
    const double picture_mm = 72, gap = 5, x = flow_.left() + picture_mm + gap,
                 width = flow_.right() - x;
    // What stands on the right decides the height.
    std::string text;
    if (s == 0)
      text = std::string("Stand it on the floor as it will stand in the end.") +
             (step.copies.size() == 1 ? " Hold it until the next stands beside it." : "");
    else
      text = describe_way_in(plan_, step, 1);
    if (s > 0) text += tell_holds(step, hands_[at(s)]);
    if (step.internal_dof == 0)
      text += s == 0 && step.copies.size() == 1 ? "" : " What stands is then stiff.";
    else
      text += " What stands can then still move in " + count_of(step.internal_dof, "way", "ways") +
              (hands_[at(s)].loosest >= 0
                   ? ": support panel " + std::to_string(hands_[at(s)].loosest + 1) +
                         ", which the fewest joints hold."
                   : ": support it.");
    const auto names = break_lines(list_copies(step.copies), width, 3.2);
    const auto lines = break_lines(text, width, 3.3);
    const double line_mm = 3.3 * line_spacing, tick = 5.4;
    const std::size_t rows = (step.joints.size() + 1) / 2;
    const double text_height = 7 + 4.3 * static_cast<double>(names.size()) + 1.5 +
                               line_mm * static_cast<double>(lines.size()) + 2 +
                               (rows > 0 ? 4 + tick * static_cast<double>(rows) : 0);
    const double height = std::max(text_height, 57.0), top = flow_.take(height + 3.5);
    Page& page = flow_.page();
    page.add_line({flow_.left(), top}, {flow_.right(), top}, {"#d8d2c4", 0.25, "", ""});
    CopiesPicture picture = make_picture(placed, step.copies);
    if (s > 0 && step.coming_in != ComingIn::hard) picture.push = step.push;
    const Box box{{flow_.left(), top + 2}, {flow_.left() + picture_mm, top + 57}};
    if (s > 0) {  // where it is in the whole
      CopiesPicture whole = picture;
      whole.numbers = false;
      draw_copies(page, {{x - gap - 23, top + 34}, {x - gap, top + 57}}, design_, whole);
      picture.near = true;
      for (const int n : step.joints)
        for (const int copy : design_.joints[at(n)].panels)
          if (std::find(step.copies.begin(), step.copies.end(), copy) == step.copies.end() &&
              std::find(picture.named.begin(), picture.named.end(), copy) == picture.named.end())
            picture.named.push_back(copy);
    }
    mark(picture, step.joints);
    draw_copies(page, s > 0 ? Box{box.low, box.high - Vec2(24, 0)} : box, design_, picture);
    double y = top + 5.6;
    page.add_text({x, y}, "Step " + std::to_string(s + 1), make_text(4.4, page_accent, true));
    if (step.coming_in == ComingIn::hard || step.coming_in == ComingIn::sprung)
      page.add_text({x + 24, y},
                    step.coming_in == ComingIn::hard ? "closing piece" : "spring it in",
                    make_text(3.2, page_caution, true));
    if (!step.joints.empty())
      page.add_text({flow_.right(), y},
                    at(s) < dry_from_ ? "fit dry, then glue" : "fit dry, no glue yet",
                    make_text(3.2, at(s) < dry_from_ ? page_ink : page_caution, true, TextAt::end));
    y += 1.2;
    for (const std::string& name : names)
      page.add_text({x, y += 4.3}, name, make_text(3.2, page_ink, true));
    y += 1.5;
    for (const std::string& line : lines) page.add_text({x, y += line_mm}, line, make_text(3.3));
    y += 2;
    if (rows == 0) return;
    page.add_text({x, y + 2.6}, "dry, glued", make_text(2.3, page_quiet));
    y += 4;
    for (std::size_t k = 0; k < step.joints.size(); ++k)
      draw_boxes(x + static_cast<double>(k % 2) * width / 2, y + tick * static_cast<double>(k / 2),
                 step.joints[k]);
  }

  /// How far the joints miss at every step, as bars.
  void draw_closure_chart() {
    const std::size_t steps = closure_.steps.size();
    double most = closure_.evened.most_mm;
    for (const Miss& miss : closure_.steps) most = std::max(most, miss.most_mm);
    if (!(most > 0) || steps == 0) return;
    // 1, 2 or 5 times a power of ten, so that there are at most six lines.
    double unit = std::pow(10, std::floor(std::log10(most / 6)));
    for (const double factor : {1.0, 2.0, 5.0, 10.0})
      if (most / (unit * factor) <= 6) {
        unit *= factor;
        break;
      }
    const double height = 32, left = flow_.left() + 12;
    const double top = flow_.take(height + 11), scale = height / (unit * std::ceil(most / unit)),
                 bar = (flow_.right() - left) / static_cast<double>(steps);
    Page& page = flow_.page();
    for (double v = 0; v <= most + unit - 1e-9; v += unit) {
      page.add_line({left, top + height - scale * v}, {flow_.right(), top + height - scale * v},
                    {"#d8d2c4", 0.2, "", ""});
      page.add_text({left - 1.5, top + height - scale * v + 1}, format("%g mm", v),
                    make_text(2.6, page_quiet, false, TextAt::end));
    }
    for (std::size_t s = 0; s < steps; ++s) {
      const double x = left + bar * static_cast<double>(s), w = std::min(bar * 0.7, 6.0),
                   middle = x + bar / 2;
      const auto box = [&](double value, const char* fill) {
        page.add_polygon({{middle - w / 2, top + height},
                          {middle + w / 2, top + height},
                          {middle + w / 2, top + height - scale * value},
                          {middle - w / 2, top + height - scale * value}},
                         {"", 0, fill, ""});
      };
      box(closure_.steps[s].most_mm, "#b9d3e2");
      box(closure_.steps[s].median_mm, page_accent);
      if (steps <= 30 || s % 5 == 4)
        page.add_text({middle, top + height + 3.6}, std::to_string(s + 1),
                      make_text(2.6, page_quiet, false, TextAt::middle));
    }
    const double y = top + height - scale * closure_.evened.most_mm;
    page.add_line({left, y}, {flow_.right(), y}, {"#2e7d32", 0.5, "", "2 1"});
    page.add_text({left, top + height + 8},
                  "step; dark: half of the builds miss by more, light: 95 of 100 by less; green: "
                  "fitted dry and evened out, 95 of 100",
                  make_text(2.7, page_quiet));
  }

  void draw_reach() {
    int hand = 0, clamp = 0;
    for (const Reach& reach : plan_.reach)
      hand += static_cast<int>(!reach.hand), clamp += static_cast<int>(!reach.clamp);
    flow_.keep(24);
    flow_.heading("Out of reach");
    flow_.paragraph(hand + clamp == 0
                        ? format("Every joint is within reach of a hand and of a clamp that opens "
                                 "%.0f mm and reaches %.0f mm in.",
                                 options_.reach.clamp_opening_mm, options_.reach.clamp_depth_mm)
                        : format("Of %d joints %d are beyond the clamp (*) and %d beyond a hand "
                                 "(\u2020) when they are made. For other clamps or smaller "
                                 "hands whoever prints the kit can have it worked out again.",
                                 static_cast<int>(plan_.reach.size()), clamp, hand));
  }

  void draw_closing() {
    flow_.keep(90);
    flow_.heading("How well it closes");
    const ClosureOptions& off = options_.tolerance;
    if (closure_.last.most_mm > 0.2 * measure_enclosing_radius(design_)) {
      flow_.paragraph(format(
          "Suppose every cut and every %s is off by up to %g mm and every %s by up to "
          "%g\u00b0, each by itself. Glued for good %s after %s, the errors add up to more than "
          "can be forced together in the end. %s first and evened out before any glue, no "
          "joint misses by more than %.1f mm in 95 of 100.",
          plan_.folds ? "seat line" : "slot", off.cut_mm, plan_.folds ? "fold" : "slot's angle",
          off.fold_deg, unit_word(), unit_word(),
          plan_.folds ? "Fitted dry with clips" : "Pushed together dry", closure_.evened.most_mm));
      if (const std::size_t from = dry_from_; from < closure_.steps.size())
        flow_.paragraph(
            format("That is why joints wait for their glue from step %zu on.", from + 1));
      return;
    }
    flow_.paragraph(format(
        "Suppose every cut and every %s is off by up to %g mm and every %s by up "
        "to %g\u00b0, each by itself. Glued for good %s after %s, the joints of the last "
        "step then miss by "
        "%.1f mm in half of the builds and by less than %.1f mm in 95 of 100. %s first "
        "and evened out before any glue, no joint misses by more than %.1f "
        "mm in 95 of 100.",
        plan_.folds ? "seat line" : "slot", off.cut_mm, plan_.folds ? "fold" : "slot's angle",
        off.fold_deg, unit_word(), unit_word(), closure_.last.median_mm, closure_.last.most_mm,
        plan_.folds ? "Fitted dry with clips" : "Pushed together dry", closure_.evened.most_mm));
    draw_closure_chart();
    if (const std::size_t from = dry_from_; from < closure_.steps.size())
      flow_.paragraph(format("That is why joints wait for their glue from step %zu on.", from + 1));
    else
      flow_.paragraph("The errors do not pile up here, so every joint is glued at once.");
    flow_.remark(format(
        "Worked out from %d builds on the computer with errors drawn at random: stiff panels, glue "
        "lines and folds as soft as glued board's. The board's own bending, which helps, is left "
        "out; so are errors all parts share, such as a template printed too large.",
        closure_.trials));
  }

  const Design& design_;
  const Finished& finished_;
  const AssemblyPlan& plan_;
  const Closure& closure_;
  const GuideOptions& options_;
  JointSides sides_;
  int copies_;
  std::string name_;
  std::set<int> turned_over_;
  std::vector<StepHands> hands_;
  std::size_t dry_from_;
  PageFlow flow_;
};

}  // namespace

std::vector<std::string> find_build_cautions() {
  const GalleryWords words = read_gallery_words("en");
  std::vector<std::string> cautions;
  for (const char* key : {"saws", "ladders", "overhead", "glue", "fire", "codes"})
    cautions.push_back(words.say(std::string("guide_caution_") + key));
  return cautions;
}

std::vector<Page> make_guide_pages(const Design& design, const Finished& finished,
                                   const AssemblyPlan& plan, const Closure& closure,
                                   const GuideOptions& options) {
  return Guide(design, finished, plan, closure, options).draw();
}

}  // namespace sixtyfold
