#include "tools/commands/own_part.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <iostream>
#include <sstream>

#include "engine/text.h"
#include "results/files/design_json.h"
#include "results/files/file.h"
#include "results/reports/place_report.h"
#include "results/reports/progress.h"
#include "tools/options/arguments.h"
#include "tools/options/options.h"

namespace sixtyfold {
namespace {

constexpr const char* own_group = "Your own part";

/// "0.2,0.5,1": so many numbers.
std::vector<double> parse_numbers(const std::string& text, std::size_t count, const char* example,
                                  double (*parse)(const std::string&)) {
  std::istringstream words(text);
  std::vector<double> numbers;
  for (std::string word; std::getline(words, word, ',');)
    if (numbers.size() <= count) numbers.push_back(parse(word));
  if (numbers.size() != count)
    throw std::invalid_argument(
        format("is \"%s\"; allowed are %zu numbers such as %s", text.c_str(), count, example));
  return numbers;
}

double parse_coordinate(const std::string& text) { return parse_number(text, {-1e6, 1e6}); }

/// A length that may lie to the left or below.
double parse_signed_length(const std::string& text) {
  return text.rfind('-', 0) == 0 ? -parse_length_mm(text.substr(1)) : parse_length_mm(text);
}

}  // namespace

void add_own_part_options(CLI::App& command, OwnPartChoice& choice) {
  std::vector<CLI::Option*> added;
  PlaceWish& wish = choice.wish;
  added.push_back(command
                      .add_option("--outline", choice.outline,
                                  "an SVG file with the part, at its true size. Where it lies is "
                                  "searched; what is given of its place stays")
                      ->type_name("FILE"));
  added.push_back(command.add_option("--symmetry", wish.symmetry, "group, such as I; default I"));
  added.push_back(add_parsed_option(
      command, "--normal", "X,Y,Z",
      [&wish](const std::string& text) {
        const std::vector<double> n = parse_numbers(text, 3, "0.2,0.5,1", parse_coordinate);
        wish.normal = Vec3(n[0], n[1], n[2]);
      },
      "of the part's plane"));
  added.push_back(add_parsed_option(
      command, "--distance", "LENGTH",
      [&wish](const std::string& text) { wish.distance_mm = parse_length_mm(text); },
      "of the part's plane from the centre"));
  added.push_back(add_parsed_option(
      command, "--scale", "FACTOR",
      [&wish](const std::string& text) {
        wish.scale = parse_number(text, {1e-3, 1e3});
      },
      "of the part; searched it is 1 where that works"));
  added.push_back(add_parsed_option(
      command, "--turn", "DEGREES",
      [&wish](const std::string& text) {
        wish.turn_deg = parse_number(text, {-360, 360});
      },
      "of the part in its plane"));
  added.push_back(add_parsed_option(
      command, "--shift", "X,Y",
      [&wish](const std::string& text) {
        const std::vector<double> s = parse_numbers(text, 2, "30,-12mm", parse_signed_length);
        wish.shift_mm = Vec2(s[0], s[1]);
      },
      "of the part's centroid from the foot of the plane; searched unless all else is given"));
  added.push_back(command.add_flag("--place-only", choice.place_only,
                                   "place the part, draw it as it stands and change nothing more"));
  added.push_back(add_parsed_option(
      command, "--curve-tolerance", "LENGTH",
      [&choice](const std::string& text) { choice.reading.tolerance_mm = parse_length_mm(text); },
      "how far chords may lie from the drawn curves; default 0.1mm"));
  for (CLI::Option* option : added) option->group(own_group);
}

std::string find_own_part_option(const CLI::App& command) {
  for (const CLI::Option* option : command.get_options())
    if (option->get_group() == own_group && option->count() > 0 &&
        option->get_name() != "--outline")
      return option->get_name();
  return "";
}

std::optional<OwnPartPlace> place_own_part(const OwnPartChoice& choice, const Limits& limits,
                                           const PlaceRun& run, Evaluator& evaluator,
                                           const RunContext& context) {
  OwnPartPlace own;
  const TracedPart traced = read_outline_svg(read_file(choice.outline), choice.reading);
  own.part = {traced.outline_mm, traced.holes_mm};
  std::optional<FoundPlace> found;
  std::string why_none;
  {
    Progress progress(std::cerr, Progress::find_style(run.quiet));
    found = find_place(
        own.part, choice.wish, limits, run.options, evaluator,
        [&](const PlaceProgress& so_far) {
          ProgressState state;
          state.seconds = context.elapsed_s();
          state.share_done = std::min(
              1.0, static_cast<double>(so_far.tried) / static_cast<double>(run.options.budget));
          state.variants = so_far.tried;
          state.feasible = so_far.fitting;
          if (so_far.fitting > 0) state.best = format("%.1f %% of the drawing", 100 * so_far.kept);
          progress.show(state);
          return !context.stop.load() &&
                 !(run.time_limit_s > 0 && state.seconds >= run.time_limit_s);
        },
        &why_none);
  }
  if (!found) {
    std::cout << "No place was found; of the nearest that was tried: " + why_none +
                     ". Another --symmetry may have one.\n";
    return std::nullopt;
  }
  own.place = std::move(*found);
  if (const std::string fault = find_size_fault(own.place.inspection.design); !fault.empty())
    throw std::invalid_argument(choice.outline + ": as placed " + fault +
                                ". Draw it plainer, or choose a --symmetry with fewer copies");
  own.place.part.design.name = own.place.inspection.design.name =
      std::filesystem::path(choice.outline).stem().string();
  std::cout << make_place_report(own.part, own.place);
  for (const std::string& note : traced.notes) std::cout << "  " << note << "\n";
  return own;
}

}  // namespace sixtyfold
