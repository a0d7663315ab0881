#pragma once
// DXF R12 (AC1009) as text: closed lines, lines, circles and text on named layers. Millimetres, y
// up; R12 has no units, so the comment says them.

#include <string>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

class Dxf {
 public:
  struct Layer {
    std::string name;
    int colour = 7;  ///< of the standard palette: 1 red, 3 green, 5 blue, 7 black or white
  };
  /// `extents` holds all that will be drawn.
  Dxf(const std::string& comment, const std::vector<Layer>& layers, const Box& extents);

  /// Curves are arcs (engine/shape/arcs.h): the bulge stands at the vertex where the arc begins.
  void add_ring(const std::string& layer, const Polygon& ring);
  void add_line(const std::string& layer, const Vec2& from, const Vec2& to);
  void add_circle(const std::string& layer, const Vec2& centre, double radius_mm);
  /// Letters beyond ASCII, which R12 has not, and control characters are left out; a prime becomes
  /// an apostrophe.
  void add_text(const std::string& layer, const Vec2& from, double height_mm,
                const std::string& text);

  std::string finish();

 private:
  void pair(int code, const std::string& value);
  void point(const Vec2& p, int code = 10);

  std::string out_;
};

}  // namespace sixtyfold
