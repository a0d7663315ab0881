#include <CLI/CLI.hpp>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <iostream>
#include <memory>

#include "results/file.h"
#include "results/gallery_folder.h"
#include "results/run_folder.h"
#include "results/version.h"
#include "search/variety.h"
#include "tools/arguments.h"
#include "tools/limit_options.h"
#include "tools/material_option.h"
#include "tools/options.h"
#include "tools/search_run.h"

namespace sixtyfold {

namespace {

namespace fs = std::filesystem;

constexpr double default_time_s = 20;

struct GalleryCommand {
  std::string from, out, symmetries;
  GalleryOptions page;
  RunPlan plan;
  LimitChanges changes;
  int threads = 0;
  bool quiet = false;
};

void tell_where(const fs::path& out, std::size_t count) {
  std::cout << count << " designs. Open " << (out / "index.html").string()
            << " in a browser and vote; put the ballots it saves beside it and count them with\n"
               "  sixtyfold tally "
            << (out / "ballots.csv").string() << "\n";
}

std::string format(const char* pattern, double value) {
  char text[60];
  std::snprintf(text, sizeof text, pattern, value);
  return text;
}

ExitStatus search(GalleryCommand& options) {
  RunPlan& plan = options.plan;
  plan.limits = sixtyfold::apply(options.changes, plan.limits);
  if (!options.symmetries.empty()) {
    plan.choice.symmetries = parse_groups(options.symmetries);
    if (plan.choice.symmetries.empty()) plan.choice.symmetries = all_symmetries();
  }
  if (plan.budget == 0 && plan.time_limit_s == 0) plan.time_limit_s = default_time_s;
  const fs::path out = choose_folder(options.out);
  RunRecord record;
  record.command = "sixtyfold gallery";
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
  std::vector<Design> designs;
  for (const Candidate& candidate : variety.candidates) designs.push_back(candidate.design);
  write_gallery_folder(out, designs, options.page);
  record.threads = evaluator.threads();
  record.seconds = context.elapsed_s();
  record.variants = all.tally.evaluated;
  record.feasible = all.tally.feasible;
  record.why_ended = describe(reason);
  write_file(out / "run.json", write_run_json(record));
  tell_where(out, designs.size());
  if (std::isfinite(variety.smallest_difference) && variety.smallest_of_best > 0)
    std::cout << "Chosen from " << variety.considered
              << " buildable candidates. The two most alike differ by "
              << format("%.3f", variety.smallest_difference)
              << "; of as many taken by quality alone, by "
              << format("%.3f", variety.smallest_of_best) << ".\n";
  if (!all.curve.empty())
    std::cout << "Archive coverage " << format("%.1f", 100 * all.curve.back().coverage)
              << " %, after half the run "
              << format("%.1f", 100 * all.curve[all.curve.size() / 2].coverage) << " %.\n";
  if (static_cast<int>(designs.size()) < plan.count)
    std::cout << "Fewer than the " << plan.count << " asked for: " << variety.duplicates
              << " finds look like a better one, and the independent check refused "
              << variety.refused.size() << ".\n";
  return ExitStatus::ok;
}

ExitStatus make_gallery(GalleryCommand& options) {
  if (const std::string fault = options.page.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (options.from.empty()) return search(options);
  if (options.out.empty()) options.out = options.from;
  const GalleryFolder source = read_gallery_folder(options.from);
  write_gallery_folder(options.out, source.designs, options.page, options.from);
  tell_where(options.out, source.designs.size());
  return ExitStatus::ok;
}

}  // namespace

void add_gallery_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "gallery",
      "Find designs that look as different as can be, or take those of a folder, and make one page "
      "on which a group looks at them, compares them and votes",
      {"sixtyfold gallery --sheet 600x1200 --out gallery",
       "sixtyfold gallery --sheet 600x1200 --group I,O,D5 --joints ..120 --time 60s --out gallery",
       "sixtyfold gallery --from find-001",
       "sixtyfold gallery --from our-designs --out gallery --title 'Which one for the hall?' "
       "--sheet-price 6.5 --currency euros"});
  auto options = std::make_shared<GalleryCommand>();
  options->plan.count = 24;
  add_material_option(*command, options->changes);
  add_limit_options(*command, options->changes);
  CLI::Option* from = command
                          ->add_option("--from", options->from,
                                       "folder of a run or of design files, instead of a search")
                          ->type_name("FOLDER");
  command
      ->add_option("--out", options->out,
                   "folder of the page; default: that of --from, or find-001, find-002 ...")
      ->type_name("FOLDER");
  const auto only_search = [&](CLI::Option* option) { option->excludes(from); };
  only_search(command->add_option("--group", options->symmetries,
                                  "symmetry groups such as I,O,T,D5, or any"));
  only_search(command
                  ->add_option("--family", options->plan.choice.families,
                               "outline families: radial, straight, arcs, limbs, blades")
                  ->delimiter(','));
  only_search(command->add_option("--count", options->plan.count, "designs wanted")
                  ->check(CLI::Range(2, static_cast<int>(most_gallery_designs)))
                  ->capture_default_str());
  only_search(command->add_option("--seed", options->plan.seed, "another seed, another search")
                  ->capture_default_str());
  only_search(
      command->add_option("--budget", options->plan.budget,
                          "variants to score; with a budget the same seed gives the same bytes"));
  only_search(add_parsed_option(
      *command, "--time", "TIME",
      [options](const std::string& text) { options->plan.time_limit_s = parse_seconds(text); },
      "how long to search: 30s, 5m; default 20s when no budget is given"));
  only_search(
      command->add_option("--threads", options->threads, "default: as many as the machine has")
          ->check(CLI::Range(0, 1024)));
  command->add_flag("--quiet", options->quiet, "no progress");
  const auto on_page = [](CLI::Option* option) { return option->group("Page"); };
  on_page(command->add_option("--title", options->page.title, "title of the page"))
      ->capture_default_str();
  on_page(command->add_option("--sheet-price", options->page.price_per_sheet,
                              "price of one sheet, to show what the board costs"));
  on_page(command->add_option("--currency", options->page.currency, "word written after the cost"));
  on_page(command->add_option("--cut-speed", options->page.effort.cut_mm_per_minute,
                              "millimetres cut in a minute, for the hours"))
      ->capture_default_str();
  on_page(command->add_option("--minutes-per-joint", options->page.effort.minutes_per_joint,
                              "minutes to fold and glue one joint, for the hours"))
      ->capture_default_str();
  run_when_chosen(*command, [options] { return make_gallery(*options); });
}

}  // namespace sixtyfold
