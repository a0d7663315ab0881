#include "results/drawings/curves_svg.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "engine/text.h"
#include "results/drawings/page.h"
#include "results/drawings/palette.h"

namespace sixtyfold {

namespace {

struct Curve {
  const char* title;
  double CurveRow::*value;
  const char* colour;
};

constexpr double width = 180, height = 48, left = 22, right = 8, top = 9, bottom = 9, text_mm = 3.2;
constexpr const char* grey = "#6b675f";

/// 12500 -> "12 500".
std::string group_digits(std::uint64_t value) {
  std::string text = std::to_string(value);
  for (std::size_t i = text.size(); i > 3; i -= 3) text.insert(i - 3, "\u00a0");
  return text;
}

void draw(Page& page, const Curve& curve, const std::vector<CurveRow>& rows, double offset) {
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
  page.add_text({left, offset + 6}, curve.title, {text_mm, TextAt::start, "#000000", true});
  for (int i = 0; i <= steps; ++i) {
    const double share = i / double(steps), line = base - span * share;
    page.add_line({left, line}, {width - right, line}, {"#d9d6cf", 0.2});
    page.add_text({left - 2, line + 1}, format("%.6g", share * most), {text_mm, TextAt::end, grey});
  }
  // Each row is what the run had so far, so the curve is a staircase.
  std::vector<Vec2> stairs{{left, y(rows.front())}};
  for (const CurveRow& row : rows) {
    stairs.emplace_back(x(row), stairs.back().y());
    if (y(row) != stairs.back().y()) stairs.emplace_back(x(row), y(row));
  }
  page.add_polyline(stairs, {curve.colour, 0.6});
  page.add_text({left, base + 5}, "0", {text_mm, TextAt::start, grey});
  page.add_text({width - right, base + 5}, group_digits(rows.back().evaluated) + " variants",
                {text_mm, TextAt::end, grey});
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
  Page page({width, total}, "How the run went", "Quality, coverage and hypervolume over variants");
  page.add_ground(paper_colour);
  if (pool.curve.size() < 2) {
    page.add_text({left, 10}, "The run was too short for a curve.", {text_mm});
  } else {
    double offset = 0;
    for (const Curve& curve : curves) {
      draw(page, curve, pool.curve, offset);
      offset += height;
    }
  }
  return page.to_svg();
}

}  // namespace sixtyfold
