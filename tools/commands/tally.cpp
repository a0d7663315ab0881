#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <iostream>
#include <memory>
#include <optional>
#include <set>
#include <sstream>

#include "results/files/file.h"
#include "results/files/plain_text.h"
#include "results/gallery/folder.h"
#include "results/votes/tally_report.h"
#include "tools/commands/command.h"
#include "tools/options/options.h"

namespace sixtyfold {

namespace {

namespace fs = std::filesystem;

struct TallyOptions {
  std::vector<std::string> ballots;
  std::string gallery, out, title;
  std::optional<TallyMethod> method;
  bool json = false;
};

/// One file a count writes, by the end of its name.
struct ResultFile {
  std::string ending, bytes;
};

/// What the result is called: after the first file of ballots, and how many more there are.
std::string find_stem(const std::vector<std::string>& ballots) {
  const std::string first = fs::path(ballots[0]).stem().string();
  return ballots.size() == 1 ? first
                             : first + "-and-" + std::to_string(ballots.size() - 1) + "-more";
}

/// The winner's design and drawing, or those of all tied.
std::vector<ResultFile> find_winner_files(const TallyOptions& options, const GalleryList& gallery,
                                          const VoteTally& tally, BallotBox& box) {
  std::vector<ResultFile> files;
  if (gallery.entries.empty()) return files;  // counted without designs
  for (const int design : tally.winners) {
    const GalleryEntry& entry = gallery.entries[static_cast<std::size_t>(design)];
    const fs::path source = fs::path(options.gallery) / entry.file;
    const std::string suffix = tally.winners.size() == 1 ? "" : "-" + std::to_string(entry.number);
    if (!fs::exists(source))
      box.notices.push_back("the design of number " + std::to_string(entry.number) + ", " +
                            source.string() + ", is no longer there");
    for (const char* const extension : {".json", ".svg"}) {
      fs::path file = source;
      file.replace_extension(extension);
      if (fs::exists(file)) files.push_back({"-winner" + suffix + extension, read_file(file)});
    }
  }
  return files;
}

/// Writes STEM-tally.json and all others. What another count left is never written over: where a
/// file of that name holds something else, all get STEM-2, STEM-3 ... Returns the stem's path.
fs::path write_results(const fs::path& out, const std::string& stem,
                       const std::vector<ResultFile>& files) {
  make_folder(out);
  for (int i = 1;; ++i) {
    const std::string name = i == 1 ? stem : stem + "-" + std::to_string(i);
    const bool is_free = std::all_of(files.begin(), files.end(), [&](const ResultFile& file) {
      const fs::path path = out / (name + file.ending);
      return !fs::exists(path) || (fs::is_regular_file(path) && read_file(path) == file.bytes);
    });
    // An earlier count may have named other winners: its tally differs then, so the name is taken.
    if (!is_free) continue;
    for (const ResultFile& file : files) write_file(out / (name + file.ending), file.bytes);
    return out / name;
  }
}

BallotGuide make_guide(const GalleryList& gallery, const TallyOptions& options) {
  BallotGuide guide;
  guide.gallery = gallery.identity;
  for (const GalleryEntry& entry : gallery.entries) {
    guide.designs.push_back(entry.name);
    guide.numbers.push_back(entry.number);
  }
  if (options.method)
    guide.kind = *options.method == TallyMethod::approval ? BallotKind::picks : BallotKind::ranking;
  return guide;
}

ExitStatus count(TallyOptions options) {
  std::set<fs::path> given;
  for (const std::string& file : options.ballots)
    if (!given.insert(fs::weakly_canonical(file)).second)
      throw std::invalid_argument(file + ": is given twice; its ballots would count double");
  const fs::path beside = fs::path(options.ballots[0]).parent_path();
  const fs::path here = beside.empty() ? "." : beside;
  if (options.gallery.empty() &&
      (fs::exists(here / "gallery.json") || fs::exists(here / "ranking.json")))
    options.gallery = here.string();
  if (options.out.empty()) options.out = here.string();
  GalleryList gallery;
  if (!options.gallery.empty()) gallery = find_gallery_list(options.gallery);
  if (options.title.empty())
    options.title = gallery.title.empty() ? "Which one shall we build?" : gallery.title;

  std::vector<BallotFile> files;
  for (const std::string& file : options.ballots) files.push_back({file, read_file(file)});
  BallotBox box = read_ballots(files, make_guide(gallery, options));
  std::optional<VoteTally> tally;
  try {
    tally = make_tally(box, options.method.value_or(find_usual_method(box)));
  } catch (const std::invalid_argument& fault) {
    const bool all_spoiled = box.ballots.empty() && !box.spoiled.empty();
    const std::string sentence = fault.what();
    const bool says_where = sentence.find(": line ") != std::string::npos;
    throw std::invalid_argument(
        (says_where ? "" : options.ballots[0] + ": ") + sentence +
        (all_spoiled ? "; line " + std::to_string(box.spoiled[0].line) + " " + box.spoiled[0].reason
                     : ""));
  }
  std::vector<ResultFile> results = find_winner_files(options, gallery, *tally, box);
  const std::string json = write_tally_json(box, *tally);
  results.push_back({"-tally.json", json});
  results.push_back({"-tally.svg", make_tally_chart_svg(box, *tally, options.title)});
  const fs::path stem = write_results(options.out, find_stem(options.ballots), results);
  if (options.json) {
    std::cout << json;
  } else {
    // Reasons quote what strangers wrote.
    std::istringstream lines(write_tally_text(box, *tally));
    for (std::string line; std::getline(lines, line);) std::cout << make_plain_text(line) << "\n";
    std::cout << "\nWritten: " << stem.string()
              << "-tally.json, -tally.svg and what belongs to them.\n";
  }
  return ExitStatus::ok;
}

}  // namespace

void add_tally_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "tally",
      "Count the ballots of a vote, from one file or from several together, with subtotals for "
      "each "
      "class; writes BALLOTS-tally.json, BALLOTS-tally.svg and the winner's design "
      "(BALLOTS-winner.json), and never writes over the result of another count",
      {"sixtyfold tally ballots.csv --gallery gallery",
       "sixtyfold tally ballots-5a.csv ballots-5b.csv --gallery gallery --out result",
       "sixtyfold tally gallery/ballots.csv --method runoff", "sixtyfold tally votes.csv --json"});
  auto options = std::make_shared<TallyOptions>();
  command
      ->add_option("BALLOTS", options->ballots,
                   "CSV files with a column `vote`: picks like 3 7 12, or an order like 7>3>12, or "
                   "blank; a column `count` says how many voters cast the line, a column `class` "
                   "whose it is (else each of several files is a class)")
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
  command->add_option("--title", options->title, "title of the chart; by default the gallery's");
  command->add_flag("--json", options->json, "print the result as JSON");
  run_when_chosen(*command, [options] { return count(*options); });
}

}  // namespace sixtyfold
