#include "results/reports/load_report.h"

#include <nlohmann/json.hpp>
#include <set>

#include "engine/design.h"
#include "engine/text.h"
#include "results/reports/report_line.h"

namespace sixtyfold {

std::string make_load_report(const Design& design, const LoadCase& load_case,
                             const LoadResult& result) {
  const bool hung = load_case.hold == Hold::hung;
  std::set<int> held;  // a copy may stand on two corners
  for (const Support& support : load_case.supports) held.insert(support.panel);
  std::string copies;
  for (const int copy : held) copies += (copies.empty() ? "" : ", ") + std::to_string(copy);
  std::string report = "\n";
  add_report_line(report, hung ? "hung from" : "standing on",
                  std::string(held.size() == 1 ? "copy " : "copies ") + copies +
                      format(", weight %.1f N", result.weight_n));
  if (!result.fault.empty()) {
    add_report_line(report, "", result.fault);
  } else {
    add_report_line(
        report, "deflection",
        format("%.2g mm at most, at copy %d", result.deflection_mm, result.deflected_panel));
    if (result.worst_joint >= 0) {
      const auto worst = static_cast<std::size_t>(result.worst_joint);
      const Joint& joint = design.joints[worst];
      add_report_line(
          report, "glue",
          format("%.3g N per mm at most, where copies %d and %d are joined; strength %.3g N "
                 "per mm",
                 result.joints[worst].peak_n_per_mm, joint.panels[0], joint.panels[1],
                 load_case.glue.strength_n_per_mm));
      add_report_line(report, "reserve", format("%.3g times", result.reserve));
    }
    for (std::size_t i = 0; i < result.reactions_n.size(); ++i)
      add_report_line(
          report, i == 0 ? (hung ? "pull" : "push") : "",
          format("%.2f N at copy %d", result.reactions_n[i], load_case.supports[i].panel));
  }
  report +=
      "\nEstimates for comparing designs: rigid panels, elastic glue and folds, no creep, damp,\n"
      "shock or faults of gluing. They are no load calculation and no permit. What hangs over\n"
      "people, or can fall on them, needs a competent person's judgement, a second independent\n"
      "suspension, and the local rules.\n";
  return report;
}

nlohmann::ordered_json write_load_json(const LoadCase& load_case, const LoadResult& result) {
  nlohmann::ordered_json document = {{"hold", load_case.hold == Hold::hung ? "hung" : "standing"},
                                     {"copies", nlohmann::json::array()},
                                     {"fault", result.fault},
                                     {"weight_n", result.weight_n}};
  for (const Support& support : load_case.supports) document["copies"].push_back(support.panel);
  if (result.fault.empty()) {
    document["deflection_mm"] = result.deflection_mm;
    document["deflected_copy"] = result.deflected_panel;
    document["reactions_n"] = result.reactions_n;
    document["glue_strength_n_per_mm"] = load_case.glue.strength_n_per_mm;
    if (result.worst_joint >= 0) {
      document["largest_glue_force_n_per_mm"] =
          result.joints[static_cast<std::size_t>(result.worst_joint)].peak_n_per_mm;
      document["reserve"] = result.reserve;
    }
  }
  return document;
}

}  // namespace sixtyfold
