#include "tools/manual/completion.h"

#include <CLI/CLI.hpp>
#include <map>
#include <vector>

#include "tools/manual/value_words.h"

namespace sixtyfold {

namespace {

bool is_hidden(const CLI::Option& option) { return option.get_group().empty(); }
bool is_flag(const CLI::Option& option) { return option.get_items_expected_max() == 0; }

/// "-h", "--help".
std::vector<std::string> find_names(const CLI::Option& option) {
  std::vector<std::string> names;
  for (const std::string& name : option.get_snames()) names.push_back("-" + name);
  for (const std::string& name : option.get_lnames()) names.push_back("--" + name);
  return names;
}

std::string join(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : " ") + word;
  return text;
}

std::string join_options(const CLI::App& app) {
  std::string text;
  for (const CLI::Option* option : app.get_options())
    if (!option->get_positional() && !is_hidden(*option))
      text += (text.empty() ? "" : " ") + join(find_names(*option));
  return text;
}

/// The step of the script that offers these values.
std::string write_offer(const OfferedValues& values) {
  std::string step;
  if (!values.words.empty()) step += " words='" + join(values.words) + "'";
  if (values.files || values.folders) step += std::string(" names=") + (values.files ? "-f" : "-d");
  return step.empty() ? " :" : step;
}

constexpr char bash_head[] =
    R"(# Completion of sixtyfold for bash, made from the program's option tables.
_sixtyfold() {
  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}
  local command=${COMP_WORDS[1]} words='' names='' begun=''
  COMPREPLY=()
  if [[ $word == '=' ]]; then word=''      # --grain=, which bash hands over in pieces
  elif [[ $before == '=' ]]; then before=${COMP_WORDS[COMP_CWORD-2]}
  fi
  if ((COMP_CWORD == 1)); then command='' before=''; fi
  case "$command $before" in
)";

constexpr char bash_tail[] = R"(  esac
  if [[ $words == *' '* && $word == *,* ]]; then begun=${word%,*},; fi
  mapfile -t COMPREPLY < <(compgen -P "$begun" -W "$words" -- "${word##*,}")
  if [[ $names ]]; then
    compopt -o filenames 2>/dev/null
    mapfile -t -O "${#COMPREPLY[@]}" COMPREPLY < <(compgen $names -- "$word")
  fi
}
complete -F _sixtyfold sixtyfold
)";

/// A text between single quotes of fish.
std::string quote_for_fish(const std::string& text) {
  std::string quoted = "'";
  for (const char sign : text) {
    if (sign == '\'' || sign == '\\') quoted += '\\';
    quoted += sign;
  }
  return quoted + "'";
}

}  // namespace

std::string make_bash_completion(CLI::App& program) {
  // Options whose values are the same in every command that has them stand there once.
  std::map<std::string, std::map<std::string, std::vector<std::string>>> commands_of;
  std::string plain;
  std::vector<std::string> commands;
  for (CLI::App* command : program.get_subcommands({})) {
    commands.push_back(command->get_name());
    std::string positional = " :";
    for (CLI::Option* option : command->get_options()) {
      if (is_flag(*option) || is_hidden(*option)) continue;
      const std::string offer = write_offer(find_offered_values(*option));
      if (option->get_positional())
        positional = offer;
      else
        for (const std::string& name : find_names(*option))
          commands_of[name][offer].push_back(command->get_name());
    }
    plain += "    '" + command->get_name() + " '*)\n      if [[ $word == -* ]]; then words='" +
             join_options(*command) + "'\n      else" + positional + "\n      fi ;;\n";
  }
  std::string script = bash_head;
  script += "    ' ') words='" + join(commands) + " " + join_options(program) + "' ;;\n";
  std::map<std::string, std::string> pattern_of;  // of what offers the same
  for (const auto& [name, offers] : commands_of)
    for (const auto& [offer, names] : offers) {
      std::string& pattern = pattern_of[offer];
      if (offers.size() == 1) {
        pattern += (pattern.empty() ? "*' " : "|*' ") + name + "'";
        continue;
      }
      for (const std::string& command : names)
        pattern += (pattern.empty() ? "'" : "|'") + command + " " + name + "'";
    }
  for (const auto& [offer, pattern] : pattern_of)
    script += "    " + pattern + ")" + offer + " ;;\n";
  return script + plain + bash_tail;
}

std::string make_fish_completion(CLI::App& program) {
  std::string script =
      "# Completion of sixtyfold for fish, made from the program's option tables.\n"
      "complete -c sixtyfold -f\n"
      "complete -c sixtyfold -n __fish_use_subcommand -l help -s h -d 'Print help and exit'\n"
      "complete -c sixtyfold -n __fish_use_subcommand -l version -d 'Print the version and exit'\n";
  for (CLI::App* command : program.get_subcommands({})) {
    const std::string name = command->get_name();
    script += "complete -c sixtyfold -n __fish_use_subcommand -a " + name + " -d " +
              quote_for_fish(command->get_description()) + "\n";
    for (CLI::Option* option : command->get_options()) {
      if (is_hidden(*option)) continue;
      std::string line = "complete -c sixtyfold -n '__fish_seen_subcommand_from " + name + "'";
      const OfferedValues values =
          is_flag(*option) ? OfferedValues() : find_offered_values(*option);
      if (!option->get_positional())
        for (const std::string& long_name : option->get_lnames()) line += " -l " + long_name;
      if (!option->get_positional())
        for (const std::string& short_name : option->get_snames()) line += " -s " + short_name;
      if (values.files || values.folders)
        line += option->get_positional() ? " -F" : " -r -F";
      else if (!is_flag(*option))
        line += " -x";
      if (!values.words.empty()) line += " -a " + quote_for_fish(join(values.words));
      if (!option->get_positional()) line += " -d " + quote_for_fish(option->get_description());
      script += line + "\n";
    }
  }
  return script;
}

}  // namespace sixtyfold
