#include "results/voting/slips.h"

#include <algorithm>
#include <cmath>

#include "results/drawings/page_flow.h"
#include "results/drawings/text_width.h"

namespace sixtyfold {
namespace {

constexpr double margin_mm = 8, slip_height_mm = 40;

/// The largest size, at most `largest_mm`, at which the text is no wider than this.
double find_size(const std::string& text, double width_mm, double largest_mm) {
  return std::min(largest_mm, width_mm / measure_text_width(text, 1, true));
}

void draw_slip(Page& page, const SlipSheet& sheet, const std::string& code, const Box& box,
               const SquareCode& square) {
  constexpr double inset_mm = 3.5, square_mm = 33;
  const Vec2 corner = box.low + Vec2(inset_mm, inset_mm);
  add_square_code(page, square, {corner.x() - 1.5, corner.y()}, square_mm);
  const double left = corner.x() + square_mm + 1.5, right = box.high.x() - inset_mm;
  const double width = right - left;
  double y = corner.y() + 3.6;
  const std::vector<std::string> title = break_lines(sheet.title, width, 3.2, true);
  for (std::size_t i = 0; i < std::min<std::size_t>(2, title.size()); ++i) {
    const bool is_cut = i == 1 && title.size() > 2;
    page.add_text({left, y}, title[i] + (is_cut ? " \u2026" : ""),
                  {find_size(title[i], width, 3.2), TextAt::start, page_ink, true});
    y += 4.1;
  }
  const std::string shown = write_slip_code(code);
  const double size = find_size(shown, width, 9.2);
  page.add_text({left, box.low.y() + 19.4}, shown, {size, TextAt::start, "#000000", true});
  const std::string address = sheet.address.substr(sheet.address.find("//") + 2);
  page.add_text({left, box.low.y() + 25.2}, address,
                {find_size(address, width, 3.7), TextAt::start, page_ink, true});
  page.add_paragraph({left, box.low.y() + 26.9}, sheet.words.say("slip_code_how"), width,
                     {2.4, TextAt::start, page_quiet});
}

}  // namespace

std::string write_slip_code(const std::string& code) {
  return code.substr(0, code.size() / 2) + "-" + code.substr(code.size() / 2);
}

std::string find_slip_address(const std::string& address, const std::string& code) {
  return address + "/#" + code;
}

std::string make_slips_pdf(const SlipSheet& sheet,
                           const std::function<SquareCode(const std::string&)>& make_code) {
  const double width = (sheet.paper_mm.x() - 2 * margin_mm) / 2;
  const int rows =
      static_cast<int>(std::floor((sheet.paper_mm.y() - 2 * margin_mm) / slip_height_mm));
  const Vec2 corner{margin_mm, (sheet.paper_mm.y() - rows * slip_height_mm) / 2};
  const PageStyle cut{"#777777", 0.2, "", "2 1.6"};
  std::vector<Page> pages;
  const auto all = sheet.codes.size();
  for (std::size_t first = 0; first < all; first += 2 * static_cast<std::size_t>(rows)) {
    Page page(sheet.paper_mm.x(), sheet.paper_mm.y());
    const std::size_t here = std::min(all - first, 2 * static_cast<std::size_t>(rows));
    const double used = std::ceil(static_cast<double>(here) / 2) * slip_height_mm;
    for (std::size_t i = 0; i < here; ++i) {
      const Vec2 low =
          corner + Vec2(i % 2 == 0 ? 0 : width, static_cast<double>(i / 2) * slip_height_mm);
      const std::string& code = sheet.codes[first + i];
      draw_slip(page, sheet, code, {low, low + Vec2(width, slip_height_mm)},
                make_code(find_slip_address(sheet.address, code)));
    }
    // Cut lines run a little over the slips, so that a guillotine finds them.
    constexpr double over_mm = 4;
    for (double y = 0; y <= used + 1e-9; y += slip_height_mm)
      page.add_line(corner + Vec2(-over_mm, y), corner + Vec2(2 * width + over_mm, y), cut);
    for (const double x : {0.0, width, 2 * width})
      page.add_line(corner + Vec2(x, -over_mm), corner + Vec2(x, used + over_mm), cut);
    pages.push_back(std::move(page));
  }
  return make_pdf(pages);
}

}  // namespace sixtyfold
