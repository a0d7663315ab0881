#include "tools/options/search_options.h"

#include "results/files/taste_json.h"
#include "tools/options/arguments.h"
#include "tools/options/options.h"

namespace sixtyfold {

std::vector<CLI::Option*> add_search_options(CLI::App& command, RunPlan& plan, int& threads,
                                             int least_count, int most_count) {
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
  added.push_back(command
                      .add_option("--plane", plan.choice.planes,
                                  "how planes lie: generic, axis, sector, centre, square, mirror, "
                                  "across, or one of them such as axis-5 or generic-meet; "
                                  "default all")
                      ->delimiter(','));
  added.push_back(
      add_count_option(command, "--count", plan.count, least_count, most_count, "designs wanted"));
  added.push_back(add_parsed_option(
      command, "--seed", "NUMBER",
      [&plan](const std::string& text) { plan.seed = parse_whole(text); },
      "another seed, another search; default 1"));
  added.push_back(add_parsed_option(
      command, "--budget", "NUMBER",
      [&plan](const std::string& text) { plan.budget = parse_whole(text); },
      "variants to score; with a budget the same seed gives the same bytes"));
  added.push_back(add_parsed_option(
      command, "--time", "TIME",
      [&plan](const std::string& text) { plan.time_limit_s = parse_seconds(text); },
      "how long to search: 30s, 5m, 1h; default 20s when no budget is given"));
  added.push_back(command
                      .add_option_function<std::string>(
                          "--taste",
                          [&plan](const std::string& path) { plan.goals.taste = load_taste(path); },
                          "rank by what your group likes: a file that `sixtyfold taste` writes")
                      ->type_name("FILE"));
  added.push_back(add_threads_option(command, threads));
  return added;
}

}  // namespace sixtyfold
