#pragma once
// Everything a run keeps, each as little as a page needs to draw it and to tell its numbers.

#include <array>
#include <vector>

#include "engine/design.h"
#include "search/choose/design_look.h"
#include "search/keep/pool.h"
#include "search/run/evaluator.h"
#include "search/space/task.h"

namespace sixtyfold {

/// One kept design. Lengths in millimetres; the outline is as fine as a screen can show.
struct MapItem {
  int branch = 0;                  ///< of the task
  std::vector<double> parameters;  ///< in their units, in the branch's order
  Score score;                     ///< complete but for what only an inspection measures
  double quality = 0;              ///< by the run's goals
  bool rigid = true;
  Frame frame;
  std::vector<Vec2> points;  ///< of the outline, then of its windows
  std::vector<int> rings;    ///< how many points each has
  std::vector<std::array<int, 3>> triangles;
  Look look;
};

/// What the items of a branch share.
struct MapBranch {
  std::vector<Mat3> copies;
  Vec3 towards_eye = Vec3::UnitX();  ///< of the drawing
  std::vector<Vec3> axes;            ///< both ends, for a view to snap to
};

/// Measures every find afresh: first the rigid ones, each branch's in the order of the pools.
/// `branches` has one entry for each of the task's; those without a find stay empty.
struct MapItems {
  std::vector<MapItem> items;
  std::vector<MapBranch> branches;
};
MapItems make_map_items(const SearchTask& task, const std::vector<Pool>& pools, std::size_t most,
                        Evaluator& evaluator);

}  // namespace sixtyfold
