#pragma once
// A finite point group: its elements as orthogonal matrices, and the tables made from them once.

#include <cstdint>
#include <string>
#include <vector>

#include "engine/vectors.h"

namespace sixtyfold {

/// Promises: elements[0] is the identity; `multiply` is closed; order() <= 240; the same symbol
/// always gives the same elements in the same order, to the last bit.
struct PointGroup {
  std::string
      symbol;  ///< Schoenflies: C1 C2.. D2.. T O I, and Ci Cs S2n Cnh Cnv Dnh Dnd Th Td Oh Ih
  std::vector<Mat3> elements;          ///< determinant +1 rotations, -1 improper elements
  std::vector<std::uint16_t> product;  ///< product[a * order + b] = a after b (matrix a * b)
  std::vector<std::uint16_t> inverse;  ///< inverse[a]

  int order() const { return static_cast<int>(elements.size()); }
  int multiply(int a, int b) const {
    return product[static_cast<std::size_t>(a) * elements.size() + static_cast<std::size_t>(b)];
  }
  int invert(int a) const { return inverse[static_cast<std::size_t>(a)]; }
  bool is_involution(int a) const { return a != 0 && invert(a) == a; }
};

/// A rotation axis through the centre: unit direction and order k >= 2. Both ends of an axis are
/// listed apart when no element of the group carries one to the other or -direction to direction.
struct Axis {
  Vec3 direction;
  int order;
};

/// The group of a Schoenflies symbol. Principal axis along z; for D groups a twofold axis along x;
/// T, O, I with twofold axes along x, y, z. n goes to 60.
/// Throws std::invalid_argument: one sentence with the symbol and what is allowed.
PointGroup make_point_group(const std::string& symbol);

/// True where make_point_group would not throw.
bool is_point_group(const std::string& symbol);

/// Least k >= 1 with element^k = identity.
int find_element_order(const PointGroup& group, int element);

/// Conjugacy classes, each sorted, in order of their least element.
std::vector<std::vector<int>> find_classes(const PointGroup& group);

/// One axis direction of each conjugacy class of axes (with ends told apart where they differ).
std::vector<Axis> find_axes(const PointGroup& group);

/// Elements g with g v = v (stabiliser of a vector), sorted.
std::vector<int> find_stabiliser(const PointGroup& group, const Vec3& vector);

}  // namespace sixtyfold
