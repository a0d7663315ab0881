#include "results/reports/report_page.h"

#include "results/drawings/svg_text.h"

namespace sixtyfold {

std::string embed_drawing(const std::string& document, const std::string& prefix, const Vec2& at,
                          const Vec2& size) {
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
  const std::string width = write_number(size.x()), height = write_number(size.y());
  return "<svg x=\"" + write_number(at.x()) + "\" y=\"" + write_number(at.y()) + "\" width=\"" +
         width + "\" height=\"" + height + "\" viewBox=\"0 0 " + width + " " + height + "\">\n" +
         inside + "</svg>\n";
}

std::string ink(const char* colour, const char* more) {
  return std::string("fill=\"") + colour + "\"" + more;
}

}  // namespace sixtyfold
