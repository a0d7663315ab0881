#include "engine/building/plate_runs.h"

#include <algorithm>

namespace sixtyfold {

namespace {
constexpr std::size_t plates_each = 8;
}

EnclosingBall find_ball(const StandingPlate* const* first, std::size_t count) {
  EnclosingBall ball;
  for (std::size_t i = 0; i < count; ++i)
    ball.centre += first[i]->centre / static_cast<double>(count);
  for (std::size_t i = 0; i < count; ++i)
    ball.radius_mm =
        std::max(ball.radius_mm, (first[i]->centre - ball.centre).norm() + first[i]->radius_mm);
  return ball;
}

std::vector<PlateRun> make_plate_runs(const std::vector<const StandingPlate*>& plates) {
  std::vector<PlateRun> runs;
  for (std::size_t begin = 0; begin < plates.size(); begin += plates_each) {
    const std::size_t end = std::min(begin + plates_each, plates.size());
    runs.push_back({begin, end, find_ball(plates.data() + begin, end - begin)});
  }
  return runs;
}

std::vector<const StandingPlate*> point_to(const std::vector<StandingPlate>& plates) {
  std::vector<const StandingPlate*> all;
  for (const StandingPlate& plate : plates) all.push_back(&plate);
  return all;
}

}  // namespace sixtyfold
