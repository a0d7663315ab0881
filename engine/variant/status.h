#pragma once
// How a variant ended: ok, or the limit that it misses.

#include <string>

namespace sixtyfold {

/// In the order in which limits are looked at: a status further down came nearer to ok.
enum class Status {
  ok,
  bad_outline,  ///< fewer than three corners, not finite, hub outside
  hub_lost,     ///< trimming would cut the hub away
  panels,       ///< number of copies outside the limits
  apart,        ///< more than one piece
  sheet,        ///< the flat pattern fits the sheet at no useful scale
  joints,       ///< more joints than allowed
  short_joint,  ///< a joint shorter than min_joint
  angle,        ///< a plane angle outside the limits
  diameter,     ///< smaller than min_diameter
  openness,     ///< too closed or too open
  clearance,    ///< copies that are not joined come closer than the thickness
  narrow,       ///< thinner than min_width
  flexible,     ///< moves, and flexible designs are not wanted
  weak,         ///< stiffness below min_stiffness
  outdone,      ///< a gate saw no use in going on; the later stages are not known
  count_
};

/// One plain sentence, e.g. "a joint is shorter than allowed".
std::string describe(Status status);
/// The status's name in files, e.g. "short_joint".
std::string name_of(Status status);

}  // namespace sixtyfold
