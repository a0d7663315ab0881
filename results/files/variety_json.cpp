#include "results/files/variety_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "results/files/json_writer.h"

namespace sixtyfold {

std::string write_variety_json(const Variety& variety, const std::vector<CurveRow>& curve) {
  using nlohmann::ordered_json;
  const auto number = [](double value) {  // of one design there is no difference
    return std::isfinite(value) ? ordered_json(value) : ordered_json();
  };
  ordered_json groups = ordered_json::object(), rows = ordered_json::array();
  for (const Candidate& candidate : variety.candidates) {
    ordered_json& count = groups[candidate.design.symmetry];
    count = count.is_null() ? 1 : count.get<int>() + 1;
  }
  for (const CurveRow& row : curve)
    rows.push_back({{"variants", row.evaluated}, {"coverage", row.coverage}});
  return write_json({{"format", "sixtyfold-variety"},
                     {"version", 1},
                     {"designs", variety.candidates.size()},
                     {"groups", groups},
                     {"considered", variety.considered},
                     {"look_alikes", variety.duplicates},
                     {"smallest_difference", number(variety.smallest_difference)},
                     {"smallest_difference_by_quality_alone", number(variety.smallest_of_best)},
                     {"coverage", rows}});
}

}  // namespace sixtyfold
