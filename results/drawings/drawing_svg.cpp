#include "results/drawings/drawing_svg.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>
#include <utility>

#include "engine/building/colourings.h"
#include "engine/building/size_limit.h"
#include "engine/text.h"
#include "results/drawings/page.h"
#include "results/drawings/palette.h"
#include "results/drawings/viewpoint.h"

namespace sixtyfold {
namespace {

constexpr double detail_mm = 0.03;  // finer outline detail than this is not seen on paper
// From here a person gives the scale. Beside anything smaller a person would take the room: a bar.
constexpr double smallest_tall_mm = 1300;
constexpr double person_mm = 1700;

struct Layout {
  double left, top, right, bottom;  // box for the construction, millimetres on the page
};

// A standing adult of simple shape, 1000 units tall, feet at the origin, y down.
const char* const person_path =
    "M-24-872C-24-852-32-843-60-834C-98-824-116-806-121-770L-143-600L-151-478C-152-460-128-45"
    "7-124-474L-107-600L-87-722L-83-590L-88-480L-71-250L-68-34C-86-26-94-12-90 0L-31 0L-22-25"
    "0L-4-452L4-452L22-250L31 0L90 0C94-12 86-26 68-34L71-250L88-480L83-590L87-722L107-600L12"
    "4-474C128-457 152-460 151-478L143-600L121-770C116-806 98-824 60-834C32-843 24-852 24-872"
    "C40-884 50-908 50-934C50-972 28-1000 0-1000C-28-1000-50-972-50-934C-50-908-40-884-24-872"
    "Z";

struct Scene {
  std::vector<FlatFace> faces;
  double radius_mm = 0, floor_z_mm = 0;
  Camera camera;
  double line_scale = 1;  // 1 for a picture of 160 mm
  Vec3 towards_light;
  Vec3 person_foot;  // where the person stands
};

// Scales and moves the picture so that what must be seen fills the box.
void fit_camera(Camera& camera, const std::vector<Vec3>& points, const Layout& layout) {
  camera.scale_mm = 1;
  camera.centre_mm = Vec2::Zero();
  Vec2 low = Vec2::Constant(1e300), high = -low;
  for (const Vec3& p : points) {
    const Vec2 q = camera.project(p);
    low = low.cwiseMin(q);
    high = high.cwiseMax(q);
  }
  const Vec2 size = (high - low).cwiseMax(1e-9);
  camera.scale_mm =
      std::min((layout.right - layout.left) / size.x(), (layout.bottom - layout.top) / size.y());
  camera.centre_mm = Vec2((layout.left + layout.right) / 2, (layout.top + layout.bottom) / 2) -
                     camera.scale_mm * (low + high) / 2;
}

double measure_radius(const Design& design) {
  const double radius = measure_enclosing_radius(design);
  if (!(radius > 0 && std::isfinite(radius)))
    throw std::invalid_argument("the design's panels have no extent; nothing can be drawn");
  return radius;
}

/// The construction alone, or with its shadow and the person.
enum class Company { alone, shadow, person };

Scene make_scene(const Design& design, const DrawingOptions& options, const Layout& layout,
                 const Vec3& towards_eye, Company company) {
  Scene scene;
  double lowest = 0;
  scene.radius_mm = measure_radius(design);
  scene.camera =
      make_camera(Vec3::Zero(), options.distance * scene.radius_mm,
                  std::atan2(towards_eye.y(), towards_eye.x()), std::asin(towards_eye.z()));
  // Finer than what the fitted picture will show: the page is about two radii wide.
  scene.faces = make_faces(
      design, detail_mm * 2 * scene.radius_mm / std::max(options.width_mm, options.height_mm));
  std::vector<Vec3> seen;
  for (const FlatFace& face : scene.faces)
    for (const Vec3& p : face.rings[0]) {
      lowest = std::min(lowest, p.z());
      seen.push_back(p);
    }
  scene.floor_z_mm = lowest;
  const Vec3 ahead = Vec3(scene.camera.forward.x(), scene.camera.forward.y(), 0).normalized();
  scene.towards_light =
      (-0.62 * scene.camera.right - 0.48 * ahead + 1.35 * Vec3::UnitZ()).normalized();
  if (company != Company::alone)  // shadows want room too
    for (std::size_t i = 0, count = seen.size(); i < count; ++i)
      seen.push_back(seen[i] -
                     scene.towards_light * ((seen[i].z() - lowest) / scene.towards_light.z()));
  scene.person_foot =
      scene.camera.right * (scene.radius_mm + 260) + ahead * scene.radius_mm + Vec3(0, 0, lowest);
  if (company == Company::person)
    for (const double side : {-260.0, 260.0})
      for (const double height : {0.0, person_mm})
        seen.push_back(scene.person_foot + side * scene.camera.right + Vec3(0, 0, height));
  fit_camera(scene.camera, seen, layout);
  return scene;
}

/// How a face is painted and outlined.
struct Tone {
  Colour fill, line;
  double line_width_mm;
};

// One light over the viewer's left shoulder: parallel panels are alike, wherever they are. The
// inner sides are a little darker, and what is far fades into the ground with its outlines (the
// depth cue of Foley, van Dam, Feiner and Hughes 1990, 16.3).
Tone shade(const Colour& base, const FlatFace& face, const Scene& scene) {
  const bool from_front = face.normal.dot(scene.camera.eye - face.point) > 0;
  const Vec3 facing = from_front ? face.normal : Vec3(-face.normal);
  Vec3 middle = Vec3::Zero();
  for (const Vec3& p : face.rings[0]) middle += p;
  middle /= static_cast<double>(face.rings[0].size());
  const Vec3 ahead = Vec3(scene.camera.forward.x(), scene.camera.forward.y(), 0).normalized();
  const Vec3 towards_light =
      (-0.75 * scene.camera.right - 0.55 * ahead + 0.62 * Vec3::UnitZ()).normalized();
  const double light = 0.83 + 0.23 * facing.dot(towards_light);
  Colour colour = {base.lightness * light, base.a * (0.7 + 0.3 * light),
                   base.b * (0.7 + 0.3 * light)};
  const bool is_inside = facing.dot(middle) < -1e-9 * scene.radius_mm;
  if (is_inside) colour = {0.9 * colour.lightness, 0.85 * colour.a, 0.85 * colour.b};
  const double depth = scene.camera.forward.dot(middle) / scene.radius_mm;  // -1 near, 1 far
  const double far = std::clamp(depth + 0.15, 0.0, 1.0);
  const Colour ground = make_colour("#f3eee3");
  return {mix(colour, ground, 0.5 * far), mix(make_colour(ink_colour), ground, 0.55 * far),
          scene.line_scale * (0.22 - 0.13 * std::clamp((depth + 0.6) / 1.4, 0.0, 1.0))};
}

void draw_floor_shadow(Page& page, const Scene& scene) {
  // A light of some breadth: several shadows laid over each other, each faint.
  const Vec3 across = scene.towards_light.unitOrthogonal();
  const Vec3 along = scene.towards_light.cross(across);
  for (int i = 0; i < 10; ++i) {
    const double angle = pi / 5 * i;
    const Vec3 light =
        (scene.towards_light + 0.07 * std::cos(angle) * across + 0.07 * std::sin(angle) * along)
            .normalized();
    const Region shadow = make_clean_region(
        make_floor_shadow(scene.faces, scene.camera, scene.floor_z_mm, light), 0.2);
    page.add_fine(shadow, {"", 0, ink_colour, "", false, 0.036});
  }
}

void draw_construction(Page& page, const Design& design, const DrawingOptions& options,
                       const Scene& scene) {
  const std::vector<Region> visible = find_visible_regions(scene.faces, scene.camera);
  const ColourScheme colours = choose_colours(design, options.colours);
  page.add_fine(make_clean_region(make_union(visible), detail_mm),
                {ink_colour, 0.6 * scene.line_scale});
  for (std::size_t i = 0; i < scene.faces.size(); ++i) {
    const Colour base = make_colour(
        colours.colours > 1
            ? panel_colours[static_cast<std::size_t>(colours.colour_of[i]) % panel_colours.size()]
            : board_colour);
    const Tone tone = shade(base, scene.faces[i], scene);
    page.add_fine(make_clean_region(visible[i], detail_mm),
                  {to_hex(tone.line), tone.line_width_mm, to_hex(tone.fill)});
  }
  Region shadows;
  for (const Region& shadow :
       find_shadow_regions(scene.faces, scene.camera, scene.towards_light, visible))
    for (Polygon& ring : make_clean_region(shadow, 0.08)) shadows.push_back(std::move(ring));
  page.add_fine(shadows, {"", 0, "#141a2e", "", false, 0.13});
}

void draw_person(Page& page, const Scene& scene) {
  const Vec2 foot = scene.camera.project(scene.person_foot);
  const double tall =
      (scene.camera.project(scene.person_foot + Vec3(0, 0, person_mm)) - foot).norm();
  page.add_ellipse(foot, tall * Vec2(0.13, 0.025), {"", 0, ink_colour, "", false, 0.14});
  page.add_shape(person_path, foot, tall / 1000, {"", 0, "#cbc4b6"});
}

void draw_scale_bar(Page& page, const Scene& scene, const Layout& layout) {
  // The longest of 10, 20, 50, 100 ... mm that is no longer than a third of the construction.
  double length = 1;
  for (double decade = 1; decade < 1e6; decade *= 10)
    for (const double step : {1.0, 2.0, 5.0})
      if (decade * step <= 0.67 * scene.radius_mm) length = decade * step;
  const Vec3 middle(0, 0, scene.floor_z_mm);
  const Vec2 from = scene.camera.project(middle - scene.camera.right * length / 2);
  const Vec2 to = scene.camera.project(middle + scene.camera.right * length / 2);
  const double wide = to.x() - from.x(), x = layout.left, y = layout.bottom + 3;
  page.add_polyline({{x, y - 1.2}, {x, y}, {x + wide, y}, {x + wide, y - 1.2}}, {ink_colour, 0.3});
  page.add_text({x + wide / 2, y + 3.6}, format("%.0f mm", length), {3, TextAt::middle, quiet_ink});
}

/// Unit vector towards the eye: as asked for, else that of the viewpoint.
Vec3 find_eye(const DrawingOptions& options, const Viewpoint& viewpoint) {
  const Vec3& usual = viewpoint.towards_eye;
  const double azimuth =
      options.azimuth_deg ? to_radians(*options.azimuth_deg) : std::atan2(usual.y(), usual.x());
  const double elevation =
      options.elevation_deg ? to_radians(*options.elevation_deg) : std::asin(usual.z());
  return {std::cos(elevation) * std::cos(azimuth), std::cos(elevation) * std::sin(azimuth),
          std::sin(elevation)};
}

/// What stands where on the page. Lettering is laid out for a page 200 mm wide and grows with it.
struct Sheet {
  double unit_mm, margin;  // unit_mm: a millimetre of that page
  Layout picture, second;  // second: the small view from elsewhere
  bool person;
  std::string title;
  std::vector<std::string> facts;
};

Sheet make_sheet(const Design& design, const DrawingOptions& options) {
  const bool plain = options.setting == Setting::plain;
  const double unit = std::min(options.width_mm, options.height_mm) / 200;
  const double margin = (plain ? 6 : 12) * unit;
  const double side = 38 * unit, right = options.width_mm - margin + 4 * unit;
  const double bottom = options.height_mm - 7 * unit;
  return {unit,
          margin,
          {margin, (plain ? 6 : 28) * unit, options.width_mm - margin,
           options.height_mm - (plain ? 14 : 34) * unit},
          {right - side, bottom - side, right, bottom},
          !plain && 2 * measure_radius(design) >= smallest_tall_mm,
          !options.title.empty() ? options.title
          : !design.name.empty() ? design.name
                                 : "Unnamed design",
          find_facts(design)};
}

std::string join_facts(const std::vector<std::string>& facts, std::size_t from, std::size_t to,
                       const char* between) {
  std::string line;
  for (std::size_t i = from; i < std::min(to, facts.size()); ++i)
    line += (i == from ? "" : between) + facts[i];
  return line;
}

void draw_lettering(Page& page, const Design& design, const Sheet& sheet) {
  const double mm = sheet.unit_mm, left = sheet.margin, foot = page.height_mm() - 17 * mm;
  const PageText small{3.6 * mm, TextAt::start, quiet_ink};
  const char* const dot = "  \u00b7  ";
  page.add_text({left, 18 * mm}, sheet.title, {8.4 * mm, TextAt::start, ink_colour, true});
  page.add_text(
      {left, 24 * mm},
      "symmetry " + design.symmetry + (sheet.person ? ", person 1.70 m tall" : "") +
          (design.score.diameter_mm > 0 && is_as_large_as_allowed(design) ? ", as large as allowed"
                                                                          : ""),
      small);
  page.add_line({left, foot - 8 * mm}, {page.width_mm() - left - 40 * mm, foot - 8 * mm},
                {"#c9c1b0", 0.25});
  page.add_text({left, foot}, join_facts(sheet.facts, 0, 3, dot),
                {5.2 * mm, TextAt::start, ink_colour, true});
  page.add_text({left, foot + 6.4 * mm}, join_facts(sheet.facts, 3, sheet.facts.size(), dot),
                small);
}

}  // namespace

std::string DrawingOptions::find_fault() const {
  if (!(20 <= width_mm && width_mm <= 2000) || !(20 <= height_mm && height_mm <= 2000))
    return "the drawing is " + std::to_string(width_mm) + " x " + std::to_string(height_mm) +
           " mm; allowed are 20 to 2000 mm a side";
  const double azimuth = azimuth_deg.value_or(0), elevation = elevation_deg.value_or(0);
  if (!(std::abs(azimuth) <= 360) || !(-89 <= elevation && elevation <= 89))
    return "the view is from azimuth " + std::to_string(azimuth) + " and elevation " +
           std::to_string(elevation) + " degrees; allowed are -360 to 360 and -89 to 89";
  if (!(1.5 <= distance && distance <= 100))
    return "the eye is at " + std::to_string(distance) + " radii; allowed are 1.5 to 100";
  return "";
}

std::vector<FlatFace> make_faces(const Design& design, double tolerance_mm) {
  std::vector<FlatFace> faces;
  for (const Orbit& orbit : design.orbits) {
    const Panel& panel = orbit.panel;
    std::vector<std::vector<Vec3>> rings;
    const auto add_ring = [&](Polygon ring) {
      std::vector<Vec3> points;
      for (const Vec2& p : ring) points.push_back(panel.frame.to_space(p));
      if (points.size() >= 3) rings.push_back(std::move(points));
    };
    add_ring(make_simplified(make_counter_clockwise(panel.outline_mm), tolerance_mm));
    if (rings.empty()) throw std::invalid_argument("the design has a panel without an outline");
    for (const Polygon& hole : panel.holes_mm) {
      Polygon ring = make_simplified(make_counter_clockwise(hole), tolerance_mm);
      std::reverse(ring.begin(), ring.end());
      add_ring(std::move(ring));
    }
    for (const Mat3& copy : orbit.copies) {
      FlatFace face;
      face.point = copy * panel.frame.origin;
      face.normal = copy * panel.frame.normal;
      face.rings = rings;
      for (auto& ring : face.rings)
        for (Vec3& p : ring) p = copy * p;
      faces.push_back(std::move(face));
    }
  }
  if (faces.empty()) throw std::invalid_argument("the design has no panel; nothing can be drawn");
  return faces;
}

std::string make_drawing_svg(const Design& design, const DrawingOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  const Sheet sheet = make_sheet(design, options);
  Page page({options.width_mm, options.height_mm}, sheet.title,
            join_facts(sheet.facts, 0, sheet.facts.size(), ", "));
  const std::vector<Viewpoint> viewpoints = find_viewpoints(design);
  const Scene scene = make_scene(design, options, sheet.picture, find_eye(options, viewpoints[0]),
                                 sheet.person ? Company::person : Company::shadow);
  const bool plain = options.setting == Setting::plain;
  if (!plain) page.add_ground(paper_colour);
  draw_floor_shadow(page, scene);
  if (sheet.person) draw_person(page, scene);
  draw_construction(page, design, options, scene);
  if (plain) return page.to_svg();
  Scene second =
      make_scene(design, options, sheet.second, viewpoints[1].towards_eye, Company::alone);
  second.line_scale = 0.45;
  draw_construction(page, design, options, second);
  if (!sheet.person) draw_scale_bar(page, scene, sheet.picture);
  draw_lettering(page, design, sheet);
  return page.to_svg();
}

}  // namespace sixtyfold
