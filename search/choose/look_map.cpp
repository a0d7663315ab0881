#include "search/choose/look_map.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <numeric>
#include <span>

namespace sixtyfold {

namespace {

struct Block {
  int column, row, columns, rows;
};

/// Coordinates along the two main directions, the larger first.
std::vector<std::array<double, 2>> project(const std::vector<Look>& looks) {
  const auto count = static_cast<Eigen::Index>(looks.size());
  const auto size = static_cast<Eigen::Index>(looks.front().size());
  Eigen::MatrixXd all(count, size);
  for (Eigen::Index i = 0; i < count; ++i)
    all.row(i) =
        Eigen::Map<const Eigen::RowVectorXd>(looks[static_cast<std::size_t>(i)].data(), size);
  const Eigen::RowVectorXd mean = all.colwise().mean();
  all.rowwise() -= mean;
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(all.transpose() * all);
  std::vector<std::array<double, 2>> points(looks.size());
  for (int k = 0; k < 2; ++k) {
    Eigen::VectorXd direction = Eigen::VectorXd::Zero(size);
    if (size > k) direction = solver.eigenvectors().col(size - 1 - k);
    Eigen::Index largest = 0;  // a direction's sign is nobody's: the largest entry is positive
    direction.cwiseAbs().maxCoeff(&largest);
    if (direction(largest) < 0) direction = -direction;
    const Eigen::VectorXd along = all * direction;
    for (std::size_t i = 0; i < points.size(); ++i)
      points[i][static_cast<std::size_t>(k)] = along(static_cast<Eigen::Index>(i));
  }
  return points;
}

void spread(const std::vector<std::array<double, 2>>& points, std::span<int> some,
            const Block& block, std::vector<std::array<int, 2>>& cells) {
  if (some.empty()) return;
  if (block.columns == 1 && block.rows == 1) {
    cells[static_cast<std::size_t>(some.front())] = {block.column, block.row};
    return;
  }
  const bool across = block.columns >= block.rows;
  const std::size_t axis = across ? 0 : 1;
  std::stable_sort(some.begin(), some.end(), [&](int a, int b) {
    return points[static_cast<std::size_t>(a)][axis] < points[static_cast<std::size_t>(b)][axis];
  });
  Block first = block, second = block;
  if (across) {
    first.columns = block.columns / 2;
    second.column += first.columns;
    second.columns -= first.columns;
  } else {
    first.rows = block.rows / 2;
    second.row += first.rows;
    second.rows -= first.rows;
  }
  // As many as the first half's share of the cells, and never more than either half has.
  const auto room = [](const Block& b) { return static_cast<std::size_t>(b.columns * b.rows); };
  std::size_t share = (some.size() * room(first) + room(block) / 2) / room(block);
  share = std::min(share, room(first));
  if (some.size() - share > room(second)) share = some.size() - room(second);
  spread(points, some.first(share), first, cells);
  spread(points, some.subspan(share), second, cells);
}

}  // namespace

LookMap make_look_map(const std::vector<Look>& looks) {
  LookMap map;
  if (looks.empty()) return map;
  const auto count = static_cast<int>(looks.size());
  map.columns = static_cast<int>(std::ceil(std::sqrt(static_cast<double>(count))));
  map.rows = (count + map.columns - 1) / map.columns;
  map.cells.resize(looks.size());
  std::vector<int> all(looks.size());
  std::iota(all.begin(), all.end(), 0);
  spread(project(looks), all, {0, 0, map.columns, map.rows}, map.cells);
  return map;
}

}  // namespace sixtyfold
