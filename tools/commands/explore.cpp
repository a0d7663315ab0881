#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>
#include <memory>

#include "engine/text.h"
#include "results/files/file.h"
#include "results/files/run_output.h"
#include "results/files/state_file.h"
#include "results/map/map_page.h"
#include "search/run/pool_check.h"
#include "tools/commands/command.h"
#include "tools/options/options.h"

namespace sixtyfold {

namespace {

namespace fs = std::filesystem;

constexpr int most_designs = 10000;  // of which a page stays under ten megabytes

struct ExploreCommand {
  std::string folder, out;
  int most = most_designs, threads = 0;
  MapOptions page;
};

ExitStatus explore(ExploreCommand& options) {
  StateFile file = read_state_file(options.folder, StateKind::finds);
  std::vector<Pool> pools;
  file.state.exchange(pools);
  if (!file.state.at_end())
    throw std::invalid_argument(options.folder + ": finds.state is longer than its finds");
  const SearchTask task = make_task(file.plan);
  for (const Pool& pool : pools)
    if (const std::string fault = find_pool_fault(task, pool); !fault.empty())
      throw std::invalid_argument(options.folder + ": finds.state " + fault +
                                  "; was it written by another version?");
  const fs::path out =
      options.out.empty() ? fs::path(options.folder) / "map.html" : fs::path(options.out);
  if (fs::is_directory(out))
    throw std::invalid_argument("--out is '" + out.string() + "', which is a folder");
  if (out.has_parent_path() && !fs::is_directory(out.parent_path()))
    throw std::invalid_argument("--out is '" + out.string() + "', in a folder that is not there");
  Evaluator evaluator(options.threads);
  const MapItems items =
      make_map_items(task, pools, static_cast<std::size_t>(options.most), evaluator);
  if (items.items.empty()) {
    std::cout << "The run keeps no design.\n";
    return ExitStatus::nothing_found;
  }
  options.page.identity = find_run_identity(file.plan);
  const std::string page = make_map_page(task, items, options.page);
  write_file(out, page);
  std::cout << format("%zu designs, %.1f MB. Open ", items.items.size(), 1e-6 * page.size())
            << out.string() << " in a browser.\n";
  return ExitStatus::ok;
}

}  // namespace

void add_explore_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "explore",
      "Make one page of everything a run keeps: a map where like lies by like, any two numbers "
      "against each other, filters, every design in 3D, and picks to search on from",
      {"sixtyfold explore find-001", "sixtyfold explore find-001 --language de --out map.html"});
  auto options = std::make_shared<ExploreCommand>();
  command->add_option("RUN", options->folder, "folder written by `sixtyfold find`")
      ->type_name("FOLDER")
      ->required();
  command->add_option("--out", options->out, "the page; default: map.html in the run's folder")
      ->type_name("FILE");
  add_count_option(*command, "--most", options->most, 1, most_designs,
                   "designs on the page, the best by quality where the run keeps more");
  add_parsed_option(
      *command, "--language", "en|de|FILE",
      [options](const std::string& text) { options->page.words = read_gallery_words(text); },
      "of the page");
  add_threads_option(*command, options->threads);
  run_when_chosen(*command, [options] { return explore(*options); });
}

}  // namespace sixtyfold
