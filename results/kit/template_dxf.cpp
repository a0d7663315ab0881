#include <cmath>

#include "engine/text.h"
#include "results/drawings/dxf.h"
#include "results/kit/template_parts.h"

namespace sixtyfold {

std::string make_template_dxf(const TemplateDrawing& drawing) {
  Dxf dxf("sixtyfold template, millimetres, seen on the outside face, design " + drawing.hash,
          {{"CUT", 7}, {"FOLD", 1}, {"MARK", 3}}, measure_drawing_box(drawing));
  for (const Polygon& ring : drawing.cut_mm) dxf.add_ring("CUT", ring);
  for (const TemplateDrawing::Line& line : drawing.lines)
    dxf.add_line(line.is_fold ? "FOLD" : "MARK", line.from, line.to);
  for (const Vec2& p : drawing.pricks_mm) dxf.add_circle("MARK", p, 1);
  for (const auto& [where, letter] : drawing.letters) dxf.add_text("MARK", where, 6, letter);
  for (const TemplateDrawing::HangingHole& hole : drawing.holes) {
    dxf.add_circle("MARK", hole.middle, 5);
    dxf.add_text("MARK", hole.middle + Vec2(7, -1.5), 3, hole.panels + " only");
  }
  using Mark = TemplateDrawing::Mark;
  for (const TemplateDrawing::Line& line : drawing.lines) {
    if (line.mark == Mark::end || line.mark == Mark::middle) continue;
    const Vec2 along = (line.to - line.from).normalized();
    const std::string face = line.side > 0 ? "" : " OTHER FACE";
    dxf.add_text("MARK", (line.from + line.to) / 2 + 2 * Vec2(-along.y(), along.x()), 3,
                 line.is_fold ? (line.side > 0 ? "UP " : "DOWN ") + format("%.0f", line.angle_deg)
                 : line.mark == Mark::crease    ? "CREASE " + line.letter + face
                 : line.mark == Mark::free_edge ? "FREE EDGE " + line.letter + face
                                                : "EDGE " + line.letter + " STANDS HERE" + face);
  }
  return dxf.finish();
}

}  // namespace sixtyfold
