#include "results/reports/assembly_report.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "engine/text.h"
#include "results/reports/report_line.h"

namespace sixtyfold {

namespace {

const char* name_of(ComingIn coming_in) {
  switch (coming_in) {
    case ComingIn::straight:
      return "straight";
    case ComingIn::tabs_open:
      return "tabs-open";
    case ComingIn::sprung:
      return "sprung";
    case ComingIn::hard:
      return "hard";
  }
  return "";
}

std::string name_blocks(const AssemblyOrder& order) {
  const ModuleChoice& choice = order.choice();
  const int blocks = static_cast<int>(choice.modules.size());
  if (choice.panels == 1) return count_of(blocks, "panel", "panels") + " one by one";
  return format("%d modules of %s", blocks, describe(choice).c_str());
}

}  // namespace

void add_assembly_lines(std::string& report, const AssemblyOrder& order) {
  std::string hard;
  if (order.hard_steps == 0 && order.spring_steps == 0) {
    hard = "none: every step has a straight way in";
  } else if (order.hard_steps == 0) {
    hard = "none";
  } else {
    hard = format("%d in the order found; ", order.hard_steps);
    hard += order.doubt_deg > 0
                ? format("no order without one, unless by a way narrower than %.2g degrees",
                         order.doubt_deg)
                : "proved: no order of straight pushes has none";
  }
  add_report_line(report, "hard steps", hard + " (" + name_blocks(order) + ")");
  std::string spring = "none";
  if (order.spring_steps > 0) {
    double strain = 0;
    for (const Order* one : {&order.order, &order.in_module})
      for (const OrderStep& step : one->steps) strain = std::max(strain, step.spring.strain);
    spring = format("%d: boards are bent, to a strain of %.2f %% at most", order.spring_steps,
                    100 * strain);
  }
  add_report_line(report, "spring steps", spring);
}

void add_day_lines(std::string& report, const Design& design, const AssemblyOrder& order) {
  const Score& score = design.score;
  const Limits& limits = design.limits;
  if (score.hours >= 0)
    add_report_line(report, "hours",
                    format("%.1f from setting up to hanging, %s at %s, drying and breaks included",
                           score.hours, count_of(limits.people, "person", "people").c_str(),
                           count_of(limits.saws, "saw", "saws").c_str()));
  if (score.module_opening_mm >= 0)
    add_report_line(
        report, "door",
        format("%s passes one %.0f mm wide and 2 m high",
               order.choice().panels == 1 ? "a panel" : "a module", score.module_opening_mm));
  if (score.closure_mm >= 0)
    add_report_line(report, "closure",
                    score.closure_mm < 0.05
                        ? std::string("the last joint misses by nothing, whatever the folds")
                        : format("the last joint misses by up to %.1f mm when folds are off by up "
                                 "to a degree and every step is glued at once",
                                 score.closure_mm));
}

nlohmann::ordered_json write_assembly_json(const AssemblyOrder& order) {
  return {{"hard_steps", order.hard_steps},
          {"spring_steps", order.spring_steps},
          {"proved", order.doubt_deg == 0},
          {"blocks", order.choice().modules.size()},
          {"panels_in_block", order.choice().panels}};
}

std::string make_order_report(const AssemblyPlan& plan) {
  std::string text = "\nOrder:\n";
  int number = 0;
  for (const AssemblyStep& step : plan.steps) {
    std::string copies;
    for (const int copy : step.copies)
      copies += (copies.empty() ? "" : ", ") + std::to_string(copy);
    text += format("%4d  %s %s. ", ++number, step.copies.size() == 1 ? "copy" : "copies",
                   copies.c_str());
    if (number == 1) {
      text += "The base.";
    } else {
      text += describe_way_in(plan, step, 0) + " " +
              count_of(static_cast<int>(step.joints.size()), "joint", "joints") + ".";
    }
    text +=
        step.internal_dof == 0
            ? " Then stiff.\n"
            : " Then " + count_of(step.internal_dof, "movement is", "movements are") + " loose.\n";
  }
  return text;
}

nlohmann::ordered_json write_steps_json(const AssemblyPlan& plan) {
  nlohmann::ordered_json steps = nlohmann::ordered_json::array();
  for (const AssemblyStep& step : plan.steps) {
    nlohmann::ordered_json one = {{"copies", step.copies},
                                  {"joints", step.joints},
                                  {"coming_in", steps.empty() ? "base" : name_of(step.coming_in)},
                                  {"push", {step.push.x(), step.push.y(), step.push.z()}},
                                  {"loose", step.internal_dof}};
    for (const Bend& bend : step.spring.bends)
      one["bends"].push_back({{"copy", bend.copy},
                              {"joint", bend.joint},
                              {"deflection_mm", bend.deflection_mm},
                              {"free_length_mm", bend.free_length_mm},
                              {"strain", bend.strain}});
    steps.push_back(std::move(one));
  }
  return steps;
}

}  // namespace sixtyfold
