#include "results/drawings/board_mesh.h"

#include <algorithm>
#include <cstdint>
#include <limits>
#include <nlohmann/json.hpp>

#include "results/drawings/triangulate.h"

namespace sixtyfold {

namespace {

using nlohmann::ordered_json;

constexpr double finest_mm = 0.02;

/// A prism between two faces `half` above and below flat points; `rings` counts the points of each
/// border, the outer one counter-clockwise and first, the others counter-clockwise, too.
void add_prism(const std::vector<Vec3>& flat, const std::vector<int>& rings,
               const std::vector<std::array<int, 3>>& triangles, const Vec3& half, Mesh& mesh) {
  const int above = static_cast<int>(mesh.points.size());
  const int below = above + static_cast<int>(flat.size());
  for (const Vec3& p : flat) mesh.points.push_back(p + half);
  for (const Vec3& p : flat) mesh.points.push_back(p - half);
  for (const auto& [a, b, c] : triangles) {
    mesh.triangles.push_back({above + a, above + b, above + c});
    mesh.triangles.push_back({below + a, below + c, below + b});
  }
  int first = 0;
  for (std::size_t ring = 0; ring < rings.size(); ++ring) {
    for (int k = 0; k < rings[ring]; ++k) {
      int a = first + k, b = first + (k + 1) % rings[ring];
      if (ring > 0) std::swap(a, b);  // round a window the board lies on the other side
      mesh.triangles.push_back({above + a, below + a, below + b});
      mesh.triangles.push_back({above + a, below + b, above + b});
    }
    first += rings[ring];
  }
}

void add_body(const FlatPattern& pattern, double half_mm, Mesh& mesh) {
  std::vector<Polygon> borders;
  const auto add = [&](const Polygon& ring) {
    const Polygon simple = make_simplified(make_counter_clockwise(ring), finest_mm);
    if (simple.size() >= 3) borders.push_back(simple);
  };
  add(pattern.body_mm);
  if (borders.empty()) return;
  for (const Polygon& hole : pattern.holes_mm) add(hole);
  const TrianglePatch patch = make_triangles(borders.front(), {borders.begin() + 1, borders.end()});
  std::vector<Vec3> flat;
  for (const Vec2& p : patch.points) flat.emplace_back(p.x(), p.y(), 0);
  std::vector<int> rings;
  for (const Polygon& border : borders) rings.push_back(static_cast<int>(border.size()));
  add_prism(flat, rings, patch.triangles, {0, 0, half_mm}, mesh);
}

void add_plate(const ConvexPlate& plate, Mesh& mesh) {
  const int count = static_cast<int>(plate.middle.size());
  if (count < 3) return;
  std::vector<Vec3> middle = plate.middle;
  Vec3 normal = Vec3::Zero();
  for (int k = 1; k + 1 < count; ++k) {
    const auto i = static_cast<std::size_t>(k);
    normal += (middle[i] - middle[0]).cross(middle[i + 1] - middle[0]);
  }
  if (normal.dot(plate.half) < 0) std::reverse(middle.begin(), middle.end());
  std::vector<std::array<int, 3>> fan;
  for (int k = 1; k + 1 < count; ++k) fan.push_back({0, k, k + 1});
  add_prism(middle, {count}, fan, plate.half, mesh);
}

template <class Number>
void append(std::string& bytes, Number number) {
  static_assert(__BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__);
  bytes.append(reinterpret_cast<const char*>(&number), sizeof number);
}

Vec3 to_metres_y_up(const Vec3& p) { return Vec3(p.x(), p.z(), -p.y()) / 1000; }

/// The part's mesh where copy `copy` of its orbit stands.
Mesh place(const Mesh& mesh, const Frame& frame, const Mat3& copy) {
  Mesh placed = mesh;
  for (Vec3& p : placed.points)
    p = copy * (frame.to_space(Vec2(p.x(), p.y())) + p.z() * frame.normal);
  if (copy.determinant() < 0)
    for (auto& triangle : placed.triangles) std::swap(triangle[1], triangle[2]);
  return placed;
}

}  // namespace

Mesh make_part_mesh(const FinishedPart& part, double thickness_mm) {
  Mesh mesh;
  add_body(part.pattern, thickness_mm / 2, mesh);
  for (std::size_t i = 0; i < part.plates.size(); ++i)
    if (part.tab_of[i] >= 0) add_plate(part.plates[i], mesh);
  return mesh;
}

double measure_volume(const Mesh& mesh) {
  double volume = 0;
  for (const auto& [a, b, c] : mesh.triangles) {
    const auto at = [&](int i) -> const Vec3& { return mesh.points[static_cast<std::size_t>(i)]; };
    volume += at(a).dot(at(b).cross(at(c))) / 6;
  }
  return volume;
}

namespace {

/// A copy's turn as glTF has it, in columns, where y points up.
ordered_json make_matrix(const Mat3& copy) {
  ordered_json matrix = ordered_json::array();
  for (int column = 0; column < 3; ++column) {
    Vec3 axis = Vec3::Unit(column);
    axis = copy * Vec3(axis.x(), -axis.z(), axis.y());  // back to z up
    const Vec3 turned(axis.x(), axis.z(), -axis.y());
    for (int k = 0; k < 3; ++k) matrix.push_back(turned[k]);
    matrix.push_back(0);
  }
  for (const int entry : {0, 0, 0, 1}) matrix.push_back(entry);
  return matrix;
}

/// glTF 2.0: what is where in the binary data, and what refers to it by number.
class GltfFile {
 public:
  /// The part's mesh, drawn once for all copies.
  void add_part(const Mesh& mesh);
  /// A copy of the part added last.
  void add_copy(const Mat3& copy);
  /// The binary form: header, JSON, data (glTF 2.0, chapter 4).
  std::string write(const std::string& name) const;

 private:
  void add_view(std::size_t from, int target);
  ordered_json make_document(const std::string& name) const;

  std::string data_;
  ordered_json views_ = ordered_json::array(), accessors_ = ordered_json::array(),
               meshes_ = ordered_json::array(), nodes_ = ordered_json::array(),
               roots_ = ordered_json::array();
};

constexpr int array_buffer = 34962, element_array_buffer = 34963;
constexpr int type_float = 5126, type_unsigned_int = 5125;

/// All data from there on.
void GltfFile::add_view(std::size_t from, int target) {
  views_.push_back({{"buffer", 0},
                    {"byteOffset", from},
                    {"byteLength", data_.size() - from},
                    {"target", target}});
}

void GltfFile::add_part(const Mesh& mesh) {
  const auto view = static_cast<int>(views_.size());
  const std::size_t points_at = data_.size();
  Eigen::Vector3f low = Eigen::Vector3f::Constant(std::numeric_limits<float>::max()), high = -low;
  for (const Vec3& p : mesh.points) {
    const Eigen::Vector3f q = to_metres_y_up(p).cast<float>();
    low = low.cwiseMin(q);
    high = high.cwiseMax(q);
    for (int k = 0; k < 3; ++k) append(data_, q[k]);
  }
  add_view(points_at, array_buffer);
  const std::size_t triangles_at = data_.size();
  for (const auto& triangle : mesh.triangles)
    for (const int corner : triangle) append(data_, static_cast<std::uint32_t>(corner));
  add_view(triangles_at, element_array_buffer);
  accessors_.push_back({{"bufferView", view},
                        {"componentType", type_float},
                        {"count", mesh.points.size()},
                        {"type", "VEC3"},
                        {"min", {low[0], low[1], low[2]}},
                        {"max", {high[0], high[1], high[2]}}});
  accessors_.push_back({{"bufferView", view + 1},
                        {"componentType", type_unsigned_int},
                        {"count", 3 * mesh.triangles.size()},
                        {"type", "SCALAR"}});
  meshes_.push_back(
      {{"name", "part " + std::to_string(meshes_.size() + 1)},
       {"primitives",
        {{{"attributes", {{"POSITION", view}}}, {"indices", view + 1}, {"material", 0}}}}});
}

void GltfFile::add_copy(const Mat3& copy) {
  roots_.push_back(nodes_.size());
  nodes_.push_back({{"name", "panel " + std::to_string(nodes_.size() + 1)},
                    {"mesh", meshes_.size() - 1},
                    {"matrix", make_matrix(copy)}});
}

ordered_json GltfFile::make_document(const std::string& name) const {
  return {{"asset", {{"version", "2.0"}, {"generator", "sixtyfold"}}},
          {"scene", 0},
          {"scenes", {{{"name", name}, {"nodes", roots_}}}},
          {"nodes", nodes_},
          {"meshes", meshes_},
          {"materials",
           {{{"name", "board"},
             {"doubleSided", true},
             {"pbrMetallicRoughness",
              {{"baseColorFactor", {0.72, 0.56, 0.35, 1.0}},
               {"metallicFactor", 0.0},
               {"roughnessFactor", 0.9}}}}}},
          {"accessors", accessors_},
          {"bufferViews", views_},
          {"buffers", {{{"byteLength", data_.size()}}}}};
}

std::string GltfFile::write(const std::string& name) const {
  std::string text =
      make_document(name).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
  text.append((4 - text.size() % 4) % 4, ' ');
  std::string data = data_;
  data.append((4 - data.size() % 4) % 4, '\0');
  std::string file = "glTF";
  append(file, std::uint32_t{2});
  append(file, static_cast<std::uint32_t>(12 + 8 + text.size() + 8 + data.size()));
  append(file, static_cast<std::uint32_t>(text.size()));
  file += "JSON" + text;
  append(file, static_cast<std::uint32_t>(data.size()));
  file += std::string("BIN\0", 4) + data;
  return file;
}

}  // namespace

std::string make_gltf(const Design& design, const Finished& finished) {
  GltfFile file;
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const Orbit& orbit = design.orbits[o];
    file.add_part(place(make_part_mesh(finished.parts[o], design.thickness_mm), orbit.panel.frame,
                        Mat3::Identity()));
    for (const Mat3& copy : orbit.copies) file.add_copy(copy);
  }
  return file.write(design.name);
}

std::string make_stl(const Design& design, const Finished& finished) {
  std::string file = "boards of a construction, millimetres";
  file.resize(80, ' ');
  std::string body;
  std::uint32_t count = 0;
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const Mesh mesh = make_part_mesh(finished.parts[o], design.thickness_mm);
    for (const Mat3& copy : design.orbits[o].copies) {
      const Mesh placed = place(mesh, design.orbits[o].panel.frame, copy);
      for (const auto& triangle : placed.triangles) {
        const auto at = [&](int k) -> const Vec3& {
          return placed.points[static_cast<std::size_t>(triangle[static_cast<std::size_t>(k)])];
        };
        const Vec3 normal = (at(1) - at(0)).cross(at(2) - at(0)).normalized();
        for (int k = 0; k < 3; ++k) append(body, static_cast<float>(normal[k]));
        for (int corner = 0; corner < 3; ++corner)
          for (int k = 0; k < 3; ++k) append(body, static_cast<float>(at(corner)[k]));
        append(body, std::uint16_t{0});
        ++count;
      }
    }
  }
  append(file, count);
  return file + body;
}

}  // namespace sixtyfold
