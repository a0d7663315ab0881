#include "results/files/outline_svg.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <pugixml.hpp>
#include <stdexcept>
#include <string_view>

#include "engine/shape/self_crossing.h"
#include "engine/text.h"
#include "results/files/path_data.h"

namespace sixtyfold {
namespace {

constexpr int deepest = 64;
constexpr double largest_mm = 1e5;

[[noreturn]] void refuse(const std::string& reason) {
  throw std::invalid_argument("the SVG file can not be used: " + reason);
}

// What an error message may show of a hostile string.
std::string quote(std::string_view text) {
  std::string shown;
  for (const char c : text.substr(0, 40)) shown += c >= ' ' && c <= '~' ? c : '?';
  return "'" + shown + (text.size() > 40 ? "...'" : "'");
}

void skip_space(std::string_view& text) {
  while (!text.empty() && std::string_view(" \t\r\n,").find(text.front()) != std::string_view::npos)
    text.remove_prefix(1);
}

std::optional<double> take_number(std::string_view& text) {
  skip_space(text);
  if (!text.empty() && text.front() == '+') text.remove_prefix(1);
  double value = 0;
  const auto [stop, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || !(std::abs(value) <= 1e7)) return std::nullopt;
  text.remove_prefix(static_cast<std::size_t>(stop - text.data()));
  return value;
}

// A length in CSS pixels (1/96 inch). Percentages are of `whole`, which is 0 where none is known.
double read_length(std::string_view text, double whole, const std::string& what) {
  const std::string_view given = text;
  const std::optional<double> value = take_number(text);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  if (!value) refuse(what + " is " + quote(given) + ", not a length");
  constexpr std::pair<std::string_view, double> units[] = {
      {"", 1},    {"px", 1},         {"mm", 96 / 25.4}, {"cm", 96 / 2.54},
      {"in", 96}, {"pt", 96 / 72.0}, {"pc", 16},        {"Q", 96 / 101.6}};
  for (const auto& [name, pixels] : units)
    if (text == name) return *value * pixels;
  if (text == "%" && whole > 0) return *value / 100 * whole;
  refuse(what + " is " + quote(given) + "; the units mm, cm, in, pt, pc, Q and px are understood");
}

Transform2 read_transform(std::string_view text) {
  const std::string_view given = text;
  Transform2 result;
  for (int count = 0;; ++count) {
    skip_space(text);
    if (text.empty()) return result;
    if (count == 100) refuse("a transform has more than 100 steps");
    const std::size_t open = text.find('('), close = text.find(')');
    if (open == std::string_view::npos || close == std::string_view::npos || close < open)
      refuse("a transform is " + quote(given) + ", with a bracket missing");
    std::string_view name = text.substr(0, open), inside = text.substr(open + 1, close - open - 1);
    while (!name.empty() && name.back() == ' ') name.remove_suffix(1);
    text.remove_prefix(close + 1);
    std::vector<double> n;
    while (skip_space(inside), !inside.empty()) {
      const std::optional<double> value = take_number(inside);
      if (!value || n.size() == 6) refuse("a transform is " + quote(given) + ", with a bad number");
      n.push_back(*value);
    }
    Transform2 step;
    if (name == "matrix" && n.size() == 6) {
      step.linear << n[0], n[2], n[1], n[3];
      step.shift = {n[4], n[5]};
    } else if (name == "translate" && (n.size() == 1 || n.size() == 2)) {
      step.shift = {n[0], n.size() == 2 ? n[1] : 0};
    } else if (name == "scale" && (n.size() == 1 || n.size() == 2)) {
      step.linear << n[0], 0, 0, n.size() == 2 ? n[1] : n[0];
    } else if (name == "rotate" && (n.size() == 1 || n.size() == 3)) {
      step.linear = Eigen::Rotation2Dd(to_radians(n[0])).toRotationMatrix();
      if (n.size() == 3) step.shift = Vec2(n[1], n[2]) - step.linear * Vec2(n[1], n[2]);
    } else if (name == "skewX" && n.size() == 1) {
      step.linear(0, 1) = std::tan(to_radians(n[0]));
    } else if (name == "skewY" && n.size() == 1) {
      step.linear(1, 0) = std::tan(to_radians(n[0]));
    } else {
      refuse("a transform is " + quote(given) +
             "; matrix, translate, scale, rotate, skewX and skewY are understood");
    }
    result = result * step;
  }
}

std::string_view local_name(const pugi::xml_node& node) {
  std::string_view name = node.name();
  if (const std::size_t colon = name.find(':'); colon != std::string_view::npos)
    name.remove_prefix(colon + 1);
  return name;
}

bool is_hidden(const pugi::xml_node& node) {
  std::string style;
  for (const char c : std::string_view(node.attribute("style").value()))
    if (c != ' ') style += c;
  return std::string_view(node.attribute("display").value()) == "none" ||
         style.find("display:none") != std::string::npos;
}

// From the file's user units to millimetres with y upwards.
Transform2 read_page(const pugi::xml_node& svg, std::vector<std::string>& notes) {
  constexpr double pixel_mm = 25.4 / 96;
  Transform2 page;
  page.linear << pixel_mm, 0, 0, -pixel_mm;
  std::string_view box = svg.attribute("viewBox").value();
  std::vector<double> b;
  while (skip_space(box), !box.empty()) {
    const std::optional<double> value = take_number(box);
    if (!value || b.size() == 4) refuse("the viewBox is not four numbers");
    b.push_back(*value);
  }
  const pugi::xml_attribute width = svg.attribute("width"), height = svg.attribute("height");
  const auto is_relative = [](const pugi::xml_attribute& a) {
    return !a || std::string_view(a.value()).find('%') != std::string_view::npos;
  };
  if (is_relative(width) || is_relative(height)) {
    notes.push_back("The file states no size: one unit is taken as 1/96 inch (0.2646 mm).");
    return page;
  }
  const double w = read_length(width.value(), 0, "the width of the drawing");
  const double h = read_length(height.value(), 0, "the height of the drawing");
  if (!(w > 0 && h > 0)) refuse("the drawing has no width or no height");
  if (b.empty()) return page;
  if (b.size() != 4 || !(b[2] > 0 && b[3] > 0))
    refuse("the viewBox is not four numbers with a size above 0");
  double sx = w / b[2], sy = h / b[3];
  const std::string_view aspect = svg.attribute("preserveAspectRatio").value();
  if (aspect.find("none") == std::string_view::npos)
    sx = sy = aspect.find("slice") != std::string_view::npos ? std::max(sx, sy) : std::min(sx, sy);
  page.linear << pixel_mm * sx, 0, 0, -pixel_mm * sy;
  return page;
}

class Collector {
 public:
  Collector(const SvgReadOptions& options, std::vector<std::string>& notes)
      : options_(options), notes_(notes) {}

  void visit(const pugi::xml_node& node, const Transform2& outer, int depth) {
    if (depth > deepest) refuse("groups are nested deeper than 64");
    for (const pugi::xml_node& child : node.children()) {
      if (child.type() != pugi::node_element || is_hidden(child)) continue;
      const std::string_view name = local_name(child);
      if (name == "svg") refuse("a drawing within the drawing (nested svg) is not understood");
      if (name == "use" || name == "image" || name == "text") {
        notes_.push_back("An element '" + std::string(name) + "' was left out.");
        continue;
      }
      const bool group = name == "g" || name == "a" || name == "switch";
      if (!group && !is_shape(name)) continue;
      const Transform2 inner = outer * read_transform(child.attribute("transform").value());
      if (group)
        visit(child, inner, depth + 1);
      else
        add_shape(child, name, inner);
    }
  }

  std::vector<Polygon> loops;

 private:
  static bool is_shape(std::string_view name) {
    return name == "path" || name == "polygon" || name == "polyline" || name == "rect" ||
           name == "circle" || name == "ellipse";
  }
  double length(const pugi::xml_node& node, const char* attribute) const {
    const pugi::xml_attribute a = node.attribute(attribute);
    return a ? read_length(a.value(), 0, std::string("the attribute ") + attribute) : 0;
  }
  void add_shape(const pugi::xml_node& node, std::string_view name, const Transform2& to_mm) {
    const double tolerance = options_.tolerance_mm;
    if (name == "path") {
      for (Polygon& loop : make_loops(node.attribute("d").value(), to_mm, tolerance))
        loops.push_back(std::move(loop));
    } else if (name == "polygon" || name == "polyline") {
      std::string_view points = node.attribute("points").value();
      Polygon loop;
      while (skip_space(points), !points.empty()) {
        const std::optional<double> x = take_number(points);
        const std::optional<double> y = x ? take_number(points) : std::nullopt;
        if (!y || loop.size() > options_.most_points)
          refuse("the points of a polygon are not pairs of numbers, or too many");
        loop.push_back(to_mm({*x, *y}));
      }
      loops.push_back(std::move(loop));
    } else if (name == "rect") {
      const double x = length(node, "x"), y = length(node, "y");
      const double w = length(node, "width"), h = length(node, "height");
      double rx = length(node, "rx"), ry = length(node, "ry");
      if (!node.attribute("rx")) rx = ry;
      if (!node.attribute("ry")) ry = rx;
      if (!(w >= 0 && h >= 0 && rx >= 0 && ry >= 0)) refuse("a rect has a negative size");
      rx = std::min(rx, w / 2);
      ry = std::min(ry, h / 2);
      add_rounded(x, y, w, h, rx, ry, to_mm);
    } else {
      const Vec2 centre(length(node, "cx"), length(node, "cy"));
      const Vec2 radii = name == "circle" ? Vec2::Constant(length(node, "r"))
                                          : Vec2(length(node, "rx"), length(node, "ry"));
      if (!(radii.minCoeff() >= 0)) refuse("a circle or ellipse has a negative radius");
      loops.push_back(make_ellipse_loop(centre, radii, to_mm, tolerance));
    }
    if (loops.size() > 1000) refuse("it has more than 1000 closed lines");
  }
  void add_rounded(double x, double y, double w, double h, double rx, double ry,
                   const Transform2& to_mm) {
    Polygon loop;
    const Vec2 corners[] = {
        {x + w - rx, y + ry}, {x + w - rx, y + h - ry}, {x + rx, y + h - ry}, {x + rx, y + ry}};
    const Polygon round = make_ellipse_loop(Vec2::Zero(), {rx, ry}, to_mm, options_.tolerance_mm);
    const int steps = rx > 0 && ry > 0 ? static_cast<int>(round.size() / 4) + 1 : 0;
    for (int corner = 0; corner < 4; ++corner)
      for (int i = 0; i <= steps; ++i) {
        const double angle = pi / 2 * (corner - 1 + (steps ? static_cast<double>(i) / steps : 0));
        loop.push_back(to_mm(corners[corner] + Vec2(rx * std::cos(angle), ry * std::sin(angle))));
      }
    loops.push_back(std::move(loop));
  }

  const SvgReadOptions& options_;
  std::vector<std::string>& notes_;
};

std::optional<Vec2> find_boundaries_meeting(const Polygon& a, const Polygon& b) {
  const Box p = measure_box(a), q = measure_box(b);
  if ((p.high.array() < q.low.array()).any() || (q.high.array() < p.low.array()).any())
    return std::nullopt;
  return find_common_point(a, b);
}

/// A place as somebody finds it in an editor: from the left and the top of all that is drawn.
std::string tell_place(const Vec2& point, const std::vector<Polygon>& drawn) {
  Vec2 corner = point;
  for (const Polygon& loop : drawn)
    for (const Vec2& p : loop) corner = {std::min(corner.x(), p.x()), std::max(corner.y(), p.y())};
  return format("%.1f mm from the left and %.1f mm from the top of what is drawn",
                point.x() - corner.x(), corner.y() - point.y());
}

}  // namespace

TracedPart read_outline_svg(const std::string& bytes, const SvgReadOptions& options) {
  if (!(options.tolerance_mm > 0 && options.tolerance_mm <= 10))
    throw std::invalid_argument("the flattening tolerance must lie above 0 and up to 10 mm");
  if (bytes.find("<!ENTITY") != std::string::npos)
    refuse("it defines entities, which are not read; save it as plain SVG");
  pugi::xml_document document;
  const pugi::xml_parse_result parsed = document.load_buffer(bytes.data(), bytes.size());
  if (!parsed)
    refuse("it is not well-formed XML, at byte " + std::to_string(parsed.offset) + ": " +
           parsed.description());
  const pugi::xml_node svg = document.document_element();
  if (local_name(svg) != "svg") refuse("its root element is not svg");

  TracedPart part;
  Collector collector(options, part.notes);
  const Transform2 page = read_page(svg, part.notes);
  collector.visit(svg, page, 0);

  std::vector<Polygon> loops;
  std::size_t points = 0;
  for (const Polygon& raw : collector.loops) {
    for (const Vec2& p : raw)
      if (!(std::abs(p.x()) <= largest_mm && std::abs(p.y()) <= largest_mm))
        refuse("a point lies more than 100 m from the origin, or nowhere");
    Polygon loop = make_counter_clockwise(make_simplified(raw, 0.01 * options.tolerance_mm));
    // A figure of eight encloses nothing on balance, and still is no stray line.
    const Vec2 size = loop.empty() ? Vec2(0, 0) : measure_box(loop).size();
    if (loop.size() >= 3 && size.x() * size.y() > 4 && !is_simple(loop))
      refuse("an outline crosses or touches itself " +
             tell_place(find_self_crossing(loop).value_or(loop[0]), collector.loops) +
             "; move its points apart there, or unite the shape with itself in the editor");
    if (loop.size() < 3 || !(measure_area(loop) >= 1)) {
      part.notes.push_back("A line that encloses less than 1 mm2 was left out.");
      continue;
    }
    points += loop.size();
    if (points > options.most_points)
      refuse("it has more than " + std::to_string(options.most_points) +
             " points at this tolerance; draw it simpler or allow a larger tolerance");
    loops.push_back(std::move(loop));
  }
  if (loops.empty()) refuse("it has no closed shape: a path, polygon, rect, circle or ellipse");
  std::stable_sort(loops.begin(), loops.end(), [](const Polygon& a, const Polygon& b) {
    return measure_area(a) > measure_area(b);
  });
  for (std::size_t i = 0; i < loops.size(); ++i)
    for (std::size_t j = i + 1; j < loops.size(); ++j) {
      if (loops[i].size() == loops[j].size() && (loops[i][0] - loops[j][0]).norm() < 1e-6 &&
          std::abs(measure_area(loops[i]) - measure_area(loops[j])) < 1e-6)
        refuse("the same line is drawn twice, " + tell_place(loops[j][0], loops) +
               "; delete one of them");
      if (const std::optional<Vec2> at = find_boundaries_meeting(loops[i], loops[j]))
        refuse("two lines cross or touch each other " + tell_place(*at, loops) +
               (i == 0 ? "; draw the hole further in, or take it out of the outline in the editor"
                       : "; draw the two holes apart, or unite them in the editor"));
      const bool inside = contains(loops[i], loops[j][0]);
      if (i == 0 && !inside)
        refuse("it shows several separate parts, a second one " + tell_place(loops[j][0], loops) +
               "; leave one");
      if (i > 0 && inside)
        refuse("a shape lies inside a hole, " + tell_place(loops[j][0], loops) +
               "; it would fall out: delete it");
    }
  const Vec2 centre = measure_centroid(loops[0]);
  for (Polygon& loop : loops)
    for (Vec2& p : loop) p -= centre;
  part.outline_mm = std::move(loops[0]);
  part.holes_mm.assign(std::make_move_iterator(loops.begin() + 1),
                       std::make_move_iterator(loops.end()));
  return part;
}

}  // namespace sixtyfold
