#pragma once
// The design: what the search writes and every other part reads. A plain value.

#include <cstdint>
#include <string>
#include <vector>

#include "engine/joint.h"
#include "engine/limits.h"
#include "engine/score.h"
#include "engine/shape/frame.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

/// The one flat part: its placing in space and its shapes in its own plane.
struct Panel {
  Frame frame;                    ///< origin in millimetres
  Polygon outline_mm;             ///< mid-surface outline after trimming
  std::vector<Polygon> holes_mm;  ///< cut-outs, each counter-clockwise
  Polygon flat_pattern_mm;        ///< what is cut: thickness allowance and tabs; may be empty
};

/// Farthest distance of the panel's outline from the centre.
double measure_reach(const Panel& panel);

/// A panel and all its images. copies[i] is an orthogonal matrix; det -1 is the part turned over.
struct Orbit {
  Panel panel;
  std::vector<Mat3> copies;
};

/// What regenerates the variant.
struct Recipe {
  std::string symmetry = "I";
  std::string plane;   ///< plane type, see search/space/parameter_space.h
  std::string family;  ///< outline family, see engine/shape/outline_family.h
  std::vector<double> parameters;
  std::uint64_t seed = 0, index = 0;
};

struct Design {
  std::string name;
  std::string material;  ///< name of the board it was made for; may be empty
  std::string found_in;  ///< identity of the run or gallery that lists it; may be empty
  std::string symmetry = "I";
  double thickness_mm = 4;
  std::vector<Orbit> orbits;  ///< one for each panel type; at least one
  std::vector<Joint> joints;  ///< copies are numbered through all orbits in order
  /// Copies that each step of putting it together brings; may be empty.
  std::vector<std::vector<int>> order;
  Limits limits;
  Recipe recipe;
  Score score;
};

/// Radius of the enclosing sphere about the centre.
double measure_enclosing_radius(const Design& design);

}  // namespace sixtyfold
