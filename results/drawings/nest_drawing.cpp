#include "results/drawings/nest_drawing.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "engine/nest/sheet_filler.h"
#include "engine/shape/hub.h"
#include "engine/text.h"
#include "results/drawings/page.h"
#include "results/drawings/palette.h"
#include "results/drawings/text_width.h"

namespace sixtyfold {

namespace {

constexpr double border_mm = 14, least_head_mm = 25, fault_line_mm = 4.4, caption_mm = 9,
                 foot_mm = 19;
constexpr double widest_mm = 262;  // what fits an A4 page lying, with borders

/// Smallest round reduction at which the sheet fits the page.
int find_reduction(const Sheet& sheet) {
  for (const int reduction : {1, 2, 5, 10, 20, 50, 100, 200})
    if (sheet.long_mm / reduction <= widest_mm) return reduction;
  return 500;
}

class SheetDrawing {
 public:
  SheetDrawing(const Nest& nest, const NestDrawing& drawing)
      : nest_(nest), drawing_(drawing), reduction_(find_reduction(nest.sheet)) {}

  std::string draw() {
    const bool has_last = nest_.sheets > 0 && nest_.parts_on_last_sheet < nest_.parts_per_sheet;
    const double width = std::max(120.0, paper(nest_.sheet.long_mm)) + 2 * border_mm;
    std::vector<std::string> fault_lines;
    for (const std::string& fault : drawing_.faults)
      for (const std::string& text :
           break_lines("Not within its limits: " + fault + ".", width - 2 * border_mm, 3.4))
        fault_lines.push_back(text);
    const double head_mm = least_head_mm + fault_line_mm * static_cast<double>(fault_lines.size());
    const double one = paper(nest_.sheet.short_mm) + caption_mm + 9;
    const int drawn = nest_.sheets > 1 && has_last ? 2 : 1;
    const Vec2 size{width, border_mm + head_mm + drawn * one + foot_mm};
    const std::string title = drawing_.title.empty() ? "Nest" : drawing_.title + ": sheets";
    Page page(size, title, summary());
    page.add_ground(paper_colour);
    page.add_text({border_mm, border_mm + 6}, title, {6.4, TextAt::start, ink_colour, true});
    page.add_text({border_mm, border_mm + 12.4}, summary(), quiet(3.9));
    page.add_text({border_mm, border_mm + 17.6}, drawing_.material, quiet(3.4));
    double line_y = border_mm + 17.6;
    for (const std::string& text : fault_lines)
      page.add_text({border_mm, line_y += fault_line_mm}, text, {3.4, TextAt::start, "#8a1c14"});
    double top = border_mm + head_mm;
    if (nest_.sheets > 1 || !has_last) {
      const int full = has_last ? nest_.sheets - 1 : nest_.sheets;
      draw_sheet(page, top, nest_.placements.size(), nest_.offcuts_mm,
                 full == 0
                     ? std::string("An empty sheet")
                     : "Cut " + count_of(full, "sheet", "sheets") +
                           " like this: " + count_of(nest_.parts_per_sheet, "part", "parts") +
                           format(", %.0f %% of the sheet used", 100 * nest_.full_utilisation));
      top += one;
    }
    if (has_last)
      draw_sheet(page, top, static_cast<std::size_t>(nest_.parts_on_last_sheet),
                 nest_.last_offcuts_mm,
                 (nest_.sheets > 1 ? "And the last sheet: " : "Cut one sheet: ") +
                     count_of(nest_.parts_on_last_sheet, "part", "parts"));
    draw_foot(page, size);
    return page.to_svg();
  }

 private:
  double paper(double mm) const { return mm / reduction_; }

  static PageText quiet(double size_mm, TextAt at = TextAt::start, bool upright = false) {
    return {size_mm, at, quiet_ink, false, upright ? -90.0 : 0.0};
  }

  std::string summary() const {
    const Sheet& sheet = nest_.sheet;
    if (nest_.sheets == 0)
      return format("The part does not fit a sheet of %g \u00d7 %g mm", sheet.short_mm,
                    sheet.long_mm);
    std::string text = count_of(nest_.copies, "part", "parts") + " from " +
                       count_of(nest_.sheets, "sheet", "sheets") +
                       format(" of %g \u00d7 %g mm", sheet.short_mm, sheet.long_mm);
    return text + format("; %.0f %% of all board used", 100 * nest_.utilisation);
  }

  /// From the sheet, y upwards, to the page.
  Vec2 to_page(const Vec2& p, double top) const {
    return {border_mm + paper(p.x()), top + paper(nest_.sheet.short_mm - p.y())};
  }

  Polygon to_page(Polygon polygon, double top) const {
    for (Vec2& p : polygon) p = to_page(p, top);
    return polygon;
  }

  Box to_page(const Box& area, double top) const {
    const Vec2 corner = to_page(Vec2(area.low.x(), area.high.y()), top);
    return {corner, corner + area.size() / reduction_};
  }

  void draw_sheet(Page& page, double caption_top, std::size_t parts,
                  const std::vector<Box>& offcuts, const std::string& caption) const {
    const Sheet& sheet = nest_.sheet;
    const double top = caption_top + caption_mm;
    page.add_text({border_mm, caption_top + 4}, caption, {4.4, TextAt::start, ink_colour, true});
    const Box whole{Vec2::Zero(), {sheet.long_mm, sheet.short_mm}};
    page.add_box(to_page(whole, top), {ink_colour, 0.4, "#efe3cb"});
    draw_grain(page, top);
    if (sheet.grain != Grain::none) draw_grain_arrow(page, top);
    for (const Box& offcut : offcuts) draw_offcut(page, offcut, top);
    const Vec2 margin = Vec2::Constant(sheet.edge_margin_mm);
    if (sheet.edge_margin_mm > 0)
      page.add_box(to_page(Box{whole.low + margin, whole.high - margin}, top),
                   {quiet_ink, 0.12, "", "1.2 1"});
    for (const auto& [a, b] : find_first_cuts())
      page.add_line(to_page(a, top), to_page(b, top), {"#d2522a", 0.5, "", "4 1.5"});
    for (std::size_t i = 0; i < parts; ++i) draw_part(page, i, top);
    // Sizes along two sides.
    page.add_text({border_mm + paper(sheet.long_mm) / 2, top + paper(sheet.short_mm) + 5},
                  format("%g mm", sheet.long_mm), quiet(3.4, TextAt::middle));
    page.add_text({border_mm - 2.2, top + paper(sheet.short_mm) / 2},
                  format("%g mm", sheet.short_mm), quiet(3.4, TextAt::middle, true));
  }

  std::vector<std::pair<Vec2, Vec2>> find_first_cuts() const {
    const double x = nest_.sheet.long_mm, y = nest_.sheet.short_mm;
    std::vector<std::pair<Vec2, Vec2>> cuts;
    if (nest_.first_cut != FirstCut::none) cuts.push_back({{x / 2, 0}, {x / 2, y}});
    if (nest_.first_cut == FirstCut::quarters) cuts.push_back({{0, y / 2}, {x, y / 2}});
    return cuts;
  }

  /// Fine lines the way the grain runs.
  void draw_grain(Page& page, double top) const {
    const Sheet& sheet = nest_.sheet;
    if (sheet.grain == Grain::none) return;
    const bool along = sheet.grain == Grain::along_long_side;
    const double side = along ? sheet.short_mm : sheet.long_mm, step = 3.2 * reduction_;
    for (double at = step; at < side - step / 3; at += step) {
      const Vec2 from = along ? Vec2(0, at) : Vec2(at, 0);
      const Vec2 to = along ? Vec2(sheet.long_mm, at) : Vec2(at, sheet.short_mm);
      page.add_line(to_page(from, top), to_page(to, top), {"#c9b48a", 0.16});
    }
  }

  /// Above the sheet's right end, pointing both ways.
  void draw_grain_arrow(Page& page, double top) const {
    const double right = border_mm + paper(nest_.sheet.long_mm);
    const bool along = nest_.sheet.grain == Grain::along_long_side;
    const Vec2 middle{right - (along ? 8 : 2), top - 4};
    const Vec2 half = along ? Vec2{8, 0} : Vec2{0, 3}, side = along ? Vec2{0, 1} : Vec2{1, 0};
    const PageStyle stroke{ink_colour, 0.3};
    page.add_line(middle - half, middle + half, stroke);
    for (const double sign : {-1.0, 1.0})
      for (const double to : {-0.9, 0.9})
        page.add_line(middle + sign * half,
                      middle + sign * half.normalized() * (half.norm() - 1.6) + to * side, stroke);
    const double text_right = middle.x() - (along ? half.x() : 0) - 2;
    page.add_text({text_right, top - 3}, "grain", quiet(3.2, TextAt::end));
  }

  void draw_offcut(Page& page, const Box& offcut, double top) const {
    page.add_box(to_page(offcut, top), {quiet_ink, 0.2, paper_colour, "2 1", false, 0.75});
    const Vec2 middle = to_page((offcut.low + offcut.high) / 2, top);
    const double width = paper(offcut.size().x()), height = paper(offcut.size().y());
    const std::string words = format("%.0f \u00d7 %.0f", offcut.size().x(), offcut.size().y());
    const double text_width = 0.55 * 2.7 * static_cast<double>(words.size());
    if (std::max(width, height) < text_width || std::min(width, height) < 3.6) return;
    const bool upright = width < text_width;
    page.add_text(middle + (upright ? Vec2{1, 0} : Vec2{0, 1}), words,
                  quiet(2.7, TextAt::middle, upright));
  }

  void draw_part(Page& page, std::size_t i, double top) const {
    const Placement& placement = nest_.placements[i];
    std::vector<Polygon> rings{to_page(placement.place(drawing_.outline_mm), top)};
    for (const Polygon& hole : drawing_.holes_mm)
      rings.push_back(to_page(placement.place(hole), top));
    const bool far = std::cos(placement.rotation_rad - nest_.placements[0].rotation_rad) < 0;
    const std::string fill = placement.turned_over ? "#ecd9a6" : far ? "#a9cbdc" : "#6ca6c6";
    page.add_fine(rings, {"#173a52", 0.22, fill});
    const Attitude attitude{placement.rotation_rad, placement.turned_over};
    const auto place = [&](const Vec2& p) {
      return to_page(placement.position_mm + attitude.apply(p), top);
    };
    for (const auto& [from, to] : drawing_.folds_mm)
      page.add_line(place(from), place(to), {"#173a52", 0.14, "", "0.9 0.6"});
    for (std::size_t k = 0; k < drawing_.blank_mm.size(); ++k)
      page.add_line(place(drawing_.blank_mm[k]),
                    place(drawing_.blank_mm[(k + 1) % drawing_.blank_mm.size()]),
                    {"#d2522a", 0.3, "", "2 1"});
    // The same corner of every part, drawn in towards where the number stands.
    std::vector<Polygon> borders{drawing_.outline_mm};
    borders.insert(borders.end(), drawing_.holes_mm.begin(), drawing_.holes_mm.end());
    const auto [seat, room_there] = find_roomiest_spot(borders);
    const double room = paper(room_there);
    const Vec2 middle = place(seat);
    const double size = std::clamp(1.1 * room, 1.3, 4.2);
    if (size <= 1.9 * room)
      page.add_text(middle + Vec2{0, 0.36 * size}, std::to_string(i + 1),
                    {size, TextAt::middle, "#0d2231"});
    page.add_circle(place(drawing_.outline_mm[0] + 0.12 * (seat - drawing_.outline_mm[0])), 0.45,
                    {"", 0, "#d2522a"});
  }

  void draw_foot(Page& page, const Vec2& size) const {
    const double y = size.y() - border_mm + 1;
    const Sheet& sheet = nest_.sheet;
    std::string legend = "The dot marks the same corner of every part.";
    if (!drawing_.blank_mm.empty()) legend = "Red dashes: cut the blanks apart. " + legend;
    if (sheet.grain != Grain::none) legend = "Fine lines show the grain. " + legend;
    const bool some_turned = std::any_of(nest_.placements.begin(), nest_.placements.end(),
                                         [](const Placement& p) { return p.turned_over; });
    if (some_turned) legend += " Yellow parts lie turned over.";
    if (nest_.first_cut != FirstCut::none) legend += " Cut along the red line first.";
    const std::string distances =
        drawing_.blank_mm.empty() ? format("Parts stay %g mm apart and %g mm from the edges.",
                                           sheet.gap_mm, sheet.edge_margin_mm)
                                  : format("Blanks lie edge to edge, %g mm from the sheet's edges.",
                                           sheet.edge_margin_mm);
    page.add_text({border_mm, y - 5}, format("Scale 1:%d. ", reduction_) + distances, quiet(2.9));
    page.add_text({border_mm, y}, legend, quiet(2.9));
    // A bar of a round length, about a seventh of the sheet.
    const double wanted = sheet.long_mm / 7;
    double length = std::pow(10, std::floor(std::log10(wanted)));
    for (const double factor : {5.0, 2.0})
      if (length * factor <= wanted) {
        length *= factor;
        break;
      }
    const double right = size.x() - border_mm, left = right - paper(length);
    for (const auto& [x0, x1, h] :
         {std::tuple{left, right, 0.0}, {left, left, 1.0}, {right, right, 1.0}})
      page.add_line({x0, y - 1 - h}, {x1, y - 1 + h}, {ink_colour, 0.3});
    page.add_text({(left + right) / 2, y - 3}, format("%g mm", length), quiet(2.9, TextAt::middle));
  }

  const Nest& nest_;
  const NestDrawing& drawing_;
  int reduction_;
};

}  // namespace

std::string make_nest_svg(const Nest& nest, const NestDrawing& drawing) {
  return SheetDrawing(nest, drawing).draw();
}

}  // namespace sixtyfold
