#include "results/drawings/curves_svg.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <vector>

#include "results/drawings/palette.h"
#include "results/drawings/svg_text.h"

namespace sixtyfold {

namespace {

struct Curve {
  const char* title;
  double CurveRow::*value;
  const char* colour;
};

constexpr double width = 180, height = 48, left = 22, right = 8, top = 9, bottom = 9;

std::string print(const char* format, double a, double b) {
  char text[120];
  std::snprintf(text, sizeof text, format, a, b);
  return text;
}

std::string label(double x, double y, const char* anchor, const char* style,
                  const std::string& text) {
  return print("<text x=\"%.2f\" y=\"%.2f\"", x, y) + " text-anchor=\"" + anchor + "\" " + style +
         ">" + text + "</text>\n";
}

/// 12500 -> "12 500".
std::string group_digits(std::uint64_t value) {
  std::string text = std::to_string(value);
  for (std::size_t i = text.size(); i > 3; i -= 3) text.insert(i - 3, "&#160;");
  return text;
}

std::string draw(const Curve& curve, const std::vector<CurveRow>& rows, double offset) {
  const auto most_variants = static_cast<double>(rows.back().evaluated);
  double most = 0;
  for (const CurveRow& row : rows) most = std::max(most, row.*curve.value);
  if (!(most > 0)) most = 1;
  // Round numbers, four or fewer steps.
  double step = std::pow(10, std::floor(std::log10(most)));
  for (const double factor : {0.25, 0.5, 1.0, 2.5})
    if (most / (factor * step) <= 4.001) {
      step *= factor;
      break;
    }
  const int steps = static_cast<int>(std::ceil(most / step - 1e-9));
  most = steps * step;
  const double base = offset + height - bottom, span = height - top - bottom;
  const auto x = [&](const CurveRow& row) {
    return left + (width - left - right) * static_cast<double>(row.evaluated) / most_variants;
  };
  const auto y = [&](const CurveRow& row) { return base - span * (row.*curve.value) / most; };
  std::string svg = label(left, offset + 6, "start", "font-weight=\"bold\"", curve.title);
  for (int i = 0; i <= steps; ++i) {
    const double share = i / double(steps), line = base - span * share;
    svg += print("<path d=\"M%.2f %.2f", left, line) + print("H%.2f\"", width - right, 0) +
           " stroke=\"#d9d6cf\" stroke-width=\"0.2\" fill=\"none\"/>\n";
    svg += label(left - 2, line + 1, "end", "fill=\"#6b675f\"", print("%.6g", share * most, 0));
  }
  // Each row is what the run had so far, so the curve is a staircase.
  svg += print("<path d=\"M%.2f %.2f", left, y(rows.front()));
  for (const CurveRow& row : rows) svg += print("H%.2fV%.2f", x(row), y(row));
  svg += std::string("\" stroke=\"") + curve.colour +
         "\" stroke-width=\"0.6\" stroke-linejoin=\"round\" fill=\"none\"/>\n";
  svg += label(left, base + 5, "start", "fill=\"#6b675f\"", "0");
  svg += label(width - right, base + 5, "end", "fill=\"#6b675f\"",
               group_digits(rows.back().evaluated) + " variants");
  return svg;
}

}  // namespace

std::string make_curves_svg(const Pool& pool, const Goals& goals) {
  std::vector<Curve> curves = {
      {"Best quality", &CurveRow::best, panel_colours[0]},
      {"Share of the archive's cells that are filled", &CurveRow::coverage, panel_colours[2]},
      {"Sum of the qualities in the archive", &CurveRow::qd_score, panel_colours[3]}};
  if (!goals.pareto.empty())
    curves.insert(curves.begin(), {"Hypervolume of the Pareto set (1: the box from worst to best)",
                                   &CurveRow::hypervolume, panel_colours[1]});
  const double total = height * static_cast<double>(curves.size()) + 4;
  std::string svg =
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\"" +
      print(" width=\"%.0fmm\" height=\"%.0fmm\"", width, total) +
      print(" viewBox=\"0 0 %.0f %.0f\"", width, total) + " font-family=\"" + drawing_fonts +
      "\" font-size=\"3.2\">\n" + "<rect width=\"100%\" height=\"100%\" fill=\"" + paper_colour +
      "\"/>\n";
  if (pool.curve.size() < 2) {
    svg += label(left, 10, "start", "", "The run was too short for a curve.");
  } else {
    double offset = 0;
    for (const Curve& curve : curves) {
      svg += draw(curve, pool.curve, offset);
      offset += height;
    }
  }
  return svg + "</svg>\n";
}

}  // namespace sixtyfold
