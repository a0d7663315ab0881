#pragma once
// Windows: what may be cut out of a part at a frame's width from its outline, clear of all that has
// to stay.

#include <span>
#include <string>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// Board that stays: all within `half_mm` of the segment.
struct KeptStrip {
  Vec2 from_mm = Vec2::Zero(), to_mm = Vec2::Zero();
  double half_mm = 0;
};

struct WindowOptions {
  double frame_mm = 40;   ///< from the outline, and half as wide are the bridges that hold islands
  double bridge_mm = 25;  ///< between two windows
  /// Radius that a blade follows into every corner of a window (common practice, no published
  /// source: a jigsaw's blade turns in 10 mm and more).
  double corner_mm = 12;
  double chord_mm = 0.05;        ///< that chords stand off curves
  double least_area_mm2 = 2500;  ///< of a window; what is smaller is not worth its started hole
};

/// Frames are at least so wide: six thicknesses (common practice, no published source), and what
/// tips and necks have to be and a millimetre.
double find_least_frame(double thickness_mm, double min_width_mm);

/// Promises, to 0.2 mm:
///  1. windows are simple, counter-clockwise, inside the outline and outside each other;
///  2. all of a window lies frame_mm or more from the outline, bridge_mm from other windows,
///  half_mm
///     from each strip;
///  3. a disc of radius corner_mm can be rolled inside it along all of its border;
///  4. its area is at least least_area_mm2;
///  5. what is left is one piece: an island is held by bridges along the lines of its strips, or is
///     not cut free;
///  6. an outline and strips that are carried into themselves have windows that are;
///  7. curves have chords that stand off them by at most three times chord_mm.
/// Of two windows too close to each other the larger stays, of two alike none. At most 32 windows
/// of at most 600 points, else none at all. The outline is simple and counter-clockwise.
std::vector<Polygon> cut_windows(const Polygon& outline_mm, std::span<const KeptStrip> strips,
                                 const WindowOptions& options);

/// Empty when the windows lie inside the outline and apart from each other, borders not even
/// touching; else what is wrong with the first that does not, and its number in `window`. All loops
/// are simple.
std::string find_window_fault(const Polygon& outline_mm, std::span<const Polygon> windows_mm,
                              std::size_t& window);

}  // namespace sixtyfold
