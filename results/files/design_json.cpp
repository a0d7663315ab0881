#include "results/files/design_json.h"

#include <Eigen/SVD>
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "engine/allowed.h"
#include "engine/contact/symmetry_copies.h"
#include "engine/shape/self_crossing.h"
#include "engine/shape/window.h"
#include "engine/symmetry/point_group.h"
#include "engine/text.h"
#include "results/files/json_writer.h"
#include "results/files/limits_json.h"
#include "results/files/names.h"
#include "results/files/plain_text.h"
#include "results/files/recipe_json.h"
#include "results/files/score_json.h"

namespace sixtyfold {

using nlohmann::ordered_json;

namespace {

constexpr char format_name[] = "sixtyfold-design";
constexpr int format_version = 1;

/// Adding zero turns -0.0 into 0.0: the same value, and people need not wonder.
template <class Vector>
ordered_json to_json(const Vector& vector) {
  ordered_json numbers = ordered_json::array();
  for (const double value : vector) numbers.push_back(value + 0.0);
  return numbers;
}

ordered_json to_json(const Polygon& polygon) {
  ordered_json points = ordered_json::array();
  for (const Vec2& point : polygon) points.push_back(to_json(point));
  return points;
}

ordered_json to_json(const Panel& panel) {
  ordered_json object = {{"origin_mm", to_json(panel.frame.origin)},
                         {"x_axis", to_json(panel.frame.x_axis)},
                         {"y_axis", to_json(panel.frame.y_axis)},
                         {"normal", to_json(panel.frame.normal)},
                         {"outline_mm", to_json(panel.outline_mm)}};
  ordered_json holes = ordered_json::array();
  for (const Polygon& hole : panel.holes_mm) holes.push_back(to_json(hole));
  object["holes_mm"] = holes;
  if (!panel.flat_pattern_mm.empty()) object["flat_pattern_mm"] = to_json(panel.flat_pattern_mm);
  return object;
}

ordered_json to_json(const std::vector<Mat3>& copies) {
  ordered_json list = ordered_json::array();
  for (const Mat3& copy : copies) {
    ordered_json rows = ordered_json::array();
    for (int row = 0; row < 3; ++row) rows.push_back(to_json(Vec3(copy.row(row))));
    list.push_back({{"rotation", rows}});
  }
  return list;
}

ordered_json to_json(const Joint& joint) {
  return {{"panels", {joint.panels[0], joint.panels[1]}},
          {"kind", name_of(joint.kind)},
          {"from_mm", to_json(joint.from_mm)},
          {"to_mm", to_json(joint.to_mm)},
          {"angle_deg", joint.angle_deg}};
}

template <int size>
Eigen::Matrix<double, size, 1> read_vector(const JsonCursor& cursor, double largest) {
  Eigen::Matrix<double, size, 1> vector;
  const auto numbers = cursor.array(size, size);
  for (int i = 0; i < size; ++i)
    vector[i] = numbers[static_cast<std::size_t>(i)].number(-largest, largest);
  return vector;
}

bool is_orthogonal(const Mat3& matrix) {
  return (matrix.transpose() * matrix - Mat3::Identity()).cwiseAbs().maxCoeff() <=
         orthogonality_tolerance;
}

constexpr double least_area_mm2 = 1;

constexpr double most_off_plane = 0.02;  // of the length, of corners that were measured

void check_polygon(const JsonCursor& cursor, const Polygon& polygon) {
  for (std::size_t i = 0; i < polygon.size(); ++i)
    if (polygon[i] == polygon[(i + 1) % polygon.size()])
      cursor.fail("point " + std::to_string(i) +
                  " is given twice in a row; the first point is not repeated at the end");
  if (!is_simple(polygon)) {
    const Vec2 at = find_self_crossing(polygon).value_or(polygon[0]);
    cursor.fail(
        format("crosses or touches itself near (%.1f, %.1f); a simple polygon is needed: move its "
               "points apart there",
               at.x(), at.y()));
  }
  const double area = measure_area(polygon);
  if (!(std::abs(area) >= least_area_mm2))
    cursor.fail("encloses " + std::to_string(std::abs(area)) + " mm2; at least 1 is needed");
  if (!(area > 0)) cursor.fail("runs clockwise seen from the normal; counter-clockwise is needed");
}

Polygon read_polygon(const JsonCursor& cursor, std::size_t most = most_points) {
  Polygon polygon;
  for (const JsonCursor& point : cursor.array(3, most))
    polygon.push_back(read_vector<2>(point, largest_coordinate_mm));
  check_polygon(cursor, polygon);
  return polygon;
}

Frame read_frame(const JsonCursor& panel) {
  Frame frame;
  frame.origin = read_vector<3>(panel.at("origin_mm"), largest_coordinate_mm);
  frame.x_axis = read_vector<3>(panel.at("x_axis"), 2);
  frame.y_axis = read_vector<3>(panel.at("y_axis"), 2);
  frame.normal = read_vector<3>(panel.at("normal"), 2);
  Mat3 axes;
  axes << frame.x_axis, frame.y_axis, frame.normal;
  if (!is_orthogonal(axes))
    panel.fail("x_axis, y_axis and normal must be three unit vectors at right angles");
  if (!(axes.determinant() > 0))
    panel.fail("x_axis, y_axis and normal are left-handed; x_axis x y_axis = normal is needed");
  const double distance = frame.normal.dot(frame.origin);
  const double tolerance = 1e-3 + orthogonality_tolerance * frame.origin.norm();
  if (!(distance >= -tolerance && (frame.origin - distance * frame.normal).norm() <= tolerance))
    panel.at("origin_mm")
        .fail(
            "is not the foot of the perpendicular from the centre: distance times normal, the "
            "normal "
            "pointing away from the centre, is needed");
  return frame;
}

/// A panel of which somebody measured the corners in space: the plane nearest to them by least
/// squares, and the corners dropped onto it.
Panel read_measured_panel(const JsonCursor& cursor, std::vector<std::string>* notes) {
  std::vector<Vec3> corners;
  Vec3 middle = Vec3::Zero();
  for (const JsonCursor& corner : cursor.array(3, most_points))
    middle += corners.emplace_back(read_vector<3>(corner, largest_coordinate_mm));
  middle /= static_cast<double>(corners.size());
  Eigen::Matrix3Xd apart(3, static_cast<Eigen::Index>(corners.size()));
  for (std::size_t i = 0; i < corners.size(); ++i)
    apart.col(static_cast<Eigen::Index>(i)) = corners[i] - middle;
  // The direction of least spread (Eckart and Young 1936).
  const Eigen::JacobiSVD<Eigen::Matrix3Xd> spread(apart, Eigen::ComputeFullU);
  if (!(spread.singularValues()[1] > 1e-6 * spread.singularValues()[0]))
    cursor.fail("lie on one line; the corners of a flat panel are needed");
  Vec3 normal = spread.matrixU().col(2);
  // Seen from outside; through the centre the first corners turn left.
  if (normal.dot(middle) < 0) normal = -normal;
  Panel panel;
  panel.frame = make_frame(normal, normal.dot(middle));
  double worst = 0, length = 0;
  std::size_t worst_corner = 0;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    panel.outline_mm.push_back(panel.frame.to_plane(corners[i]));
    if (const double off = std::abs(panel.frame.height_of(corners[i])); off > worst) {
      worst = off;
      worst_corner = i;
    }
    for (const Vec3& other : corners) length = std::max(length, (corners[i] - other).norm());
  }
  if (!(worst <= most_off_plane * length))
    cursor.fail(
        format("are not flat: corner %zu lies %.1f mm off the plane nearest to them all; "
               "up to %.1f mm (2 %% of their length) is taken for an error of measuring",
               worst_corner, worst, most_off_plane * length));
  if (notes && worst > 1e-3)
    notes->push_back(format(
        "the corners measured lie up to %.2g mm off one plane (corner %zu); they are taken as flat",
        worst, worst_corner));
  panel.outline_mm = make_counter_clockwise(std::move(panel.outline_mm));
  check_polygon(cursor, panel.outline_mm);
  return panel;
}

Panel read_outer_panel(const JsonCursor& cursor, std::vector<std::string>* notes) {
  if (const auto corners = cursor.find("corners_mm")) {
    for (const char* other : {"outline_mm", "origin_mm", "x_axis", "y_axis", "normal", "holes_mm"})
      if (cursor.find(other))
        corners->fail(std::string("stand beside ") + other +
                      "; allowed are measured corners alone, or a frame with an outline in it");
    return read_measured_panel(*corners, notes);
  }
  Panel panel;
  panel.frame = read_frame(cursor);
  panel.outline_mm = read_polygon(cursor.at("outline_mm"));
  return panel;
}

Panel read_panel(const JsonCursor& cursor, std::vector<std::string>* notes) {
  Panel panel = read_outer_panel(cursor, notes);
  if (const auto holes = cursor.find("holes_mm")) {
    std::size_t points = panel.outline_mm.size();
    for (const JsonCursor& hole : holes->array(0, most_points / 3)) {
      panel.holes_mm.push_back(read_polygon(hole));
      points += panel.holes_mm.back().size();
      if (points > most_points)
        holes->fail("outline and holes have more than " + std::to_string(most_points) + " points");
      for (const Vec2& point : panel.holes_mm.back())
        if (!contains(panel.outline_mm, point))
          hole.fail(
              format("leaves the outline by %.1f mm at (%.1f, %.1f); holes lie inside: draw "
                     "it further in, or cut it out of the outline",
                     distance_to_boundary(panel.outline_mm, point), point.x(), point.y()));
    }
    std::size_t hole = 0;
    if (const std::string fault = find_window_fault(panel.outline_mm, panel.holes_mm, hole);
        !fault.empty())
      holes->array(0, most_points / 3)[hole].fail(fault);
  }
  if (const auto pattern = cursor.find("flat_pattern_mm"))
    if (!pattern->array(0, most_flat_points).empty())
      panel.flat_pattern_mm = read_polygon(*pattern, most_flat_points);
  return panel;
}

std::vector<Mat3> read_copies(const JsonCursor& cursor) {
  std::vector<Mat3> copies;
  for (const JsonCursor& copy : cursor.array(1, most_copies)) {
    const JsonCursor rotation = copy.at("rotation");
    Mat3 matrix;
    const auto rows = rotation.array(3, 3);
    for (int row = 0; row < 3; ++row)
      matrix.row(row) = read_vector<3>(rows[static_cast<std::size_t>(row)], 2);
    if (!is_orthogonal(matrix))
      rotation.fail("is not a rotation or reflection; three orthonormal rows are needed");
    const auto is_same = [&](const Mat3& other) {
      return (other - matrix).cwiseAbs().maxCoeff() <= orthogonality_tolerance;
    };
    if (const auto same = std::find_if(copies.begin(), copies.end(), is_same); same != copies.end())
      copy.fail("is the same as copy " + std::to_string(same - copies.begin()) +
                "; copies must be distinct");
    copies.push_back(matrix);
  }
  return copies;
}

/// A panel without copies has all those that the symmetry makes.
Orbit read_orbit(const JsonCursor& cursor, const std::string& symmetry,
                 std::vector<std::string>* notes) {
  Orbit orbit;
  orbit.panel = read_panel(cursor.at("panel"), notes);
  if (const auto copies = cursor.find("copies"))
    orbit.copies = read_copies(*copies);
  else
    orbit.copies = make_copies(make_point_group(symmetry), orbit.panel);
  return orbit;
}

std::vector<Orbit> read_orbits(const JsonCursor& root, const std::string& symmetry,
                               std::vector<std::string>* notes) {
  const auto list = root.find("orbits");
  if (!list) return {read_orbit(root, symmetry, notes)};
  if (root.find("panel") || root.find("copies"))
    root.fail("has orbits beside panel or copies; allowed is one or the other");
  std::vector<Orbit> orbits;
  std::size_t copies = 0;
  for (const JsonCursor& orbit : list->array(1, most_orbits)) {
    orbits.push_back(read_orbit(orbit, symmetry, notes));
    copies += orbits.back().copies.size();
    if (copies > most_copies)
      list->fail("has more than " + std::to_string(most_copies) + " copies in all");
  }
  return orbits;
}

std::vector<Joint> read_joints(const JsonCursor& cursor, std::int64_t copies) {
  std::vector<Joint> joints;
  for (const JsonCursor& item : cursor.array(0, most_joints)) {
    Joint joint;
    const auto panels = item.at("panels").array(2, 2);
    for (std::size_t i = 0; i < 2; ++i)
      joint.panels[i] = static_cast<int>(panels[i].integer(0, copies - 1));
    if (joint.panels[0] == joint.panels[1])
      item.fail("joins copy " + std::to_string(joint.panels[0]) +
                " to itself; two different copies are needed");
    const JsonCursor kind = item.at("kind");
    try {
      parse_name(kind.text(), joint.kind);
    } catch (const std::invalid_argument& error) {
      kind.fail(error.what());
    }
    joint.from_mm = read_vector<3>(item.at("from_mm"), largest_coordinate_mm);
    joint.to_mm = read_vector<3>(item.at("to_mm"), largest_coordinate_mm);
    joint.angle_deg = item.at("angle_deg").number(0, 180);
    joints.push_back(joint);
  }
  return joints;
}

std::vector<std::vector<int>> read_order(const JsonCursor& cursor, std::int64_t copies) {
  std::vector<std::vector<int>> order;
  const auto most = static_cast<std::size_t>(copies);
  for (const JsonCursor& step : cursor.array(0, most)) {
    order.emplace_back();
    for (const JsonCursor& copy : step.array(1, most))
      order.back().push_back(static_cast<int>(copy.integer(0, copies - 1)));
  }
  return order;
}

std::string read_symmetry(const JsonCursor& cursor) {
  const std::string symbol = cursor.text();
  if (!is_point_group(symbol))
    cursor.fail("is " + quote(symbol) +
                "; allowed is the Schoenflies symbol of a point group: C1 to C60, D2 to D60, T, O, "
                "I, or one with reflections such as Ih, Th, D5h");
  return symbol;
}

/// See most_notch_work.
std::size_t count_notches(const Polygon& outline) {
  const double side = measure_area(outline) < 0 ? -1 : 1, sharp = to_radians(20);
  const std::size_t count = outline.size();
  std::size_t notches = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const Vec2 in = outline[i] - outline[(i + count - 1) % count],
               out = outline[(i + 1) % count] - outline[i];
    notches += side * std::atan2(cross(in, out), in.dot(out)) < -sharp;
  }
  return notches;
}

}  // namespace

std::string find_size_fault(const Design& design) {
  std::size_t copies = 0, corners = 0;  // of all together
  std::size_t notches = 0;              // most of a part
  for (const Orbit& orbit : design.orbits) {
    std::size_t own = orbit.panel.outline_mm.size();
    for (const Polygon& hole : orbit.panel.holes_mm) own += hole.size();
    corners += own * orbit.copies.size();
    copies += orbit.copies.size();
    notches = std::max(notches, count_notches(orbit.panel.outline_mm));
  }
  if (corners > most_corners)
    return sixtyfold::format(
        "the outlines of all copies have %zu corners together; at most %zu are allowed", corners,
        most_corners);
  if (copies > most_copies)
    return sixtyfold::format("has %zu copies in all; at most %zu are allowed", copies, most_copies);
  if (notches * notches * copies <= most_notch_work) return "";
  return sixtyfold::format(
      "an outline has %zu sharp notches; at most %.0f are allowed with %zu copies", notches,
      std::floor(std::sqrt(static_cast<double>(most_notch_work) / static_cast<double>(copies))),
      copies);
}

std::string write_design_json(const Design& design) {
  ordered_json document = {{"format", format_name},
                           {"version", format_version},
                           {"name", design.name},
                           {"symmetry", design.symmetry},
                           {"thickness_mm", design.thickness_mm}};
  if (!design.material.empty()) document["material"] = design.material;
  if (!design.found_in.empty()) document["found_in"] = design.found_in;
  if (design.score.panels > 0) document["diameter_mm"] = design.score.diameter_mm;
  if (design.orbits.size() == 1) {
    document["panel"] = to_json(design.orbits[0].panel);
    document["copies"] = to_json(design.orbits[0].copies);
  } else {
    ordered_json orbits = ordered_json::array();
    for (const Orbit& orbit : design.orbits)
      orbits.push_back({{"panel", to_json(orbit.panel)}, {"copies", to_json(orbit.copies)}});
    document["orbits"] = orbits;
  }
  ordered_json joints = ordered_json::array();
  for (const Joint& joint : design.joints) joints.push_back(to_json(joint));
  document["joints"] = joints;
  if (!design.order.empty()) document["order"] = design.order;
  document["limits"] = write_limits_json(design.limits);
  document["recipe"] = write_recipe_json(design.recipe);
  if (design.score.panels > 0) document["score"] = write_score_json(design.score);
  return write_json(document);
}

Design read_design_json(const std::string& bytes, const std::string& where,
                        std::vector<std::string>* notes) {
  const JsonCursor root = JsonCursor::parse(bytes, where);
  const JsonCursor format = root.at("format");
  if (const std::string name = format.text(); name != format_name)
    format.fail("is " + quote(name) + "; " + quote(format_name) + " is needed");
  root.at("version").integer(format_version, format_version);

  Design design;
  design.symmetry = read_symmetry(root.at("symmetry"));
  design.thickness_mm =
      root.at("thickness_mm").number(allowed::thickness.low, allowed::thickness.high);
  design.orbits = read_orbits(root, design.symmetry, notes);
  if (const auto name = root.find("name")) design.name = make_plain_text(name->text());
  if (const auto material = root.find("material"))
    design.material = make_plain_text(material->text());
  if (const auto found_in = root.find("found_in"))
    design.found_in = make_plain_text(found_in->text());
  if (const std::string fault = find_size_fault(design); !fault.empty()) root.fail(fault);
  std::int64_t copies = 0;
  for (const Orbit& orbit : design.orbits) copies += static_cast<std::int64_t>(orbit.copies.size());
  if (const auto joints = root.find("joints")) design.joints = read_joints(*joints, copies);
  if (const auto order = root.find("order")) design.order = read_order(*order, copies);
  if (const auto limits = root.find("limits")) design.limits = read_limits_json(*limits);
  design.limits.thickness_mm = design.thickness_mm;
  if (const auto recipe = root.find("recipe")) design.recipe = read_recipe_json(*recipe);
  if (const auto score = root.find("score")) design.score = read_score_json(*score);
  return design;
}

}  // namespace sixtyfold
