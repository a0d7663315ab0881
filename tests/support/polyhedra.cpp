#include "tests/support/polyhedra.h"

#include <cmath>

#include "engine/contact/rebuild.h"

namespace sixtyfold::test {

namespace {

/// Copies of the panel at +z carried to each of the unit normals by the shortest rotation.
std::vector<Mat3> make_rotations(const std::vector<Vec3>& normals) {
  std::vector<Mat3> copies;
  for (const Vec3& n : normals)
    copies.push_back(Eigen::Quaterniond::FromTwoVectors(Vec3::UnitZ(), n).toRotationMatrix());
  return copies;
}

Design make_design(const std::string& symmetry, const Polygon& outline, double inradius,
                   std::vector<Mat3> copies, double thickness) {
  Design design;
  design.symmetry = symmetry;
  design.thickness_mm = thickness;
  Orbit orbit;
  orbit.panel.frame = make_frame(Vec3::UnitZ(), inradius);
  orbit.panel.outline_mm = outline;
  orbit.copies = std::move(copies);
  design.orbits.push_back(orbit);
  design.joints = rebuild(design).joints;
  return design;
}

}  // namespace

Design make_cube(double inradius_mm, double thickness_mm) {
  const double r = inradius_mm;
  std::vector<Mat3> copies =
      make_rotations({Vec3::UnitZ(), Vec3::UnitX(), Vec3::UnitY(), -Vec3::UnitX(), -Vec3::UnitY()});
  copies.push_back(Eigen::AngleAxisd(pi, Vec3::UnitX()).toRotationMatrix());
  return make_design("O", {{-r, -r}, {r, -r}, {r, r}, {-r, r}}, r, copies, thickness_mm);
}

Design make_dodecahedron(double inradius_mm, double thickness_mm) {
  // Face normals: +-z and two rings of five at the angle arctan 2 from the poles; a face is a
  // regular pentagon of inradius r tan(arctan(2)/2) (Coxeter 1973, table I).
  const double tilt = std::atan(2.0), inner = inradius_mm * std::tan(tilt / 2);
  Polygon face;
  for (int k = 0; k < 5; ++k) {
    const double a = 2 * pi * (k + 0.5) / 5;
    face.emplace_back(inner / std::cos(pi / 5) * Vec2(std::cos(a), std::sin(a)));
  }
  std::vector<Mat3> copies{Mat3::Identity()};
  for (int k = 0; k < 5; ++k)
    copies.push_back((Eigen::AngleAxisd(2 * pi * k / 5, Vec3::UnitZ()) *
                      Eigen::AngleAxisd(tilt, Vec3::UnitY()) * Eigen::AngleAxisd(pi, Vec3::UnitZ()))
                         .toRotationMatrix());
  const Mat3 over = Eigen::AngleAxisd(pi, Vec3::UnitY()).toRotationMatrix();
  for (int k = 0; k < 6; ++k) copies.push_back(over * copies[static_cast<std::size_t>(k)]);
  return make_design("I", face, inradius_mm, copies, thickness_mm);
}

Design make_plate_on_plate(double angle_deg, double thickness_mm) {
  Design design;
  design.symmetry = "C1";
  design.thickness_mm = thickness_mm;
  Orbit standing, floor;
  // The standing plate's lower edge is its own x-axis; it rises at the angle from the floor's
  // y-axis.
  const double a = to_radians(angle_deg);
  standing.panel.frame.x_axis = Vec3::UnitX();
  standing.panel.frame.y_axis = Vec3(0, std::cos(a), std::sin(a));
  standing.panel.frame.normal = standing.panel.frame.x_axis.cross(standing.panel.frame.y_axis);
  standing.panel.outline_mm = {{-80, 0}, {80, 0}, {80, 200}, {-80, 200}};
  floor.panel.outline_mm = {{-200, -200}, {200, -200}, {200, 200}, {-200, 200}};
  standing.copies = floor.copies = {Mat3::Identity()};
  design.orbits = {standing, floor};
  design.joints = rebuild(design).joints;
  return design;
}

}  // namespace sixtyfold::test
