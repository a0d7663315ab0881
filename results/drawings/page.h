#pragma once
// The one language of drawing: a page of a document or a drawing of its own, in millimetres with y
// downwards; and documents of such pages.

#include <string>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// How a line or area is drawn. An empty colour draws nothing.
struct PageStyle {
  std::string stroke = "#000000";
  double width_mm = 0.35;
  std::string fill = {};
  std::string dashes_mm = {};  ///< as in SVG, e.g. "4 2"; empty: solid
  bool round_ends = false;
  double fill_opacity = 1;
};

/// From one line of a paragraph to the next, in sizes of the text.
inline constexpr double line_spacing = 1.35;

enum class TextAt { start, middle, end };

struct PageText {
  double size_mm = 4;  ///< the font size; capitals are about 0.73 of it
  TextAt at = TextAt::start;
  std::string colour = "#000000";
  bool bold = false;
  double turned_deg = 0;  ///< clockwise about the anchor
};

class Page {
 public:
  /// A page of a document.
  Page(double width_mm, double height_mm) : width_mm_(width_mm), height_mm_(height_mm) {}
  /// A drawing of its own, lettered as drawings are; title and description are plain text.
  Page(const Vec2& size_mm, const std::string& title, const std::string& description);

  double width_mm() const { return width_mm_; }
  double height_mm() const { return height_mm_; }

  void add_polygon(const Polygon& polygon, const PageStyle& style);
  /// Several rings filled by the even-odd rule: areas with holes.
  void add_region(const std::vector<Polygon>& rings, const PageStyle& style);
  /// Rings whose smooth stretches are drawn as arcs (engine/shape/arcs.h); `scale` is that of the
  /// page.
  void add_curved(const std::vector<Polygon>& rings, double scale, const PageStyle& style);
  /// Rings in whole hundredths of a millimetre, for drawings of many points: half as long as a
  /// region. Rings that round to fewer than three points are left out.
  void add_fine(const std::vector<Polygon>& rings, PageStyle style);
  void add_line(const Vec2& from, const Vec2& to, const PageStyle& style);
  /// An open line through these points.
  void add_polyline(const std::vector<Vec2>& points, const PageStyle& style);
  /// An upright rectangle; its corners may be rounded.
  void add_box(const Box& box, const PageStyle& style, double corner_mm = 0);
  /// The whole page in one colour.
  void add_ground(const std::string& colour);
  void add_circle(const Vec2& centre, double radius_mm, const PageStyle& style);
  void add_ellipse(const Vec2& centre, const Vec2& radii_mm, const PageStyle& style);
  /// A shape drawn once for all, as path data of SVG in a unit of its own: its origin at `at`, one
  /// unit `scale` millimetres long (lengths of the style are in its unit).
  void add_shape(const char* path_data, const Vec2& at, double scale, const PageStyle& style);
  /// Plain text; it is escaped here.
  void add_text(const Vec2& anchor, const std::string& text, const PageText& how = {});
  /// Text broken at spaces into lines of at most `width_mm`; returns the y below the last line.
  double add_paragraph(const Vec2& top_left, const std::string& text, double width_mm,
                       const PageText& how = {});
  /// Another page's drawing, moved by `shift`.
  void add_page(const Page& content, const Vec2& shift);
  /// The same, shown inside the box only.
  void add_window(const Page& content, const Vec2& shift, const Box& box);
  /// A whole SVG document of our own, fitted into the box.
  void add_svg(const std::string& svg, const Box& box);

  /// A complete SVG 1.1 document, width and height in mm.
  std::string to_svg() const;

 private:
  std::string& open();
  std::string find_markup() const;

  double width_mm_, height_mm_;
  std::string head_, markup_;
  bool fine_ = false;  // the last mark was fine: its group is still open
  int clips_ = 0;
};

/// Width and height of an SVG document's viewBox.
Vec2 measure_svg(const std::string& svg);

/// The pages as one PDF 1.5 at true size, text as text with fonts embedded (librsvg and Cairo).
/// Same pages, same bytes. Throws std::runtime_error when the libraries fail.
std::string make_pdf(const std::vector<Page>& pages);

/// A drawing as a PNG picture of this width; its height follows. Throws std::runtime_error when it
/// can not be drawn.
std::string make_png(const std::string& svg, int width_px);

/// 100 mm with a tick every 10 mm, to be measured after printing, along x and along y from
/// `corner`.
void add_check_bars(Page& page, const Vec2& horizontal_from, const Vec2& vertical_from);

}  // namespace sixtyfold
