#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>
#include <memory>
#include <optional>

#include "results/files/design_name.h"
#include "results/files/file.h"
#include "results/gallery/folder.h"
#include "results/votes/tally_report.h"
#include "tools/commands/command.h"
#include "tools/options/options.h"

namespace sixtyfold {

namespace {

namespace fs = std::filesystem;

struct TallyOptions {
  std::string ballots, gallery, out, title = "Which one shall we build?";
  std::optional<TallyMethod> method;
  bool json = false;
};

/// The winner's design and drawing, or those of all tied, beside the result. What an earlier count
/// left there goes first: two winners of different counts must never lie side by side.
void copy_winners(const TallyOptions& options, const GalleryFolder& gallery,
                  const VoteTally& tally) {
  if (gallery.files.empty()) return;  // counted without designs
  const fs::path out = options.out;
  for (const char* const extension : {".json", ".svg"}) {
    fs::remove(out / (std::string("winner") + extension));
    for (std::size_t i = 1; i <= gallery.files.size(); ++i)
      fs::remove(out / ("winner-" + std::to_string(i) + extension));
    for (const int option : tally.winners) {
      fs::path source = gallery.files[static_cast<std::size_t>(option)];
      source.replace_extension(extension);
      const std::string suffix = tally.winners.size() == 1 ? "" : "-" + std::to_string(option + 1);
      if (fs::exists(source)) write_file(out / ("winner" + suffix + extension), read_file(source));
    }
  }
}

ExitStatus count(TallyOptions options) {
  const fs::path beside = fs::path(options.ballots).parent_path();
  if (options.gallery.empty() && fs::exists(beside / "ranking.json"))
    options.gallery = beside.empty() ? "." : beside.string();
  if (options.out.empty()) options.out = beside.empty() ? "." : beside.string();
  GalleryFolder gallery;
  if (!options.gallery.empty()) gallery = read_gallery_folder(options.gallery);

  const BallotBox box = read_ballots_csv(read_file(options.ballots), options.ballots,
                                         find_design_names(gallery.designs));
  std::optional<VoteTally> tally;
  try {
    tally = make_tally(box, options.method.value_or(find_usual_method(box)));
  } catch (const std::invalid_argument& fault) {
    const bool all_spoiled = box.ballots.empty() && !box.spoiled.empty();
    throw std::invalid_argument(
        options.ballots + ": " + fault.what() +
        (all_spoiled ? "; line " + std::to_string(box.spoiled[0].line) + " " + box.spoiled[0].reason
                     : ""));
  }
  make_folder(options.out);
  const std::string json = write_tally_json(box, *tally);
  write_file(fs::path(options.out) / "tally.json", json);
  write_file(fs::path(options.out) / "tally.svg", make_tally_chart_svg(box, *tally, options.title));
  copy_winners(options, gallery, *tally);
  std::cout << (options.json ? json : write_tally_text(box, *tally));
  return ExitStatus::ok;
}

}  // namespace

void add_tally_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "tally",
      "Count the ballots of a vote; writes tally.json, tally.svg and the winner's design",
      {"sixtyfold tally ballots.csv --gallery gallery",
       "sixtyfold tally gallery/ballots.csv --method runoff", "sixtyfold tally votes.csv --json"});
  auto options = std::make_shared<TallyOptions>();
  command
      ->add_option("BALLOTS", options->ballots,
                   "a CSV file with a column `vote`: picks like 3 7 12, or an order like 7>3>12; a "
                   "column `count` says how many voters cast the line")
      ->required();
  command
      ->add_option("--gallery", options->gallery,
                   "folder of the designs; by default the ballots' own folder if it is a gallery")
      ->type_name("FOLDER");
  add_parsed_option(
      *command, "--method", "METHOD",
      [options](const std::string& word) { options->method = parse_tally_method(word); },
      "approval, plurality, borda, runoff, schulze, minimax or copeland; by default schulze where "
      "ballots rank, else approval");
  command->add_option("--out", options->out, "folder of the result; by default the ballots' own")
      ->type_name("FOLDER");
  command->add_option("--title", options->title, "title of the chart")->capture_default_str();
  command->add_flag("--json", options->json, "print the result as JSON");
  run_when_chosen(*command, [options] { return count(*options); });
}

}  // namespace sixtyfold
