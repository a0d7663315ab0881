#include "engine/structure/connectivity.h"

#include <algorithm>
#include <cassert>
#include <numeric>

namespace sixtyfold {

std::vector<int> find_pieces(int copies, const std::vector<Joint>& joints) {
  std::vector<int> parent(static_cast<std::size_t>(copies));
  std::iota(parent.begin(), parent.end(), 0);
  const auto find_root = [&parent](int i) {
    while (parent[static_cast<std::size_t>(i)] != i) {
      int& up = parent[static_cast<std::size_t>(i)];
      i = up = parent[static_cast<std::size_t>(up)];  // halves the path
    }
    return i;
  };
  for (const Joint& joint : joints) {
    assert(0 <= joint.panels[0] && joint.panels[0] < copies);
    assert(0 <= joint.panels[1] && joint.panels[1] < copies);
    const int a = find_root(joint.panels[0]), b = find_root(joint.panels[1]);
    parent[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
  }
  // Roots are least members, so one pass in order numbers pieces by least copy.
  std::vector<int> piece_of_copy(parent.size());
  int pieces = 0;
  for (int i = 0; i < copies; ++i) {
    const int root = find_root(i);
    piece_of_copy[static_cast<std::size_t>(i)] =
        root == i ? pieces++ : piece_of_copy[static_cast<std::size_t>(root)];
  }
  return piece_of_copy;
}

int count_pieces(int copies, const std::vector<Joint>& joints) {
  const auto piece_of_copy = find_pieces(copies, joints);
  return piece_of_copy.empty() ? 0
                               : 1 + *std::max_element(piece_of_copy.begin(), piece_of_copy.end());
}

}  // namespace sixtyfold
