#pragma once
// Plane sections of a body made of balls, ellipsoids of revolution and half-spaces: outlines whose
// arcs lie on the body's surface, so that those of all panels of a construction belong together in
// space.

#include <vector>

#include "engine/shape/frame.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

/// A ball, or one stretched along a unit axis: half axes stretch * radius along it, radius across.
struct Ball {
  Vec3 centre = Vec3::Zero();
  double radius = 1;
  double stretch = 1;
  Vec3 axis = Vec3::UnitZ();
};

/// Points p with normal . p <= distance.
struct HalfSpace {
  Vec3 normal = Vec3::UnitZ();
  double distance = 1;
};

/// What lies in any of the solid balls (everywhere when there are none), in all half-spaces and in
/// none of the hollow balls.
struct Body {
  std::vector<Ball> solids, hollows;
  std::vector<HalfSpace> facets;
};

/// Symmetry that the section and the hub are known to have about the frame's origin; full circles
/// are then divided so that their corners have it, too.
struct SectionSymmetry {
  int fold = 1;
  double mirror_rad = 0;  ///< direction of a mirror line, if there is one
};

struct Section {
  Polygon outline;             ///< counter-clockwise; empty when the hub does not lie in the body
  std::vector<Polygon> holes;  ///< counter-clockwise
};

/// The connected piece of the plane's section that holds the hub. Promises: every corner lies on
/// the surface of a ball or half-space, to rounding, ends of arcs on two; corners along an arc are
/// evenly spaced, so that chords stay within about 0.1 % of the radius of the whole.
/// Only bounded bodies have sections.
void cut_section(const Body& body, const Frame& frame, const Vec2& hub,
                 const SectionSymmetry& symmetry, Section& section);

}  // namespace sixtyfold
