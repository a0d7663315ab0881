// Counting eigenvalues without finding them, against Eigen's solver.
#include "engine/structure/eigenvalue_count.h"

#include <Eigen/Eigenvalues>
#include <catch2/catch.hpp>

#include "engine/random.h"

using namespace sixtyfold;

namespace {

using Block = double[block_stride * block_stride];

void fill(const Eigen::MatrixXd& from, Block& to) {
  for (double& number : to) number = std::nan("");  // beyond the matrix nothing is read
  for (Eigen::Index i = 0; i < from.rows(); ++i)
    for (Eigen::Index j = 0; j < from.cols(); ++j) to[i * block_stride + j] = from(i, j);
}

}  // namespace

TEST_CASE("as many eigenvalues lie below a number as Eigen finds there", "[structure]") {
  RandomStream random(31, Purpose::test, 0);
  alignas(64) static Block matrix, scratch;
  for (const int size : {1, 2, 3, 5, 6, 12, 18, 23, 24, 30}) {
    CAPTURE(size);
    for (int round = 0; round < 20; ++round) {
      // Half of them with a null space of two.
      const int rank = round % 2 && size > 2 ? size - 2 : size;
      Eigen::MatrixXd rows(rank, size);
      for (double& number : rows.reshaped()) number = random.normal();
      const Eigen::MatrixXd whole = rows.transpose() * rows;
      const Eigen::VectorXd values =
          Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(whole).eigenvalues();
      fill(whole, matrix);
      for (int k = 0; k <= size; ++k) {
        const double low = k == 0 ? values[0] - 1 : values[k - 1];
        const double high = k == size ? values[size - 1] + 1 : values[k];
        if (high - low < 1e-6 * values[size - 1]) continue;
        const double x = low + (high - low) * random.uniform(0.1, 0.9);
        CHECK(count_eigenvalues_below(matrix, size, x, scratch) == k);
      }
    }
  }
}

TEST_CASE("a pivot of nothing is owned up to", "[structure]") {
  alignas(64) static Block matrix, scratch;
  fill(Eigen::MatrixXd{{0, 1}, {1, 0}}, matrix);
  CHECK(count_eigenvalues_below(matrix, 2, 0, scratch) == -1);
  CHECK(count_eigenvalues_below(matrix, 2, 0.5, scratch) == 1);
  fill(Eigen::MatrixXd{{std::nan("")}}, matrix);
  CHECK(count_eigenvalues_below(matrix, 1, 0, scratch) == -1);
}
