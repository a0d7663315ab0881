#pragma once
// Pages that fill from the top, as every document of the kit is set: titles, paragraphs, facts,
// tables, cautions. A new page is begun when the next thing does not fit.

#include <string>
#include <utility>
#include <vector>

#include "results/drawings/page.h"

namespace sixtyfold {

inline constexpr const char* page_ink = "#22262e";
inline constexpr const char* page_quiet = "#5a564f";
inline constexpr const char* page_accent = "#2a7fae";
inline constexpr const char* page_caution = "#8a1c14";

class PageFlow {
 public:
  /// Upright or lying paper; the footer stands on every page, with the page number.
  PageFlow(const Vec2& paper_mm, std::string footer);

  double left() const { return margin_; }
  double right() const { return paper_.x() - margin_; }
  double width() const { return paper_.x() - 2 * margin_; }
  double bottom() const { return paper_.y() - 17; }
  double y() const { return y_; }
  Page& page() { return pages_.back(); }

  /// Room of this height, on a new page when need be; returns its top.
  double take(double height_mm);
  /// Begins a new page when less than this height is left.
  void keep(double height_mm);
  /// Empty room, none at the top of a page.
  void skip(double height_mm);

  /// Large, with a quiet line under it and a rule across the page.
  void title(const std::string& text, const std::string& under);
  void heading(const std::string& text);
  void subheading(const std::string& text);
  void paragraph(const std::string& text, const char* colour = page_ink);
  /// With a hanging bullet, or what stands in its place, such as "1.".
  void point(const std::string& text, const std::string& mark = "");
  /// Small and quiet: sources and assumptions.
  void remark(const std::string& text);
  /// In a box with a bar, so that nobody misses it.
  void cautions(const std::vector<std::string>& sentences);
  /// Numbers a reader looks for first: large value, small name, side by side.
  void facts(const std::vector<std::pair<std::string, std::string>>& values_and_names);
  /// The first row is the head. Columns in parts of the width; cells break into lines.
  void table(const std::vector<double>& column_shares,
             const std::vector<std::vector<std::string>>& rows, int strong_row = -1);

  /// The pages with their footers.
  std::vector<Page> finish();

 private:
  void begin();
  void text_block(const std::string& text, double indent_mm, const PageText& how, double below_mm);

  Vec2 paper_;
  std::string footer_;
  std::vector<Page> pages_;
  double margin_ = 16, y_ = 0;
};

}  // namespace sixtyfold
