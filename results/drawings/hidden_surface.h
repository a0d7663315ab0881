#pragma once
// Exact visibility of flat faces in perspective, and the shadows they cast on each other.
//
// A point of face Q hides a point of face P only from the eye's side of P's plane, and every point
// there does hide what it covers of P. So the visible part of P is its picture minus the pictures
// of all other faces, each cut back to the eye's side of P's plane: one polygon difference a face
// (Weiler and Atherton 1977), exact for faces that touch, lean on or pass through each other, with
// no order to find and no face split into fragments. The planes split space as in the tree of
// Fuchs, Kedem and Naylor 1980; the tree itself is not needed, since every face is compared with
// every other once.

#include <functional>
#include <vector>

#include "engine/shape/polygon.h"
#include "engine/vectors.h"

namespace sixtyfold {

/// A flat face in space. rings[0] is the outer boundary; the others are holes and run the other way
/// round. All points lie in the plane through `point` with unit normal `normal`.
struct FlatFace {
  Vec3 point = Vec3::Zero(), normal = Vec3::UnitZ();
  std::vector<std::vector<Vec3>> rings;
};

/// A pinhole camera. `right`, `up` and `forward` are orthonormal. What it sees must lie in front of
/// the eye.
struct Camera {
  Vec3 eye = Vec3::Zero(), right = Vec3::UnitX(), up = Vec3::UnitZ(), forward = Vec3::UnitY();
  double scale_mm = 100;          ///< picture millimetres of one unit of tangent
  Vec2 centre_mm = Vec2::Zero();  ///< where `forward` meets the picture

  /// Picture coordinates: millimetres, x to the right, y down.
  Vec2 project(const Vec3& p) const {
    const Vec3 from_eye = p - eye;
    const double depth = forward.dot(from_eye);
    return centre_mm + scale_mm / depth * Vec2(right.dot(from_eye), -up.dot(from_eye));
  }
};

/// Camera at `distance` from `target`, seen from azimuth (from the x-axis towards y) and elevation
/// above the horizon; z is up.
Camera make_camera(const Vec3& target, double distance, double azimuth_rad, double elevation_rad);

/// Rings of a region of the picture, in millimetres: outer boundaries have positive shoelace area,
/// holes negative.
using Region = std::vector<Polygon>;

/// The visible region of every face, in the order of `faces`; empty where nothing shows. Faces that
/// overlap in one plane both show. Regions are exact to 1 / `picture_units_per_mm`. Those that are
/// not wanted stay empty; without `is_wanted` all are.
std::vector<Region> find_visible_regions(
    const std::vector<FlatFace>& faces, const Camera& camera,
    const std::function<bool(std::size_t)>& is_wanted = nullptr);

/// The part of every visible region that lies in the shadow of another face, light coming from the
/// unit direction `towards_light`. Faces seen from their unlit side get none: all of it is unlit.
std::vector<Region> find_shadow_regions(const std::vector<FlatFace>& faces, const Camera& camera,
                                        const Vec3& towards_light,
                                        const std::vector<Region>& visible);

/// Shadow of all faces on the level floor z = floor_z_mm. The floor under them must lie before the
/// eye, and the light must stand above the horizon.
Region make_floor_shadow(const std::vector<FlatFace>& faces, const Camera& camera,
                         double floor_z_mm, const Vec3& towards_light);

/// What all the regions together cover.
Region make_union(const std::vector<Region>& regions);

/// Without points closer than tolerance to their neighbours or their neighbours' chord, and
/// without rings smaller than tolerance squared.
Region make_clean_region(const Region& region, double tolerance_mm);

/// Area covered: outer boundaries less holes.
double measure_region(const Region& region);

/// Spacing of the integer grid on which regions are cut.
inline constexpr double picture_units_per_mm = 1e5;

}  // namespace sixtyfold
