#include "engine/variant/stage.h"

#include <array>

namespace sixtyfold {

std::string name_of(Stage stage) {
  static constexpr std::array<const char*, static_cast<std::size_t>(Stage::count_)> names = {
      "place",    "trim",      "blunt", "join",  "scale",
      "openness", "clearance", "width", "stock", "stiffness"};
  return names.at(static_cast<std::size_t>(stage));
}

}  // namespace sixtyfold
