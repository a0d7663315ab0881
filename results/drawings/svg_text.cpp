#include "results/drawings/svg_text.h"

#include <cassert>
#include <cmath>
#include <cstdio>
#include <utility>

#include "results/drawings/markup_text.h"

namespace sixtyfold {

std::string write_number(double value) {
  assert(std::isfinite(value));
  char text[340];
  std::snprintf(text, sizeof text, "%.2f", value);
  std::string trimmed = text;
  while (trimmed.back() == '0') trimmed.pop_back();
  if (trimmed.back() == '.') trimmed.pop_back();
  return trimmed == "-0" ? "0" : trimmed;
}

std::string write_path_data(const std::vector<Polygon>& rings, double unit_mm) {
  std::string data;
  long pen_x = 0, pen_y = 0;  // where the pen stands after closing a ring
  for (const Polygon& ring : rings) {
    std::vector<std::pair<long, long>> points;
    for (const Vec2& p : ring) {
      const std::pair<long, long> point{std::lround(p.x() / unit_mm), std::lround(p.y() / unit_mm)};
      if (points.empty() || points.back() != point) points.push_back(point);
    }
    while (points.size() > 1 && points.front() == points.back()) points.pop_back();
    if (points.size() < 3) continue;
    long x = pen_x, y = pen_y;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const long dx = points[i].first - x, dy = points[i].second - y;
      if (i == 0) data += data.empty() ? 'M' : 'm';
      if (i == 1) data += 'l';
      if (i >= 2 && dx >= 0) data += ' ';
      data += std::to_string(dx);
      if (dy >= 0) data += ' ';
      data += std::to_string(dy);
      x = points[i].first;
      y = points[i].second;
    }
    data += 'z';
    pen_x = points[0].first;
    pen_y = points[0].second;
  }
  return data;
}

std::string write_text(const Vec2& at, double size_mm, const std::string& attributes,
                       const std::string& plain) {
  return "<text x=\"" + write_number(at.x()) + "\" y=\"" + write_number(at.y()) +
         "\" font-size=\"" + write_number(size_mm) + "\" " + attributes + ">" +
         make_markup_text(plain) + "</text>\n";
}

std::string write_svg_head(const Vec2& size_mm, const std::string& title,
                           const std::string& description) {
  const std::string width = write_number(size_mm.x()), height = write_number(size_mm.y());
  return "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"no\"?>\n" +
         std::string(svg_document_type) +
         "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"" + width +
         "mm\" height=\"" + height + "mm\" viewBox=\"0 0 " + width + " " + height + "\">\n<title>" +
         make_markup_text(title) + "</title>\n<desc>" + make_markup_text(description, 1000) +
         "</desc>\n";
}

}  // namespace sixtyfold
