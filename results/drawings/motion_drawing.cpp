#include "results/drawings/motion_drawing.h"

#include <algorithm>
#include <cmath>

#include "engine/text.h"
#include "results/drawings/drawing_svg.h"
#include "results/drawings/page.h"
#include "results/drawings/palette.h"

namespace sixtyfold {

namespace {

constexpr double page_width_mm = 240, page_height_mm = 150;
constexpr double detail_mm = 0.03;

std::vector<FlatFace> move_faces(std::vector<FlatFace> faces, const FreeMotion& motion,
                                 double share) {
  for (std::size_t i = 0; i < faces.size(); ++i) {
    const Eigen::Isometry3d place = make_displacement(motion, static_cast<int>(i), share);
    faces[i].point = place * faces[i].point;
    faces[i].normal = place.linear() * faces[i].normal;
    for (auto& ring : faces[i].rings)
      for (Vec3& p : ring) p = place * p;
  }
  return faces;
}

/// How far each panel's farthest corner goes, as a share of the farthest of all.
std::vector<double> measure_paths(const std::vector<FlatFace>& rest,
                                  const std::vector<FlatFace>& moved) {
  std::vector<double> paths(rest.size(), 0.0);
  for (std::size_t i = 0; i < rest.size(); ++i)
    for (std::size_t k = 0; k < rest[i].rings[0].size(); ++k)
      paths[i] = std::max(paths[i], (moved[i].rings[0][k] - rest[i].rings[0][k]).norm());
  const double most = *std::max_element(paths.begin(), paths.end());
  for (double& path : paths) path = most > 0 ? path / most : 0;
  return paths;
}

void draw_position(Page& page, const std::vector<FlatFace>& faces, const std::vector<double>& paths,
                   const Camera& camera) {
  const std::vector<Region> visible = find_visible_regions(faces, camera);
  const Vec3 light =
      (-0.62 * camera.right - 0.48 * camera.forward + 1.35 * Vec3::UnitZ()).normalized();
  const Colour board = make_colour(board_colour), strong = make_colour(panel_colours[0]);
  for (std::size_t i = 0; i < faces.size(); ++i) {
    const bool from_front = faces[i].normal.dot(camera.eye - faces[i].point) > 0;
    const double facing = (from_front ? 1 : -1) * faces[i].normal.dot(light);
    Colour colour = mix(board, strong, paths[i]);
    const double bright = 0.84 + 0.18 * std::max(0.0, facing);
    colour = {colour.lightness * bright, colour.a * bright, colour.b * bright};
    page.add_fine(make_clean_region(visible[i], detail_mm), {ink_colour, 0.13, to_hex(colour)});
  }
}

}  // namespace

std::string make_motion_svg(const Design& design, const FreeMotion& motion) {
  const double radius_mm = measure_enclosing_radius(design);
  const std::vector<FlatFace> rest = make_faces(design, detail_mm * 2 * radius_mm / 100);
  const std::vector<FlatFace> ends[2] = {move_faces(rest, motion, -1), move_faces(rest, motion, 1)};
  const std::vector<double> paths = measure_paths(rest, ends[1]);

  Camera camera = make_camera(Vec3::Zero(), 4.2 * radius_mm, to_radians(-76), to_radians(16));
  camera.scale_mm = 1;
  Vec2 low = Vec2::Constant(1e300), high = -low;
  for (const auto* faces : {&rest, &ends[0], &ends[1]})
    for (const FlatFace& face : *faces)
      for (const Vec3& p : face.rings[0]) {
        low = low.cwiseMin(camera.project(p));
        high = high.cwiseMax(camera.project(p));
      }
  camera.scale_mm = std::min(108 / (high - low).x(), 106 / (high - low).y());

  const std::string title =
      (design.name.empty() ? std::string("Unnamed design") : design.name) + " moves";
  Page page({page_width_mm, page_height_mm}, title, motion.sentence);
  page.add_ground(paper_colour);
  camera.centre_mm = Vec2(62, 77) - camera.scale_mm * (low + high) / 2;
  const Region rest_outline =
      make_clean_region(make_union(find_visible_regions(rest, camera)), detail_mm);
  for (int side = 0; side < 2; ++side) {
    Page position(page_width_mm, page_height_mm);
    draw_position(position, ends[side], paths, camera);
    position.add_fine(rest_outline, {ink_colour, 0.3, "", "1.2 0.9"});
    page.add_page(position, {side * (page_width_mm - 124), 0});
  }
  page.add_text({10, 13}, title, {7, TextAt::start, ink_colour, true});
  page.add_text({10, 19}, "one way and the other; dashed: at rest; darker panels move farther",
                {3.2, TextAt::start, quiet_ink});
  page.add_text({10, 140}, motion.sentence, {3.2, TextAt::start, ink_colour});
  return page.to_svg();
}

}  // namespace sixtyfold
