#include "results/reports/tune_report.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "engine/text.h"
#include "results/drawings/drawing_svg.h"
#include "results/drawings/page.h"
#include "results/drawings/palette.h"
#include "results/drawings/text_width.h"
#include "results/files/json_writer.h"
#include "results/files/run_folder.h"
#include "results/files/score_json.h"
#include "results/reports/report_page.h"

namespace sixtyfold {
namespace {

struct Row {
  std::string name, before, after;
};

std::vector<Row> make_rows(const Score& a, const TunedVariant& variant,
                           const std::optional<double>& drawing_kept) {
  const Score& b = variant.design.score;
  const auto whole = [](int n) { return format("%d", n); };
  std::vector<Row> rows = {
      {"joints", whole(a.joints), whole(b.joints)},
      {"glued length, m", format("%.1f", a.total_joint_mm / 1000),
       format("%.1f", b.total_joint_mm / 1000)},
      {"shortest joint, mm", format("%.0f", a.shortest_joint_mm),
       format("%.0f", b.shortest_joint_mm)},
      {"plane angles, deg", format("%.0f to %.0f", a.min_angle_deg, a.max_angle_deg),
       format("%.0f to %.0f", b.min_angle_deg, b.max_angle_deg)},
      {"stiffness number", format("%.3g", a.stiffness), format("%.3g", b.stiffness)},
      {"internal freedoms", whole(a.internal_dof), whole(b.internal_dof)},
      {"diameter, mm", format("%.0f", a.diameter_mm), format("%.0f", b.diameter_mm)},
      {"thinnest place, mm", format("%.0f", a.min_width_mm), format("%.0f", b.min_width_mm)},
      {"sheets", whole(a.sheets), whole(b.sheets)},
      {"mass, kg", format("%.1f", a.mass_kg), format("%.1f", b.mass_kg)},
      {"outline kept, %", "100", format("%.0f", 100 * variant.look.outline_overlap)},
      {"silhouette kept, %", "100", format("%.0f", 100 * variant.look.silhouette_overlap)}};
  if (drawing_kept && variant.drawing_kept)
    rows.push_back({"of the drawing, %", format("%.0f", 100 * *drawing_kept),
                    format("%.0f", 100 * *variant.drawing_kept)});
  return rows;
}

/// A joint of copy 0 in the panel's plane, with the rotation that leads to the other copy.
struct OwnJoint {
  Vec2 from, to;
  Mat3 other;
};

std::vector<OwnJoint> find_own_joints(const Design& design) {
  const Orbit& orbit = design.orbits.front();
  const Mat3 back = orbit.copies.front().transpose();
  std::vector<OwnJoint> joints;
  for (const Joint& joint : design.joints) {
    if (joint.panels[0] != 0 && joint.panels[1] != 0) continue;
    const int other = joint.panels[0] + joint.panels[1];
    joints.push_back({orbit.panel.frame.to_plane(back * joint.from_mm),
                      orbit.panel.frame.to_plane(back * joint.to_mm),
                      back * orbit.copies[static_cast<std::size_t>(other)]});
  }
  return joints;
}

int count_like(const std::vector<OwnJoint>& joints, const Mat3& other) {
  return static_cast<int>(std::count_if(joints.begin(), joints.end(), [&](const OwnJoint& j) {
    return (j.other - other).cwiseAbs().maxCoeff() < 1e-4;
  }));
}

constexpr const char* gone_dashes = "1.4 0.9";

/// Both outlines over each other in a box of the page, with the joints that went, stay and came.
void draw_overlay(Page& page, const Design& before, const Design& after, const Box& room) {
  const Panel &panel = before.orbits.front().panel, &changed = after.orbits.front().panel;
  const auto lay = [&](const Polygon& polygon) {
    return make_laid(polygon, changed.frame, panel.frame);
  };
  const Polygon old = panel.outline_mm, now = lay(changed.outline_mm);
  const double turn = measure_least_rectangle(old).direction_rad;
  Polygon both = old;
  both.insert(both.end(), now.begin(), now.end());
  const Box box = measure_box_along(both, turn);
  const double scale = std::min(room.size().x() / box.size().x(), room.size().y() / box.size().y());
  const auto place = [&](const Vec2& p) -> Vec2 {
    const Vec2 q(std::cos(turn) * p.x() + std::sin(turn) * p.y(),
                 -std::sin(turn) * p.x() + std::cos(turn) * p.y());
    const Vec2 from_middle = scale * (q - (box.low + box.high) / 2);
    const Vec2 middle = (room.low + room.high) / 2;
    return {middle.x() + from_middle.x(), middle.y() - from_middle.y()};
  };
  const auto rings = [&](const Polygon& outline, const std::vector<Polygon>& holes) {
    std::vector<Polygon> placed{outline};
    placed.insert(placed.end(), holes.begin(), holes.end());
    for (Polygon& ring : placed)
      for (Vec2& p : ring) p = place(p);
    return placed;
  };
  std::vector<Polygon> holes;
  for (const Polygon& hole : changed.holes_mm) holes.push_back(lay(hole));
  page.add_fine(rings(now, holes), {"", 0, board_colour});
  page.add_fine(rings(old, panel.holes_mm), {gone_colour, 0.3, "", gone_dashes});
  page.add_fine(rings(now, holes), {ink_colour, 0.3});
  const auto line = [&](const Vec2& from, const Vec2& to, const char* colour) {
    page.add_line(place(from), place(to), {colour, 1.1, "", "", true});
  };
  const std::vector<OwnJoint> were = find_own_joints(before), are = find_own_joints(after);
  for (const OwnJoint& joint : are) {
    const Polygon laid = lay({joint.from, joint.to});
    line(laid[0], laid[1], count_like(were, joint.other) > 0 ? kept_colour : new_colour);
  }
  for (const OwnJoint& joint : were)
    if (count_like(are, joint.other) < count_like(were, joint.other))
      line(joint.from, joint.to, gone_colour);
}

/// Both constructions beside each other.
void draw_pictures(Page& page, const Design& before, const Design& after) {
  DrawingOptions drawing;
  drawing.width_mm = 92;
  drawing.height_mm = 88;
  drawing.setting = Setting::plain;
  const Vec2 size(drawing.width_mm, drawing.height_mm), left(10, 28), right(106, 28);
  page.add_svg(make_drawing_svg(before, drawing), {left, left + size});
  page.add_svg(make_drawing_svg(after, drawing), {right, right + size});
}

void draw_table(Page& page, const std::vector<Row>& rows) {
  double y = 27;
  page.add_text({258, y}, "before", {3.6, TextAt::end, quiet_ink});
  page.add_text({287, y}, "after", {3.6, TextAt::end, quiet_ink});
  for (const Row& row : rows) {
    y += 7.2;
    page.add_line({206, y - 5}, {287, y - 5}, {rule_colour, 0.2});
    page.add_text({206, y}, row.name, {3.6, TextAt::start, quiet_ink});
    page.add_text({258, y}, row.before, {3.6, TextAt::end, ink_colour});
    page.add_text({287, y}, row.after, {3.6, TextAt::end, ink_colour, row.before != row.after});
  }
}

/// What the lines of the overlay mean, as far as they are there.
void draw_legend(Page& page, const Design& before, const Design& after) {
  const std::vector<OwnJoint> were = find_own_joints(before), are = find_own_joints(after);
  const bool any_gone = std::any_of(were.begin(), were.end(), [&](const OwnJoint& j) {
    return count_like(are, j.other) < count_like(were, j.other);
  });
  const bool any_new = std::any_of(
      are.begin(), are.end(), [&](const OwnJoint& j) { return count_like(were, j.other) == 0; });
  double x = 16;
  const auto legend = [&](const PageStyle& mark, const std::string& label, double step) {
    page.add_line({x, 201.8}, {x + 8, 201.8}, mark);
    page.add_text({x + 10, 203}, label, {3.4, TextAt::start, quiet_ink});
    x += step;
  };
  legend({gone_colour, 0.35, "", gone_dashes}, "before", 24);
  legend({ink_colour, 0.35}, "after", 22);
  legend({kept_colour, 1.1}, "joints kept", 32);
  if (any_gone) legend({gone_colour, 1.1}, "gone", 22);
  if (any_new) legend({new_colour, 1.1}, "new", 20);
}

void write_steps(Page& page, const std::vector<std::string>& steps) {
  double line = 134;
  page.add_text({138, line}, "What changed", {4.6, TextAt::start, ink_colour, true});
  line += 1.6;
  for (const std::string& step : steps) {
    for (const std::string& text : break_lines(step, 149, 3.6)) {
      if (line > 190) break;
      page.add_text({138, line += 5.4}, text, {3.6, TextAt::start, quiet_ink});
    }
    line += 1.8;
  }
}

}  // namespace

std::string make_comparison_svg(const TuneResult& result, int which) {
  const TunedVariant& variant = result.variants.at(static_cast<std::size_t>(which));
  const Design &before = result.before.design, &after = variant.design;
  const std::string title =
      before.name.empty() ? "Before and after" : before.name + ", before and after";
  Page page({297, 210}, title,
            format("%d joints become %d", before.score.joints, after.score.joints));
  page.add_ground(paper_colour);
  draw_pictures(page, before, after);
  page.add_text({10, 17}, title, {7.5, TextAt::start, ink_colour, true});
  page.add_text({56, 27}, format("before: %d joints", before.score.joints),
                {4.6, TextAt::middle, quiet_ink});
  page.add_text({152, 27}, format("after: %d joints", after.score.joints),
                {4.6, TextAt::middle, ink_colour, true});
  draw_table(page, make_rows(before.score, variant, result.drawing_kept));
  page.add_line({10, 122}, {287, 122}, {rule_colour, 0.3});
  draw_overlay(page, before, after, {{16, 130}, {124, 194}});
  draw_legend(page, before, after);
  write_steps(page, variant.steps);
  page.add_text({287, 203}, "Stiffness compares designs; it is no proof of strength.",
                {3, TextAt::end, quiet_ink});
  return page.to_svg();
}

namespace {

/// One plot of the trade-off: what it is for across, a share upwards.
struct Plot {
  Box room;
  double low = 0, high = 1;
  double bottom = 0, top = 1, step = 0.25, asked = 0;
  std::string title, across;

  Vec2 place(double x, double share) const {
    const double part = high == low ? 0.5 : (x - low) / (high - low);
    return {room.low.x() + 6 + (room.size().x() - 12) * part,
            room.high.y() - room.size().y() * (share - bottom) / (top - bottom)};
  }
};

/// "mass and stiffness".
std::string name_goals(const TuneGoal& goal) {
  std::string text;
  for (std::size_t i = 0; i < goal.weights.size(); ++i)
    text += (i == 0                         ? ""
             : i + 1 == goal.weights.size() ? " and "
                                            : ", ") +
            goal.weights[i].criterion->name;
  return text;
}

/// Joints, or per cent better.
bool is_told_in_joints(const TuneResult& result) {
  return result.asked.goal.is_only_for("joints") || result.asked.goal.is_only_for("stiffness");
}

double find_across(const TuneResult& result, const TradeOffPoint& point) {
  return is_told_in_joints(result) ? point.joints : 100 * std::expm1(point.gain);
}

/// Round numbers from low to high, or the numbers of joints there are.
std::vector<double> find_ticks(const TuneResult& result, double low, double high) {
  std::vector<double> ticks;
  if (is_told_in_joints(result)) {
    for (const TradeOffPoint& p : result.curve) ticks.push_back(p.joints);
  } else {
    double step = std::pow(10, std::floor(std::log10(std::max(high - low, 1.0))));
    while ((high - low) / step < 4) step /= 2;
    for (double x = step * std::ceil(low / step); x <= high; x += step) ticks.push_back(x);
  }
  std::sort(ticks.begin(), ticks.end());
  ticks.erase(std::unique(ticks.begin(), ticks.end()), ticks.end());
  return ticks;
}

void draw_axes(Page& page, const Plot& plot, const std::vector<double>& ticks) {
  const Vec2 &low = plot.room.low, &high = plot.room.high;
  page.add_text({low.x(), low.y() - 5}, plot.title, {3.6, TextAt::start, ink_colour, true});
  for (double share = plot.bottom; share <= plot.top + 1e-9; share += plot.step) {
    const double y = plot.place(plot.low, share).y();
    page.add_line({low.x(), y}, {high.x(), y}, {rule_colour, 0.2});
    page.add_text({low.x() - 2, y + 1.2}, format("%.0f %%", 100 * share),
                  {3.2, TextAt::end, quiet_ink});
  }
  double last = -100;
  for (const double tick : ticks) {
    const double x = plot.place(tick, 0).x();
    if (x - last < 7) continue;
    last = x;
    page.add_text({x, high.y() + 5.5}, format("%g", tick), {3.2, TextAt::middle, quiet_ink});
  }
  page.add_text({(low.x() + high.x()) / 2, high.y() + 12}, plot.across,
                {3.4, TextAt::middle, quiet_ink});
  if (!(plot.bottom < plot.asked && plot.asked < plot.top)) return;
  const double y = plot.place(plot.low, plot.asked).y();
  page.add_line({low.x(), y}, {high.x(), y}, {gone_colour, 0.35, "", "1.6 1.2"});
  // Between two columns of points, where nothing covers it.
  const double x = ticks.size() > 1
                       ? (plot.place(ticks[0], 0).x() + plot.place(ticks[1], 0).x()) / 2
                       : low.x() + 0.2 * plot.room.size().x();
  page.add_text({x, y - 1.2}, format("asked for: %.0f %%", 100 * plot.asked),
                {2.9, TextAt::middle, gone_colour});
}

/// Both plots with their ranges.
std::pair<Plot, Plot> make_plots(const TuneResult& result) {
  const TuneGoal& goal = result.asked.goal;
  Plot stiffness, look;
  stiffness.room = {{22, 32}, {100, 92}};
  stiffness.title = "Stiffness, share of the original";
  look.room = {{124, 32}, {202, 92}};
  look.title = "Look kept";
  double most = 1, least_look = result.asked.keep_look;
  stiffness.low = stiffness.high = find_across(result, result.curve.front());
  for (const TradeOffPoint& p : result.curve) {
    const double x = find_across(result, p);
    stiffness.low = std::min(stiffness.low, x);
    stiffness.high = std::max(stiffness.high, x);
    most = std::max(most, p.stiffness_share);
    least_look = std::min(least_look, p.look);
  }
  look.low = stiffness.low;
  look.high = stiffness.high;
  stiffness.across = look.across = is_told_in_joints(result) ? "joints in the whole construction"
                                                             : "% better in " + name_goals(goal);
  stiffness.step = most > 5 ? std::ceil(most / 5) : most > 2.5 ? 1 : most > 1.25 ? 0.5 : 0.25;
  stiffness.top = stiffness.step * std::ceil(most / stiffness.step - 1e-9);
  stiffness.asked = goal.is_only_for("stiffness") ? 1 : result.asked.keep_stiffness;
  look.asked = result.asked.keep_look;
  look.step = least_look < 0.5 ? 0.25 : 0.1;
  look.bottom = look.step * std::floor(std::max(0.0, least_look - 0.02) / look.step + 1e-9);
  return {stiffness, look};
}

/// In the order of drawing: plain points first, the listed ones over them, the original last.
std::vector<const TradeOffPoint*> order_points(const TuneResult& result) {
  std::vector<const TradeOffPoint*> order;
  for (const TradeOffPoint& p : result.curve) order.push_back(&p);
  std::stable_sort(order.begin(), order.end(), [](const TradeOffPoint* a, const TradeOffPoint* b) {
    return a->chosen < b->chosen;
  });
  const auto first = std::find(order.begin(), order.end(), &result.curve.front());
  std::rotate(first, first + 1, order.end());
  return order;
}

void draw_point(Page& page, const TuneResult& result, const Plot& plot, const TradeOffPoint& p,
                double share, int rank) {
  const Vec2 at = plot.place(find_across(result, p), share);
  const bool first = &p == &result.curve.front();
  const char* colour = first ? ink_colour : p.chosen || p.within ? kept_colour : paper_colour;
  page.add_circle(at,
                  p.chosen ? 2.3
                  : first  ? 1.8
                           : 1.1,
                  {p.within ? paper_colour : quiet_ink, 0.3, colour});
  if (p.chosen)
    page.add_text({at.x(), at.y() + 1}, format("%d", rank), {2.8, TextAt::middle, "#ffffff", true});
  if (!first) return;
  const bool left = at.x() < (plot.room.low.x() + plot.room.high.x()) / 2;
  page.add_text({at.x() + (left ? 2.4 : -2.4), at.y() + 5}, "original",
                {3, left ? TextAt::start : TextAt::end, ink_colour});
}

void draw_trade_off_legend(Page& page) {
  double x = 22;
  const auto legend = [&](const char* fill, const char* stroke, double radius, const char* label,
                          double step) {
    page.add_circle({x, 112.9}, radius, {stroke, 0.3, fill});
    page.add_text({x + 4, 114}, label, {3.2, TextAt::start, quiet_ink});
    x += step;
  };
  legend(kept_colour, paper_colour, 2.3, "listed, with its rank", 46);
  legend(kept_colour, paper_colour, 1.1, "also within what was asked", 54);
  legend(paper_colour, quiet_ink, 1.1, "needs a lower --keep-look or --keep-stiffness", 40);
}

}  // namespace

std::string make_trade_off_svg(const TuneResult& result) {
  const TuneGoal& goal = result.asked.goal;
  const std::string title = goal.is_only_for("joints") ? "What fewer joints cost"
                            : goal.is_only_for("stiffness")
                                ? "What more stiffness costs"
                                : "What it costs to be better in " + name_goals(goal);
  Page page({210, 120}, title, format("%zu variants", result.curve.size()));
  page.add_ground(paper_colour);
  page.add_text({10, 12}, title, {5.4, TextAt::start, ink_colour, true});
  if (result.curve.empty()) return page.to_svg();
  const auto [stiffness, look] = make_plots(result);
  const std::vector<double> ticks = find_ticks(result, stiffness.low, stiffness.high);
  draw_axes(page, stiffness, ticks);
  draw_axes(page, look, ticks);
  int rank = 0;
  for (const TradeOffPoint* p : order_points(result)) {
    if (p->chosen) ++rank;
    draw_point(page, result, stiffness, *p, p->stiffness_share, rank);
    draw_point(page, result, look, *p, p->look, rank);
  }
  draw_trade_off_legend(page);
  return page.to_svg();
}

std::string write_tune_json(const TuneResult& result) {
  using Json = nlohmann::ordered_json;
  Json document;
  document["format"] = "sixtyfold-tune";
  document["version"] = 1;
  document["purpose"] = result.asked.goal.describe();
  document["keep_look"] = result.asked.keep_look;
  document["keep_stiffness"] = result.asked.keep_stiffness;
  document["before"] = write_score_json(result.before.design.score);
  document["least_joints"] = {{"least", result.least.least},
                              {"by_group", result.least.by_group},
                              {"by_body_hinge_count", result.least.by_count},
                              {"of_all_meeting_lines", result.least_anywhere},
                              {"reached", result.proved_least}};
  if (result.drawing_kept) document["drawing_kept"] = *result.drawing_kept;
  document["notes"] = result.notes;
  document["variants"] = Json::array();
  int rank = 0;
  for (const TunedVariant& variant : result.variants) {
    Json item;
    item["rank"] = ++rank;
    item["file"] = candidate_file_name(rank, "json");
    item["times_better"] = std::exp(variant.gain);
    item["stiffness_share"] = variant.stiffness_share;
    item["look"] = {{"kept", variant.look.kept()},
                    {"outline_overlap", variant.look.outline_overlap},
                    {"silhouette_overlap", variant.look.silhouette_overlap},
                    {"plane_turn_deg", variant.look.plane_turn_deg},
                    {"distance_change", variant.look.distance_change}};
    if (variant.drawing_kept) item["drawing_kept"] = *variant.drawing_kept;
    if (!variant.faults.empty()) item["faults"] = variant.faults;
    item["steps"] = variant.steps;
    item["score"] = write_score_json(variant.design.score);
    document["variants"].push_back(std::move(item));
  }
  document["trade_off"] = Json::array();
  for (const TradeOffPoint& p : result.curve)
    document["trade_off"].push_back({{"joints", p.joints},
                                     {"times_better", std::exp(p.gain)},
                                     {"stiffness_share", p.stiffness_share},
                                     {"look", p.look},
                                     {"within", p.within},
                                     {"listed", p.chosen}});
  if (!result.why_none.empty()) document["why_none"] = result.why_none;
  return write_json(document);
}

namespace {

/// What it is for, and what else decides, before and after: "mass 9.12 to 7.80 kg, ...". Empty for
/// what the table shows.
std::string tell_goal(const TuneGoal& goal, const Score& before, const Score& after) {
  std::string text;
  const auto add = [&](const Criterion& criterion) {
    if (criterion.name == "joints" || criterion.name == "stiffness") return;
    const bool of_taste = criterion.name == "appeal";
    const auto tell = [&](const Score& score) {
      if (!TuneGoal::is_measured(criterion, score)) return std::string("not measured");
      return format("%.4g",
                    of_taste ? measure_appeal(score, goal.taste) : criterion.measure(score));
    };
    text += (text.empty() ? "" : ", ") + criterion.name + " " + tell(before) + " to " +
            tell(after) + (criterion.unit.empty() ? "" : " " + criterion.unit);
  };
  for (const Weight& weight : goal.weights) add(*weight.criterion);
  for (const Criterion* criterion : goal.also)
    if (!goal.is_for(criterion->name)) add(*criterion);
  return text;
}

}  // namespace

std::string make_tune_report(const TuneResult& result) {
  const Score& old = result.before.design.score;
  std::string text;
  const auto broken =
      std::find_if(result.variants.begin(), result.variants.end(),
                   [](const TunedVariant& variant) { return !variant.faults.empty(); });
  if (broken != result.variants.end())
    text = "What is written does NOT pass the check, as the original does not: " +
           broken->faults.front() + ".\n";
  text += format("The original: %d panels, %d joints, stiffness number %.3g.\n", old.panels,
                 old.joints, old.stiffness);
  if (result.drawing_kept)
    text += format("  It keeps %.1f %% of the drawing.\n", 100 * *result.drawing_kept);
  for (const std::string& note : result.notes) text += "  " + note + "\n";
  if (result.least.least > 0)
    text += format(
        "  With the meeting lines in reach (%.0f mm) no construction has fewer than %d joints; in "
        "other "
        "planes none has fewer than %d.\n",
        result.reach_mm, result.least.least, result.least_anywhere);
  if (result.variants.empty()) return text + "No improvement. " + result.why_none + "\n";
  text += "\n   joints  stiffness kept  look kept  shortest joint\n";
  int rank = 0;
  for (const TunedVariant& variant : result.variants) {
    const Score& score = variant.design.score;
    text +=
        format("%2d %6d %12.0f %% %8.0f %% %12.0f mm\n", ++rank, score.joints,
               100 * variant.stiffness_share, 100 * variant.look.kept(), score.shortest_joint_mm);
    if (const std::string told = tell_goal(result.asked.goal, old, score); !told.empty())
      text += "      Goes from " + told + ".\n";
    if (variant.drawing_kept)
      text += format("      Of the drawing %.1f %% is kept.\n", 100 * *variant.drawing_kept);
    for (const std::string& step : variant.steps) text += "      " + step + "\n";
  }
  return text;
}

}  // namespace sixtyfold
