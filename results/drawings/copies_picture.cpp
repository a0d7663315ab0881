#include "results/drawings/copies_picture.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/part/part_joints.h"
#include "engine/shape/hub.h"
#include "results/drawings/drawing_svg.h"
#include "results/drawings/hidden_surface.h"
#include "results/drawings/page_flow.h"
#include "results/drawings/palette.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

constexpr const char* fresh_colour = "#f0a63a";
constexpr const char* placed_colour = "#f1ece0";
constexpr const char* mark_colour = "#d2322a";

struct Bounds {
  Vec2 low = Vec2::Constant(1e300), high = Vec2::Constant(-1e300);
  void take(const Vec2& p) { low = low.cwiseMin(p), high = high.cwiseMax(p); }
};

void draw_arrow(Page& page, const Vec2& from, const Vec2& to) {
  const Vec2 along = (to - from).normalized(), across(-along.y(), along.x());
  const double width = 1.3, head = 4.2;
  if (!((to - from).norm() > 1.2 * head)) return;
  const Vec2 neck = to - head * along;
  page.add_polygon({from + width / 2 * across, neck + width / 2 * across, neck + 1.9 * across, to,
                    neck - 1.9 * across, neck - width / 2 * across, from - width / 2 * across},
                   {"#ffffff", 0.35, page_accent, ""});
}

}  // namespace

void draw_copies(Page& page, const Box& box, const Design& design, const CopiesPicture& picture) {
  const std::vector<int>& shown = picture.shown;
  if (shown.empty()) return;
  const std::vector<FlatFace> all = make_faces(design, 1.0);
  double radius = 0;
  for (const FlatFace& face : all)
    for (const Vec3& p : face.rings[0]) radius = std::max(radius, p.norm());
  // Seen from outside, on the side of what is new.
  Vec3 middle = Vec3::Zero();
  for (const int copy : picture.fresh) {
    const CopyPlace place = find_copy(design, copy);
    middle += make_copy_frame(design, copy)
                  .to_space(measure_centroid(design.orbits[at(place.orbit)].panel.outline_mm)) /
              static_cast<double>(picture.fresh.size());
  }
  const bool aside = middle.head<2>().norm() > 0.05 * radius;
  const double azimuth = aside ? std::atan2(middle.y(), middle.x()) + 0.35 : -1.3;
  const double tilt = middle.norm() > 0.05 * radius
                          ? std::asin(std::clamp(middle.z() / middle.norm(), -1.0, 1.0))
                          : to_radians(20);
  Camera camera = make_camera(Vec3::Zero(), 4.2 * radius, azimuth,
                              std::clamp(tilt + to_radians(8), to_radians(8), to_radians(50)));
  camera.scale_mm = 0.5 * std::min(box.size().x(), box.size().y()) / std::tan(std::asin(1 / 4.2));
  camera.centre_mm = (box.low + box.high) / 2;
  std::vector<FlatFace> faces;
  for (const int copy : shown) faces.push_back(all[at(copy)]);
  const Vec3 tail = picture.push ? Vec3(middle + *picture.push * 0.95 * radius) : middle;
  if (picture.close_up) {
    Bounds bounds;
    for (const FlatFace& face : faces)
      for (const Vec3& p : face.rings[0]) bounds.take(camera.project(p));
    if (picture.push) bounds.take(camera.project(tail));
    const Vec2 size = (bounds.high - bounds.low).cwiseMax(1e-6);
    const double zoom = std::min(box.size().x() / size.x(), box.size().y() / size.y());
    camera.scale_mm *= zoom;
    camera.centre_mm =
        (box.low + box.high) / 2 - zoom * ((bounds.low + bounds.high) / 2 - camera.centre_mm);
  }
  const auto flip = [&](Vec2 p) {
    if (picture.mirrored) p.x() = box.low.x() + box.high.x() - p.x();
    return p;
  };
  const std::vector<Region> regions = find_visible_regions(faces, camera);
  const std::set<int> fresh(picture.fresh.begin(), picture.fresh.end());
  const auto fill_of = [&](std::size_t i) {
    const int copy = shown[i];
    std::string colour = fresh.empty() || fresh.count(copy) ? fresh_colour : placed_colour;
    if (!picture.colour_of.empty() && (fresh.empty() || fresh.count(copy)))
      colour = panel_colours[at(picture.colour_of[at(copy)]) % panel_colours.size()];
    else if (fresh.empty())
      colour = placed_colour;
    const bool outside = faces[i].normal.dot(camera.eye - faces[i].point) > 0;
    return outside ? colour : to_hex(mix(make_colour(colour), make_colour("#000000"), 0.18));
  };
  for (std::size_t i = 0; i < faces.size(); ++i) {
    Region region = make_clean_region(regions[i], 0.03);
    if (region.empty()) continue;
    for (Polygon& ring : region)
      for (Vec2& p : ring) p = flip(p);
    page.add_region(region, {page_ink, fresh.count(shown[i]) ? 0.28 : 0.16, fill_of(i), ""});
  }
  for (const auto& [from, to] : picture.glued_mm) {
    page.add_line(flip(camera.project(from)), flip(camera.project(to)), {"#ffffff", 1.5, "", ""});
    page.add_line(flip(camera.project(from)), flip(camera.project(to)), {mark_colour, 0.9, "", ""});
  }
  if (picture.push)
    draw_arrow(page, camera.project(tail), camera.project(middle + *picture.push * 0.3 * radius));
  if (!picture.numbers || picture.mirrored) return;
  for (std::size_t i = 0; i < faces.size(); ++i) {
    if (!fresh.count(shown[i])) continue;
    const Polygon* largest = nullptr;
    for (const Polygon& ring : regions[i])
      if (measure_area(ring) > (largest ? measure_area(*largest) : 6.0)) largest = &ring;
    if (!largest) continue;
    const Vec2 seat = find_hub(*largest);
    const double size = std::clamp(1.3 * distance_to_boundary(*largest, seat), 2.0, 4.4);
    const bool dark = make_colour(fill_of(i)).lightness < 0.6;
    page.add_text(seat + Vec2(0, 0.36 * size), std::to_string(shown[i] + 1),
                  {size, TextAt::middle, dark ? "#ffffff" : page_ink, true, 0});
  }
}

}  // namespace sixtyfold
