#include "engine/contact/cells.h"

#include <algorithm>
#include <cmath>

namespace sixtyfold {

namespace {

constexpr std::int16_t of_box = -3;

struct Line {
  const MeetingLine* line;
  std::int16_t number;
};

/// A convex cell; edge i runs from corner i to corner i + 1 along the line `labels[i]`.
struct Cell {
  Polygon corners;
  std::vector<std::int16_t> labels;
  std::vector<int> neighbours;  ///< beyond each edge, -1: none
  Vec2 centroid = Vec2::Zero();
  double area = 0, reach = 0;  ///< reach: square of the farthest corner's distance from it
  bool is_bounded = true, is_taken = false;
};

/// What is left of a convex polygon on the side of the line where the middle is, `height` over it.
void clip(const Line& by, double height, Cell& cell, Cell& scratch) {
  const double sign = height > 0 ? 1 : -1;
  const std::size_t n = cell.corners.size();
  scratch.corners.clear();
  scratch.labels.clear();
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 &from = cell.corners[i], &to = cell.corners[i + 1 < n ? i + 1 : 0];
    const double a = sign * by.line->height_of(from), b = sign * by.line->height_of(to);
    if (a > 0) {
      scratch.corners.push_back(from);
      scratch.labels.push_back(cell.labels[i]);
    }
    if ((a > 0) == (b > 0)) continue;
    scratch.corners.push_back(from + a / (a - b) * (to - from));
    scratch.labels.push_back(a > 0 ? by.number : cell.labels[i]);
  }
  std::swap(cell.corners, scratch.corners);
  std::swap(cell.labels, scratch.labels);
}

/// Square of the distance to the farthest corner.
double measure_reach(const Cell& cell, const Vec2& from) {
  double square = 0;
  for (const Vec2& p : cell.corners) square = std::max(square, (p - from).squaredNorm());
  return square;
}

class Diagram {
 public:
  Diagram(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines, const Polygon& shape,
          const Vec2& hub, int most_cells)
      : shape_(shape), hub_(hub), most_cells_(static_cast<std::size_t>(most_cells)) {
    for (const Vec2& p : shape) size_ = std::max(size_, (p - hub).norm());
    std::vector<double> heights;
    for (std::size_t e = 0; e < lines.size(); ++e) {
      const auto number = static_cast<std::int16_t>(scheme.line_of[e]);
      const bool is_known = std::any_of(lines_.begin(), lines_.end(),
                                        [&](const Line& l) { return l.number == number; });
      if (!lines[e].exists || is_known) continue;
      lines_.push_back({&lines[e], number});
      heights.push_back(std::abs(lines[e].height_of(hub)));
    }
    // Near ones first: they leave the far ones nothing to cut.
    std::sort(lines_.begin(), lines_.end(), [&](const Line& a, const Line& b) {
      return std::abs(a.line->height_of(hub)) < std::abs(b.line->height_of(hub));
    });
    // Well beyond the shape and the lines that bound the hub's cell.
    std::sort(heights.begin(), heights.end());
    half_ =
        4 * (size_ + (heights.empty() ? 0 : heights[std::min<std::size_t>(heights.size() - 1, 7)]));
  }

  bool is_hub_on_line() const {
    return std::any_of(lines_.begin(), lines_.end(), [&](const Line& l) {
      return std::abs(l.line->height_of(hub_)) < 1e-6 * size_;
    });
  }

  /// False when there are too many.
  bool take_cells() {
    find_cell(hub_);
    if (cells_.empty() || !cells_[0].is_bounded) return false;
    cells_[0].is_taken = true;
    for (std::size_t k = 0; k < cells_.size(); ++k) {
      if (!cells_[k].is_taken) continue;
      for (std::size_t i = 0; i < cells_[k].corners.size(); ++i) {
        if (cells_.size() > most_cells_) return false;
        const Cell& cell = cells_[k];
        const Vec2 &from = cell.corners[i], &to = cell.corners[(i + 1) % cell.corners.size()];
        const Vec2 along = (to - from).normalized(), out(along.y(), -along.x());
        const int beyond = find_cell((from + to) / 2 + 1e-6 * size_ * out);
        cells_[k].neighbours.push_back(beyond);
      }
    }
    return true;
  }

  /// The loop round all taken cells.
  void trace(LabelledOutline& outline) const {
    struct Edge {
      Vec2 from, to;
      std::int16_t label;
      bool is_used = false;
    };
    const double near = 1e-7 * size_;
    std::vector<Edge> border;
    for (const Cell& cell : cells_) {
      if (!cell.is_taken) continue;
      for (std::size_t i = 0; i < cell.corners.size(); ++i) {
        const int beyond = cell.neighbours[i];
        if (beyond >= 0 && cells_[static_cast<std::size_t>(beyond)].is_taken) continue;
        border.push_back(
            {cell.corners[i], cell.corners[(i + 1) % cell.corners.size()], cell.labels[i]});
      }
    }
    double largest = 0;
    for (Edge& first : border) {
      if (first.is_used) continue;
      std::vector<const Edge*> loop;
      Edge* edge = &first;
      while (edge && !edge->is_used) {
        edge->is_used = true;
        loop.push_back(edge);
        Edge* best = nullptr;
        double most = -4;
        for (Edge& next : border) {
          if ((next.from - edge->to).norm() >= near) continue;
          const Vec2 a = edge->to - edge->from, b = next.to - next.from;
          const double turn = std::atan2(cross(a, b), a.dot(b));
          if (turn > most) most = turn, best = &next;
        }
        edge = best;
      }
      if (edge != &first || loop.size() < 3) continue;
      LabelledOutline traced;
      for (std::size_t i = 0; i < loop.size(); ++i) {
        // Straight on along one line there is no corner.
        const Edge& before = *loop[(i + loop.size() - 1) % loop.size()];
        if (before.label == loop[i]->label &&
            std::abs(cross(before.to - before.from, loop[i]->to - loop[i]->from)) <
                1e-9 * size_ * size_)
          continue;
        traced.push(loop[i]->from, loop[i]->label);
      }
      if (const double area = traced.area(); area > largest) {
        largest = area;
        outline = traced;
      }
    }
    // Cells that touch in a corner only make no outline.
    for (std::size_t i = 0; i < outline.size(); ++i)
      for (std::size_t k = 0; k < i; ++k)
        if ((outline.vertex(i) - outline.vertex(k)).norm() < near) return outline.clear();
    // Cells too small to be told may leave a gap.
    if (outline.size() < 3 || !contains(outline.to_polygon(), hub_)) outline.clear();
  }

 private:
  /// Number of the cell round a point, made if need be; -1 for one too small to be told.
  int find_cell(const Vec2& inside) {
    for (std::size_t k = 0; k < cells_.size(); ++k)
      if (holds(cells_[k], inside)) return static_cast<int>(k);
    Cell cell;
    const double half = half_;
    cell.corners = {hub_ + Vec2(-half, -half), hub_ + Vec2(half, -half), hub_ + Vec2(half, half),
                    hub_ + Vec2(-half, half)};
    cell.labels.assign(4, of_box);
    double reach = measure_reach(cell, inside);
    for (const Line& line : lines_) {
      const double height = line.line->height_of(inside);
      if (height * height >= reach) continue;
      clip(line, height, cell, scratch_);
      if (cell.corners.size() < 3) return -1;
      reach = measure_reach(cell, inside);
    }
    // Where several lines meet in one point rounding leaves edges of no length.
    for (std::size_t i = cell.corners.size(); i-- > 0;) {
      const Vec2& to = cell.corners[i + 1 < cell.corners.size() ? i + 1 : 0];
      if ((to - cell.corners[i]).squaredNorm() > 1e-16 * size_ * size_) continue;
      cell.corners.erase(cell.corners.begin() + static_cast<std::ptrdiff_t>(i));
      cell.labels.erase(cell.labels.begin() + static_cast<std::ptrdiff_t>(i));
    }
    if (cell.corners.size() < 3) return -1;
    cell.area = measure_area(cell.corners);
    if (!(cell.area > 1e-6 * size_ * size_)) return -1;
    cell.centroid = measure_centroid(cell.corners);
    cell.reach = measure_reach(cell, cell.centroid);
    cell.is_bounded =
        std::find(cell.labels.begin(), cell.labels.end(), of_box) == cell.labels.end();
    cell.is_taken = cell.is_bounded && contains(shape_, cell.centroid);
    cells_.push_back(std::move(cell));
    return static_cast<int>(cells_.size()) - 1;
  }

  static bool holds(const Cell& cell, const Vec2& p) {
    if ((p - cell.centroid).squaredNorm() > cell.reach) return false;
    for (std::size_t i = 0, n = cell.corners.size(); i < n; ++i) {
      const Vec2 &from = cell.corners[i], &to = cell.corners[i + 1 < n ? i + 1 : 0];
      if (cross(to - from, p - from) < 0) return false;
    }
    return true;
  }

  const Polygon& shape_;
  Vec2 hub_;
  std::size_t most_cells_;
  double size_ = 0, half_ = 0;  ///< of the shape; half the side of the box that cells end at
  std::vector<Line> lines_;
  std::vector<Cell> cells_;
  Cell scratch_;
};

}  // namespace

void join_cells(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines,
                const Polygon& shape, const Vec2& hub, int most_cells, LabelledOutline& outline) {
  outline.clear();
  Diagram diagram(scheme, lines, shape, hub, most_cells);
  if (!diagram.is_hub_on_line() && diagram.take_cells()) diagram.trace(outline);
}

}  // namespace sixtyfold
