#include "engine/shape/outline_family.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <sstream>
#include <stdexcept>

#include "engine/shape/outline/families.h"

namespace sixtyfold {

std::string OutlineFamily::find_fault(std::span<const double> values) const {
  std::ostringstream text;
  if (values.size() != parameters.size()) {
    text << "outline family " << name << " takes " << parameters.size() << " parameters, not "
         << values.size();
    return text.str();
  }
  for (std::size_t i = 0; i < values.size(); ++i) {
    const Parameter& parameter = parameters[i];
    if (!(parameter.low <= values[i] && values[i] <= parameter.high)) {
      text << "parameter " << parameter.name << " of outline family " << name << " is " << values[i]
           << "; it must lie from " << parameter.low << " to " << parameter.high;
      return text.str();
    }
  }
  return {};
}

Polygon OutlineFamily::draw(std::span<const double> values, int fold) const {
  Polygon outline;
  draw_into(values, fold, outline);
  return outline;
}

void OutlineFamily::draw_into(std::span<const double> values, int fold, Polygon& outline) const {
  assert(find_fault(values).empty());
  assert(1 <= fold && fold <= most_fold);
  outline.clear();
  trace(values, fold, outline);
  double farthest = 0;
  for (const Vec2& vertex : outline) farthest = std::max(farthest, vertex.squaredNorm());
  const double scale = 1 / std::sqrt(farthest);
  for (Vec2& vertex : outline) vertex *= scale;
}

const std::vector<OutlineFamily>& outline_families() {
  static const std::vector<OutlineFamily> families{make_radial_family(), make_straight_family(),
                                                   make_arcs_family(), make_limbs_family(),
                                                   make_blades_family()};
  return families;
}

const OutlineFamily& find_outline_family(const std::string& name) {
  std::string names;
  for (const OutlineFamily& family : outline_families()) {
    if (family.name == name) return family;
    names += (names.empty() ? "" : ", ") + family.name;
  }
  throw std::invalid_argument("no outline family is called '" + name + "'; the families are " +
                              names);
}

}  // namespace sixtyfold
