#pragma once
// The numbers by which coordinates alone are read as contacts and compared with limits. One place,
// with units.

namespace sixtyfold {

/// A boundary within this distance of a meeting line lies on it.
inline constexpr double contact_band_mm = 0.1;

/// A contact counts as a joint from this common length; below it is a touch, reported apart.
inline constexpr double least_joint_mm = 5.0;

/// Distances of copies that are not joined are told up to this many thicknesses.
inline constexpr double clearance_cap = 10;

/// Within this many thicknesses of a corner that two outlines share their distance does not count.
inline constexpr double shared_reach = 3;

/// A measure that misses its limit by less than this meets it: far below what a hand can cut.
inline constexpr double least_difference_mm = 1e-3;

}  // namespace sixtyfold
