#pragma once
// Which copies hang together: connected components of the joint graph.

#include <vector>

#include "engine/joint.h"

namespace sixtyfold {

/// piece_of_copy[i] in 0 .. pieces-1, numbered by least copy. Every joint's panels must be in
/// 0 .. copies-1.
std::vector<int> find_pieces(int copies, const std::vector<Joint>& joints);

/// Number of pieces; 0 for no copies.
int count_pieces(int copies, const std::vector<Joint>& joints);

}  // namespace sixtyfold
