#pragma once
// The design file: one JSON document from which any program can rebuild the construction.
// The keys and what they mean: results/design.schema.json.

#include <cstddef>
#include <string>

#include "engine/design.h"

namespace sixtyfold {

/// Bounds of a design file that is read.
inline constexpr std::size_t most_points = 1024;       ///< of one outline, with its holes
inline constexpr std::size_t most_flat_points = 4096;  ///< of the flat pattern
inline constexpr std::size_t most_orbits = 64;         ///< panel types
inline constexpr std::size_t most_copies = 240;        ///< through all orbits: D60h has 240
inline constexpr std::size_t most_corners = 12000;     ///< of all copies: points times copies
/// Inward corners of a part that turn by more than 20 degrees, squared, times all copies. Each is a
/// sharp turn of the saw and makes one more convex piece that those of the others have to clear. Of
/// 8,466 found designs and own parts none has more than 8,640 (12 in 60 copies); ragged edges of a
/// thousand points in ten copies have 2,300,000 and took a minute.
inline constexpr std::size_t most_notch_work = 400000;
inline constexpr std::size_t most_joints = 65536;
inline constexpr double largest_coordinate_mm = 1e6;

/// How far axes and rotations may be from orthonormal, entry by entry of M^T M - 1.
inline constexpr double orthogonality_tolerance = 1e-5;

/// What makes a design too large to be read back: copies, corners, notches; empty when it is not.
std::string find_size_fault(const Design& design);

/// The document, keys in the documented order, one copy or point a line. Doubles read back the
/// same. One orbit is written as `panel` and `copies`, several as `orbits`. An unscored design
/// (score.panels == 0) is written without `score` and `diameter_mm`.
std::string write_design_json(const Design& design);

/// Promises: a known symmetry; at least one orbit; orthonormal right-handed axes, the
/// origin at the foot of the perpendicular from the centre; orthogonal,
/// distinct copies, all those of the symmetry where none are listed; outlines and holes simple and
/// counter-clockwise, holes inside; measured corners laid into the plane nearest to them, how far
/// off they were told in `notes`; joints between existing copies; limits that make sense;
/// everything finite. Keys it does not know are passed over. `where` is the file's name. Throws
/// std::invalid_argument: one sentence with the file, the JSON path and what is allowed.
Design read_design_json(const std::string& bytes, const std::string& where,
                        std::vector<std::string>* notes = nullptr);

}  // namespace sixtyfold
