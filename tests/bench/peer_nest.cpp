#include "tests/bench/peer_nest.h"

#define BOOST_ALLOW_DEPRECATED_HEADERS
#define LIBNEST2D_GEOMETRIES_clipper
#define LIBNEST2D_OPTIMIZER_nlopt
#define LIBNEST2D_THREADING_std

#include <cmath>
#include <ctime>
#include <libnest2d/libnest2d.hpp>

namespace peer_nest {

Result fill_sheet(const Points& part, const Task& task) {
  constexpr double unit = 1000;  // of its whole numbers a millimetre
  ClipperLib::Path path;         // clockwise and closed, as the library wants it
  for (auto p = part.rbegin(); p != part.rend(); ++p)
    path.emplace_back(std::llround(p->first * unit), std::llround(p->second * unit));
  path.push_back(path.front());
  std::vector<libnest2d::Item> parts(static_cast<std::size_t>(task.items), libnest2d::Item(path));
  const double half_turn = 3.14159265358979323846;
  libnest2d::NestConfig<> config;
  config.placer_config.rotations.clear();
  for (int i = 0; i < 4; i += task.quarter_turns ? 1 : 2)
    config.placer_config.rotations.emplace_back(i * half_turn / 2);
  if (!task.centred) {
    config.placer_config.alignment = libnest2d::NfpPlacer::Config::Alignment::BOTTOM_LEFT;
    config.placer_config.starting_point = libnest2d::NfpPlacer::Config::Alignment::BOTTOM_LEFT;
  }
  config.placer_config.parallel = false;
  // The library grows the parts by half the gap, not the sheet; so the sheet is grown here.
  const libnest2d::Box bin(std::llround((task.width + task.gap) * unit),
                           std::llround((task.height + task.gap) * unit));
  Result result;
  const std::clock_t start = std::clock();
  libnest2d::nest(parts, bin, std::llround(task.gap * unit), config);
  result.seconds = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
  for (const libnest2d::Item& item : parts) {
    if (item.binId() != 0) continue;
    Points placed;
    const double angle = double(item.rotation()), c = std::cos(angle), s = std::sin(angle);
    for (const auto& [x, y] : part)
      placed.emplace_back(c * x - s * y + double(item.translation().X) / unit,
                          s * x + c * y + double(item.translation().Y) / unit);
    result.parts.push_back(std::move(placed));
  }
  return result;
}

}  // namespace peer_nest
