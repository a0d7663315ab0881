#include "tools/manual/man_page.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <sstream>

#include "tools/manual/value_words.h"

namespace sixtyfold {

namespace {

constexpr char purpose[] =
    "Finds large geometric constructions that a group can build by hand: many identical flat "
    "parts, cut from cheap sheet stock and joined. It searches for designs that fit your board, "
    "are free of collisions, in one piece and rigid, lets a group choose among them, and writes "
    "what is needed to build one.";
constexpr char cautions[] =
    "The numbers are for ideal board and careful hands; stiffness compares designs and proves no "
    "strength. Knives, saws, hot glue and ladders hurt people; board burns; what hangs over heads "
    "can fall. Follow your local rules on fire load and on hanging things in public rooms, and ask "
    "someone competent before anything goes overhead.";

/// Text that shows as it is: groff_man(7) and groff_char(7) say which signs need a name. A line
/// that begins with a dot or a quote would be a request.
std::string escape(const std::string& text) {
  std::string roff;
  for (const char sign : text) {
    switch (sign) {
      case '\\':
        roff += "\\e";
        break;
      case '-':
        roff += "\\-";
        break;
      case '\'':
        roff += "\\(aq";
        break;
      case '`':
        roff += "\\(ga";
        break;
      case '^':
        roff += "\\(ha";
        break;
      case '~':
        roff += "\\(ti";
        break;
      default:
        roff += sign;
    }
  }
  return roff.empty() || roff[0] != '.' ? roff : "\\&" + roff;
}

/// The same in lines of a page's width, of which only the source is made up: man fills them anew.
std::string make_paragraph(const std::string& text) {
  constexpr std::size_t width = 70;
  std::istringstream words(text);
  std::string roff, line;
  for (std::string word; words >> word;) {
    if (!line.empty() && line.size() + word.size() >= width) {
      roff += escape(line) + "\n";
      line.clear();
    }
    line += (line.empty() ? "" : " ") + word;
  }
  return roff + escape(line) + "\n";
}

std::string bold(const std::string& text) { return "\\fB" + escape(text) + "\\fR"; }
std::string italic(const std::string& text) { return "\\fI" + escape(text) + "\\fR"; }

std::string make_sentence(const std::string& text) {
  return text.empty() || text.back() == '.' ? text : text + ".";
}

/// Names of options that stand in a set, in the order of the help.
std::string list_names(const CLI::App& command, const std::set<CLI::Option*>& options) {
  std::string names;
  for (const CLI::Option* option : command.get_options())
    if (options.count(const_cast<CLI::Option*>(option)))
      names += (names.empty() ? "" : ", ") + option->get_name();
  return names;
}

std::string describe_option(const CLI::App& command, const CLI::Option& option) {
  const std::string value = describe_value(option);
  std::string head;
  if (option.get_positional()) {
    head = italic(option.get_name());
  } else {
    for (const std::string& name : option.get_snames())
      head += (head.empty() ? "" : ", ") + bold("-" + name);
    for (const std::string& name : option.get_lnames())
      head += (head.empty() ? "" : ", ") + bold("--" + name);
    if (!value.empty()) head += " " + italic(value);
  }
  std::string text = option.get_description();
  if (!value.empty() && !option.get_default_str().empty())
    text += "; default " + option.get_default_str();
  if (option.get_required()) text += "; must be given";
  text = make_sentence(text);
  if (const std::string names = list_names(command, option.get_excludes()); !names.empty())
    text += " Not together with " + names + ".";
  if (const std::string names = list_names(command, option.get_needs()); !names.empty())
    text += " Only with " + names + ".";
  return ".TP\n" + head + "\n" + make_paragraph(text);
}

/// What help prints below the options: lines that are not indented head those that are.
std::string describe_footer(const std::string& footer) {
  std::istringstream lines(footer);
  std::string roff;
  bool is_block = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.empty()) continue;
    const bool is_indented = line.rfind("  ", 0) == 0;
    if (is_indented != is_block) roff += is_indented ? ".RS\n.nf\n" : ".fi\n.RE\n";
    is_block = is_indented;
    if (is_indented)
      roff += escape(line.substr(2)) + "\n";
    else
      roff += ".PP\n" + bold(line) + "\n";
  }
  return roff + (is_block ? ".fi\n.RE\n" : "");
}

std::string describe_command(const CLI::App& command) {
  std::string roff = ".SS " + escape(command.get_name()) + "\n";
  roff += bold("sixtyfold " + command.get_name()) + " [" + italic("OPTIONS") + "]";
  std::string options, group;
  std::vector<std::string> groups;  // positionals first, then as help has them
  for (const CLI::Option* option : command.get_options()) {
    if (option->get_positional()) {
      const std::string name = italic(option->get_name());
      const std::string several = option->get_items_expected_max() > 1 ? " ..." : "";
      roff += option->get_required() ? " " + name + several : " [" + name + several + "]";
      options += describe_option(command, *option);
    } else if (!option->get_group().empty() &&
               std::find(groups.begin(), groups.end(), option->get_group()) == groups.end()) {
      groups.push_back(option->get_group());
    }
  }
  for (const std::string& name : groups) {
    options += ".PP\n" + bold(name + ":") + "\n";
    for (const CLI::Option* option : command.get_options())
      if (!option->get_positional() && option->get_group() == name)
        options += describe_option(command, *option);
  }
  return roff + "\n.PP\n" + make_paragraph(make_sentence(command.get_description())) + options +
         describe_footer(command.get_footer());
}

}  // namespace

std::string make_man_page(const CLI::App& program, const std::string& version) {
  const std::string name = program.get_name(), description = program.get_description();
  const std::size_t colon = description.find(": ");
  std::string roff = ".\\\" Made from the option tables of the program; not written by hand.\n";
  roff += ".TH SIXTYFOLD 1 \"\" \"" + escape(version) + "\" \"User Commands\"\n";
  roff += ".SH NAME\n" + escape(name) + " \\- " +
          escape(colon == std::string::npos ? description : description.substr(colon + 2)) + "\n";
  roff += ".SH SYNOPSIS\n" + bold(name) + " " + italic("COMMAND") + " [" + italic("OPTIONS") +
          "] ...\n.br\n" + bold(name + " --help") + " | " + bold("--version") + "\n";
  roff += ".SH DESCRIPTION\n" + make_paragraph(purpose) + ".PP\n" + make_paragraph(cautions);
  roff += ".SH COMMANDS\n";
  for (const CLI::App* command : program.get_subcommands({})) roff += describe_command(*command);
  const std::string footer = program.get_footer(), mark = "Exit status: ";
  if (const std::size_t at = footer.find(mark); at != std::string::npos) {
    roff += ".SH EXIT STATUS\n" + make_paragraph(footer.substr(at + mark.size()));
  }
  return roff;
}

}  // namespace sixtyfold
