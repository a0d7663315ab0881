#include "tools/commands/command.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <csignal>
#include <exception>
#include <filesystem>
#include <iostream>
#include <memory>
#include <new>
#include <sstream>
#include <stdexcept>

#include "engine/text.h"
#include "engine/utf8.h"
#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "results/files/plain_text.h"
#include "results/files/version.h"

namespace sixtyfold {

namespace {

/// Carries a status out through the command line library.
struct CommandEnded {
  ExitStatus status;
};

constexpr char exit_statuses[] =
    "Exit status: 0 yes or done; 1 the answer is no (not buildable); 2 a mistake in the command or "
    "in a file;\n3 nothing found within the limits; 4 the system failed (disk, memory, rights); "
    "5 no improvement exists within the limits.";

int tell(const std::string& fault, ExitStatus status) {
  std::cerr << "sixtyfold: " << make_plain_text(fault) << std::endl;
  return static_cast<int>(status);
}

/// Names of missing arguments, of options and of values in our own words, for what the command line
/// library finds wrong.
std::string describe_mistake(const CLI::ParseError& fault) {
  const std::string text = fault.what();
  const auto rest_after = [&](const std::string& mark) {
    const std::size_t at = text.find(mark);
    return at == std::string::npos ? text : text.substr(at + mark.size());
  };
  if (dynamic_cast<const CLI::ExtrasError*>(&fault))
    return "not understood: " + rest_after("not expected: ");
  if (dynamic_cast<const CLI::ConversionError*>(&fault)) {
    const std::string pair = rest_after("Could not convert: ");
    return pair.substr(0, pair.find(" = ")) + " is " +
           quote(pair.find(" = ") == std::string::npos ? "" : pair.substr(pair.find(" = ") + 3)) +
           ", which can not be read";
  }
  if (const std::size_t at = text.find(" was given a disallowed flag override");
      at != std::string::npos)
    return "--" + text.substr(0, at) + " takes no value";
  return text;
}

/// The fault of a command line, with the help that would have told.
int tell_mistake(const CLI::App& app, std::string fault) {
  std::string command = "sixtyfold";
  for (const CLI::App* chosen : app.get_subcommands()) command += " " + chosen->get_name();
  while (!fault.empty() && (fault.back() == '\n' || fault.back() == '.')) fault.pop_back();
  return tell(fault + "; `" + command + " --help` shows what is allowed", ExitStatus::mistake);
}

/// What was printed may still wait in a buffer: only a flush shows whether it could be written.
void check_output() {
  std::cout.flush();
  if (!std::cout) throw std::runtime_error("standard output can not be written");
}

constexpr std::size_t largest_options_bytes = 64 * 1024;

/// Options of a file, "name = value" a line, for those not typed. TOML as CLI11 reads it. Those of
/// other commands are passed over.
void read_options_file(CLI::App& command, const std::string& path) {
  std::istringstream stream(read_file(path, largest_options_bytes));
  for (const CLI::ConfigItem& item : CLI::ConfigTOML().from_config(stream)) {
    const std::string name = "--" + item.name;
    CLI::Option* option = command.get_option_no_throw(name);
    const auto others = command.get_parent()->get_subcommands({});
    const bool is_known = std::any_of(others.begin(), others.end(), [&](const CLI::App* other) {
      return other->get_option_no_throw(name) != nullptr;
    });
    if (!is_known || !item.parents.empty() || item.name == "options" || item.name == "resume")
      throw std::invalid_argument(path + ": there is no option called " + quote(item.name));
    if (!option || option->count() > 0) continue;  // what was typed wins
    if (option->get_items_expected_max() == 0) {   // a flag
      if (item.inputs.size() != 1 || (item.inputs[0] != "true" && item.inputs[0] != "false"))
        throw std::invalid_argument(path + ": " + item.name + " must be true or false");
      if (item.inputs[0] == "true") {
        option->add_result("true");
        option->run_callback();
      }
      continue;
    }
    option->add_result(item.inputs);
    option->run_callback();
  }
}

int run_guarded(CLI::App& app, int argc, const char* const* argv) {
  try {
    try {
      app.parse(argc, argv);
    } catch (const CLI::Success& asked_for_help) {
      app.exit(asked_for_help);
      check_output();
    }
    return static_cast<int>(ExitStatus::ok);
  } catch (const CommandEnded& ended) {
    return static_cast<int>(ended.status);
  } catch (const CLI::ParseError& fault) {
    return tell_mistake(app, describe_mistake(fault));
  } catch (const std::invalid_argument& fault) {
    return tell(fault.what(), ExitStatus::mistake);
  } catch (const std::bad_alloc&) {
    return tell("there is not enough memory", ExitStatus::trouble);
  } catch (const std::filesystem::filesystem_error& fault) {
    return tell(
        fault.path1().string() + ": can not be used: " + describe_error(fault.code().value()),
        ExitStatus::trouble);
  } catch (const std::exception& fault) {
    return tell(fault.what(), ExitStatus::trouble);
  }
}

}  // namespace

CLI::App* add_command(CLI::App& app, const std::string& name, const std::string& description,
                      const std::vector<std::string>& examples) {
  CLI::App* command = app.add_subcommand(name, description);
  std::string footer = "Examples:\n";
  for (const std::string& example : examples) footer += "  " + example + "\n";
  command->footer("\n" + footer);
  return command;
}

void run_when_chosen(CLI::App& command, std::function<ExitStatus()> run) {
  auto path = std::make_shared<std::string>();
  command
      .add_option("--options", *path,
                  "a file of options, one 'name = value' a line; one file serves every command, "
                  "each takes what it has, and what is typed wins")
      ->type_name("FILE");
  command.callback([&command, path, run = std::move(run)] {
    if (!path->empty()) read_options_file(command, *path);
    const ExitStatus status = run();
    check_output();
    if (status != ExitStatus::ok) throw CommandEnded{status};
  });
}

std::string write_command_line(const CLI::App& command) {
  std::string text = "sixtyfold " + command.get_name();
  for (const CLI::Option* option : command.get_options()) {
    if (option->count() == 0 || option->get_name().empty()) continue;
    for (const std::string& result : option->results())
      text +=
          " " + option->get_name() + (option->get_items_expected_max() == 0 ? "" : " " + result);
  }
  return text;
}

std::unique_ptr<CLI::App> make_program() {
  auto app = std::make_unique<CLI::App>(
      "sixtyfold: find, compare and build large constructions from many identical flat panels",
      "sixtyfold");
  app->set_version_flag("--version", program_version());
  app->require_subcommand(1);
  app->footer(
      std::string("\n`sixtyfold COMMAND --help` shows a command's options with examples.\n") +
      exit_statuses);
  add_workshop_command(*app);
  add_find_command(*app);
  add_merge_command(*app);
  add_explore_command(*app);
  add_gallery_command(*app);
  add_vote_command(*app);
  add_tally_command(*app);
  add_taste_command(*app);
  add_score_command(*app);
  add_check_command(*app);
  add_nest_command(*app);
  add_materials_command(*app);
  add_tune_command(*app);
  add_kit_command(*app);
  add_export_command(*app);
  for (CLI::App* command : app->get_subcommands({}))
    for (CLI::Option* option : command->get_options())
      if (option->get_items_expected_max() == 0) option->disable_flag_override();
  return app;
}

int run_program_line(int argc, const char* const* argv) {
  // A closed pipe and a limit on file size are told in a sentence, as other faults of writing are.
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);
  for (int i = 1; i < argc; ++i)
    if (!is_utf8(argv[i]))
      return tell(format("argument %d is not UTF-8: ", i) + quote(argv[i]) +
                      "; names and values are written in it",
                  ExitStatus::mistake);
  const std::unique_ptr<CLI::App> app = make_program();
  std::string names;
  bool is_known = argc < 2 || argv[1][0] == '-';
  for (const CLI::App* command : app->get_subcommands({})) {
    names += (names.empty() ? "" : ", ") + command->get_name();
    is_known = is_known || command->get_name() == argv[1];
  }
  if (!is_known)
    return tell("there is no command " + quote(argv[1]) + "; the commands are " + names +
                    " (`sixtyfold --help` says what they do)",
                ExitStatus::mistake);
  return run_guarded(*app, argc, argv);
}

}  // namespace sixtyfold
