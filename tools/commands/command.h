#pragma once
// What every subcommand shares: how it is run, what it returns, how a fault is told.

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace sixtyfold {

/// What the program tells whoever started it.
enum class ExitStatus {
  ok = 0,
  no = 1,              ///< the answer is no: this design is not buildable under the limits
  mistake = 2,         ///< in what was typed or in a file that was given
  nothing_found = 3,   ///< the search ended and no variant met the limits
  trouble = 4,         ///< the system failed: disk full, no memory, no right to write
  no_improvement = 5,  ///< nothing serves the purpose better than what is there
};

/// Adds the subcommand `name`. `examples` are whole command lines, shown by --help.
CLI::App* add_command(CLI::App& app, const std::string& name, const std::string& description,
                      const std::vector<std::string>& examples);

/// `run` is called when the subcommand was chosen and all its options were read: those typed, then
/// those of the file that --options names, which is added here.
void run_when_chosen(CLI::App& command, std::function<ExitStatus()> run);

/// The command with its options as typed, in the order of its help: for run.json.
std::string write_command_line(const CLI::App& command);

/// The command line with every subcommand: what help, man page and completion are made from.
std::unique_ptr<CLI::App> make_program();

/// The whole program: reads the command line, runs the one subcommand, tells any fault in one line
/// `sixtyfold: ...` on standard error. Never throws.
int run_program_line(int argc, const char* const* argv);

// One subcommand a file, tools/commands/NAME.cpp.
void add_explore_command(CLI::App& app);
void add_export_command(CLI::App& app);
void add_find_command(CLI::App& app);
void add_merge_command(CLI::App& app);
void add_gallery_command(CLI::App& app);
void add_tally_command(CLI::App& app);
void add_taste_command(CLI::App& app);
void add_vote_command(CLI::App& app);
void add_score_command(CLI::App& app);
void add_check_command(CLI::App& app);
void add_nest_command(CLI::App& app);
void add_materials_command(CLI::App& app);
void add_tune_command(CLI::App& app);
void add_kit_command(CLI::App& app);
void add_workshop_command(CLI::App& app);

}  // namespace sixtyfold
