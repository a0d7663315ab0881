#include <algorithm>
#include <cmath>
#include <iterator>

#include "engine/text.h"
#include "results/drawings/text_width.h"
#include "results/kit/template_parts.h"

namespace sixtyfold {

namespace {

constexpr double margin = 16;
const PageStyle cut_line{"#000000", 0.4, "#fffdf7", ""}, fold_line{fold_up_colour, 0.35, "", "6 3"},
    frame_line{"#000000", 0.25, "#ffffff", ""};

/// A page of numbered sections, filled from the top.
class Coupon {
 public:
  Coupon(const TemplateOptions& options, const std::string& title, const std::string& preface)
      : paper_(options.paper == Paper::letter ? measure_paper(Paper::letter)
                                              : measure_paper(Paper::a4)),
        page_(paper_.x(), paper_.y()),
        width_(paper_.x() - 2 * margin) {
    text_.size_mm = 3.2;
    page_.add_text({margin, 21}, title, {8, TextAt::start, "#22262e", true, 0});
    page_.add_line({margin, 24.5}, {paper_.x() - margin, 24.5}, {"#2a7fae", 0.8, "", ""});
    y_ = page_.add_paragraph({margin, 26}, preface, width_, text_);
  }

  Page& page() { return page_; }
  double y() const { return y_; }
  double left() const { return margin + 9; }
  double width() const { return width_ - 9; }  ///< from there on
  void move(double by) { y_ += by; }

  /// `option`: what the kit takes the number by; there is room to write it. Empty: no number.
  void add_section(const char* name, const char* option, const std::string& how) {
    y_ += 4;
    page_.add_circle({margin + 3, y_ + 2.5}, 3, {"", 0, "#2a7fae", ""});
    page_.add_text({margin + 3, y_ + 3.9}, std::to_string(++sections_),
                   {3.8, TextAt::middle, "#ffffff", true, 0});
    page_.add_text({left(), y_ + 4}, name, {4.4, TextAt::start, "#22262e", true, 0});
    if (*option) {
      const double right = paper_.x() - margin;
      page_.add_text({right - 34, y_ + 4}, option, {3.2, TextAt::end, "#22262e", true, 0});
      page_.add_polygon({{right - 32, y_ - 1.5},
                         {right - 8, y_ - 1.5},
                         {right - 8, y_ + 6},
                         {right - 32, y_ + 6}},
                        frame_line);
      page_.add_text({right, y_ + 4}, "mm", {3.2, TextAt::end, "#22262e", false, 0});
    }
    y_ = page_.add_paragraph({left(), y_ + 7.5}, how, width_ - 9, text_) + 2.5;
  }

  void add_box(double x, double width, double height, const PageStyle& style) {
    page_.add_polygon({{x, y_}, {x + width, y_}, {x + width, y_ + height}, {x, y_ + height}},
                      style);
  }

  void add_thickness() {
    add_section(
        "Thickness", "--thickness",
        "Cut the ten squares, stack them, press by hand, measure the stack and divide by 10.");
    for (int k = 0; k < 10; ++k) add_box(left() + 16.5 * k, 14, 14, cut_line);
    y_ += 14;
  }

  void add_kerf() {
    add_section("Kerf: what the cut takes away", "--kerf",
                "Cut the 100 mm strip along the outside of its outline, then along all nine lines. "
                "Push the ten pieces together and measure their "
                "length L: the kerf is (100 mm - L) / 9.");
    add_box(left(), 100, 18, cut_line);
    for (int k = 1; k < 10; ++k)
      page_.add_line({left() + 10.0 * k, y_}, {left() + 10.0 * k, y_ + 18}, cut_line);
    y_ += 18;
  }

  void add_caution(const char* words) {
    y_ += 1;
    PageText caution = text_;
    caution.colour = "#8a1c14";
    const auto lines = break_lines(words, width_ - 12, text_.size_mm);
    const double height = 4 + static_cast<double>(lines.size()) * text_.size_mm * line_spacing;
    add_box(margin, width_, height, {"", 0, "#fbefec", ""});
    add_box(margin, 1.4, height, {"", 0, "#8a1c14", ""});
    page_.add_paragraph({margin + 6, y_ + 2}, words, width_ - 12, caution);
    y_ += height + 2;
  }

  Page finish(double thickness_mm) {
    add_check_bars(page_, {margin + 9, paper_.y() - 14}, {5, 60});
    page_.add_text({paper_.x() - margin, paper_.y() - 8.5},
                   "for board " + format("%.2f", thickness_mm) + " mm thick",
                   {2.7, TextAt::end, "#5a564f", false, 0});
    return std::move(page_);
  }

 private:
  Vec2 paper_;
  Page page_;
  double width_, y_ = 0;
  PageText text_;
  int sections_ = 0;
};

void add_grain_arrow(Page& page, const Vec2& middle, const Vec2& half) {
  page.add_line(middle - half, middle + half, {"#444444", 0.35, "", ""});
  for (const double s : {-1.0, 1.0})
    for (const double t : {-1.0, 1.0})
      page.add_line(middle + s * half,
                    middle + s * half - 2 * s * half.normalized() +
                        1.2 * t * Vec2(-half.y(), half.x()).normalized(),
                    {"#444444", 0.35, "", ""});
}

constexpr double slot_depth_mm = 22;

/// A bar with slots of these widths from its lower edge, each less `kerf_mm`.
Polygon make_comb(const Vec2& corner, double pitch, const std::vector<double>& widths,
                  double kerf_mm) {
  const double height = slot_depth_mm + 14, length = pitch * static_cast<double>(widths.size());
  Polygon comb{corner, corner + Vec2(length, 0), corner + Vec2(length, height)};
  for (std::size_t k = widths.size(); k-- > 0;) {
    const double half = std::max(0.05, (widths[k] - kerf_mm) / 2),
                 middle = corner.x() + pitch * (static_cast<double>(k) + 0.5),
                 low = corner.y() + height, high = low - slot_depth_mm;
    for (const Vec2& p : {Vec2(middle + half, low), Vec2(middle + half, high),
                          Vec2(middle - half, high), Vec2(middle - half, low)})
      comb.push_back(p);
  }
  comb.push_back(corner + Vec2(0, height));
  return comb;
}

}  // namespace

Page make_coupon_page(const TemplateOptions& options, double thickness_mm,
                      const std::vector<GaugeAngle>& angles) {
  Coupon coupon(options, "Test coupon",
                "Cut, fold and glue this first. Trace it on the board you will "
                "use, cut it as you will cut the parts, and read three numbers. "
                "Give them to the kit, and the template changes with them.");
  coupon.add_thickness();
  coupon.add_kerf();
  coupon.add_section(
      "Fold allowance: the hinge", "--fold-allowance",
      "Score and fold both strips by 90\u00b0 along the dashes and glue the small leg to scrap. "
      "Measure the long leg M over the outside of the fold: the layer that keeps its length lies "
      "M - 60 mm under the outside, and the fold allowance is " +
          format("%.2f", 60 + thickness_mm / 2) +
          " mm - M. One strip runs along the grain, one across: take the one that is as your folds "
          "are, or the mean.");
  Page& page = coupon.page();
  for (const int k : {0, 1}) {
    const double x = coupon.left() + 86.0 * k, y = coupon.y();
    coupon.add_box(x, 82, 30, cut_line);
    page.add_line({x + 60, y}, {x + 60, y + 30}, fold_line);
    page.add_text({x + 30, y + 10}, "60.00 mm to the fold",
                  {3.2, TextAt::middle, "#444444", false, 0});
    page.add_text({x + 71, y + 10}, "glue here", {3.2, TextAt::middle, "#444444", false, 0});
    page.add_text({x + (k == 0 ? 30 : 38), y + (k == 0 ? 24 : 19)}, "grain",
                  {3.2, TextAt::middle, "#444444", false, 0});
    add_grain_arrow(page, {x + 30, y + 18}, k == 0 ? Vec2(12, 0) : Vec2(0, 4));
  }
  coupon.move(30);
  coupon.add_section(
      "Glue", "",
      "Glue two scraps face to face, wait the drying time, pull them apart by hand. Board that "
      "tears before the glue lets go is a good joint. Note the minutes the glue needed: --dry.");
  std::vector<GaugeAngle> folds;
  std::copy_if(angles.begin(), angles.end(), std::back_inserter(folds),
               [](const GaugeAngle& angle) { return angle.is_fold; });
  if (folds.size() > 6) folds.resize(6);
  if (!folds.empty()) {
    coupon.add_section(
        "The folds of this design", "",
        "Fold the strip at each line as far as is written there and hold it against the gauge with "
        "that letter. Board that cracks or will not stay folded is the wrong board.");
    const auto pieces = static_cast<double>(folds.size() + 1);
    const double step = std::min(28.0, coupon.width() / pieces);
    coupon.add_box(coupon.left(), step * pieces, 16, cut_line);
    for (std::size_t f = 0; f < folds.size(); ++f) {
      const double x = coupon.left() + step * static_cast<double>(f + 1), y = coupon.y();
      page.add_line({x, y}, {x, y + 16}, fold_line);
      page.add_text({x - 1.5, y + 6}, folds[f].letter, {4, TextAt::end, "#444444", true, 0});
      page.add_text({x - 1.5, y + 11}, format("%.1f\u00b0", folds[f].through_deg),
                    {3, TextAt::end, "#444444", false, 0});
    }
    coupon.move(18);
  }
  coupon.add_caution(knife_caution);
  return coupon.finish(thickness_mm);
}

std::vector<double> find_coupon_plays(double thickness_mm) {
  // In steps of 0.05 mm for thin board, up to 0.2 mm for thick; a saw's own width may make the
  // best of them less than nothing.
  const double step = std::clamp(std::round(thickness_mm / 60 * 20) / 20, 0.05, 0.2);
  std::vector<double> plays;
  for (int k = -2; k <= 6; ++k) plays.push_back(k * step);
  return plays;
}

Page make_slot_coupon_page(const TemplateOptions& options, double thickness_mm, double play_mm) {
  Coupon coupon(options, "Slot coupon",
                "Cut this before any part, from the board you will use and as you will cut the "
                "parts: a saw, a knife and a laser leave slots of different widths. Read the "
                "numbers and give them to the kit; the template changes with them. Read them again "
                "when a new batch of board comes.");
  coupon.add_thickness();
  coupon.add_kerf();
  const std::vector<double> plays = find_coupon_plays(thickness_mm);
  std::vector<double> widths;
  for (const double play : plays) widths.push_back(thickness_mm + play);
  coupon.add_section(
      "Play: how much wider than the board a slot is", "--slot-play",
      format(
          "Cut the comb. Push the straight edge of a piece of the board into each slot. Yours is "
          "the narrowest that it enters by hand, without a hammer, and in which it still stands "
          "by itself: the number at it is the play. The slots are drawn for board %.2f mm "
          "thick; another board: add what it is thinner, take off what it is thicker. ",
          thickness_mm) +
          (options.kerf_mm > 0
               ? format("Half of the kerf of %.2f mm is taken off each wall, as on the template.",
                        options.kerf_mm)
               : std::string("No kerf is taken off yet: what your cut takes away is in the play, "
                             "and stays there as long as you give the kit no --kerf.")));
  const double pitch = std::max(18.0, thickness_mm + 12);
  const std::size_t a_row = std::min<std::size_t>(
      plays.size(), static_cast<std::size_t>((coupon.page().width_mm() - 2 * margin - 9) / pitch));
  Page& page = coupon.page();
  for (std::size_t from = 0; from < plays.size(); from += a_row) {
    const std::size_t to = std::min(plays.size(), from + a_row);
    page.add_polygon(make_comb({coupon.left(), coupon.y()}, pitch,
                               {widths.begin() + static_cast<std::ptrdiff_t>(from),
                                widths.begin() + static_cast<std::ptrdiff_t>(to)},
                               options.kerf_mm),
                     cut_line);
    for (std::size_t k = from; k < to; ++k)
      page.add_text({coupon.left() + pitch * (static_cast<double>(k - from) + 0.5), coupon.y() + 8},
                    format("%.2f", plays[k]), {3.4, TextAt::middle, "#22262e", plays[k] == 0, 0});
    coupon.move(slot_depth_mm + 18);
  }
  coupon.move(-4);
  coupon.add_section(
      "Two halves of a joint", "",
      format("Cut both pieces, slotted for a play of %.2f mm, and push them into each other at a "
             "right angle. Both bottoms should touch and the edges lie even. Pull them apart "
             "again before you glue anything.",
             play_mm));
  for (const int k : {0, 1}) {
    const double width = std::max(0.1, thickness_mm + play_mm - options.kerf_mm),
                 x = coupon.left() + 86.0 * k, y = coupon.y(), height = 32, length = 70,
                 deep = height / 2 + (play_mm - options.kerf_mm) / 2, middle = x + length / 2;
    // One is slotted from above, the other from below.
    const double mouth = k == 0 ? y : y + height, bottom = k == 0 ? y + deep : y + height - deep;
    Polygon piece{{x, y}};
    if (k == 0)
      for (const Vec2& p : {Vec2(middle - width / 2, mouth), Vec2(middle - width / 2, bottom),
                            Vec2(middle + width / 2, bottom), Vec2(middle + width / 2, mouth)})
        piece.push_back(p);
    piece.push_back({x + length, y});
    piece.push_back({x + length, y + height});
    if (k == 1)
      for (const Vec2& p : {Vec2(middle + width / 2, mouth), Vec2(middle + width / 2, bottom),
                            Vec2(middle - width / 2, bottom), Vec2(middle - width / 2, mouth)})
        piece.push_back(p);
    piece.push_back({x, y + height});
    page.add_polygon(piece, cut_line);
    page.add_text({x + 16, y + height / 2 + 1.4}, k == 0 ? "A1" : "A2",
                  {4, TextAt::middle, "#22262e", true, 0});
  }
  coupon.move(34);
  coupon.add_caution(knife_caution);
  return coupon.finish(thickness_mm);
}

}  // namespace sixtyfold
