#include <CLI/CLI.hpp>
#include <memory>
#include <sstream>

#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "results/files/state_file.h"
#include "tools/commands/find_alike.h"
#include "tools/commands/given_design.h"
#include "tools/commands/search_run.h"
#include "tools/options/arguments.h"
#include "tools/options/colours_option.h"
#include "tools/options/limit_options.h"
#include "tools/options/material_option.h"
#include "tools/options/options.h"
#include "tools/options/search_options.h"

namespace sixtyfold {

namespace {

constexpr int usual_relatives = 10;  // like each design

struct FindOptions {
  RunPlan plan;
  LikeChoice like;
  LimitChanges changes;
  std::string out, resume;
  std::vector<std::string> weights, bounds, pareto;
  SearchRunOptions run;
};

ExitStatus find(CLI::App& command, FindOptions& options) {
  options.run.command = write_command_line(command);
  if (!options.resume.empty()) {
    for (const CLI::Option* option : command.get_options())
      if (option->count() > 0 && option->get_name() != "--resume" &&
          option->get_name() != "--threads" && option->get_name() != "--quiet" &&
          option->get_name() != "--checkpoint" && option->get_name() != "--live")
        throw std::invalid_argument("--resume goes on with the options the run was begun with; " +
                                    option->get_name() + " can not be changed");
    options.run.folder = options.resume;
    const RunPlan plan = read_state_file(options.resume, StateKind::checkpoint).plan;
    return carry_out_run(plan, true, options.run);
  }
  RunPlan& plan = options.plan;
  // What goes on from a design keeps the limits it was found under, but for those typed.
  if (!options.like.like.empty())
    plan.limits = read_given_design(options.like.like.front(), {}).limits;
  plan.limits = sixtyfold::apply(options.changes, plan.limits);
  plan.material = options.changes.material_name;
  for (const std::string& text : options.weights) plan.goals.weights.push_back(parse_weight(text));
  for (const std::string& text : options.bounds) plan.goals.bounds.push_back(parse_bound(text));
  for (const std::string& text : options.pareto) plan.goals.pareto.push_back(&find_criterion(text));
  if (plan.budget == 0 && plan.time_limit_s == 0) plan.time_limit_s = default_search_time_s;
  if (options.like.is_asked_for()) {
    if (command.count("--count") == 0) plan.count = usual_relatives;
    Evaluator evaluator(options.run.threads);
    LikeRun run = prepare_like(plan, options.like, options.changes, evaluator);
    options.run.folder = choose_folder(options.out);
    return carry_out_like(std::move(run), options.run, evaluator);
  }
  if (!options.like.unlike.empty() || command.count("--near") > 0)
    throw std::invalid_argument("--unlike and --near go with --like or --picks");
  options.run.folder = choose_folder(options.out);
  return carry_out_run(plan, false, options.run);
}

std::string list_criteria() {
  std::string text = "Criteria:\n";
  for (const Criterion& criterion : criteria()) {
    std::string name = criterion.name;
    name.resize(18, ' ');
    text += "  " + name + criterion.description +
            (criterion.unit.empty() ? "" : ", " + criterion.unit) +
            (criterion.more_is_better() ? " (more is better)\n" : " (less is better)\n");
  }
  return text;
}

void parse_shard(const std::string& text, RunPlan& plan) {
  const std::size_t slash = text.find('/');
  const auto refuse = [&] {
    throw std::invalid_argument("is \"" + text +
                                "\"; allowed is i/n, such as 3/8, with i from 1 to n");
  };
  int values[2] = {0, 0};
  const std::string parts[2] = {text.substr(0, slash),
                                slash == std::string::npos ? "" : text.substr(slash + 1)};
  for (int k = 0; k < 2; ++k) {
    if (parts[k].empty() || parts[k].size() > 4 ||
        parts[k].find_first_not_of("0123456789") != std::string::npos)
      refuse();
    values[k] = std::stoi(parts[k]);
  }
  if (!(1 <= values[0] && values[0] <= values[1])) refuse();
  plan.shard = values[0];
  plan.streams = values[1];
}

}  // namespace

void add_find_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "find",
      "Search for constructions of identical flat panels that fit your sheets, and write them "
      "ranked, as design files and drawings",
      {"sixtyfold find --sheet 600x1200",
       "sixtyfold find --sheet 20inx40in --thickness 5 --group I --time 1m --out hall",
       "sixtyfold find --sheet 600x1200 --joints ..120 --weight stiffness=2 --weight sheets",
       "sixtyfold find --sheet 600x1200 --pareto joints,stiffness --budget 500000 --seed 7",
       "sixtyfold find --like hall/001.json --like hall/004.json --near 0.2",
       "sixtyfold find --picks picks.json --joints ..90 --out more", "sixtyfold find --resume hall",
       "sixtyfold find --sheet 600x1200 --budget 800000 --shard 3/8 --out part-3"});
  command->footer(command->get_footer() + "\n" + list_criteria());
  auto options = std::make_shared<FindOptions>();
  add_material_option(*command, options->changes);
  add_limit_options(*command, options->changes, LimitDefaults::shipped);

  add_search_options(*command, options->plan,
                     {options->run.threads, options->out, options->run.quiet}, 1, 9999,
                     "folder for the results; default find-001, find-002 ...");
  add_colours_option(*command, options->plan.colours, ColourWords::every_design);

  command
      ->add_option("--weight", options->weights,
                   "a criterion of the ranking with its weight, joints=2; may be repeated. "
                   "Without any: appeal first, with good angles, gluing and stiffness")
      ->group("Goals")
      ->delimiter(',');
  command
      ->add_option("--pareto", options->pareto,
                   "two or three criteria: all designs that none is better than in all of them")
      ->group("Goals")
      ->delimiter(',');
  command
      ->add_option(
          "--limit", options->bounds,
          "a limit on any criterion, such as 'mass<=8' (on sheets, waste and cost judged by the "
          "full nest); may be repeated")
      ->group("Goals")
      ->delimiter(',');

  command
      ->add_option("--resume", options->resume, "go on with the run that was stopped in a folder")
      ->type_name("FOLDER")
      ->group("Runs");
  add_parsed_option(
      *command, "--checkpoint", "TIME",
      [options](const std::string& text) {
        options->run.checkpoint_s = text == "0" ? 0 : parse_seconds(text);
      },
      "time between checkpoints, default 20s; 0 for none")
      ->group("Runs");
  add_count_option(*command, "--streams", options->plan.streams, 1, 9999,
                   "independent searches whose finds are ranked together")
      ->group("Runs");
  add_parsed_option(
      *command, "--shard", "I/N",
      [options](const std::string& text) { parse_shard(text, options->plan); },
      "only stream I of N, to be joined by `sixtyfold merge`")
      ->group("Runs");
  command
      ->add_flag("--stats", options->run.stats,
                 "tell variants a second, what each stage took and turned down, and memory")
      ->group("Runs");
  command
      ->add_flag("--live", options->run.live,
                 "write the list so far while it goes on: so-far.json and the folder so-far, for a "
                 "page that is looked at meanwhile; SIGUSR1 asks for one at once")
      ->group("Runs");
  const std::vector<CLI::Option*> like = add_like_options(*command, options->like);
  for (const char* const other : {"--pareto", "--resume", "--streams", "--shard", "--checkpoint",
                                  "--stats", "--group", "--plane", "--family", "--windows"})
    for (CLI::Option* option : like) option->excludes(command->get_option(other));
  run_when_chosen(*command, [command, options] { return find(*command, *options); });
}

}  // namespace sixtyfold
