#include "tests/support/plates.h"

#include <Eigen/LU>
#include <Eigen/SVD>
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "engine/structure/connectivity.h"

namespace sixtyfold {

PanelBody make_body(const std::vector<Vec3>& polygon) {
  Vec3 normal = Vec3::Zero();
  for (std::size_t i = 1; i + 1 < polygon.size(); ++i)
    normal += (polygon[i] - polygon[0]).cross(polygon[i + 1] - polygon[0]);
  normal.normalize();
  const Frame frame = make_frame(normal, normal.dot(polygon[0]));
  Polygon flat;
  for (const Vec3& p : polygon) flat.push_back(frame.to_plane(p));
  return measure_body(frame, flat);
}

Plates make_polyhedron(const PointGroup& group, const Vec3& normal) {
  std::vector<Vec3> normals;
  for (const Mat3& g : group.elements) {
    const Vec3 image = g * normal.normalized();
    if (std::none_of(normals.begin(), normals.end(),
                     [&](const Vec3& n) { return (n - image).norm() < 1e-9; }))
      normals.push_back(image);
  }
  Plates plates;
  const std::size_t count = normals.size();
  for (std::size_t i = 0; i < count; ++i)
    for (std::size_t j = i + 1; j < count; ++j)
      for (std::size_t k = j + 1; k < count; ++k) {
        Mat3 rows;
        rows << normals[i].transpose(), normals[j].transpose(), normals[k].transpose();
        if (std::abs(rows.determinant()) < 1e-9) continue;
        const Vec3 point = rows.inverse() * Vec3::Ones();
        const auto outside = [&](const Vec3& n) { return n.dot(point) > 1 + 1e-9; };
        const auto same = [&](const Vec3& v) { return (v - point).norm() < 1e-7; };
        if (std::none_of(normals.begin(), normals.end(), outside) &&
            std::none_of(plates.vertices.begin(), plates.vertices.end(), same))
          plates.vertices.push_back(point);
      }
  for (const Vec3& n : normals) {
    const Frame frame = make_frame(n, 1);
    std::vector<std::pair<double, int>> around;
    for (std::size_t v = 0; v < plates.vertices.size(); ++v) {
      const Vec2 p = frame.to_plane(plates.vertices[v]);
      if (std::abs(frame.height_of(plates.vertices[v])) < 1e-7)
        around.push_back({std::atan2(p.y(), p.x()), static_cast<int>(v)});
    }
    std::sort(around.begin(), around.end());
    std::vector<int> face;
    for (const auto& [angle, v] : around) face.push_back(v);
    plates.faces.push_back(face);
  }
  return plates;
}

namespace {

/// Faces at each edge, by the edge's sorted vertices.
std::map<std::pair<int, int>, std::vector<int>> find_edges(const Plates& plates) {
  std::map<std::pair<int, int>, std::vector<int>> edges;
  for (std::size_t f = 0; f < plates.faces.size(); ++f)
    for (std::size_t i = 0; i < plates.faces[f].size(); ++i) {
      const int a = plates.faces[f][i], b = plates.faces[f][(i + 1) % plates.faces[f].size()];
      edges[{std::min(a, b), std::max(a, b)}].push_back(static_cast<int>(f));
    }
  return edges;
}

Joint make_joint(int i, int j, const Vec3& from, const Vec3& to) {
  Joint joint;
  joint.panels[0] = i;
  joint.panels[1] = j;
  joint.kind = JointKind::edge;
  joint.from_mm = from;
  joint.to_mm = to;
  joint.angle_deg = 90;
  return joint;
}

}  // namespace

std::vector<std::pair<int, int>> find_adjacent_faces(const Plates& plates) {
  std::vector<std::pair<int, int>> pairs;
  for (const auto& [edge, faces] : find_edges(plates)) pairs.push_back({faces.at(0), faces.at(1)});
  return pairs;
}

Structure make_hinged(const Plates& plates, const std::vector<int>& removed_faces) {
  Structure structure;
  const std::set<int> removed(removed_faces.begin(), removed_faces.end());
  std::vector<int> number(plates.faces.size(), -1);
  for (std::size_t f = 0; f < plates.faces.size(); ++f) {
    if (removed.count(static_cast<int>(f))) continue;
    number[f] = static_cast<int>(structure.bodies.size());
    std::vector<Vec3> polygon;
    for (const int v : plates.faces[f])
      polygon.push_back(plates.vertices[static_cast<std::size_t>(v)]);
    structure.bodies.push_back(make_body(polygon));
  }
  for (const auto& [edge, faces] : find_edges(plates)) {
    if (faces.size() != 2) continue;
    const int i = number[static_cast<std::size_t>(faces[0])],
              j = number[static_cast<std::size_t>(faces[1])];
    if (i >= 0 && j >= 0)
      structure.joints.push_back(
          make_joint(i, j, plates.vertices[static_cast<std::size_t>(edge.first)],
                     plates.vertices[static_cast<std::size_t>(edge.second)]));
  }
  for (const Vec3& v : plates.vertices)
    structure.radius_mm = std::max(structure.radius_mm, v.norm());
  return structure;
}

Structure make_ring(const std::vector<HingeLine>& hinges) {
  Structure structure;
  const int count = static_cast<int>(hinges.size());
  for (int k = 0; k < count; ++k) {
    const HingeLine& hinge = hinges[static_cast<std::size_t>(k)];
    const Vec3 along = hinge.direction.normalized(), side = along.unitOrthogonal();
    const Vec3 corner = hinge.point;
    structure.bodies.push_back(
        make_body({corner, corner + along, corner + along + side, corner + side}));
    structure.joints.push_back(
        make_joint(k, (k + 1) % count, hinge.point - along / 2, hinge.point + along / 2));
  }
  structure.radius_mm = 3;
  return structure;
}

int count_freedoms_by_screws(const Structure& structure) {
  const auto panels = static_cast<Eigen::Index>(structure.bodies.size());
  const auto joints = static_cast<Eigen::Index>(structure.joints.size());
  Eigen::MatrixXd rows = Eigen::MatrixXd::Zero(5 * joints, 6 * panels);
  for (Eigen::Index k = 0; k < joints; ++k) {
    const Joint& joint = structure.joints[static_cast<std::size_t>(k)];
    const Vec3 along = (joint.to_mm - joint.from_mm).normalized();
    Eigen::Matrix<double, 1, 6> screw;  // turning, then velocity of the origin
    screw << along.transpose(), joint.from_mm.cross(along).transpose();
    const Eigen::JacobiSVD<Eigen::MatrixXd> basis(screw, Eigen::ComputeFullV);
    const Eigen::MatrixXd complement = basis.matrixV().rightCols(5).transpose();
    rows.block(5 * k, 6 * joint.panels[0], 5, 6) = complement;
    rows.block(5 * k, 6 * joint.panels[1], 5, 6) = -complement;
  }
  const Eigen::BDCSVD<Eigen::MatrixXd> solver(rows);
  const auto& sigma = solver.singularValues();
  const auto rank = (sigma.array() > 1e-9 * sigma[0]).count();
  const int pieces = count_pieces(static_cast<int>(panels), structure.joints);
  return static_cast<int>(6 * panels - 6 * pieces - rank);
}

}  // namespace sixtyfold
