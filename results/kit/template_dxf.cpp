#include <cmath>

#include "engine/text.h"
#include "results/kit/template_parts.h"

namespace sixtyfold {

std::string make_template_dxf(const TemplateDrawing& drawing) {
  std::string out;
  const auto pair = [&out](int code, const std::string& value) {
    out += (code < 10 ? "  " : code < 100 ? " " : "") + std::to_string(code) + "\n" + value + "\n";
  };
  const auto coordinate = [](double v) { return format("%.4f", v); };
  const Box box = measure_drawing_box(drawing);
  pair(999, "sixtyfold template, millimetres, seen on the outside face, design " + drawing.hash);
  pair(0, "SECTION"), pair(2, "HEADER");
  pair(9, "$ACADVER"), pair(1, "AC1009");
  pair(9, "$EXTMIN"), pair(10, coordinate(box.low.x())), pair(20, coordinate(box.low.y())),
      pair(30, "0.0");
  pair(9, "$EXTMAX"), pair(10, coordinate(box.high.x())), pair(20, coordinate(box.high.y())),
      pair(30, "0.0");
  pair(0, "ENDSEC");
  pair(0, "SECTION"), pair(2, "TABLES");
  pair(0, "TABLE"), pair(2, "LTYPE"), pair(70, "1");
  pair(0, "LTYPE"), pair(2, "CONTINUOUS"), pair(70, "0"), pair(3, "Solid line"), pair(72, "65"),
      pair(73, "0"), pair(40, "0.0");
  pair(0, "ENDTAB");
  pair(0, "TABLE"), pair(2, "LAYER"), pair(70, "3");
  for (const auto& [name, colour] :
       {std::make_pair("CUT", "7"), std::make_pair("FOLD", "1"), std::make_pair("MARK", "3")}) {
    pair(0, "LAYER"), pair(2, name), pair(70, "0"), pair(62, colour), pair(6, "CONTINUOUS");
  }
  pair(0, "ENDTAB"), pair(0, "ENDSEC");
  pair(0, "SECTION"), pair(2, "ENTITIES");
  for (const Polygon& ring : drawing.cut_mm) {
    pair(0, "POLYLINE"), pair(8, "CUT"), pair(66, "1"), pair(10, "0.0"), pair(20, "0.0"),
        pair(30, "0.0"), pair(70, "1");
    for (const Vec2& p : ring) {
      pair(0, "VERTEX"), pair(8, "CUT"), pair(10, coordinate(p.x())), pair(20, coordinate(p.y())),
          pair(30, "0.0");
    }
    pair(0, "SEQEND"), pair(8, "CUT");
  }
  for (const TemplateDrawing::Line& line : drawing.lines) {
    pair(0, "LINE"), pair(8, line.is_fold ? "FOLD" : "MARK");
    pair(10, coordinate(line.from.x())), pair(20, coordinate(line.from.y())), pair(30, "0.0");
    pair(11, coordinate(line.to.x())), pair(21, coordinate(line.to.y())), pair(31, "0.0");
  }
  for (const Vec2& p : drawing.pricks_mm) {
    pair(0, "CIRCLE"), pair(8, "MARK"), pair(10, coordinate(p.x())), pair(20, coordinate(p.y())),
        pair(30, "0.0"), pair(40, "1.0");
  }
  const auto add_text = [&](const Vec2& p, double height, const std::string& text) {
    std::string plain;  // R12 text is ASCII
    for (const char c : text) {
      if (static_cast<unsigned char>(c) < 128)
        plain += c;
      else if (static_cast<unsigned char>(c) >= 0xC0)
        plain += '\'';
    }
    pair(0, "TEXT"), pair(8, "MARK"), pair(10, coordinate(p.x())), pair(20, coordinate(p.y())),
        pair(30, "0.0");
    pair(40, coordinate(height)), pair(1, plain);
  };
  for (const auto& [where, letter] : drawing.letters) add_text(where, 6, letter);
  for (const TemplateDrawing::Line& line : drawing.lines) {
    const Vec2 along = (line.to - line.from).normalized();
    add_text((line.from + line.to) / 2 + 2 * Vec2(-along.y(), along.x()), 3,
             line.is_fold ? (line.side > 0 ? "UP " : "DOWN ") + format("%.0f", line.angle_deg)
                          : "SEAT " + line.letter + (line.side > 0 ? "" : " OTHER FACE"));
  }
  pair(0, "ENDSEC"), pair(0, "EOF");
  return out;
}

}  // namespace sixtyfold
