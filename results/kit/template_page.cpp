#include <algorithm>
#include <cmath>

#include "results/drawings/text_width.h"
#include "results/kit/template_parts.h"

namespace sixtyfold {

Page make_template_page(const TemplateDrawing& given) {
  const TemplateDrawing drawing = lay_across(given);
  const Box box = measure_drawing_box(drawing);
  // Print grows with the sheet, so that it can be read on a wall.
  const double scale = std::clamp(box.size().x() / 260, 1.0, 3.0), margin = 18;
  const double width = std::max(box.size().x() + 2 * margin, 190.0), inner = width - 2 * margin;
  PageText text;
  text.size_mm = 3.1 * scale;
  std::vector<std::string> sentences = find_reading_lines(drawing);
  double foot = 18 * scale + 16;
  sentences.push_back(knife_caution);
  for (const std::string& sentence : sentences)
    foot += static_cast<double>(break_lines(sentence, inner, text.size_mm).size()) * text.size_mm *
            line_spacing;
  const double height = std::max(box.size().y(), 110.0) + 2 * margin + foot;
  Page page(std::ceil(width), std::ceil(height));
  page.add_polygon(
      {{0, 0}, {page.width_mm(), 0}, {page.width_mm(), page.height_mm()}, {0, page.height_mm()}},
      {"", 0, "#ffffff", ""});
  const double left = (page.width_mm() - box.size().x()) / 2;
  draw_part(page, drawing, {{left - box.low.x(), margin + box.high.y()}, 1});
  const double y = page.height_mm() - foot;
  page.add_line({margin, y - 4}, {page.width_mm() - margin, y - 4}, {"#2a7fae", 0.8, "", ""});
  PageText title;
  title.size_mm = 6 * scale;
  title.bold = true;
  page.add_text({margin, y + 5 * scale}, drawing.name, title);
  page.add_text({margin, y + 11 * scale},
                "scale 1 : 1  \u00b7  design " + drawing.hash + "  \u00b7  " + drawing.note, text);
  double line = y + 12.5 * scale;
  for (std::size_t k = 0; k < sentences.size(); ++k) {
    if (k + 1 == sentences.size()) text.colour = "#8a1c14";
    line = page.add_paragraph({margin, line}, sentences[k], inner, text);
  }
  add_check_bars(page, {margin, page.height_mm() - 10}, {4, margin});
  return page;
}

}  // namespace sixtyfold
