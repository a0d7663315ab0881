#include <CLI/CLI.hpp>
#include <memory>

#include "tools/commands/search_run.h"
#include "tools/options/options.h"

namespace sixtyfold {

void add_merge_command(CLI::App& app) {
  CLI::App* command =
      add_command(app, "merge", "Rank the finds of several runs, such as shards, together",
                  {"sixtyfold merge part-1 part-2 part-3 --out all"});
  struct MergeOptions {
    std::vector<std::string> folders;
    std::string out;
    SearchRunOptions run;
  };
  auto options = std::make_shared<MergeOptions>();
  command->add_option("FOLDERS", options->folders, "folders written by `sixtyfold find`")
      ->required();
  command
      ->add_option("--out", options->out, "folder for the results; default find-001, find-002 ...")
      ->type_name("FOLDER");
  add_threads_option(*command, options->run.threads);
  run_when_chosen(*command, [options] {
    options->run.folder = choose_folder(options->out);
    options->run.command = "sixtyfold merge";
    for (const std::string& folder : options->folders) options->run.command += " " + folder;
    return merge_runs(options->folders, options->run);
  });
}

}  // namespace sixtyfold
