#include "tests/support/polygon_oracle.h"

// GCC 12 takes a rescaling factor of Boost 1.74 for uninitialised.
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#define BOOST_ALLOW_DEPRECATED_HEADERS
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>

namespace sixtyfold::oracle {

namespace {

namespace bg = boost::geometry;
using Point = bg::model::d2::point_xy<double>;
using Shape = bg::model::polygon<Point, false>;

Shape to_boost(const Polygon& polygon) {
  Shape shape;
  for (const Vec2& p : polygon) bg::append(shape, Point(p.x(), p.y()));
  bg::correct(shape);
  return shape;
}

}  // namespace

double overlap_area(const Polygon& a, const Polygon& b) {
  std::vector<Shape> common;
  bg::intersection(to_boost(a), to_boost(b), common);
  double area = 0;
  for (const Shape& shape : common) area += bg::area(shape);
  return area;
}

double distance(const Polygon& a, const Polygon& b) {
  const Shape shape_a = to_boost(a), shape_b = to_boost(b);
  return bg::intersects(shape_a, shape_b) ? 0 : bg::distance(shape_a, shape_b);
}

AreaWithHoles measure_with_holes(const Polygon& outline, const std::vector<Polygon>& holes) {
  Shape shape = to_boost(outline);
  for (const Polygon& hole : holes) {
    shape.inners().emplace_back();
    for (const Vec2& p : hole) shape.inners().back().push_back(Point(p.x(), p.y()));
  }
  bg::correct(shape);
  Point middle;
  bg::centroid(shape, middle);
  return {bg::area(shape), Vec2(middle.x(), middle.y())};
}

}  // namespace sixtyfold::oracle
