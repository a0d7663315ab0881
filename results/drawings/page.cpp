#include "results/drawings/page.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <librsvg/rsvg.h>

#include <cmath>
#include <cstdio>
#include <memory>
#include <sstream>
#include <stdexcept>
#include <utility>

#include "engine/shape/arcs.h"
#include "results/drawings/markup_text.h"
#include "results/drawings/number_text.h"
#include "results/drawings/text_width.h"

namespace sixtyfold {

namespace {

std::string number(double value) { return write_number(value, 3); }

std::string attributes(const PageStyle& style) {
  std::string text = " fill=\"" + (style.fill.empty() ? std::string("none") : style.fill) + "\"";
  if (style.fill_opacity != 1) text += " fill-opacity=\"" + number(style.fill_opacity) + "\"";
  if (!style.stroke.empty())
    text += " stroke=\"" + style.stroke + "\" stroke-width=\"" + number(style.width_mm) + "\"";
  if (!style.dashes_mm.empty()) text += " stroke-dasharray=\"" + style.dashes_mm + "\"";
  if (style.round_ends) text += " stroke-linecap=\"round\"";
  return text;
}

constexpr double fine_mm = 0.01;
constexpr const char* fine_group = "<g transform=\"scale(0.01)\">\n";

// Closed rings as path data in steps of `fine_mm`: relative and whole, so short. Rings that round
// to fewer than three points are left out. Starts with M, from the page's corner.
std::string write_fine_data(const std::vector<Polygon>& rings) {
  std::string data;
  long pen_x = 0, pen_y = 0;  // where the pen stands after closing a ring
  for (const Polygon& ring : rings) {
    std::vector<std::pair<long, long>> points;
    for (const Vec2& p : ring) {
      const std::pair<long, long> point{std::lround(p.x() / fine_mm), std::lround(p.y() / fine_mm)};
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

// Lengths of dashes in hundredths: "4 1.5" becomes "400 150".
std::string make_fine_dashes(const std::string& dashes_mm) {
  std::istringstream lengths(dashes_mm);
  std::string fine;
  for (double length; lengths >> length;)
    fine += (fine.empty() ? "" : " ") + number(length / fine_mm);
  return fine;
}

cairo_status_t append(void* bytes, const unsigned char* data, unsigned length) {
  static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

constexpr const char* svg_document_type =
    "<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" "
    "\"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\">\n";
constexpr const char* drawing_fonts =
    "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif";
constexpr const char* document_fonts = "DejaVu Sans, Helvetica, Arial, sans-serif";

constexpr double points_per_mm = 72 / 25.4;

}  // namespace

Page::Page(const Vec2& size_mm, const std::string& title, const std::string& description)
    : Page(size_mm.x(), size_mm.y()) {
  head_ = "<title>" + make_markup_text(title) + "</title>\n<desc>" +
          make_markup_text(description, 1000) + "</desc>\n";
}

// Where the next mark is written.
std::string& Page::open() {
  if (fine_) markup_ += "</g>\n";
  fine_ = false;
  return markup_;
}

std::string Page::find_markup() const { return fine_ ? markup_ + "</g>\n" : markup_; }

void Page::add_polygon(const Polygon& polygon, const PageStyle& style) {
  add_region({polygon}, style);
}

void Page::add_region(const std::vector<Polygon>& rings, const PageStyle& style) {
  std::string data;
  for (const Polygon& ring : rings) {
    for (std::size_t i = 0; i < ring.size(); ++i)
      data += (i ? " L" : "M") + number(ring[i].x()) + "," + number(ring[i].y());
    if (!ring.empty()) data += " Z ";
  }
  if (data.empty()) return;
  data.pop_back();
  open() += "<path d=\"" + data + "\"" + attributes(style) + "/>\n";
}

void Page::add_curved(const std::vector<Polygon>& rings, double scale, const PageStyle& style) {
  std::string data;
  for (const Polygon& ring : rings) {
    if (ring.empty()) continue;
    const std::vector<double> bulges = find_bulges(ring, scale * most_sagitta_mm);
    data += "M" + number(ring[0].x()) + "," + number(ring[0].y());
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec2& to = ring[i + 1 < ring.size() ? i + 1 : 0];
      if (bulges[i] != 0) {
        const std::string radius = number(find_arc_radius((to - ring[i]).norm(), bulges[i]));
        data += " A" + radius + "," + radius + (bulges[i] > 0 ? " 0 0 1 " : " 0 0 0 ");
      } else if (i + 1 < ring.size()) {
        data += " L";
      } else {
        break;  // closed below
      }
      data += number(to.x()) + "," + number(to.y());
    }
    data += " Z ";
  }
  if (data.empty()) return;
  data.pop_back();
  open() += "<path d=\"" + data + "\"" + attributes(style) + "/>\n";
}

void Page::add_fine(const std::vector<Polygon>& rings, PageStyle style) {
  const std::string data = write_fine_data(rings);
  if (data.empty()) return;
  style.width_mm /= fine_mm;
  style.dashes_mm = make_fine_dashes(style.dashes_mm);
  if (!fine_) markup_ += fine_group;
  fine_ = true;
  markup_ += "<path d=\"" + data + "\"" + attributes(style) + "/>\n";
}

void Page::add_line(const Vec2& from, const Vec2& to, const PageStyle& style) {
  add_polyline({from, to}, style);
}

void Page::add_polyline(const std::vector<Vec2>& points, const PageStyle& style) {
  if (points.size() < 2) return;
  std::string data = "M" + number(points[0].x()) + "," + number(points[0].y());
  for (std::size_t i = 1; i < points.size(); ++i) {
    const Vec2 &from = points[i - 1], &to = points[i];
    if (to.y() == from.y())
      data += "H" + number(to.x());
    else if (to.x() == from.x())
      data += "V" + number(to.y());
    else
      data += "L" + number(to.x()) + "," + number(to.y());
  }
  open() += "<path d=\"" + data + "\"" + attributes(style) + "/>\n";
}

void Page::add_box(const Box& box, const PageStyle& style, double corner_mm) {
  open() += "<rect x=\"" + number(box.low.x()) + "\" y=\"" + number(box.low.y()) + "\" width=\"" +
            number(box.size().x()) + "\" height=\"" + number(box.size().y()) + "\"" +
            (corner_mm > 0 ? " rx=\"" + number(corner_mm) + "\"" : "") + attributes(style) + "/>\n";
}

void Page::add_ground(const std::string& colour) {
  add_box({Vec2::Zero(), {width_mm_, height_mm_}}, {"", 0, colour, ""});
}

void Page::add_circle(const Vec2& centre, double radius_mm, const PageStyle& style) {
  open() += "<circle cx=\"" + number(centre.x()) + "\" cy=\"" + number(centre.y()) + "\" r=\"" +
            number(radius_mm) + "\"" + attributes(style) + "/>\n";
}

void Page::add_ellipse(const Vec2& centre, const Vec2& radii_mm, const PageStyle& style) {
  open() += "<ellipse cx=\"" + number(centre.x()) + "\" cy=\"" + number(centre.y()) + "\" rx=\"" +
            number(radii_mm.x()) + "\" ry=\"" + number(radii_mm.y()) + "\"" + attributes(style) +
            "/>\n";
}

void Page::add_shape(const char* path_data, const Vec2& at, double scale, const PageStyle& style) {
  open() += std::string("<path d=\"") + path_data + "\" transform=\"translate(" + number(at.x()) +
            " " + number(at.y()) + ") scale(" + write_number(scale, 6) + ")\"" + attributes(style) +
            "/>\n";
}

void Page::add_text(const Vec2& anchor, const std::string& text, const PageText& how) {
  std::string& markup = open();
  markup += "<text x=\"" + number(anchor.x()) + "\" y=\"" + number(anchor.y()) + "\" font-size=\"" +
            number(how.size_mm) + "\"";
  if (how.at != TextAt::start)
    markup += how.at == TextAt::middle ? " text-anchor=\"middle\"" : " text-anchor=\"end\"";
  markup += " fill=\"" + how.colour + "\"";
  if (how.bold) markup += " font-weight=\"bold\"";
  if (how.turned_deg != 0)
    markup += " transform=\"rotate(" + number(how.turned_deg) + " " + number(anchor.x()) + " " +
              number(anchor.y()) + ")\"";
  markup += ">" + make_markup_text(text, 400) + "</text>\n";
}

double Page::add_paragraph(const Vec2& top_left, const std::string& text, double width_mm,
                           const PageText& how) {
  double y = top_left.y();
  for (const std::string& line : break_lines(text, width_mm, how.size_mm, how.bold)) {
    y += how.size_mm * line_spacing;
    add_text({top_left.x(), y - 0.35 * how.size_mm}, line, how);
  }
  return y;
}

void Page::add_page(const Page& content, const Vec2& shift) {
  open() += "<g transform=\"translate(" + number(shift.x()) + " " + number(shift.y()) + ")\">\n" +
            content.find_markup() + "</g>\n";
}

void Page::add_window(const Page& content, const Vec2& shift, const Box& box) {
  const std::string id = "window" + std::to_string(++clips_);
  open() += "<clipPath id=\"" + id + "\"><rect x=\"" + number(box.low.x()) + "\" y=\"" +
            number(box.low.y()) + "\" width=\"" + number(box.size().x()) + "\" height=\"" +
            number(box.size().y()) + "\"/></clipPath>\n<g clip-path=\"url(#" + id +
            ")\"><g transform=\"translate(" + number(shift.x()) + " " + number(shift.y()) +
            ")\">\n" + content.find_markup() + "</g></g>\n";
}

void Page::add_svg(const std::string& svg, const Box& box) {
  const std::size_t start = svg.find("<svg");
  if (start == std::string::npos) return;
  const std::size_t end = svg.find('>', start);
  std::string head = svg.substr(start, end - start);
  // The document's own size gives way to the box; its viewBox stays.
  for (const char* name : {" width=\"", " height=\"", " x=\"", " y=\""}) {
    const std::size_t from = head.find(name);
    if (from == std::string::npos) continue;
    const std::size_t to = head.find('"', from + std::char_traits<char>::length(name));
    head.erase(from, to + 1 - from);
  }
  open() += head + " x=\"" + number(box.low.x()) + "\" y=\"" + number(box.low.y()) + "\" width=\"" +
            number(box.size().x()) + "\" height=\"" + number(box.size().y()) + "\"" +
            svg.substr(end) + "\n";
}

std::string Page::to_svg() const {
  const std::string width = number(width_mm_), height = number(height_mm_);
  const bool drawing = !head_.empty();
  return std::string("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n") +
         (drawing ? svg_document_type : "") +
         "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"" + width +
         "mm\" height=\"" + height + "mm\" viewBox=\"0 0 " + width + " " + height +
         "\" font-family=\"" + (drawing ? drawing_fonts : document_fonts) +
         "\" fill-rule=\"evenodd\" stroke-linejoin=\"round\">\n" + head_ + find_markup() +
         "</svg>\n";
}

Vec2 measure_svg(const std::string& svg) {
  const std::size_t from = svg.find("viewBox=\"");
  double x = 0, y = 0, width = 0, height = 0;
  if (from == std::string::npos ||
      std::sscanf(svg.c_str() + from + 9, "%lf %lf %lf %lf", &x, &y, &width, &height) != 4)
    throw std::runtime_error("a drawing has no viewBox");
  return {width, height};
}

namespace {

void draw_svg(const std::string& svg, cairo_t* cairo, double width, double height) {
  GError* fault = nullptr;
  RsvgHandle* handle =
      rsvg_handle_new_from_data(reinterpret_cast<const guint8*>(svg.data()), svg.size(), &fault);
  const RsvgRectangle viewport{0, 0, width, height};
  const bool drawn = handle && rsvg_handle_render_document(handle, cairo, &viewport, &fault);
  const std::string reason = fault ? fault->message : "";
  if (fault) g_error_free(fault);
  if (handle) g_object_unref(handle);
  if (!drawn) throw std::runtime_error("a page could not be drawn: " + reason);
}

}  // namespace

std::string make_pdf(const std::vector<Page>& pages) {
  std::string bytes;
  cairo_surface_t* raw = cairo_pdf_surface_create_for_stream(append, &bytes, 100, 100);
  const std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface(
      raw, cairo_surface_destroy);
  // A fixed date: the same design gives the same bytes.
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE,
                                 "2000-01-01T00:00:00Z");
  const std::unique_ptr<cairo_t, decltype(&cairo_destroy)> cairo(cairo_create(surface.get()),
                                                                 cairo_destroy);
  for (const Page& page : pages) {
    const double width = page.width_mm() * points_per_mm, height = page.height_mm() * points_per_mm;
    cairo_pdf_surface_set_size(surface.get(), width, height);
    const std::string svg = page.to_svg();
    draw_svg(svg, cairo.get(), width, height);
    cairo_show_page(cairo.get());
  }
  cairo_surface_finish(surface.get());
  if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS)
    throw std::runtime_error(
        "the PDF could not be written: " +
        std::string(cairo_status_to_string(cairo_surface_status(surface.get()))));
  return bytes;
}

std::string make_png(const std::string& svg, int width_px) {
  const Vec2 size = measure_svg(svg);
  const int height_px = std::max(1, static_cast<int>(std::lround(width_px * size.y() / size.x())));
  const std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface(
      cairo_image_surface_create(CAIRO_FORMAT_ARGB32, width_px, height_px), cairo_surface_destroy);
  const std::unique_ptr<cairo_t, decltype(&cairo_destroy)> cairo(cairo_create(surface.get()),
                                                                 cairo_destroy);
  draw_svg(svg, cairo.get(), width_px, height_px);
  std::string bytes;
  const cairo_status_t status = cairo_surface_write_to_png_stream(surface.get(), append, &bytes);
  if (status != CAIRO_STATUS_SUCCESS)
    throw std::runtime_error("the picture could not be written: " +
                             std::string(cairo_status_to_string(status)));
  return bytes;
}

void add_check_bars(Page& page, const Vec2& horizontal_from, const Vec2& vertical_from) {
  const PageStyle thin{"#000000", 0.25, "", ""};
  for (int k = 0; k <= 10; ++k) {
    const double tick = k % 5 == 0 ? 3 : 1.8;
    const Vec2 h = horizontal_from + Vec2(10.0 * k, 0), v = vertical_from + Vec2(0, 10.0 * k);
    page.add_line(h, h + Vec2(0, tick), thin);
    page.add_line(v, v + Vec2(tick, 0), thin);
  }
  page.add_line(horizontal_from, horizontal_from + Vec2(100, 0), thin);
  page.add_line(vertical_from, vertical_from + Vec2(0, 100), thin);
  PageText small;
  small.size_mm = 2.6;
  small.at = TextAt::middle;
  page.add_text(horizontal_from + Vec2(50, 5.6), "this bar must measure 100 mm", small);
  small.turned_deg = -90;
  page.add_text(vertical_from + Vec2(5.6, 50), "this bar must measure 100 mm", small);
}

}  // namespace sixtyfold
