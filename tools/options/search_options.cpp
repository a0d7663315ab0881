#include "tools/options/search_options.h"

#include "results/files/names.h"
#include "results/files/taste_json.h"
#include "tools/options/arguments.h"
#include "tools/options/options.h"
#include "tools/options/run_options.h"

namespace sixtyfold {

std::vector<CLI::Option*> add_search_options(CLI::App& command, RunPlan& plan, SearchFields fields,
                                             int least_count, int most_count,
                                             const std::string& out_help) {
  std::vector<CLI::Option*> added;
  added.push_back(add_parsed_option(
      command, "--group", "LIST",
      [&plan](const std::string& text) {
        plan.choice.symmetries = parse_groups(text);
        if (plan.choice.symmetries.empty()) plan.choice.symmetries = all_symmetries();
      },
      "symmetry groups such as I,O,T,D5, or any; default I,O,T,Ih,Oh,Td,D3..D7"));
  added.push_back(
      command
          .add_option("--family", plan.choice.families,
                      "outline families: radial, straight, arcs, limbs, blades, carved, cells; "
                      "default all but cells")
          ->delimiter(','));
  added.push_back(add_parsed_option(
      command, "--windows", "WORD",
      [&plan](const std::string& text) { parse_name(text, plan.choice.windows); },
      "windows in the panels, frames kept where joints lie: off, on or both; default off"));
  added.push_back(command
                      .add_option("--plane", plan.choice.planes,
                                  "how planes lie: generic, axis, sector, centre, square, mirror, "
                                  "across, upright, or one of them such as axis-5 or "
                                  "generic-meet; default those that suit how panels are joined")
                      ->delimiter(','));
  added.push_back(
      add_count_option(command, "--count", plan.count, least_count, most_count, "designs wanted"));
  added.push_back(command
                      .add_option_function<std::string>(
                          "--taste",
                          [&plan](const std::string& path) { plan.goals.taste = load_taste(path); },
                          "rank by what your group likes: a file that `sixtyfold taste` writes")
                      ->type_name("FILE"));
  const std::vector<CLI::Option*> run = add_run_options(
      command,
      {plan.seed, plan.budget, plan.time_limit_s, fields.threads, fields.out, fields.quiet},
      {"variants to score; with a budget the same seed gives the same bytes",
       "how long to search: 30s, 5m, 1h; default 20s when no budget is given", out_help});
  added.insert(added.end(), run.begin(), run.end());
  return added;
}

}  // namespace sixtyfold
