#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <iostream>
#include <memory>

#include "engine/appeal/design_looks.h"
#include "engine/text.h"
#include "results/files/design_name.h"
#include "results/files/file.h"
#include "results/files/taste_json.h"
#include "results/gallery/folder.h"
#include "results/votes/ballot_choices.h"
#include "tools/commands/command.h"

namespace sixtyfold {

namespace {

struct TasteOptions {
  std::string folder, out = "taste.json", prior;
  std::vector<std::string> ballots;
  std::vector<int> picks, rejects;
};

/// Places in the gallery of designs called by number.
std::vector<int> find_places(const std::vector<int>& numbers, const GalleryFolder& gallery) {
  std::vector<int> places;
  for (const int number : numbers) {
    const auto at = std::find(gallery.numbers.begin(), gallery.numbers.end(), number);
    if (at == gallery.numbers.end())
      throw std::invalid_argument(format("names design %d, which is not in the folder", number));
    places.push_back(static_cast<int>(at - gallery.numbers.begin()));
  }
  return places;
}

std::vector<Choice> find_choices(const TasteOptions& options, const GalleryFolder& gallery) {
  std::vector<Choice> choices;
  if (!options.ballots.empty()) {
    BallotGuide guide;
    guide.gallery = find_gallery_list(options.folder).identity;
    guide.designs = find_design_names(gallery.designs);
    guide.numbers = gallery.numbers;
    std::vector<BallotFile> files;
    for (const std::string& path : options.ballots) files.push_back({path, read_file(path)});
    const BallotBox box = read_ballots(files, guide);
    for (const SpoiledBallot& spoiled : box.spoiled)
      std::cerr << box.files[static_cast<std::size_t>(spoiled.file)] << ", line " << spoiled.line
                << " " << spoiled.reason << ": not counted\n";
    for (const std::string& notice : box.notices) std::cerr << notice << "\n";
    choices = make_choices(box);
  }
  if (options.picks.empty() && !options.rejects.empty())
    throw std::invalid_argument("--reject needs --pick: what is liked better?");
  if (!options.picks.empty()) {
    try {
      choices.push_back(make_choice(find_places(options.picks, gallery),
                                    find_places(options.rejects, gallery),
                                    static_cast<int>(gallery.designs.size())));
    } catch (const std::invalid_argument& fault) {
      throw std::invalid_argument(std::string("--pick and --reject: ") + fault.what());
    }
  }
  if (choices.empty())
    throw std::invalid_argument(
        "no ballot prefers one design to another; give --ballots FILE or --pick NUMBERS");
  return choices;
}

/// What the choices changed, in words.
void tell_change(const Taste& before, const Taste& after) {
  for (std::size_t i = 0; i < appeal_term_count; ++i) {
    const double weight = after.weights[i] - before.weights[i];
    const double slope = after.slopes[i] - before.slopes[i];
    if (std::abs(weight) < 0.02 && std::abs(slope) < 0.01) continue;
    std::string change;
    if (std::abs(weight) >= 0.02) change = weight > 0 ? "counts more" : "counts less";
    if (std::abs(slope) >= 0.01)
      change += std::string(change.empty() ? "" : ", ") +
                (slope > 0 ? "more of it pleases" : "less of it pleases");
    std::cout << "  " << appeal_terms()[i].name << ": " << change << " ("
              << appeal_terms()[i].description << ")\n";
  }
}

ExitStatus learn(const TasteOptions& options) {
  const Taste before = load_taste(options.prior);
  const GalleryFolder gallery = read_gallery_folder(options.folder, Numbering::keep);
  std::vector<Score> scores(gallery.designs.size());
  for (std::size_t i = 0; i < scores.size(); ++i) measure_looks(gallery.designs[i], scores[i]);
  const std::vector<Choice> choices = find_choices(options, gallery);
  const Taste after = fit_taste(scores, choices, before);
  const int ballots = static_cast<int>(choices.size());
  write_file(options.out, write_taste_json(after, ballots));
  std::cout << "Taste from " << count_of(ballots, "ballot", "ballots") << " on "
            << count_of(static_cast<int>(scores.size()), "design", "designs") << ": " << options.out
            << "\n";
  tell_change(before, after);
  std::cout << "Use it with\n  sixtyfold find --taste " << options.out << "\n";
  return ExitStatus::ok;
}

}  // namespace

void add_taste_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "taste",
      "Learn from a group's ballots, or from what somebody picks and rejects, what the group "
      "likes: "
      "a small file that --taste of find, gallery and tune ranks by. Three ballots move it little, "
      "thirty a lot; leave --taste out and the shipped taste counts again",
      {"sixtyfold taste gallery --ballots gallery/ballots.csv --out ours.json",
       "sixtyfold taste hall --pick 1,4,7 --reject 2,3 --out mine.json",
       "sixtyfold find --sheet 600x1200 --taste ours.json"});
  auto options = std::make_shared<TasteOptions>();
  command->add_option("FOLDER", options->folder, "folder of the designs that were voted on")
      ->required();
  command
      ->add_option("--ballots", options->ballots,
                   "a CSV file as the gallery saves it and `tally` counts it; may be repeated")
      ->type_name("FILE");
  command->add_option("--pick", options->picks, "numbers of designs that are liked, as one ballot")
      ->delimiter(',');
  command
      ->add_option("--reject", options->rejects,
                   "numbers of designs liked less than the picked; without: all others")
      ->delimiter(',');
  command->add_option("--begin-with", options->prior, "a taste file to go on from")
      ->type_name("FILE");
  command->add_option("--out", options->out, "the file to write")
      ->type_name("FILE")
      ->capture_default_str();
  run_when_chosen(*command, [options] { return learn(*options); });
}

}  // namespace sixtyfold
