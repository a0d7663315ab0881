#include "results/gallery/page_shape.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "engine/building/colourings.h"
#include "results/drawings/palette.h"
#include "results/drawings/triangulate.h"
#include "results/drawings/viewpoint.h"

namespace sixtyfold {
namespace {

using nlohmann::ordered_json;

constexpr std::size_t most_ring_points = 300;  // of a panel on the page

// What a screen can show of a ring, and never too many points. Finer than a pixel: an edge that
// ends in another panel, moved by as much as a board is thick, would come out of its far side as
// dots.
Polygon make_screen_ring(const Polygon& ring, double radius_mm) {
  double tolerance = 0.0001 * radius_mm;
  Polygon simple = make_simplified(make_counter_clockwise(ring), tolerance);
  while (simple.size() > most_ring_points) simple = make_simplified(simple, tolerance *= 2);
  return simple;
}

double round_to(double value, double step) { return std::round(value / step) * step; }

/// The folded tabs, each a ring of corners in space.
ordered_json write_tabs(const Panel& panel, const FinishedPart& part) {
  ordered_json tabs = ordered_json::array();
  for (std::size_t i = 0; i < part.plates.size(); ++i) {
    if (part.tab_of[i] < 0) continue;
    ordered_json ring = ordered_json::array();
    for (const Vec3& p : part.plates[i].middle) {
      const Vec3 place = panel.frame.origin + p.x() * panel.frame.x_axis +
                         p.y() * panel.frame.y_axis + p.z() * panel.frame.normal;
      for (int k = 0; k < 3; ++k) ring.push_back(round_to(place[k], 0.1));
    }
    tabs.push_back(ring);
  }
  return tabs;
}

}  // namespace

ordered_json make_page_shape(const Design& design, const std::string& colours_word,
                             const Finished* finished) {
  const double radius = measure_enclosing_radius(design);
  // Bare board can be coloured at a touch: by modules, and where there are none by neighbours.
  const bool is_bare = choose_colours(design, colours_word).colours == 1;
  ColourScheme colours = choose_colours(design, is_bare ? "modules" : colours_word);
  if (colours.colours == 1) colours = choose_colours(design, "neighbours");
  ordered_json shape = {{"radius", round_to(radius, 0.1)}, {"thickness", design.thickness_mm},
                        {"coloured", colours.colours > 1}, {"bare", is_bare},
                        {"palette", panel_colours},        {"orbits", ordered_json::array()}};
  const Vec3 eye = find_viewpoints(design).front().towards_eye;
  for (int k = 0; k < 3; ++k) shape["eye"].push_back(round_to(eye[k], 1e-5));
  shape["axes"] = ordered_json::array();
  for (const Vec3& axis : find_axis_directions(design))
    for (int k = 0; k < 3; ++k) shape["axes"].push_back(round_to(axis[k], 1e-5));
  std::size_t first_copy = 0;
  for (const Orbit& orbit : design.orbits) {
    const Panel& panel = orbit.panel;
    const Polygon outer = make_screen_ring(panel.outline_mm, radius);
    std::vector<Polygon> holes;
    for (const Polygon& hole : panel.holes_mm) {
      Polygon ring = make_screen_ring(hole, radius);
      if (ring.size() >= 3) holes.push_back(std::move(ring));
    }
    const TrianglePatch patch = make_triangles(outer, holes);
    ordered_json item;
    for (const Vec2& p : patch.points)
      for (int k = 0; k < 2; ++k) item["points"].push_back(round_to(p[k], 0.01));
    item["rings"].push_back(outer.size());
    for (const Polygon& hole : holes) item["rings"].push_back(hole.size());
    item["triangles"] = ordered_json::array();
    for (const auto& triangle : patch.triangles)
      for (const int corner : triangle) item["triangles"].push_back(corner);
    for (const Vec3& v :
         {panel.frame.origin, panel.frame.x_axis, panel.frame.y_axis, panel.frame.normal})
      for (int k = 0; k < 3; ++k) item["frame"].push_back(round_to(v[k], 1e-5));
    if (finished) item["tabs"] = write_tabs(panel, finished->parts[shape["orbits"].size()]);
    const Vec3 middle = panel.frame.to_space(measure_centroid(panel.outline_mm));
    for (int k = 0; k < 3; ++k) item["middle"].push_back(round_to(middle[k], 0.01));
    for (const Mat3& copy : orbit.copies) {
      ordered_json columns;
      for (int column = 0; column < 3; ++column)
        for (int row = 0; row < 3; ++row) columns.push_back(round_to(copy(row, column), 1e-6));
      item["copies"].push_back(columns);
      item["colours"].push_back(colours.colour_of[first_copy++]);
    }
    shape["orbits"].push_back(item);
  }
  return shape;
}

}  // namespace sixtyfold
