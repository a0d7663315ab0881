#pragma once
// Lattices of one part, or of two: a part and itself turned by half a turn (double lattice,
// Kuperberg and Kuperberg 1990).

#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// No-fit regions of a part with itself and with itself turned by half a turn about the origin.
struct PairRegions {
  std::vector<Polygon> same, turned;

  PairRegions turned_by(double angle_rad) const;
};

/// Parts lie at i a + j b, and turned ones at turned_at + i a + j b (both by their origin). Without
/// turned parts the second half is of plain parts at turned_at.
struct Lattice {
  Vec2 a = Vec2::Zero(), b = Vec2::Zero(), second_at = Vec2::Zero();
  bool second_turned = true;

  double area_per_part() const { return std::abs(cross(a, b)) / 2; }
};

/// Offsets tried from one row to the next.
struct LatticeEffort {
  int offsets = 40;
  int refinements = 0;  ///< halvings of the step about the best offset
};

/// The densest lattices found with rows along x: for every spacing at which a row does not overlap
/// itself, the next rows lie as low as they go, first the turned ones, then plain ones again.
std::vector<Lattice> find_lattices(const PairRegions& regions, const LatticeEffort& effort);

/// The densest with rows in any of `directions` evenly spaced directions or along an edge of a
/// region, refined about the best: at or below the true optimum of density, never above.
Lattice find_densest_lattice(const PairRegions& regions, int directions);

/// The same lattice seen from a frame turned by -angle.
Lattice make_turned(const Lattice& lattice, double angle_rad);

struct LatticePart {
  Vec2 at = Vec2::Zero();  ///< of the origin
  bool second = false;
};

/// The most parts of a lattice that a sheet takes over all shifts of the lattice. `first` and
/// `second` are where the origins of parts and of second parts may lie: boxes of one size. Ordered
/// from left to right.
std::vector<LatticePart> cut_lattice(const Lattice& lattice, const Box& first, const Box& second);

}  // namespace sixtyfold
