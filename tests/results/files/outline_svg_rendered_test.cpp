// The reader of a person's own part against an independent one: librsvg draws the same file, and
// the area it covers and where that lies must be what the reader measured.

#include <cairo.h>
#include <librsvg/rsvg.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <memory>

#include "engine/random.h"
#include "engine/text.h"
#include "results/files/outline_svg.h"

using namespace sixtyfold;

namespace {

struct Rendered {
  double area = 0;             ///< covered, as a share of the page
  Vec2 spread = Vec2::Zero();  ///< root mean square distance from the centroid, by axis
  double skew = 0;             ///< third moments' sign tells upright from mirrored
};

/// The covered share of a page drawn on `pixels` pixels a millimetre.
Rendered render(const std::string& file, double width_mm, double height_mm, double pixels) {
  const int w = static_cast<int>(std::lround(width_mm * pixels)),
            h = static_cast<int>(std::lround(height_mm * pixels));
  GError* fault = nullptr;
  RsvgHandle* handle =
      rsvg_handle_new_from_data(reinterpret_cast<const guint8*>(file.data()), file.size(), &fault);
  REQUIRE(handle);
  cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_A8, w, h);
  cairo_t* cairo = cairo_create(surface);
  const RsvgRectangle viewport{0, 0, static_cast<double>(w), static_cast<double>(h)};
  REQUIRE(rsvg_handle_render_document(handle, cairo, &viewport, &fault));
  cairo_surface_flush(surface);
  const unsigned char* data = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  double sum = 0;
  Vec2 first = Vec2::Zero(), second = Vec2::Zero();
  const auto each = [&](const auto& visit) {
    for (int y = 0; y < h; ++y)
      for (int x = 0; x < w; ++x)
        if (const double a = data[y * stride + x] / 255.0; a > 0)
          visit(a, Vec2((x + 0.5) / pixels, height_mm - (y + 0.5) / pixels));
  };
  each([&](double a, const Vec2& p) {
    sum += a;
    first += a * p;
  });
  const Vec2 centre = first / sum;
  Rendered rendered;
  each([&](double a, const Vec2& p) {
    second += a * (p - centre).cwiseAbs2();
    rendered.skew += a * std::pow(p.y() - centre.y(), 3);
  });
  rendered.area = sum / (pixels * pixels);
  rendered.spread = (second / sum).cwiseSqrt();
  rendered.skew /= sum;
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);
  g_object_unref(handle);
  return rendered;
}

/// The same of what was read: a fine grid of points, by even-odd.
Rendered measure(const TracedPart& part, double pixels) {
  const Box box = measure_box(part.outline_mm);
  double sum = 0;
  Vec2 first = Vec2::Zero();
  std::vector<Vec2> inside;
  for (double y = box.low.y() + 0.5 / pixels; y < box.high.y(); y += 1 / pixels)
    for (double x = box.low.x() + 0.5 / pixels; x < box.high.x(); x += 1 / pixels) {
      const Vec2 p(x, y);
      bool in = contains(part.outline_mm, p);
      for (const Polygon& hole : part.holes_mm) in = in && !contains(hole, p);
      if (!in) continue;
      sum += 1;
      first += p;
      inside.push_back(p);
    }
  Rendered measured;
  Vec2 second = Vec2::Zero();
  for (const Vec2& p : inside) {
    second += (p - first / sum).cwiseAbs2();
    measured.skew += std::pow(p.y() - first.y() / sum, 3);
  }
  measured.area = measure_area(part.outline_mm);
  for (const Polygon& hole : part.holes_mm) measured.area -= measure_area(hole);
  measured.spread = (second / sum).cwiseSqrt();
  measured.skew /= sum;
  return measured;
}

void compare(const std::string& file, double width_mm, double height_mm) {
  INFO(file);
  const TracedPart part = read_outline_svg(file, {0.02, 100000});
  const Rendered drawn = render(file, width_mm, height_mm, 4), read = measure(part, 4);
  CHECK(read.area == Approx(drawn.area).epsilon(0.004));
  CHECK(read.spread.x() == Approx(drawn.spread.x()).epsilon(0.01));
  CHECK(read.spread.y() == Approx(drawn.spread.y()).epsilon(0.01));
  CHECK(std::cbrt(read.skew) == Approx(std::cbrt(drawn.skew)).margin(0.05 * drawn.spread.y()));
}

std::string sheet(const std::string& head, const std::string& inside) {
  return R"(<svg xmlns="http://www.w3.org/2000/svg" version="1.1" )" + head + ">" + inside +
         "</svg>";
}

}  // namespace

TEST_CASE("a part covers what an independent renderer draws: by hand", "[results][svg][rendered]") {
  // Every command, absolute and relative, compact number forms, flags without separators.
  const char* paths[] = {
      "M20 60C20 20 80 10 90 50S120 110 150 60 170 20 180 60V90H20Z",
      "m 20,60 c 0,-40 60,-50 70,-10 s 30,60 60,10 20,-40 30,0 v 30 h -160 z",
      "M20 50Q60 0 90 50T150 50 180 60L170 95 25 90Z",
      "m20 50q40-50 70 0t60 0 30 10l-10 35-145-5z",
      "M30,60a40,25-15 0 1 80-10A60 60 0 01150 90z",
      "M30 60a40 25-15 0180-10a60 60 0 0140 40z",
      "M40 40h100v50h-100zM60 50v20h20v-20zM100,65a8,8 0 1 0 16,0 8,8 0 1 0-16 0",
      "M1e2.5e1+40 40L.6e2 90zm-35 35l5 10-10.5.5z",
  };
  for (const char* d : paths)
    compare(sheet(R"(width="200mm" height="100mm" viewBox="0 0 200 100")",
                  "<path fill-rule=\"evenodd\" d=\"" + std::string(d) + "\"/>"),
            200, 100);
}

TEST_CASE("a part covers what an independent renderer draws: units, viewBox, transforms",
          "[results][svg][rendered]") {
  // An S with a hole, three times turned, stretched and sheared, in the units people save in.
  const std::string inside =
      R"svg(<g transform="translate(50 45)"><g transform="rotate(20)"><g transform="skewX(-15) scale(1.2,-.7)">
      <path fill-rule="evenodd" d="m-30-10c10-30 40-30 50-5s-10 20 5 30-20 20-30 5-35 0-25-30zm20-2a6 6 0 1 0 12 0 6 6 0 1 0-12 0"/>
      </g></g></g>)svg";
  const struct {
    const char* size;
    double width_mm, height_mm;
  } cases[] = {
      {R"(width="100mm" height="90mm" viewBox="0 0 100 90")", 100, 90},
      {R"(width="4in" height="3.6in" viewBox="0 0 100 90")", 101.6, 91.44},
      {R"(width="8cm" height="72mm" viewBox="0 0 100 90")", 80, 72},
      {R"(width="378" height="340.2" viewBox="0 0 100 90")", 100.0125, 90.01125},
      {R"(width="288pt" height="259.2pt" viewBox="0 0 100 90")", 101.6, 91.44},
      {R"(width="100mm" height="180mm" viewBox="0 0 100 90")", 100, 180},
      {R"(width="100mm" height="90mm" viewBox="-10 -5 200 110" preserveAspectRatio="none")", 100,
       90},
      {R"(width="100mm" height="90mm" viewBox="-5 -20 115 140" preserveAspectRatio="xMidYMid meet")",
       100, 90}};
  for (const auto& c : cases) compare(sheet(c.size, inside), c.width_mm, c.height_mm);
}

TEST_CASE("a part covers what an independent renderer draws: at random",
          "[results][svg][rendered]") {
  int compared = 0;
  for (std::uint64_t index = 0; index < 400 && compared < 25; ++index) {
    RandomStream random(7, Purpose::test, index);
    const auto number = [&](double low, double high) { return random.uniform(low, high); };
    // Corners around a middle, joined by a random command each.
    const int corners = 4 + static_cast<int>(random.below(5));
    const auto corner = [&](int i, double radius) -> Vec2 {
      const double angle = 2 * pi * i / corners;
      return {radius * std::cos(angle), radius * std::sin(angle)};
    };
    Vec2 at = corner(0, 30);
    std::string d = format("M%.3f %.3f", at.x(), at.y());
    for (int i = 1; i <= corners; ++i) {
      const Vec2 to = i == corners ? corner(0, 30) : corner(i, number(20, 40));
      const Vec2 near = corner(i - 1, number(20, 45)), far = corner(i, number(20, 45));
      const bool relative = random.below(2);
      const auto p = [&](const Vec2& v) {
        return relative ? format("%.4f,%.4f", v.x() - at.x(), v.y() - at.y())
                        : format("%.4f %.4f", v.x(), v.y());
      };
      const char letters[] = "LCQAST";
      const char letter = letters[random.below(6)];
      d += relative ? static_cast<char>(letter + 32) : letter;
      switch (letter) {
        case 'C':
          d += p(near) + " " + p(far) + " " + p(to);
          break;
        case 'Q':
          d += p(near) + " " + p(to);
          break;
        case 'A':
          d += format("%.3f %.3f %.1f 0 %d ", number(15, 40), number(15, 40), number(-90, 90),
                      static_cast<int>(random.below(2))) +
               p(to);
          break;
        case 'S':
          d += p(far) + " " + p(to);
          break;
        default:
          d += p(to);
      }
      at = to;
    }
    d += 'Z';
    const std::string file = sheet(
        R"(width="120mm" height="120mm" viewBox="-60 -60 120 120")",
        format("<g transform=\"rotate(%.2f)\"><g transform=\"translate(%.2f,%.2f) skewY(%.2f)\">"
               "<path transform=\"scale(%.3f %.3f)\" d=\"",
               number(0, 360), number(-5, 5), number(-5, 5), number(-15, 15), number(0.5, 0.8),
               number(-0.8, -0.5)) +
            d + "\"/></g></g>");
    try {
      read_outline_svg(file, {0.02, 100000});
    } catch (const std::invalid_argument&) {
      continue;  // it crosses itself
    }
    ++compared;
    compare(file, 120, 120);
  }
  CHECK(compared == 25);
}
