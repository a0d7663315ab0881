#pragma once
// Random symmetric plate structures, and the whole structure that one joint of each orbit stands
// for, made by carrying it round: the slow reference of the symmetry blocks.

#include "engine/random.h"
#include "engine/structure/block_stiffness.h"

namespace sixtyfold {

/// The whole structure; sets joints_per_panel of each orbit by counting its different joints.
Structure make_whole(const PointGroup& group, const Subgroup& stabiliser,
                     SymmetricStructure& symmetric);

/// A random flat panel that the stabiliser maps onto itself, with `orbits` random joints, some of
/// them on segments that an involution maps onto themselves.
SymmetricStructure make_random_symmetric(const PointGroup& group, const Subgroup& stabiliser,
                                         int orbits, RandomStream& random);

}  // namespace sixtyfold
