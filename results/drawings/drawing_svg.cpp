#include "results/drawings/drawing_svg.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>

#include "engine/building/colourings.h"
#include "engine/building/size_limit.h"
#include "results/drawings/palette.h"
#include "results/drawings/svg_text.h"
#include "results/drawings/viewpoint.h"

namespace sixtyfold {
namespace {

constexpr double unit_mm = 0.01;    // paths are written in whole hundredths of a millimetre
constexpr double detail_mm = 0.03;  // finer outline detail than this is not seen on paper
// From here a person gives the scale. Beside anything smaller a person would take the room: a bar.
constexpr double smallest_tall_mm = 1300;
constexpr double person_mm = 1700;
const std::string ink = ink_colour;
const std::string quiet = std::string("fill=\"") + quiet_ink + "\"";

struct Layout {
  double left, top, right, bottom;  // box for the construction, millimetres on the page
};

// A standing adult of simple shape, one unit tall, feet at the origin, y up.
const char* const person_path =
    "M-24 872C-24 852-32 843-60 834C-98 824-116 806-121 770L-143 600L-151 478C-152 460-128 457-124 "
    "474L-107 600L-87 722L-83 590L-88 480L-71 250L-68 34C-86 26-94 12-90 0L-31 0L-22 250L-4 452L4 "
    "452L22 250L31 0L90 0C94 12 86 26 68 34L71 250L88 480L83 590L87 722L107 600L124 474C128 457 "
    "152 460 151 478L143 600L121 770C116 806 98 824 60 834C32 843 24 852 24 872C40 884 50 908 50 "
    "934C50 972 28 1000 0 1000C-28 1000-50 972-50 934C-50 908-40 884-24 872Z";

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
  double line_width;  // in units
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
  return {mix(colour, ground, 0.5 * far), mix(make_colour(ink), ground, 0.55 * far),
          scene.line_scale * (22 - 13 * std::clamp((depth + 0.6) / 1.4, 0.0, 1.0))};
}

std::string draw_floor_shadow(const Scene& scene) {
  // A light of some breadth: several shadows laid over each other, each faint.
  std::string drawn = "<g fill=\"" + ink + "\" fill-opacity=\"0.036\">\n";
  const Vec3 across = scene.towards_light.unitOrthogonal();
  const Vec3 along = scene.towards_light.cross(across);
  for (int i = 0; i < 10; ++i) {
    const double angle = pi / 5 * i;
    const Vec3 light =
        (scene.towards_light + 0.07 * std::cos(angle) * across + 0.07 * std::sin(angle) * along)
            .normalized();
    const Region shadow = make_clean_region(
        make_floor_shadow(scene.faces, scene.camera, scene.floor_z_mm, light), 0.2);
    drawn += "<path d=\"" + write_path_data(shadow, unit_mm) + "\"/>\n";
  }
  return drawn + "</g>\n";
}

std::string draw_construction(const Design& design, const DrawingOptions& options,
                              const Scene& scene) {
  const std::vector<Region> visible = find_visible_regions(scene.faces, scene.camera);
  std::vector<Region> shadows =
      find_shadow_regions(scene.faces, scene.camera, scene.towards_light, visible);
  const ColourScheme colours = choose_colours(design, options.colours);

  std::string drawn = "<g stroke-linejoin=\"round\" fill-rule=\"evenodd\">\n";
  const std::string silhouette =
      write_path_data(make_clean_region(make_union(visible), detail_mm), unit_mm);
  drawn += "<path d=\"" + silhouette + "\" fill=\"none\" stroke=\"" + ink + "\" stroke-width=\"" +
           write_number(60 * scene.line_scale) + "\"/>\n";
  for (std::size_t i = 0; i < scene.faces.size(); ++i) {
    const std::string data = write_path_data(make_clean_region(visible[i], detail_mm), unit_mm);
    if (data.empty()) continue;
    const Colour base = make_colour(
        colours.colours > 1
            ? panel_colours[static_cast<std::size_t>(colours.colour_of[i]) % panel_colours.size()]
            : board_colour);
    const Tone tone = shade(base, scene.faces[i], scene);
    drawn += "<path d=\"" + data + "\" fill=\"" + to_hex(tone.fill) + "\" stroke=\"" +
             to_hex(tone.line) + "\" stroke-width=\"" + write_number(tone.line_width) + "\"/>\n";
  }
  drawn += "</g>\n";
  for (Region& shadow : shadows) shadow = make_clean_region(shadow, 0.08);
  drawn += "<path fill=\"#141a2e\" fill-opacity=\"0.13\" fill-rule=\"evenodd\" d=\"";
  for (const Region& shadow : shadows) {
    drawn += write_path_data(shadow, unit_mm);
  }
  return drawn + "\"/>\n";
}

std::string draw_person(const Scene& scene) {
  const Vec2 foot = scene.camera.project(scene.person_foot);
  const double tall =
      (scene.camera.project(scene.person_foot + Vec3(0, 0, person_mm)) - foot).norm();
  return "<ellipse cx=\"" + write_number(foot.x()) + "\" cy=\"" + write_number(foot.y()) +
         "\" rx=\"" + write_number(0.13 * tall) + "\" ry=\"" + write_number(0.025 * tall) +
         "\" fill=\"" + ink + "\" fill-opacity=\"0.14\"/>\n<path d=\"" + person_path +
         "\" transform=\"translate(" + write_number(foot.x()) + " " + write_number(foot.y()) +
         ") scale(" + std::to_string(tall / 1000) + " " + std::to_string(-tall / 1000) +
         ")\" fill=\"#cbc4b6\"/>\n";
}

std::string draw_scale_bar(const Scene& scene, const Layout& layout) {
  // The longest of 10, 20, 50, 100 ... mm that is no longer than a third of the construction.
  double length = 1;
  for (double decade = 1; decade < 1e6; decade *= 10)
    for (const double step : {1.0, 2.0, 5.0})
      if (decade * step <= 0.67 * scene.radius_mm) length = decade * step;
  const Vec3 middle(0, 0, scene.floor_z_mm);
  const Vec2 from = scene.camera.project(middle - scene.camera.right * length / 2);
  const Vec2 to = scene.camera.project(middle + scene.camera.right * length / 2);
  const double wide = to.x() - from.x(), x = layout.left, y = layout.bottom + 3;
  return "<path d=\"M" + write_number(x) + " " + write_number(y - 1.2) + "v1.2h" +
         write_number(wide) + "v-1.2\" fill=\"none\" stroke=\"" + ink +
         "\" stroke-width=\"0.3\"/>\n" +
         write_text({x + wide / 2, y + 3.6}, 3, quiet + " text-anchor=\"middle\"",
                    write_number(length) + " mm");
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
  const bool sheet = options.setting == Setting::sheet;
  // Lettering is laid out for a page 200 mm wide and grows with it.
  const double page = std::min(options.width_mm, options.height_mm) / 200;
  const double margin = (sheet ? 12 : 6) * page;
  const Layout layout{margin, (sheet ? 28 : 6) * page, options.width_mm - margin,
                      options.height_mm - (sheet ? 34 : 14) * page};
  const bool person = sheet && 2 * measure_radius(design) >= smallest_tall_mm;
  const std::vector<Viewpoint> viewpoints = find_viewpoints(design);
  const Scene scene = make_scene(design, options, layout, find_eye(options, viewpoints[0]),
                                 person ? Company::person : Company::shadow);
  const std::string title = !options.title.empty() ? options.title
                            : !design.name.empty() ? design.name
                                                   : "Unnamed design";
  const std::vector<std::string> facts = find_facts(design);
  const auto join = [&](std::size_t from, std::size_t to, const char* between) {
    std::string line;
    for (std::size_t i = from; i < std::min(to, facts.size()); ++i)
      line += (i == from ? "" : between) + facts[i];
    return line;
  };

  std::string svg =
      write_svg_head({options.width_mm, options.height_mm}, title, join(0, facts.size(), ", "));
  if (sheet)
    svg += "<rect width=\"" + write_number(options.width_mm) + "\" height=\"" +
           write_number(options.height_mm) + "\" fill=\"" + paper_colour + "\"/>\n";
  const std::string scaled = "<g transform=\"scale(" + write_number(unit_mm) + ")\">\n";
  svg += scaled + draw_floor_shadow(scene) + "</g>\n";
  if (person) svg += draw_person(scene);
  svg += scaled + draw_construction(design, options, scene) + "</g>\n";
  if (sheet) {
    const double side = 38 * page, right = options.width_mm - margin + 4 * page;
    const double bottom = options.height_mm - 7 * page;
    Scene second = make_scene(design, options, {right - side, bottom - side, right, bottom},
                              viewpoints[1].towards_eye, Company::alone);
    second.line_scale = 0.45;
    svg += scaled + draw_construction(design, options, second) + "</g>\n";
    const double foot = options.height_mm - 17 * page;
    svg += std::string("<g font-family=\"") + drawing_fonts + "\" fill=\"" + ink + "\">\n";
    if (!person) svg += draw_scale_bar(scene, layout);
    svg += write_text({margin, 18 * page}, 8.4 * page, "font-weight=\"bold\"", title);
    svg += write_text({margin, 24 * page}, 3.6 * page, quiet,
                      "symmetry " + design.symmetry + (person ? ", person 1.70 m tall" : "") +
                          (design.score.diameter_mm > 0 && is_as_large_as_allowed(design)
                               ? ", as large as allowed"
                               : ""));
    svg += "<path d=\"M" + write_number(margin) + " " + write_number(foot - 8 * page) + "H" +
           write_number(options.width_mm - margin - 40 * page) +
           "\" stroke=\"#c9c1b0\" stroke-width=\"0.25\"/>\n";
    svg += write_text({margin, foot}, 5.2 * page, "font-weight=\"bold\"", join(0, 3, "  \u00b7  "));
    svg += write_text({margin, foot + 6.4 * page}, 3.6 * page, quiet,
                      join(3, facts.size(), "  \u00b7  "));
    svg += "</g>\n";
  }
  return svg + "</svg>\n";
}

}  // namespace sixtyfold
