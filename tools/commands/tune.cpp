#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>
#include <memory>
#include <sstream>

#include "engine/text.h"
#include "results/drawings/drawing_svg.h"
#include "results/files/design_json.h"
#include "results/files/file.h"
#include "results/files/outline_svg.h"
#include "results/files/run_folder.h"
#include "results/files/taste_json.h"
#include "results/reports/tune_report.h"
#include "search/tune/place_part.h"
#include "tools/commands/command.h"
#include "tools/commands/given_design.h"
#include "tools/options/arguments.h"
#include "tools/options/limit_options.h"
#include "tools/options/material_option.h"
#include "tools/options/options.h"

namespace sixtyfold {
namespace {

struct TuneCommand {
  std::string path, outline, out;
  PartPlacing placing;
  SvgReadOptions reading;
  TuneOptions tune;
  LimitChanges changes;
  int threads = 0;
  std::string own_options;  ///< those typed that belong to --outline
};

TunePurpose parse_purpose(const std::string& text) {
  if (text == "joints") return TunePurpose::joints;
  if (text == "stiffness") return TunePurpose::stiffness;
  throw std::invalid_argument("is \"" + text + "\"; allowed is joints or stiffness");
}

std::vector<const Criterion*> parse_also(const std::string& text) {
  std::vector<const Criterion*> also;
  std::istringstream words(text);
  for (std::string word; std::getline(words, word, ',');)
    also.push_back(&find_criterion(word == "angles" ? "angle_error" : word));
  return also;
}

Vec3 parse_normal(const std::string& text) {
  std::istringstream words(text);
  Vec3 normal = Vec3::Zero();
  int count = 0;
  for (std::string word; std::getline(words, word, ','); ++count)
    if (count < 3) normal[count] = parse_number(word, {-1e6, 1e6});
  if (count != 3)
    throw std::invalid_argument("is \"" + text + "\"; allowed are three numbers such as 0.2,0.5,1");
  return normal;
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

void write_results(const std::filesystem::path& folder, const TuneResult& result) {
  std::vector<RankedFile> ranking;
  std::vector<NamedBytes> files{{"before.json", write_design_json(result.before.design)}};
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

ExitStatus tune_design(const TuneCommand& command) {
  if (command.path.empty() == command.outline.empty())
    throw std::invalid_argument("tune takes either a design file or --outline with an SVG file");
  if (command.outline.empty() && !command.own_options.empty())
    throw std::invalid_argument(command.own_options +
                                " says how a part drawn by --outline lies; a design file has that");
  const std::filesystem::path folder = choose_tune_folder(command.out);
  Design design;
  if (!command.path.empty()) {
    design = read_given_design(command.path, command.changes);
  } else {
    const TracedPart part = read_outline_svg(read_file(command.outline), command.reading);
    for (const std::string& note : part.notes) std::cout << note << "\n";
    const Box box = measure_box(part.outline_mm);
    std::cout << format("The part: %.1f x %.1f mm, %zu points, %zu holes, curves to %.2g mm.\n",
                        box.size().x(), box.size().y(), part.outline_mm.size(),
                        part.holes_mm.size(), command.reading.tolerance_mm);
    const PlacedPart placed = place_part(part.outline_mm, part.holes_mm, command.placing,
                                         sixtyfold::apply(command.changes, Limits{}));
    if (placed.trimmed > 1e-6)
      std::cout << format(
          "Where copies would pass through each other %.1f %% of the part was cut off.\n",
          100 * placed.trimmed);
    design = placed.design;
    design.name = std::filesystem::path(command.outline).stem().string();
  }
  Evaluator evaluator(command.threads);
  const TuneResult result = tune(design, command.tune, evaluator);
  std::cout << make_tune_report(result);
  if (result.variants.empty()) return ExitStatus::no_improvement;
  write_results(folder, result);
  std::cout
      << "\nWritten to " << folder.string() << ": compare-001.svg and so on show before and after, "
      << "trade-off.svg what fewer joints cost.\nStiffness compares designs; it is no proof of "
         "strength. What hangs over people needs a competent person's judgement.\n";
  return ExitStatus::ok;
}

}  // namespace

void add_tune_command(CLI::App& app) {
  CLI::App* command = add_command(app, "tune",
                                  "Change a design as little as needed for fewer joints, or for "
                                  "more stiffness, and show before "
                                  "and after",
                                  {"sixtyfold tune run/001.json --for joints",
                                   "sixtyfold tune run/001.json --for joints --also "
                                   "sheets,stiffness --keep-look 0.85 --out lean",
                                   "sixtyfold tune run/001.json --for stiffness",
                                   "sixtyfold tune --outline leaf.svg --symmetry I --normal "
                                   "0.2,0.5,1 --distance 400 --for joints"});
  auto options = std::make_shared<TuneCommand>();
  command->add_option("DESIGN", options->path, "a design file, such as run/001.json");
  add_parsed_option(
      *command, "--for", "PURPOSE",
      [options](const std::string& text) { options->tune.purpose = parse_purpose(text); },
      "joints (fewer) or stiffness (more); default joints");
  add_parsed_option(
      *command, "--also", "LIST",
      [options](const std::string& text) { options->tune.also = parse_also(text); },
      "what decides between equals: angles, or any criterion of find, such as sheets, cost, waste, "
      "cutting_time, diameter, stiffness");
  command
      ->add_option_function<std::string>(
          "--taste", [options](const std::string& path) { options->tune.taste = load_taste(path); },
          "of a group, where --also names the appeal: a file that `sixtyfold taste` writes")
      ->type_name("FILE");
  add_parsed_option(
      *command, "--keep-look", "SHARE",
      [options](const std::string& text) {
        options->tune.keep_look = parse_number(text, {0, 1});
      },
      "least overlap of outline and silhouette with the original, 0 to 1; default 0.8");
  add_count_option(*command, "--count", options->tune.count, 1, 100, "variants wanted");
  add_count_option(*command, "--placings", options->tune.placings, 0, 100000,
                   "slightly moved placings tried in each round");
  add_parsed_option(
      *command, "--seed", "NUMBER",
      [options](const std::string& text) { options->tune.seed = parse_whole(text); },
      "another seed, other placings; default 1");
  add_threads_option(*command, options->threads);
  command->add_option("--out", options->out,
                      "folder for the results; default tune-001, tune-002 ...");
  const char* own = "Your own part";
  command->add_option("--outline", options->outline, "an SVG file with the part, at its true size")
      ->group(own);
  command->add_option("--symmetry", options->placing.symmetry, "group, such as I; default I")
      ->group(own);
  add_parsed_option(
      *command, "--normal", "X,Y,Z",
      [options](const std::string& text) { options->placing.normal = parse_normal(text); },
      "of the part's plane; default 0.2,0.5,1")
      ->group(own);
  add_parsed_option(
      *command, "--distance", "LENGTH",
      [options](const std::string& text) { options->placing.distance_mm = parse_length_mm(text); },
      "of the part's plane from the centre")
      ->group(own);
  add_parsed_option(
      *command, "--scale", "FACTOR",
      [options](const std::string& text) {
        options->placing.scale = parse_number(text, {1e-3, 1e3});
      },
      "of the part; default 1")
      ->group(own);
  add_parsed_option(
      *command, "--turn", "DEGREES",
      [options](const std::string& text) {
        options->placing.turn_deg = parse_number(text, {-360, 360});
      },
      "of the part in its plane; default 0")
      ->group(own);
  add_parsed_option(
      *command, "--curve-tolerance", "LENGTH",
      [options](const std::string& text) { options->reading.tolerance_mm = parse_length_mm(text); },
      "how far chords may lie from the drawn curves; default 0.1mm")
      ->group(own);
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
  run_when_chosen(*command, [command, own, options] {
    for (const CLI::Option* option : command->get_options())
      if (option->get_group() == own && option->count() > 0 && option->get_name() != "--outline" &&
          options->own_options.empty())
        options->own_options = option->get_name();
    return tune_design(*options);
  });
}

}  // namespace sixtyfold
