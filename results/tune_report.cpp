#include "results/tune_report.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "engine/text.h"
#include "results/drawing_svg.h"
#include "results/json_writer.h"
#include "results/palette.h"
#include "results/run_folder.h"
#include "results/score_json.h"
#include "results/svg_text.h"

namespace sixtyfold {
namespace {

struct Row {
  std::string name, before, after;
};

std::vector<Row> make_rows(const Score& a, const TunedVariant& variant) {
  const Score& b = variant.design.score;
  const auto whole = [](int n) { return format("%d", n); };
  return {{"joints", whole(a.joints), whole(b.joints)},
          {"glued length, m", format("%.1f", a.total_joint_mm / 1000),
           format("%.1f", b.total_joint_mm / 1000)},
          {"shortest joint, mm", format("%.0f", a.shortest_joint_mm),
           format("%.0f", b.shortest_joint_mm)},
          {"plane angles, degrees", format("%.0f to %.0f", a.min_angle_deg, a.max_angle_deg),
           format("%.0f to %.0f", b.min_angle_deg, b.max_angle_deg)},
          {"stiffness number", format("%.3g", a.stiffness), format("%.3g", b.stiffness)},
          {"internal freedoms", whole(a.internal_dof), whole(b.internal_dof)},
          {"diameter, mm", format("%.0f", a.diameter_mm), format("%.0f", b.diameter_mm)},
          {"thinnest place, mm", format("%.0f", a.min_width_mm), format("%.0f", b.min_width_mm)},
          {"sheets", whole(a.sheets), whole(b.sheets)},
          {"mass, kg", format("%.1f", a.mass_kg), format("%.1f", b.mass_kg)},
          {"outline kept, %", "100", format("%.0f", 100 * variant.look.outline_overlap)},
          {"silhouette kept, %", "100", format("%.0f", 100 * variant.look.silhouette_overlap)}};
}

// A whole drawing as a part of a page: its own ids get a prefix, so that two can stand side by
// side.
std::string embed(const std::string& document, const std::string& prefix, const Vec2& at,
                  double size) {
  const std::size_t begin = document.find("<svg"), end = document.find('>', begin);
  std::string inside = document.substr(end + 1);
  inside.erase(inside.rfind("</svg>"));
  // Title and description belong to the page.
  for (const char* tag : {"title", "desc"}) {
    const std::string open = std::string("<") + tag + ">", close = std::string("</") + tag + ">";
    if (const std::size_t from = inside.find(open); from != std::string::npos)
      inside.erase(from, inside.find(close) + close.size() - from);
  }
  for (const char* mark : {"id=\"", "url(#", "href=\"#"}) {
    const std::string what = mark;
    for (std::size_t p = inside.find(what); p != std::string::npos; p = inside.find(what, p + 1)) {
      if (what == "id=\"" && p > 0 && inside[p - 1] != ' ') continue;
      inside.insert(p + what.size(), prefix);
    }
  }
  return "<svg x=\"" + write_number(at.x()) + "\" y=\"" + write_number(at.y()) + "\" width=\"" +
         write_number(size) + "\" height=\"" + write_number(size) +
         "\" viewBox=\"0 0 100 100\">\n" + inside + "</svg>\n";
}

std::string ink(const char* colour, const char* more = "") {
  return std::string("fill=\"") + colour + "\"" + more;
}

}  // namespace

std::string make_comparison_svg(const TuneResult& result, int which) {
  const TunedVariant& variant = result.variants.at(static_cast<std::size_t>(which));
  const Design &before = result.before.design, &after = variant.design;
  const std::string title =
      before.name.empty() ? "Before and after" : before.name + ": before and after";
  std::string svg = write_svg_head(
      {297, 210}, title, format("%d joints become %d", before.score.joints, after.score.joints));
  svg += "<rect width=\"297\" height=\"210\" fill=\"" + std::string(paper_colour) + "\"/>\n";
  DrawingOptions drawing;
  drawing.width_mm = drawing.height_mm = 100;
  drawing.setting = Setting::plain;
  svg += embed(make_drawing_svg(before, drawing), "a-", {8, 22}, 96);
  svg += embed(make_drawing_svg(after, drawing), "b-", {101, 22}, 96);
  svg += std::string("<g font-family=\"") + drawing_fonts + "\">\n";
  svg += write_text({10, 14}, 7, ink(ink_colour, " font-weight=\"bold\""), title);
  svg += write_text({56, 124}, 5, ink(ink_colour, " text-anchor=\"middle\""),
                    format("before: %d joints", before.score.joints));
  svg += write_text({149, 124}, 5, ink(ink_colour, " text-anchor=\"middle\" font-weight=\"bold\""),
                    format("after: %d joints", after.score.joints));

  // The table.
  double y = 28;
  svg += write_text({250, y}, 3.6, ink(quiet_ink, " text-anchor=\"end\""), "before");
  svg += write_text({285, y}, 3.6, ink(quiet_ink, " text-anchor=\"end\""), "after");
  for (const Row& row : make_rows(before.score, variant)) {
    y += 7.4;
    svg += "<path d=\"M203 " + write_number(y - 5.2) +
           "H285\" stroke=\"#d8d2c4\" stroke-width=\"0.2\"/>\n";
    svg += write_text({203, y}, 3.6, ink(quiet_ink), row.name);
    svg += write_text({250, y}, 3.6, ink(ink_colour, " text-anchor=\"end\""), row.before);
    svg += write_text(
        {285, y}, 3.6,
        ink(ink_colour, row.before != row.after ? " text-anchor=\"end\" font-weight=\"bold\""
                                                : " text-anchor=\"end\""),
        row.after);
  }

  // Both outlines over each other.
  const Panel& panel = before.orbits.front().panel;
  Polygon old = panel.outline_mm, now = make_laid(after.orbits.front().panel.outline_mm,
                                                      after.orbits.front().panel.frame, panel.frame);
  const double turn = measure_least_rectangle(old).direction_rad;
  Polygon both = old;
  both.insert(both.end(), now.begin(), now.end());
  const Box box = measure_box_along(both, turn);
  const double scale = std::min(92 / box.size().x(), 62 / box.size().y());
  const auto place = [&](const Polygon& polygon) {
    Polygon placed;
    for (const Vec2& p : polygon) {
      const Vec2 q(std::cos(turn) * p.x() + std::sin(turn) * p.y(),
                   -std::sin(turn) * p.x() + std::cos(turn) * p.y());
      const Vec2 from_middle = scale * (q - (box.low + box.high) / 2);
      placed.emplace_back(56 + from_middle.x(), 166 - from_middle.y());
    }
    return placed;
  };
  const auto path = [&](const Polygon& polygon, const std::string& attributes) {
    return "<path d=\"" + write_path_data({place(polygon)}, 0.01) + "\" " + attributes + "/>\n";
  };
  svg += "<g transform=\"scale(0.01)\" stroke-linejoin=\"round\">\n";
  svg += path(now, std::string("fill=\"") + board_colour + "\"");
  svg += path(
      old, std::string(
               "fill=\"none\" stroke=\"#d2522a\" stroke-width=\"35\" stroke-dasharray=\"160 90\""));
  svg += path(now, std::string("fill=\"none\" stroke=\"") + ink_colour + "\" stroke-width=\"40\"");
  svg += "</g>\n";
  svg += write_text({56, 205}, 3.4, ink(quiet_ink, " text-anchor=\"middle\""),
                    "the panel: dashed before, full line after");

  // What was done.
  double line = 138;
  svg += write_text({108, line}, 4.4, ink(ink_colour, " font-weight=\"bold\""), "What changed");
  for (const std::string& step : variant.steps) {
    // Wrapped at spaces, about 95 characters to a line of 177 mm.
    std::string rest = step;
    while (!rest.empty() && line < 198) {
      std::size_t cut = rest.size();
      if (cut > 95) {
        cut = rest.rfind(' ', 95);
        if (cut == std::string::npos) cut = 95;
      }
      svg += write_text({108, line += 5.6}, 3.6, ink(quiet_ink), rest.substr(0, cut));
      rest = cut < rest.size() ? rest.substr(cut + 1) : "";
    }
    line += 1.4;
  }
  return svg + "</g>\n</svg>\n";
}

std::string make_trade_off_svg(const TuneResult& result) {
  std::string svg = write_svg_head({180, 120}, "Joints against stiffness and look",
                                   format("%zu variants", result.curve.size()));
  svg += "<rect width=\"180\" height=\"120\" fill=\"" + std::string(paper_colour) + "\"/>\n";
  svg += std::string("<g font-family=\"") + drawing_fonts + "\">\n";
  svg += write_text({10, 10}, 5, ink(ink_colour, " font-weight=\"bold\""),
                    "What fewer joints cost: stiffness and look kept");
  int low = result.curve.empty() ? 0 : result.curve.front().joints, high = low;
  double most = 1;
  for (const TradeOffPoint& p : result.curve) {
    low = std::min(low, p.joints);
    high = std::max(high, p.joints);
    most = std::max(most, p.stiffness_share);
  }
  most = std::ceil(most * 4) / 4;
  const double span = std::max(high - low, 1);
  const auto place = [&](double joints, double share) {
    return Vec2(26 + 120 * (high == low ? 0.5 : (joints - low) / span), 102 - 82 * share / most);
  };
  const double step = most > 2.5 ? 1 : most > 1.25 ? 0.5 : 0.25;
  for (double share = 0; share <= most + 1e-9; share += step) {
    const double y = place(low, share).y();
    svg +=
        "<path d=\"M22 " + write_number(y) + "H150\" stroke=\"#d8d2c4\" stroke-width=\"0.2\"/>\n";
    svg += write_text({20, y + 1.2}, 3.2, ink(quiet_ink, " text-anchor=\"end\""),
                      format("%.0f %%", 100 * share));
  }
  std::vector<int> ticks;
  for (const TradeOffPoint& p : result.curve) ticks.push_back(p.joints);
  std::sort(ticks.begin(), ticks.end());
  ticks.erase(std::unique(ticks.begin(), ticks.end()), ticks.end());
  double last = -100;
  for (const int joints : ticks) {
    const double x = place(joints, 0).x();
    if (x - last < 8) continue;
    last = x;
    svg +=
        write_text({x, 108}, 3.2, ink(quiet_ink, " text-anchor=\"middle\""), format("%d", joints));
  }
  svg += write_text({86, 115}, 3.6, ink(quiet_ink, " text-anchor=\"middle\""),
                    "joints in the whole construction");
  svg += write_text({22, 17}, 3.4, ink(quiet_ink), "stiffness, share of the original");
  const Colour bad = make_colour("#d2522a"), good = make_colour("#2a7fae");
  for (const TradeOffPoint& p : result.curve) {
    const Vec2 at = place(p.joints, p.stiffness_share);
    const std::string colour = to_hex(mix(bad, good, std::clamp((p.look - 0.5) / 0.5, 0.0, 1.0)));
    svg += "<circle cx=\"" + write_number(at.x()) + "\" cy=\"" + write_number(at.y()) + "\" r=\"" +
           (p.chosen ? "2.2" : "1.3") + "\" fill=\"" + colour + "\" stroke=\"" +
           (p.chosen ? ink_colour : paper_colour) + "\" stroke-width=\"0.35\"/>\n";
  }
  if (!result.curve.empty()) {
    const Vec2 at = place(result.curve.front().joints, result.curve.front().stiffness_share);
    svg += write_text({at.x(), at.y() - 3.4}, 3.2, ink(ink_colour, " text-anchor=\"middle\""),
                      "original");
  }
  const std::pair<double, const char*> scale[] = {{1, "100 %"}, {0.75, "75 %"}, {0.5, "50 %"}};
  svg += write_text({155, 27}, 3.2, ink(quiet_ink), "look kept");
  double y = 34;
  for (const auto& [look, label] : scale) {
    svg += "<circle cx=\"157\" cy=\"" + write_number(y - 1.1) + "\" r=\"1.6\" fill=\"" +
           to_hex(mix(bad, good, (look - 0.5) / 0.5)) + "\"/>\n";
    svg += write_text({161, y}, 3.2, ink(quiet_ink), label);
    y += 6;
  }
  svg += "<circle cx=\"157\" cy=\"" + write_number(y - 1.1) + "\" r=\"2\" fill=\"none\" stroke=\"" +
         std::string(ink_colour) + "\" stroke-width=\"0.35\"/>\n";
  svg += write_text({161, y}, 3.2, ink(quiet_ink), "listed");
  return svg + "</g>\n</svg>\n";
}

std::string write_tune_json(const TuneResult& result) {
  using Json = nlohmann::ordered_json;
  Json document;
  document["format"] = "sixtyfold-tune";
  document["version"] = 1;
  document["before"] = write_score_json(result.before.design.score);
  document["least_joints"] = {{"least", result.least.least},
                              {"by_group", result.least.by_group},
                              {"by_body_hinge_count", result.least.by_count},
                              {"reached", result.proved_least}};
  document["notes"] = result.notes;
  document["variants"] = Json::array();
  int rank = 0;
  for (const TunedVariant& variant : result.variants) {
    Json item;
    item["rank"] = ++rank;
    item["file"] = candidate_file_name(rank, "json");
    item["stiffness_share"] = variant.stiffness_share;
    item["look"] = {{"kept", variant.look.kept()},
                    {"outline_overlap", variant.look.outline_overlap},
                    {"silhouette_overlap", variant.look.silhouette_overlap},
                    {"plane_turn_deg", variant.look.plane_turn_deg},
                    {"distance_change", variant.look.distance_change}};
    item["steps"] = variant.steps;
    item["score"] = write_score_json(variant.design.score);
    document["variants"].push_back(std::move(item));
  }
  document["trade_off"] = Json::array();
  for (const TradeOffPoint& p : result.curve)
    document["trade_off"].push_back({{"joints", p.joints},
                                     {"stiffness_share", p.stiffness_share},
                                     {"look", p.look},
                                     {"listed", p.chosen}});
  if (!result.why_none.empty()) document["why_none"] = result.why_none;
  return write_json(document);
}

std::string make_tune_report(const TuneResult& result) {
  const Score& old = result.before.design.score;
  std::string text = format("The original: %d panels, %d joints, stiffness number %.3g.\n",
                            old.panels, old.joints, old.stiffness);
  for (const std::string& note : result.notes) text += "  " + note + "\n";
  if (result.least.least > 0)
    text += format("  With the meeting lines in reach no construction has fewer than %d joints.\n",
                   result.least.least);
  if (result.variants.empty()) return text + "No improvement. " + result.why_none + "\n";
  text += "\n   joints  stiffness kept  look kept  shortest joint\n";
  int rank = 0;
  for (const TunedVariant& variant : result.variants) {
    const Score& score = variant.design.score;
    text +=
        format("%2d %6d %12.0f %% %8.0f %% %12.0f mm\n", ++rank, score.joints,
               100 * variant.stiffness_share, 100 * variant.look.kept(), score.shortest_joint_mm);
    for (const std::string& step : variant.steps) text += "      " + step + "\n";
  }
  return text;
}

}  // namespace sixtyfold
