#include <algorithm>
#include <cmath>
#include <iterator>

#include "engine/text.h"
#include "results/drawings/text_width.h"
#include "results/kit/template_parts.h"

namespace sixtyfold {

Page make_coupon_page(const TemplateOptions& options, double thickness_mm,
                      const std::vector<GaugeAngle>& angles) {
  const Vec2 paper =
      options.paper == Paper::letter ? measure_paper(Paper::letter) : measure_paper(Paper::a4);
  const double margin = 16;
  Page page(paper.x(), paper.y());
  const PageStyle cut{"#000000", 0.4, "#fffdf7", ""}, fold{fold_up_colour, 0.35, "", "6 3"},
      line{"#000000", 0.25, "#ffffff", ""};
  const double width = paper.x() - 2 * margin;
  PageText text;
  text.size_mm = 3.2;
  page.add_text({margin, 21}, "Test coupon", {8, TextAt::start, "#22262e", true, 0});
  page.add_line({margin, 24.5}, {paper.x() - margin, 24.5}, {"#2a7fae", 0.8, "", ""});
  double y = page.add_paragraph({margin, 26},
                                "Cut, fold and glue this first. Trace it on the board you will "
                                "use, cut it as you will cut the parts, and read three numbers. "
                                "Give them to the kit, and the template changes with them.",
                                width, text);
  const auto section = [&](const char* number, const char* name, const char* option,
                           const std::string& how) {
    y += 4;
    page.add_circle({margin + 3, y + 2.5}, 3, {"", 0, "#2a7fae", ""});
    page.add_text({margin + 3, y + 3.9}, number, {3.8, TextAt::middle, "#ffffff", true, 0});
    page.add_text({margin + 9, y + 4}, name, {4.4, TextAt::start, "#22262e", true, 0});
    if (*option) {
      // Room to write the number that was read.
      page.add_text({paper.x() - margin - 34, y + 4}, option,
                    {3.2, TextAt::end, "#22262e", true, 0});
      page.add_polygon({{paper.x() - margin - 32, y - 1.5},
                        {paper.x() - margin - 8, y - 1.5},
                        {paper.x() - margin - 8, y + 6},
                        {paper.x() - margin - 32, y + 6}},
                       line);
      page.add_text({paper.x() - margin, y + 4}, "mm", {3.2, TextAt::end, "#22262e", false, 0});
    }
    y = page.add_paragraph({margin + 9, y + 7.5}, how, width - 9, text) + 2.5;
  };
  const auto box = [&](double x, double w, double h, const PageStyle& style) {
    page.add_polygon({{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, style);
  };
  section("1", "Thickness", "--thickness",
          "Cut the ten squares, stack them, press by hand, measure the stack and divide by 10.");
  for (int k = 0; k < 10; ++k) box(margin + 9 + 16.5 * k, 14, 14, cut);
  y += 14;
  section("2", "Kerf: what the cut takes away", "--kerf",
          "Cut the 100 mm strip along the outside of its outline, then along all nine lines. Push "
          "the ten pieces together and measure their "
          "length L: the kerf is (100 mm - L) / 9.");
  box(margin + 9, 100, 18, cut);
  for (int k = 1; k < 10; ++k)
    page.add_line({margin + 9 + 10.0 * k, y}, {margin + 9 + 10.0 * k, y + 18}, cut);
  y += 18;
  section("3", "Fold allowance: the hinge", "--fold-allowance",
          "Score and fold both strips by 90\u00b0 along the dashes and glue the small leg to "
          "scrap. Measure the long leg M over the outside of the fold: the layer that keeps its "
          "length lies M - 60 mm under the outside, and the fold allowance is " +
              format("%.2f", 60 + thickness_mm / 2) +
              " mm - M. One strip runs along the grain, one across: take the one that is as your "
              "folds are, or the mean.");
  for (const int k : {0, 1}) {
    const double x = margin + 9 + 86.0 * k;
    box(x, 82, 30, cut);
    page.add_line({x + 60, y}, {x + 60, y + 30}, fold);
    page.add_text({x + 30, y + 10}, "60.00 mm to the fold",
                  {3.2, TextAt::middle, "#444444", false, 0});
    page.add_text({x + 71, y + 10}, "glue here", {3.2, TextAt::middle, "#444444", false, 0});
    page.add_text({x + 30, y + 24}, "grain", {3.2, TextAt::middle, "#444444", false, 0});
    const Vec2 middle(x + 30, y + 18), half = k == 0 ? Vec2(12, 0) : Vec2(0, 4);
    page.add_line(middle - half, middle + half, {"#444444", 0.35, "", ""});
    for (const double s : {-1.0, 1.0})
      for (const double t : {-1.0, 1.0})
        page.add_line(middle + s * half,
                      middle + s * half - 2 * s * half.normalized() +
                          1.2 * t * Vec2(-half.y(), half.x()).normalized(),
                      {"#444444", 0.35, "", ""});
  }
  y += 30;
  section(
      "4", "Glue", "",
      "Glue two scraps face to face, wait the drying time, pull them apart by hand. Board that "
      "tears before the glue lets go is a good joint. Note the minutes the glue needed: --dry.");
  std::vector<GaugeAngle> folds;
  std::copy_if(angles.begin(), angles.end(), std::back_inserter(folds),
               [](const GaugeAngle& angle) { return angle.is_fold; });
  if (folds.size() > 6) folds.resize(6);
  if (!folds.empty()) {
    section("5", "The folds of this design", "",
            "Fold the strip at each line as far as is written there and hold it against the gauge "
            "with that letter. Board that cracks or will not stay folded is the wrong board.");
    const double step = std::min(28.0, (width - 9) / static_cast<double>(folds.size() + 1));
    box(margin + 9, step * static_cast<double>(folds.size() + 1), 16, cut);
    for (std::size_t k = 0; k < folds.size(); ++k) {
      const double x = margin + 9 + step * static_cast<double>(k + 1);
      page.add_line({x, y}, {x, y + 16}, fold);
      page.add_text({x - 1.5, y + 6}, folds[k].letter, {4, TextAt::end, "#444444", true, 0});
      page.add_text({x - 1.5, y + 11}, format("%.1f\u00b0", folds[k].through_deg),
                    {3, TextAt::end, "#444444", false, 0});
    }
    y += 18;
  }
  y += 1;
  PageText caution = text;
  caution.colour = "#8a1c14";
  const auto lines = break_lines(knife_caution, width - 12, text.size_mm);
  const double height = 4 + static_cast<double>(lines.size()) * text.size_mm * line_spacing;
  box(margin, width, height, {"", 0, "#fbefec", ""});
  box(margin, 1.4, height, {"", 0, "#8a1c14", ""});
  page.add_paragraph({margin + 6, y + 2}, knife_caution, width - 12, caution);
  add_check_bars(page, {margin + 9, paper.y() - 14}, {5, 60});
  page.add_text({paper.x() - margin, paper.y() - 8.5},
                "for board " + format("%.2f", thickness_mm) + " mm thick",
                {2.7, TextAt::end, "#5a564f", false, 0});
  return page;
}

}  // namespace sixtyfold
