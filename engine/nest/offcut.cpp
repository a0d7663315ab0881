#include "engine/nest/offcut.h"

#include <algorithm>
#include <cmath>

namespace sixtyfold {

namespace {

/// Which cells of a raster any polygon touches.
class Raster {
 public:
  Raster(const Vec2& size, int cells_along_longest)
      : cell_(size.maxCoeff() / cells_along_longest),
        columns_(std::max(1, static_cast<int>(std::ceil(size.x() / cell_ - 1e-9)))),
        rows_(std::max(1, static_cast<int>(std::ceil(size.y() / cell_ - 1e-9)))),
        taken_(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_), 0) {}

  void take(const Polygon& polygon) {
    const Box box = measure_box(polygon);
    for (int row = index(box.low.y(), rows_); row <= index(box.high.y(), rows_); ++row) {
      const double low = row * cell_, high = low + cell_, middle = low + cell_ / 2;
      std::vector<double> crossings;
      for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Vec2& p = polygon[i];
        const Vec2& q = polygon[i + 1 == polygon.size() ? 0 : i + 1];
        const double from = std::clamp(p.y(), low, high), to = std::clamp(q.y(), low, high);
        if (std::max(p.y(), q.y()) < low || std::min(p.y(), q.y()) > high) continue;
        const auto x_at = [&](double y) {
          return p.y() == q.y() ? p.x() : p.x() + (y - p.y()) / (q.y() - p.y()) * (q.x() - p.x());
        };
        const double x0 = x_at(from), x1 = p.y() == q.y() ? q.x() : x_at(to);
        mark(row, std::min(x0, x1), std::max(x0, x1));
        if ((p.y() < middle) != (q.y() < middle)) crossings.push_back(x_at(middle));
      }
      std::sort(crossings.begin(), crossings.end());
      for (std::size_t i = 0; i + 1 < crossings.size(); i += 2)
        mark(row, crossings[i], crossings[i + 1]);
    }
  }

  /// Largest empty rectangle by a histogram a row: O(cells).
  Box find_largest(const Vec2& size) const {
    std::vector<int> height(static_cast<std::size_t>(columns_), 0);
    Box best;
    double most = 0;
    struct Bar {
      int first, height;
    };
    std::vector<Bar> open;  // heights ascending
    for (int row = 0; row < rows_; ++row) {
      const char* taken = &taken_[at(row, 0)];
      for (int c = 0; c < columns_; ++c) {
        int& h = height[static_cast<std::size_t>(c)];
        h = taken[c] ? 0 : h + 1;
      }
      open.assign(1, {0, 0});
      for (int c = 0; c <= columns_; ++c) {
        const int h = c < columns_ ? height[static_cast<std::size_t>(c)] : 0;
        int first = c;
        while (open.back().height > h) {
          const Bar bar = open.back();
          open.pop_back();
          first = bar.first;
          // Cells of the last row and column may stand over the edge.
          if (!((c - bar.first) * bar.height * cell_ * cell_ > most)) continue;
          Box box;
          box.low = {bar.first * cell_, (row + 1 - bar.height) * cell_};
          box.high = Vec2{c * cell_, (row + 1) * cell_}.cwiseMin(size);
          const double area = box.size().prod();
          if (area > most) most = area, best = box;
        }
        if (open.back().height < h) open.push_back({first, h});
      }
    }
    return best;
  }

 private:
  int index(double x, int count) const {
    return std::clamp(static_cast<int>(std::floor(x / cell_)), 0, count - 1);
  }
  std::size_t at(int row, int column) const {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
           static_cast<std::size_t>(column);
  }
  void mark(int row, double from, double to) {
    for (int c = index(from, columns_); c <= index(to, columns_); ++c) taken_[at(row, c)] = 1;
  }

  double cell_;
  int columns_, rows_;
  std::vector<char> taken_;
};

}  // namespace

std::vector<Box> find_offcuts(const std::vector<Polygon>& polygons, const Vec2& size,
                              const OffcutOptions& options) {
  Raster raster(size, options.cells);
  for (const Polygon& polygon : polygons) raster.take(polygon);
  std::vector<Box> offcuts;
  while (static_cast<int>(offcuts.size()) < options.most) {
    const Box box = raster.find_largest(size);
    if (!(box.size().minCoeff() >= options.least_side_mm)) break;
    offcuts.push_back(box);
    raster.take({box.low, {box.high.x(), box.low.y()}, box.high, {box.low.x(), box.high.y()}});
  }
  return offcuts;
}

}  // namespace sixtyfold
