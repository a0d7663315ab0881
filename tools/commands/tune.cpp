#include "search/tune/tune.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <iostream>
#include <memory>
#include <sstream>

#include "engine/text.h"
#include "results/drawings/drawing_svg.h"
#include "results/files/design_json.h"
#include "results/files/file.h"
#include "results/files/run_folder.h"
#include "results/files/taste_json.h"
#include "results/reports/place_report.h"
#include "results/reports/progress.h"
#include "results/reports/tune_report.h"
#include "search/run/run_context.h"
#include "search/tune/fit_panel.h"
#include "tools/commands/command.h"
#include "tools/commands/given_design.h"
#include "tools/commands/own_part.h"
#include "tools/commands/stop_on_signal.h"
#include "tools/options/arguments.h"
#include "tools/options/limit_options.h"
#include "tools/options/material_option.h"
#include "tools/options/options.h"
#include "tools/options/run_options.h"

namespace sixtyfold {
namespace {

struct TuneCommand {
  std::string path, out;
  OwnPartChoice own;
  TuneOptions tune;
  LimitChanges changes;
  std::uint64_t budget = 0;
  double time_limit_s = 0;
  int threads = 0;
  bool quiet = false;
};

/// "joints", "mass=2,stiffness".
std::vector<Weight> parse_goals(const std::string& text) {
  std::vector<Weight> weights;
  std::istringstream words(text);
  for (std::string word; std::getline(words, word, ',');)
    weights.push_back(
        parse_weight(word.rfind("angles", 0) == 0 ? "angle_error" + word.substr(6) : word));
  return weights;
}

std::vector<const Criterion*> parse_also(const std::string& text) {
  std::vector<const Criterion*> also;
  std::istringstream words(text);
  for (std::string word; std::getline(words, word, ',');)
    also.push_back(&find_criterion(word == "angles" ? "angle_error" : word));
  return also;
}

std::filesystem::path choose_tune_folder(const std::string& given) {
  namespace fs = std::filesystem;
  if (given.empty())
    for (int number = 1;; ++number)
      if (const std::string name = format("tune-%03d", number); !fs::exists(name)) return name;
  if (fs::exists(given) && !(fs::is_directory(given) && fs::is_empty(given)))
    throw std::invalid_argument("--out is '" + given +
                                "', which is there already and not an empty folder");
  return given;
}

void write_results(const std::filesystem::path& folder, const TuneResult& result,
                   std::vector<NamedBytes> files) {
  std::vector<RankedFile> ranking;
  files.push_back({"before.json", write_design_json(result.before.design)});
  for (std::size_t i = 0; i < result.variants.size(); ++i) {
    const int rank = static_cast<int>(i) + 1;
    const Design& design = result.variants[i].design;
    files.push_back({candidate_file_name(rank, "json"), write_design_json(design)});
    files.push_back({candidate_file_name(rank, "svg"), make_drawing_svg(design)});
    files.push_back(
        {format("compare-%03d.svg", rank), make_comparison_svg(result, static_cast<int>(i))});
    ranking.push_back(make_ranked_file(rank, design));
  }
  files.push_back({"trade-off.svg", make_trade_off_svg(result)});
  files.push_back({"tune.json", write_tune_json(result)});
  files.push_back({"ranking.json", write_ranking_json(ranking)});
  write_folder(folder, files);
}

/// A panel that was measured or typed misses its neighbours by little: it is made to fit them.
Design make_fitting(Design design) {
  constexpr double error_mm = 3;  // of somebody with a tape
  const Inspection before = inspect(design, 1);
  const Score& old = before.design.score;
  if (old.collisions == 0 && old.pieces == 1) return design;
  const std::optional<FittedPanel> fitted = fit_panel(design, error_mm);
  if (!fitted) return design;
  const Score score = inspect(fitted->design, 1).design.score;
  if (score.collisions > 0 || score.pieces != 1) return design;
  std::cout << format(
      "As it is given %s. Edges were moved by up to %.1f mm to where copies meet, and %.1f %% of "
      "the panel was cut off where they passed through each other.\n",
      before.faults.front().c_str(), fitted->moved_mm, 100 * fitted->cut);
  return fitted->design;
}

/// The part as drawn and as placed; what it is made of, and the pictures of it.
std::vector<NamedBytes> make_place_files(const OwnPartPlace& own) {
  const Design& placed = own.place.inspection.design;
  Design drawn = make_drawn_design(own.part, own.place.placing, placed.limits);
  drawn.name = placed.name + ", as drawn";
  return {{"placed.json", write_design_json(placed)},
          {"placed.svg", make_drawing_svg(placed)},
          {"place.svg", make_place_svg(own.part, own.place)},
          {"drawn.svg", make_drawing_svg(drawn)}};
}

bool is_over(const TuneCommand& command, const RunContext& context) {
  return context.stop.load() ||
         (command.time_limit_s > 0 && context.elapsed_s() >= command.time_limit_s);
}

/// Tunes with the progress shown, until it is done, the time is up or Ctrl-C asks it to end.
TuneResult tune_watched(const TuneCommand& command, const Design& design, const Polygon& drawn,
                        Evaluator& evaluator, const RunContext& context) {
  TuneOptions options = command.tune;
  options.drawn_mm = drawn;
  if (command.budget > 0) set_budget(command.budget, options);
  Progress progress(std::cerr, Progress::find_style(command.quiet));
  TuneResult result = tune(design, options, evaluator, [&](const TuneProgress& so_far) {
    ProgressState state;
    state.seconds = context.elapsed_s();
    state.variants = so_far.tried;
    if (so_far.all > 0)
      state.share_done = static_cast<double>(so_far.tried) / static_cast<double>(so_far.all);
    state.feasible = static_cast<std::uint64_t>(so_far.kept);
    progress.show(state);
    return !is_over(command, context);
  });
  progress.finish();
  if (!drawn.empty()) measure_drawing_kept(drawn, result);
  return result;
}

std::string tell_place_files(const std::filesystem::path& folder) {
  return "\nWritten to " + folder.string() +
         ": placed.json and placed.svg, what can be built of the part; drawn.svg, the drawing as "
         "it "
         "stands; place.svg, the part with what is cut off and glued.\n";
}

ExitStatus tune_design(const CLI::App& options, const TuneCommand& command) {
  if (command.path.empty() == command.own.outline.empty())
    throw std::invalid_argument("tune takes either a design file or --outline with an SVG file");
  if (const std::string own = find_own_part_option(options);
      command.own.outline.empty() && !own.empty())
    throw std::invalid_argument(own +
                                " says how a part drawn by --outline lies; a design file has that");
  if (const std::string fault = command.tune.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  const std::filesystem::path folder = choose_tune_folder(command.out);
  Evaluator evaluator(command.threads);
  RunContext context;  // of all there is to do: one clock, one Ctrl-C
  const StopOnSignal guard(context.stop);
  Design design;
  Polygon drawn;
  std::vector<NamedBytes> place_files;
  if (!command.path.empty()) {
    design = make_fitting(read_given_design(command.path, command.changes));
  } else {
    PlaceRun run;
    run.options.seed = command.tune.seed;
    if (command.budget > 0) run.options.budget = command.budget;
    // Changes of what is placed are given as long.
    run.time_limit_s = command.own.place_only ? command.time_limit_s : command.time_limit_s / 2;
    run.quiet = command.quiet;
    const std::optional<OwnPartPlace> own = place_own_part(
        command.own, sixtyfold::apply(command.changes, Limits{}), run, evaluator, context);
    if (!own) return ExitStatus::nothing_found;
    place_files = make_place_files(*own);
    const bool passes = own->place.inspection.buildable();
    const bool ended = is_over(command, context);
    if (command.own.place_only || !passes || ended) {
      write_folder(folder, place_files);
      if (passes && !command.own.place_only)
        std::cout << "The time was up, or it was stopped, before anything was changed.\n";
      std::cout << tell_place_files(folder);
      return !passes                  ? ExitStatus::no
             : command.own.place_only ? ExitStatus::ok
                                      : ExitStatus::no_improvement;
    }
    design = own->place.part.design;
    drawn = own->place.part.drawn_mm;
  }
  const TuneResult result = tune_watched(command, design, drawn, evaluator, context);
  std::cout << make_tune_report(result);
  if (result.variants.empty()) {
    if (!place_files.empty()) {
      write_folder(folder, place_files);
      std::cout << tell_place_files(folder);
    }
    return ExitStatus::no_improvement;
  }
  write_results(folder, result, std::move(place_files));
  std::cout << "\nWritten to " << folder.string()
            << ": compare-001.svg and so on show before and after, "
            << "trade-off.svg what it costs.\nStiffness compares designs; it is no proof of "
               "strength. What hangs over people needs a competent person's judgement.\n";
  const bool passes =
      std::all_of(result.variants.begin(), result.variants.end(),
                  [](const TunedVariant& variant) { return variant.faults.empty(); });
  return passes ? ExitStatus::ok : ExitStatus::no;
}

}  // namespace

void add_tune_command(CLI::App& app) {
  CLI::App* command =
      add_command(app, "tune",
                  "Change a design as little as needed for fewer joints, more stiffness "
                  "or any other criterion, and show before and after",
                  {"sixtyfold tune run/001.json --for joints",
                   "sixtyfold tune run/001.json --for joints --also "
                   "sheets,stiffness --keep-look 0.85 --out lean",
                   "sixtyfold tune run/001.json --for stiffness",
                   "sixtyfold tune run/001.json --for mass=2,appeal --time 10s",
                   "sixtyfold tune --outline leaf.svg --symmetry I --normal "
                   "0.2,0.5,1 --distance 400 --for joints"});
  auto options = std::make_shared<TuneCommand>();
  command->add_option("DESIGN", options->path, "a design file, such as run/001.json");
  add_parsed_option(
      *command, "--for", "LIST",
      [options](const std::string& text) {
        for (const Weight& weight : parse_goals(text)) options->tune.goal.weights.push_back(weight);
      },
      "what it is changed for: any criteria of find, with weights: joints, stiffness, "
      "mass=2,sheets; default joints");
  add_parsed_option(
      *command, "--also", "LIST",
      [options](const std::string& text) {
        for (const Criterion* criterion : parse_also(text))
          options->tune.goal.also.push_back(criterion);
      },
      "what decides between equals: angles, or any criterion of find, such as sheets, cost, waste, "
      "cutting_time, diameter, stiffness");
  command
      ->add_option_function<std::string>(
          "--taste",
          [options](const std::string& path) { options->tune.goal.taste = load_taste(path); },
          "of a group, where --for or --also names the appeal: a file that `sixtyfold taste` "
          "writes")
      ->type_name("FILE");
  add_parsed_option(
      *command, "--keep-look", "SHARE",
      [options](const std::string& text) {
        options->tune.keep_look = parse_number(text, {0, 1});
      },
      "least overlap of outline and silhouette with the original, 0 to 1; default 0.8");
  add_count_option(*command, "--count", options->tune.count, 1, 100, "variants wanted");
  add_run_options(
      *command,
      {options->tune.seed, options->budget, options->time_limit_s, options->threads, options->out,
       options->quiet},
      {"changes to try, default 24000, and places for --outline, default 100000; the same "
       "seed gives the same bytes",
       "how long at most: 30s, 5m, of which the place for --outline takes half; what was found by "
       "then is written",
       "folder for the results; default tune-001, tune-002 ..."});
  add_own_part_options(*command, options->own);
  add_material_option(*command, options->changes);
  add_limit_options(*command, options->changes, LimitDefaults::of_the_file);
  // The limit on the stiffness number itself stays as the design file has it: here a share is
  // meant, which had that option's name before.
  command->remove_option(command->get_option("--min-stiffness"));
  const auto keep_stiffness = [options](const std::string& text) {
    options->tune.keep_stiffness = parse_number(text, {0, 10});
  };
  add_parsed_option(*command, "--keep-stiffness", "SHARE", keep_stiffness,
                    "least share of the original's stiffness number; default 0.5");
  add_parsed_option(
      *command, "--min-stiffness", "SHARE",
      [keep_stiffness](const std::string& text) {
        keep_stiffness(text);
        std::cerr
            << "sixtyfold: --min-stiffness is called --keep-stiffness in tune: a share of the "
               "original's, where find's is the number itself.\n";
      },
      "")
      ->group("");
  run_when_chosen(*command, [command, options] { return tune_design(*command, *options); });
}

}  // namespace sixtyfold
