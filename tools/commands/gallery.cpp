#include <CLI/CLI.hpp>
#include <cmath>
#include <filesystem>
#include <iostream>
#include <memory>

#include "engine/text.h"
#include "results/files/design_name.h"
#include "results/files/file.h"
#include "results/files/plain_text.h"
#include "results/files/run_folder.h"
#include "results/files/run_output.h"
#include "results/files/variety_json.h"
#include "results/files/version.h"
#include "results/gallery/folder.h"
#include "search/choose/variety.h"
#include "tools/commands/find_alike.h"
#include "tools/commands/given_design.h"
#include "tools/commands/measured_gallery.h"
#include "tools/commands/search_run.h"
#include "tools/options/arguments.h"
#include "tools/options/colours_option.h"
#include "tools/options/limit_options.h"
#include "tools/options/material_option.h"
#include "tools/options/options.h"
#include "tools/options/search_options.h"

namespace sixtyfold {

namespace {

namespace fs = std::filesystem;

// Three or six plates make no group's day; who names groups or --panels gets what is asked for.
constexpr int usual_least_panels = 10;
constexpr int usual_relatives = 10;  // like each design

struct GalleryCommand {
  std::string from, out;
  bool keep_numbers = false, print_words = false;
  GalleryOptions page;
  RunPlan plan;
  LikeChoice like;
  LimitChanges changes;
  int threads = 0;
  bool quiet = false;
};

void tell_where(const fs::path& out, std::size_t count) {
  std::cout << count << " designs. Open " << (out / "index.html").string()
            << " in a browser and vote. Count the file of ballots it saves (or several: "
               "one for each device), in the\nfolder the browser puts it in, with\n"
               "  sixtyfold tally ballots.csv --gallery "
            << quote_for_shell(out.string()) << "\n";
}

ExitStatus search(const CLI::App& command, GalleryCommand& options) {
  RunPlan& plan = options.plan;
  if (command.count("--group") == 0) plan.limits.min_panels = usual_least_panels;
  plan.limits = sixtyfold::apply(options.changes, plan.limits);
  plan.material = options.changes.material_name;
  set_page_by_limits(plan.limits, options.page);
  if (plan.budget == 0 && plan.time_limit_s == 0) plan.time_limit_s = default_search_time_s;
  const fs::path out = choose_folder(options.out);
  RunRecord record;
  record.command = write_command_line(command);
  record.version = program_version();
  record.seed = plan.seed;
  record.started = tell_time();
  Run run(plan);
  Evaluator evaluator(options.threads);
  RunContext context;
  const EndReason reason = watch_run(run, plan, evaluator, context, options.quiet, [] {});
  const std::vector<Pool> pools = run.make_pools();
  const Variety variety = choose_variety(run.task(), pools, evaluator);
  const Pool all = merge_pools(pools);
  if (variety.candidates.empty()) {
    for (const std::string& sentence : explain_nothing_found(run.task(), all.tally))
      std::cout << sentence << "\n";
    return ExitStatus::nothing_found;
  }
  GalleryFolder found;
  for (const Candidate& candidate : variety.candidates) {
    found.designs.push_back(candidate.design);
    found.designs.back().material = plan.material;
    found.designs.back().found_in = find_run_identity(plan);
  }
  const std::size_t count = found.designs.size();
  write_gallery_folder(out, std::move(found), options.page);
  record.threads = evaluator.threads();
  record.seconds = context.elapsed_s();
  record.variants = all.tally.evaluated;
  record.feasible = all.tally.feasible;
  record.why_ended = describe(reason);
  write_file(out / "run.json", write_run_json(record));
  write_file(out / "variety.json", write_variety_json(variety, all.curve));
  if (reason == EndReason::stopped)
    std::cout << "Stopped early; made from what was found so far.\n";
  std::cout << tell_board(plan.limits) << ".\n";
  tell_where(out, count);
  if (std::isfinite(variety.smallest_difference) && variety.smallest_of_best > 0)
    std::cout << "Chosen from " << variety.considered
              << " candidates. The two most alike differ by "
              << format("%.3f", variety.smallest_difference)
              << "; of as many taken by quality alone, by "
              << format("%.3f", variety.smallest_of_best) << ".\n";
  if (static_cast<int>(count) < plan.count)
    std::cout << "Fewer than the " << plan.count << " asked for: " << variety.duplicates
              << " finds look like a better one, and the independent check refused "
              << variety.refused.size() << ", " << variety.not_going_together
              << " of them because they do not go together.\n";
  return ExitStatus::ok;
}

/// The page of designs that a search found, with what tells of the run.
ExitStatus write_found_gallery(const fs::path& out, const RunPlan& plan,
                               std::vector<Design> designs, const RunRecord& record,
                               const GalleryOptions& page) {
  GalleryFolder found;
  for (Design& design : designs) {
    design.material = plan.material;
    design.found_in = find_run_identity(plan);
    found.designs.push_back(std::move(design));
  }
  const std::size_t count = found.designs.size();
  write_gallery_folder(out, std::move(found), page);
  write_file(out / "run.json", write_run_json(record));
  std::cout << tell_board(plan.limits) << ".\n";
  tell_where(out, count);
  return ExitStatus::ok;
}

/// More like given designs, on one page with them left out.
ExitStatus search_alike(const CLI::App& command, GalleryCommand& options) {
  RunPlan& plan = options.plan;
  if (!options.like.like.empty())
    plan.limits = read_given_design(options.like.like.front(), {}).limits;
  plan.limits = sixtyfold::apply(options.changes, plan.limits);
  plan.material = options.changes.material_name;
  if (command.count("--count") == 0) plan.count = usual_relatives;
  if (plan.budget == 0 && plan.time_limit_s == 0) plan.time_limit_s = default_search_time_s;
  set_page_by_limits(plan.limits, options.page);
  Evaluator evaluator(options.threads);
  LikeRun run = prepare_like(plan, options.like, options.changes, evaluator);
  const fs::path out = choose_folder(options.out);
  RunRecord record;
  record.command = write_command_line(command);
  record.version = program_version();
  record.seed = plan.seed;
  record.started = tell_time();
  record.threads = evaluator.threads();
  search_like(run, evaluator, options.quiet);
  if (run.relatives.found.empty()) {
    std::cout << explain_nothing_like(run);
    return ExitStatus::nothing_found;
  }
  record.seconds = run.seconds;
  record.variants = run.relatives.evaluated;
  record.feasible = run.relatives.feasible;
  record.why_ended = run.tell_end();
  std::vector<Relative> listed = run.relatives.found;
  if (listed.size() > most_gallery_designs) listed.resize(most_gallery_designs);
  std::vector<Design> designs;
  for (const Relative& relative : listed) designs.push_back(relative.design);
  const std::vector<std::string> names = find_design_names(designs);
  const ExitStatus status =
      write_found_gallery(out, plan, std::move(designs), record, options.page);
  for (std::size_t i = 0; i < listed.size(); ++i) {
    const Relative& relative = listed[i];
    std::cout << "  " << names[i] << ": like "
              << run.parents[static_cast<std::size_t>(relative.parent)].name
              << format(" (%.2f away)", relative.distance);
    for (const std::string& change : relative.changes) std::cout << ", " << change;
    std::cout << "\n";
  }
  if (!run.is_full())
    std::cout << "Fewer than the " << run.wanted() << " asked for: " << record.why_ended << ".\n";
  return status;
}

ExitStatus make_gallery(const CLI::App& command, GalleryCommand& options) {
  if (options.print_words) {
    std::cout << write_gallery_words(options.page.words);
    return ExitStatus::ok;
  }
  options.page.taste = options.plan.goals.taste;
  if (const std::string fault = options.page.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (options.like.is_asked_for()) return search_alike(command, options);
  if (!options.like.unlike.empty() || command.count("--near") > 0)
    throw std::invalid_argument("--unlike and --near go with --like or --picks");
  if (options.from.empty()) return search(command, options);
  if (options.out.empty()) options.out = options.from;
  GalleryFolder source =
      read_gallery_folder(options.from, options.keep_numbers ? Numbering::keep : Numbering::anew);
  if (!measure_gallery(source, options.changes, options.page)) return ExitStatus::no;
  const std::size_t count = source.designs.size();
  write_gallery_folder(options.out, std::move(source), options.page, options.from);
  tell_where(options.out, count);
  return ExitStatus::ok;
}

}  // namespace

void add_gallery_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "gallery",
      "Find designs that look as different as can be, or take those of a folder, and make one page "
      "on which a group looks at them, compares them and votes. Unless --group or --panels says "
      "otherwise, every design found has at least 10 panels; designs of a folder are measured "
      "afresh, under their own limits or those given here",
      {"sixtyfold gallery --sheet 600x1200 --out gallery",
       "sixtyfold gallery --sheet 600x1200 --group I,O,D5 --joints ..120 --time 60s --out gallery",
       "sixtyfold gallery --from find-001",
       "sixtyfold gallery --picks picks.json --near 0.2 --out more",
       "sixtyfold gallery --from our-designs --out gallery --title 'Which one for the hall?' "
       "--price 6.5 --currency euros",
       "sixtyfold gallery --from gallery --keep-numbers --language de",
       "sixtyfold gallery --print-words > my-language.json"});
  auto options = std::make_shared<GalleryCommand>();
  options->plan.count = 24;
  add_material_option(*command, options->changes);
  add_limit_options(*command, options->changes, LimitDefaults::shipped);
  CLI::Option* from = command
                          ->add_option("--from", options->from,
                                       "folder of a run or of design files, instead of a search")
                          ->type_name("FOLDER");
  for (CLI::Option* option :
       add_search_options(*command, options->plan, {options->threads, options->out, options->quiet},
                          2, static_cast<int>(most_gallery_designs),
                          "folder of the page; default: that of --from, or find-001, find-002 ..."))
    if (option->get_name() != "--taste" && option->get_name() != "--out" &&
        option->get_name() != "--quiet")
      option->excludes(from);
  add_colours_option(*command, options->page.colours, ColourWords::every_design);
  for (CLI::Option* option : add_like_options(*command, options->like)) {
    option->excludes(from);
    for (const char* const other : {"--group", "--plane", "--family", "--windows"})
      option->excludes(command->get_option(other));
  }
  const auto on_page = [](CLI::Option* option) { return option->group("Page"); };
  command
      ->add_flag("--keep-numbers", options->keep_numbers,
                 "call each design of --from by the number it had, though others were taken out or "
                 "came in; new ones come after all others")
      ->needs(from);
  on_page(command->add_option("--title", options->page.title,
                              "title of the page; default: \"Which one shall we build?\" in its "
                              "language"));
  on_page(add_parsed_option(
      *command, "--language", "en|de|FILE",
      [options](const std::string& word) { options->page.words = read_gallery_words(word); },
      "language of the page: en, de, or a file of words for any other (see --print-words)"));
  on_page(command->add_flag("--print-words", options->print_words,
                            "print the table of words, to translate, and make no page"));
  on_page(command->add_option("--currency", options->page.currency, "word written after the cost"));
  on_page(add_number_option(*command, "--minutes-per-joint", options->page.effort.minutes_per_joint,
                            allowed::minutes_each,
                            "minutes to fold and glue one joint, for the hours"));
  run_when_chosen(*command, [command, options] { return make_gallery(*command, *options); });
}

}  // namespace sixtyfold
