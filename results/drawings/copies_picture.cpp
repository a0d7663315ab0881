#include "results/drawings/copies_picture.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/part/part_joints.h"
#include "engine/shape/boolean.h"
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
constexpr const char* tab_colour = "#fbfaf5";

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

namespace {

/// The folded tabs of a copy, as flat faces.
void add_tabs(const Design& design, const Finished& finished, int copy,
              std::vector<FlatFace>& faces) {
  const CopyPlace place = find_copy(design, copy);
  const FinishedPart& part = finished.parts[at(place.orbit)];
  const Frame frame = make_copy_frame(design, copy);
  const auto turn = [&](const Vec3& v) {
    return Vec3(v.x() * frame.x_axis + v.y() * frame.y_axis + v.z() * frame.normal);
  };
  for (std::size_t i = 0; i < part.plates.size(); ++i) {
    if (part.tab_of[i] < 0) continue;
    FlatFace face;
    face.rings.emplace_back();
    for (const Vec3& p : part.plates[i].middle) face.rings[0].push_back(frame.origin + turn(p));
    face.point = face.rings[0][0];
    face.normal = turn(part.plates[i].half).normalized();
    faces.push_back(face);
  }
}

/// Takes away what is too small to be seen, of which ragged edges have much.
void clean_all(std::vector<Region>& regions) {
  for (Region& region : regions) region = make_clean_region(region, 0.03);
}

class Picture {
 public:
  Picture(Page& page, const Box& box, const Design& design, const CopiesPicture& picture)
      : page_(page),
        box_(box),
        design_(design),
        picture_(picture),
        fresh_(picture.fresh.begin(), picture.fresh.end()),
        named_(picture.named.begin(), picture.named.end()) {
    const std::vector<FlatFace> all = make_faces(design, 1.0);
    for (const FlatFace& face : all)
      for (const Vec3& p : face.rings[0]) radius_ = std::max(radius_, p.norm());
    for (const int copy : picture.fresh) {
      const CopyPlace place = find_copy(design, copy);
      middle_ += make_copy_frame(design, copy)
                     .to_space(measure_centroid(design.orbits[at(place.orbit)].panel.outline_mm)) /
                 static_cast<double>(picture.fresh.size());
    }
    for (const int copy : picture.shown) {
      faces_.push_back(all[at(copy)]);
      copy_of_.push_back(copy);
    }
    if (picture.tabs)
      for (const int copy : picture.shown) add_tabs(design, *picture.tabs, copy, faces_);
    tail_ = picture.push ? Vec3(middle_ + *picture.push * (picture.near ? 0.7 : 0.95) * radius_)
                         : middle_;
  }

  void draw() {
    choose_place();
    if (!picture_.near) {
      draw_on(page_);
      return;
    }
    Page content(page_.width_mm(), page_.height_mm());
    draw_on(content);
    page_.add_window(content, Vec2::Zero(), box_);
  }

 private:
  void choose_place() {
    const bool aside = middle_.head<2>().norm() > 0.05 * radius_;
    const double azimuth = aside ? std::atan2(middle_.y(), middle_.x()) : -1.3 - 0.35;
    const double tilt = middle_.norm() > 0.05 * radius_
                            ? std::asin(std::clamp(middle_.z() / middle_.norm(), -1.0, 1.0))
                            : to_radians(20);
    std::vector<std::pair<double, double>> places;  // azimuth, elevation
    if (picture_.look_from == LookFrom::own_axis && middle_.norm() > 0.05 * radius_) {
      places = {{azimuth, tilt}};
      for (const double off : {0.3, 0.6})
        for (const double a : {0.0, 0.5, 1.0, 1.5}) {
          const double up = tilt + off * std::cos(a * pi);
          if (std::abs(up) < 1.5) places.emplace_back(azimuth + off * std::sin(a * pi), up);
        }
    } else {
      const double low = to_radians(8), high = to_radians(50);
      places = {{azimuth + 0.35, std::clamp(tilt + to_radians(8), low, high)}};
      if (!fresh_.empty())
        for (const double off : {-0.35, 0.9, -0.9, 1.5, -1.5, 2.3, -2.3, pi})
          places.emplace_back(azimuth + off, std::clamp(tilt + to_radians(20), low, high));
    }
    const std::size_t wanted =
        picture_.numbers && !picture_.mirrored ? fresh_.size() + named_.size() : 0;
    // Most numbers first, then most to see of what is new.
    const auto counts = [&](std::size_t i) { return i < copy_of_.size() && is_told(copy_of_[i]); };
    double best = -1;
    for (const auto& [azimuth_of, elevation] : places) {
      const Camera camera = find_camera(azimuth_of, elevation);
      std::vector<Region> regions = find_visible_regions(faces_, camera, counts);
      double fresh_mm2 = 0;
      for (std::size_t i = 0; i < copy_of_.size(); ++i)
        if (fresh_.count(copy_of_[i])) fresh_mm2 += measure_region(regions[i]);
      clean_all(regions);
      const std::size_t told = count_told(regions, camera);
      const double enough = 0.1 * box_.size().x() * box_.size().y();
      const double value = static_cast<double>(told) + std::min(1.0, fresh_mm2 / enough);
      if (value <= best) continue;
      best = value, camera_ = camera, regions_ = std::move(regions);
      if (told >= wanted && (fresh_.empty() || fresh_mm2 >= 0.5 * enough)) break;
    }
    std::vector<Region> others =
        find_visible_regions(faces_, camera_, [&](std::size_t i) { return !counts(i); });
    clean_all(others);
    for (std::size_t i = 0; i < faces_.size(); ++i)
      if (!counts(i)) regions_[i] = std::move(others[i]);
  }

  Camera find_camera(double azimuth, double elevation) const {
    Camera camera = make_camera(Vec3::Zero(), 4.2 * radius_, azimuth, elevation);
    camera.scale_mm =
        0.5 * std::min(box_.size().x(), box_.size().y()) / std::tan(std::asin(1 / 4.2));
    camera.centre_mm = (box_.low + box_.high) / 2;
    if (!picture_.close_up) return camera;
    Bounds bounds;
    for (std::size_t i = 0; i < faces_.size(); ++i)
      if (!picture_.near || (i < copy_of_.size() && is_told(copy_of_[i])))
        for (const Vec3& p : faces_[i].rings[0]) bounds.take(camera.project(p));
    if (picture_.push) bounds.take(camera.project(tail_));
    const Vec2 size = (bounds.high - bounds.low).cwiseMax(1e-6);
    const double zoom = (picture_.near ? 0.94 : 1) *
                        std::min(box_.size().x() / size.x(), box_.size().y() / size.y());
    camera.scale_mm *= zoom;
    camera.centre_mm =
        (box_.low + box_.high) / 2 - zoom * ((bounds.low + bounds.high) / 2 - camera.centre_mm);
    return camera;
  }

  bool is_told(int copy) const { return fresh_.count(copy) || named_.count(copy); }

  /// The piece of a visible region in which a number has most room, on the page and clear of the
  /// marks, then its holes; empty when there is none.
  Region find_label_room(const Region& region, const Camera& camera) const {
    Region free = region;
    if (picture_.near)
      free = make_intersection(
          free,
          {{box_.low, {box_.high.x(), box_.low.y()}, box_.high, {box_.low.x(), box_.high.y()}}});
    Region marks;
    for (const auto& [from, to] : picture_.glued_mm) {
      const Vec2 a = camera.project(from), b = camera.project(to);
      if (!((b - a).norm() > 0.1)) continue;
      const Vec2 along = (b - a).normalized(), aside = 0.9 * Vec2(-along.y(), along.x());
      marks.push_back(make_counter_clockwise({a - aside, b - aside, b + aside, a + aside}));
    }
    if (!marks.empty() && !free.empty()) free = make_difference(free, marks);
    Region largest;
    double most = 6.0;
    for (const Polygon& ring : free)
      if (const double area = measure_area(ring); area > most) most = area, largest = {ring};
    if (!largest.empty())
      for (const Polygon& ring : free)
        if (measure_area(ring) < 0) largest.push_back(ring);
    return largest;
  }
  std::size_t count_told(const std::vector<Region>& regions, const Camera& camera) const {
    std::size_t told = 0;
    for (std::size_t i = 0; i < copy_of_.size(); ++i)
      told += static_cast<std::size_t>(is_told(copy_of_[i]) &&
                                       !find_label_room(regions[i], camera).empty());
    return told;
  }

  Vec2 flip(Vec2 p) const {
    if (picture_.mirrored) p.x() = box_.low.x() + box_.high.x() - p.x();
    return p;
  }

  std::string fill_of(std::size_t i) const {
    const bool outside = faces_[i].normal.dot(camera_.eye - faces_[i].point) > 0;
    if (i >= copy_of_.size()) return tab_colour;
    const int copy = copy_of_[i];
    std::string colour = fresh_.empty() || fresh_.count(copy) ? fresh_colour : placed_colour;
    if (!picture_.colour_of.empty() && (fresh_.empty() || fresh_.count(copy)))
      colour = panel_colours[at(picture_.colour_of[at(copy)]) % panel_colours.size()];
    else if (fresh_.empty())
      colour = placed_colour;
    return outside ? colour : to_hex(mix(make_colour(colour), make_colour("#000000"), 0.18));
  }

  void draw_on(Page& page) {
    for (std::size_t i = 0; i < faces_.size(); ++i) {
      Region region = regions_[i];
      if (region.empty()) continue;
      for (Polygon& ring : region)
        for (Vec2& p : ring) p = flip(p);
      const bool is_fresh = i < copy_of_.size() && fresh_.count(copy_of_[i]);
      page.add_region(region, {page_ink, is_fresh ? 0.28 : 0.16, fill_of(i), ""});
    }
    for (const auto& [from, to] : picture_.glued_mm) {
      const Vec2 a = flip(camera_.project(from)), b = flip(camera_.project(to));
      page.add_line(a, b, {"#ffffff", 1.5, "", ""});
      page.add_line(a, b, {mark_colour, 0.9, "", ""});
    }
    if (picture_.push)
      draw_arrow(page, camera_.project(tail_),
                 camera_.project(middle_ + *picture_.push * 0.3 * radius_));
    if (!picture_.numbers || picture_.mirrored) return;
    for (std::size_t i = 0; i < copy_of_.size(); ++i) {
      if (!is_told(copy_of_[i])) continue;
      const Region room = find_label_room(regions_[i], camera_);
      if (room.empty()) continue;
      const auto [seat, free] = find_roomiest_spot(room);
      const double size = std::clamp(1.3 * free, 2.0, 4.4);
      const bool dark = make_colour(fill_of(i)).lightness < 0.6;
      page.add_text(
          seat + Vec2(0, 0.36 * size), std::to_string(copy_of_[i] + 1),
          {size, TextAt::middle, dark ? "#ffffff" : page_ink, fresh_.count(copy_of_[i]) > 0, 0});
    }
  }

  Page& page_;
  const Box box_;
  const Design& design_;
  const CopiesPicture& picture_;
  const std::set<int> fresh_, named_;
  double radius_ = 0;
  Vec3 middle_ = Vec3::Zero(), tail_ = Vec3::Zero();
  std::vector<FlatFace> faces_;  ///< the copies shown, then their tabs
  std::vector<int> copy_of_;
  Camera camera_;
  std::vector<Region> regions_;
};

}  // namespace

void draw_copies(Page& page, const Box& box, const Design& design, const CopiesPicture& picture) {
  if (!picture.shown.empty()) Picture(page, box, design, picture).draw();
}

}  // namespace sixtyfold
