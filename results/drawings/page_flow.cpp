#include "results/drawings/page_flow.h"

#include <algorithm>

#include "results/drawings/text_width.h"

namespace sixtyfold {

namespace {

constexpr double body_size = 3.5, top = 16;

PageText make_text(double size, const char* colour = page_ink, bool bold = false) {
  PageText how;
  how.size_mm = size, how.colour = colour, how.bold = bold;
  return how;
}

Polygon make_box(double left, double low, double right, double high) {
  return {{left, low}, {right, low}, {right, high}, {left, high}};
}

}  // namespace

PageFlow::PageFlow(const Vec2& paper_mm, std::string footer)
    : paper_(paper_mm), footer_(std::move(footer)) {
  begin();
}

void PageFlow::begin() {
  pages_.emplace_back(paper_.x(), paper_.y());
  y_ = top;
}

double PageFlow::take(double height_mm) {
  keep(height_mm);
  const double start = y_;
  y_ += height_mm;
  return start;
}

void PageFlow::keep(double height_mm) {
  if (y_ + height_mm > bottom() && y_ > top) begin();
}

void PageFlow::skip(double height_mm) {
  if (y_ > top) y_ += height_mm;
}

void PageFlow::title(const std::string& text, const std::string& under) {
  const double start = take(21);
  double size = 9;
  while (size > 4 && measure_text_width(text, size, true) > width()) size -= 0.25;
  page().add_text({left(), start + 8.5}, text, make_text(size, page_ink, true));
  page().add_text({left(), start + 14.5}, under, make_text(4, page_quiet));
  page().add_line({left(), start + 18}, {right(), start + 18}, {page_accent, 0.8, "", ""});
}

void PageFlow::heading(const std::string& text) {
  keep(40);
  skip(4);
  const double start = take(9);
  page().add_text({left(), start + 6}, text, make_text(5.4, page_accent, true));
}

void PageFlow::subheading(const std::string& text) {
  keep(22);
  skip(1.5);
  const double start = take(6.5);
  page().add_text({left(), start + 4.6}, text, make_text(4, page_ink, true));
}

void PageFlow::text_block(const std::string& text, double indent_mm, const PageText& how,
                          double below_mm) {
  const std::vector<std::string> lines =
      break_lines(text, width() - indent_mm, how.size_mm, how.bold);
  // Short paragraphs stay together; long ones may break.
  if (lines.size() <= 6) keep(static_cast<double>(lines.size()) * how.size_mm * line_spacing);
  for (const std::string& line : lines) {
    const double start = take(how.size_mm * line_spacing);
    page().add_text({left() + indent_mm, start + how.size_mm}, line, how);
  }
  y_ += below_mm;
}

void PageFlow::paragraph(const std::string& text, const char* colour) {
  text_block(text, 0, make_text(body_size, colour), 1.8);
}

void PageFlow::point(const std::string& text, const std::string& mark) {
  const auto lines = break_lines(text, width() - 5, body_size);
  keep(static_cast<double>(std::min<std::size_t>(lines.size(), 6)) * body_size * line_spacing);
  if (mark.empty())
    page().add_circle({left() + 1.6, y_ + 0.66 * body_size}, 0.65, {"", 0, page_accent, ""});
  else
    page().add_text({left(), y_ + body_size}, mark,
                    {body_size, TextAt::start, page_accent, true, 0});
  text_block(text, 5, make_text(body_size), 1);
}

void PageFlow::remark(const std::string& text) {
  text_block(text, 0, make_text(2.8, page_quiet), 1.4);
}

void PageFlow::cautions(const std::vector<std::string>& sentences) {
  const PageText how = make_text(3.2, page_caution);
  std::vector<std::string> lines;
  for (const std::string& sentence : sentences)
    for (const std::string& line : break_lines(sentence, width() - 12, how.size_mm))
      lines.push_back(line);
  const double line_mm = how.size_mm * line_spacing,
               whole = 5 + static_cast<double>(lines.size()) * line_mm;
  if (whole < bottom() - top) keep(whole);
  for (std::size_t next = 0; next < lines.size();) {
    if (bottom() - y_ < 4 * line_mm + 5) begin();
    const std::size_t most = static_cast<std::size_t>((bottom() - y_ - 4) / line_mm);
    const std::size_t count = std::min(most, lines.size() - next);
    const double height = 4 + static_cast<double>(count) * line_mm, start = take(height);
    page().add_polygon(make_box(left(), start, right(), start + height), {"", 0, "#fbefec", ""});
    page().add_polygon(make_box(left(), start, left() + 1.4, start + height),
                       {"", 0, page_caution, ""});
    for (std::size_t k = 0; k < count; ++k)
      page().add_text({left() + 6, start + 2 + static_cast<double>(k) * line_mm + how.size_mm},
                      lines[next + k], how);
    next += count;
  }
  y_ += 2.5;
}

void PageFlow::facts(const std::vector<std::pair<std::string, std::string>>& values_and_names) {
  const double start = take(17),
               cell =
                   width() / static_cast<double>(std::max<std::size_t>(1, values_and_names.size()));
  page().add_polygon(make_box(left(), start, right(), start + 15), {"", 0, "#f4f1e8", ""});
  for (std::size_t k = 0; k < values_and_names.size(); ++k) {
    const auto& [value, name] = values_and_names[k];
    const double middle = left() + (static_cast<double>(k) + 0.5) * cell;
    double size = 5.6;
    while (size > 2 && measure_text_width(value, size, true) > cell - 2) size -= 0.2;
    PageText how = make_text(size, page_ink, true);
    how.at = TextAt::middle;
    page().add_text({middle, start + 7.4}, value, how);
    size = 2.8;
    while (size > 1.5 && measure_text_width(name, size) > cell - 2) size -= 0.1;
    how = make_text(size, page_quiet);
    how.at = TextAt::middle;
    page().add_text({middle, start + 12}, name, how);
  }
}

void PageFlow::table(const std::vector<double>& column_shares,
                     const std::vector<std::vector<std::string>>& rows, int strong_row) {
  double sum = 0;
  for (const double share : column_shares) sum += share;
  const double size = 3.1, line_mm = size * line_spacing;
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const bool bold = r == 0 || static_cast<int>(r) == strong_row;
    std::vector<std::vector<std::string>> cells;
    std::size_t most = 1;
    for (std::size_t c = 0; c < rows[r].size(); ++c) {
      cells.push_back(break_lines(rows[r][c], width() * column_shares[c] / sum - 3, size, bold));
      most = std::max(most, cells.back().size());
    }
    const double height = static_cast<double>(most) * line_mm + 2, start = take(height);
    if (static_cast<int>(r) == strong_row)
      page().add_polygon(make_box(left(), start, right(), start + height), {"", 0, "#e6f0f5", ""});
    double x = left() + 1.5;
    for (std::size_t c = 0; c < cells.size(); ++c) {
      for (std::size_t k = 0; k < cells[c].size(); ++k)
        page().add_text({x, start + 1 + static_cast<double>(k) * line_mm + size}, cells[c][k],
                        make_text(size, r == 0 ? page_quiet : page_ink, bold));
      x += width() * column_shares[c] / sum;
    }
    page().add_line({left(), start + height}, {right(), start + height},
                    {r == 0 ? page_quiet : "#d8d2c4", r == 0 ? 0.3 : 0.2, "", ""});
  }
  y_ += 2.5;
}

std::vector<Page> PageFlow::finish() {
  for (std::size_t k = 0; k < pages_.size(); ++k) {
    PageText how = make_text(2.7, page_quiet);
    pages_[k].add_text({left(), paper_.y() - 8.5}, footer_, how);
    how.at = TextAt::end;
    pages_[k].add_text({right(), paper_.y() - 8.5},
                       "page " + std::to_string(k + 1) + " of " + std::to_string(pages_.size()),
                       how);
  }
  return pages_;
}

}  // namespace sixtyfold
