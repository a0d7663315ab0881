#include "results/kit/rigging_pages.h"

#include <algorithm>
#include <cmath>

#include "engine/shape/boolean.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

constexpr const char* line_colour = "#7a2e8c";

/// Orthographic: `across` to the right, `upward` up the page.
struct View {
  Vec3 across, upward;
  Vec2 operator()(const Vec3& p) const { return {across.dot(p), -upward.dot(p)}; }
};

void draw_view(Page& page, const Box& box, const Design& design, const Rigging& rigging,
               const View& view, bool with_lengths) {
  std::vector<Polygon> panels;
  Box bounds{Vec2::Constant(1e300), Vec2::Constant(-1e300)};
  const auto take = [&](const Vec2& p) {
    bounds.low = bounds.low.cwiseMin(p), bounds.high = bounds.high.cwiseMax(p);
  };
  for (int copy = 0; copy < count_copies(design); ++copy) {
    const CopyPlace place = find_copy(design, copy);
    const Frame frame = make_copy_frame(design, copy);
    Polygon panel;
    for (const Vec2& p : make_simplified(design.orbits[at(place.orbit)].panel.outline_mm, 1))
      panel.push_back(view(frame.to_space(p))), take(panel.back());
    panels.push_back(make_counter_clockwise(panel));
  }
  take(view(rigging.ring_mm));
  const Vec2 size = (bounds.high - bounds.low).cwiseMax(1);
  const double scale = std::min(box.size().x() / size.x(), box.size().y() / size.y());
  const Vec2 middle = (bounds.low + bounds.high) / 2, centre = (box.low + box.high) / 2;
  const auto place = [&](const Vec2& p) { return Vec2(centre + scale * (p - middle)); };
  const auto place_all = [&](Polygon polygon) {
    for (Vec2& p : polygon) p = place(p);
    return polygon;
  };
  PolygonSet shadow;
  for (const Polygon& panel : panels)
    if (std::abs(measure_area(panel)) > 1) shadow.push_back(panel);
  std::vector<Polygon> rings;
  for (const Polygon& ring : make_union(shadow)) rings.push_back(place_all(ring));
  page.add_region(rings, {"#8d8678", 0.25, "#f6f2e8", ""});
  for (const Polygon& panel : panels) page.add_polygon(place_all(panel), {"#cfc8b8", 0.12, "", ""});
  const Vec2 ring = place(view(rigging.ring_mm));
  for (std::size_t k = 0; k < rigging.points.size(); ++k) {
    const Vec2 hole = place(view(rigging.points[k].point_mm));
    page.add_line(hole, ring, {line_colour, 0.5, "", ""});
  }
  page.add_circle(ring, 1.8, {line_colour, 0.7, "#ffffff", ""});
  for (std::size_t k = 0; k < rigging.points.size(); ++k) {
    const RigPoint& point = rigging.points[k];
    const Vec2 hole = place(view(point.point_mm));
    page.add_circle(hole, 1.1, {line_colour, 0.5, "#ffffff", ""});
    const Vec2 away = hole - ring;
    const Vec2 aside = away.norm() > 1 ? Vec2(3.6 * away.normalized()) : Vec2(0, 3.6);
    page.add_text(hole + aside + Vec2(0, 1.2), name_rig_point(static_cast<int>(k)),
                  {3.6, TextAt::middle, line_colour, true, 0});
    if (with_lengths)
      page.add_text(
          Vec2(box.low.x(), box.low.y() + 4 + 3.9 * static_cast<double>(k)),
          format("%s %.0f mm", name_rig_point(static_cast<int>(k)).c_str(), point.line_mm),
          {3, TextAt::start, line_colour, false, 0});
  }
}

}  // namespace

std::string name_rig_point(int number) { return "P" + std::to_string(number + 1); }

void draw_rigging(PageFlow& flow, const Design& design, const Rigging& rigging,
                  const RiggingOptions& options) {
  if (rigging.points.empty()) {
    flow.paragraph("No holes are proposed: " + rigging.fault +
                   ". Carry it in a net or a cradle, or have a competent person choose other "
                   "points.");
    return;
  }
  const Frame level = make_frame(rigging.up, 0);
  flow.keep(108 + 6.5 * static_cast<double>(rigging.points.size()));
  const double top = flow.take(98), split = flow.left() + 0.56 * flow.width();
  draw_view(flow.page(), {{flow.left() + 4, top + 3}, {split - 8, top + 88}}, design, rigging,
            {level.x_axis, rigging.up}, true);
  draw_view(flow.page(), {{split + 4, top + 3}, {flow.right() - 6, top + 88}}, design, rigging,
            {level.x_axis, level.y_axis}, false);
  const PageText caption{3.1, TextAt::middle, page_quiet, false, 0};
  flow.page().add_text({(flow.left() + split) / 2, top + 95}, "from the side", caption);
  flow.page().add_text({(split + flow.right()) / 2, top + 95}, "from above", caption);
  std::vector<std::vector<std::string>> rows = {
      {"Hole", "Panel", "From the edge", "Line to the ring", "Carries", "Line pulls"}};
  for (std::size_t k = 0; k < rigging.points.size(); ++k) {
    const RigPoint& point = rigging.points[k];
    rows.push_back({name_rig_point(static_cast<int>(k)), std::to_string(point.copy + 1),
                    format("%.0f mm", std::floor(point.edge_mm)), format("%.0f mm", point.line_mm),
                    format("%.0f N", point.upward_n), format("%.0f N", point.line_n)});
  }
  flow.table({1, 1, 1.6, 1.8, 1.2, 1.2}, rows);
  flow.paragraph(format(
      "The holes stand on the template with the numbers of the panels that get them: drill "
      "no others. Each is at least %.0f mm from any edge and clear of what is glued. Through "
      "each a bolt or a shackle with a washer of plywood, 60 mm across, on both faces. The "
      "lines run to one ring above the middle; they lean %.0f degrees at most. Lengths are "
      "from the hole's middle to the ring's: tie them long, and level it by adjusting.",
      options.edge_mm, std::ceil(rigging.most_lean_deg)));
}

}  // namespace sixtyfold
