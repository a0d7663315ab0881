#include "results/drawings/dxf.h"

#include "engine/shape/arcs.h"
#include "engine/text.h"

namespace sixtyfold {

void Dxf::pair(int code, const std::string& value) {
  out_ += (code < 10 ? "  " : code < 100 ? " " : "") + std::to_string(code) + "\n" + value + "\n";
}

void Dxf::point(const Vec2& p, int code) {
  pair(code, format("%.4f", p.x()));
  pair(code + 10, format("%.4f", p.y()));
  pair(code + 20, "0.0");
}

Dxf::Dxf(const std::string& comment, const std::vector<Layer>& layers, const Box& extents) {
  pair(999, comment);
  pair(0, "SECTION"), pair(2, "HEADER");
  pair(9, "$ACADVER"), pair(1, "AC1009");
  pair(9, "$EXTMIN"), point(extents.low);
  pair(9, "$EXTMAX"), point(extents.high);
  pair(0, "ENDSEC");
  pair(0, "SECTION"), pair(2, "TABLES");
  pair(0, "TABLE"), pair(2, "LTYPE"), pair(70, "1");
  pair(0, "LTYPE"), pair(2, "CONTINUOUS"), pair(70, "0"), pair(3, "Solid line"), pair(72, "65"),
      pair(73, "0"), pair(40, "0.0");
  pair(0, "ENDTAB");
  pair(0, "TABLE"), pair(2, "LAYER"), pair(70, std::to_string(layers.size()));
  for (const Layer& layer : layers)
    pair(0, "LAYER"), pair(2, layer.name), pair(70, "0"), pair(62, std::to_string(layer.colour)),
        pair(6, "CONTINUOUS");
  pair(0, "ENDTAB"), pair(0, "ENDSEC");
  pair(0, "SECTION"), pair(2, "ENTITIES");
}

void Dxf::add_ring(const std::string& layer, const Polygon& ring) {
  pair(0, "POLYLINE"), pair(8, layer), pair(66, "1"), pair(10, "0.0"), pair(20, "0.0"),
      pair(30, "0.0"), pair(70, "1");
  const std::vector<double> bulges = find_bulges(ring, most_sagitta_mm);
  for (std::size_t i = 0; i < ring.size(); ++i) {
    pair(0, "VERTEX"), pair(8, layer), point(ring[i]);
    if (bulges[i] != 0) pair(42, format("%.9f", bulges[i]));
  }
  pair(0, "SEQEND"), pair(8, layer);
}

void Dxf::add_line(const std::string& layer, const Vec2& from, const Vec2& to) {
  pair(0, "LINE"), pair(8, layer), point(from), point(to, 11);
}

void Dxf::add_circle(const std::string& layer, const Vec2& centre, double radius_mm) {
  pair(0, "CIRCLE"), pair(8, layer), point(centre), pair(40, format("%.1f", radius_mm));
}

void Dxf::add_text(const std::string& layer, const Vec2& from, double height_mm,
                   const std::string& text) {
  std::string plain;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (32 <= text[i] && text[i] < 127)
      plain += text[i];
    else if (text.compare(i, 3, "\u2032") == 0)
      plain += '\'';
  }
  pair(0, "TEXT"), pair(8, layer), point(from), pair(40, format("%.4f", height_mm)), pair(1, plain);
}

std::string Dxf::finish() {
  pair(0, "ENDSEC"), pair(0, "EOF");
  return out_;
}

}  // namespace sixtyfold
