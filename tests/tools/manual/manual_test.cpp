// Man page and completion say what the option tables say, and the programs they are for read them:
// mandoc (its -Tlint; mandoc(1)), bash and fish themselves.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "results/files/file.h"
#include "tests/support/run_program.h"
#include "tools/commands/command.h"
#include "tools/manual/completion.h"
#include "tools/manual/man_page.h"
#include "tools/manual/value_words.h"

using namespace sixtyfold;

namespace {

using Words = std::set<std::string>;

Words read_lines(const std::string& text) {
  Words lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);)
    if (!line.empty()) lines.insert(line.substr(0, line.find('\t')));
  return lines;
}

/// What bash offers at the end of these words, called as bash calls it (bash(1), Programmable
/// Completion). `folder` is the working directory.
Words ask_bash(const std::vector<std::string>& words, const std::filesystem::path& folder) {
  const auto program = make_program();
  write_file(folder / "script", make_bash_completion(*program));
  std::vector<std::string> argv = {
      "bash", "-c",
      "set -u; source \"$0\"; COMP_WORDS=(\"$@\") COMP_CWORD=$(($# - 1)); _sixtyfold && "
      "printf '%s\\n' \"${COMPREPLY[@]}\"",
      "./script"};
  argv.insert(argv.end(), words.begin(), words.end());
  const ProgramResult result = run_program(argv, folder);
  CHECK(result.err.empty());
  return read_lines(result.out);
}

}  // namespace

TEST_CASE("the man page is well formed", "[manual]") {
  const ScratchFolder folder;
  write_file(folder.path() / "sixtyfold.1", make_man_page(*make_program(), "1.2.3"));
  const ProgramResult lint = run_program({"mandoc", "-Tlint", "sixtyfold.1"}, folder.path());
  std::istringstream lines(lint.out + lint.err);
  for (std::string line; std::getline(lines, line);) {
    // The same source gives the same bytes on any day, so no date is written.
    if (line.find("missing date") != std::string::npos) continue;
    // Examples and lists stay one a line, as they are typed.
    if (line.find("longer than 80 bytes") != std::string::npos) continue;
    CAPTURE(line);
    CHECK(false);
  }
}

TEST_CASE("the man page tells every command and option that help tells", "[manual]") {
  const ScratchFolder folder;
  write_file(folder.path() / "sixtyfold.1", make_man_page(*make_program(), "1.2.3"));
  const ProgramResult page =
      run_program({"mandoc", "-Tutf8", "-Owidth=1000", "sixtyfold.1"}, folder.path());
  REQUIRE(page.status == 0);
  std::string text = page.out;  // a letter struck over itself is bold
  for (std::size_t at; (at = text.find('\b')) != std::string::npos;) text.erase(at - 1, 2);
  int options = 0;
  const auto program = make_program();
  const auto commands = program->get_subcommands({});
  for (std::size_t i = 0; i < commands.size(); ++i) {
    const std::size_t from = text.find("\n   " + commands[i]->get_name() + "\n");
    const std::size_t to = i + 1 < commands.size()
                               ? text.find("\n   " + commands[i + 1]->get_name() + "\n")
                               : text.find("EXIT STATUS");
    REQUIRE(from < to);
    REQUIRE(to != std::string::npos);
    std::string section = text.substr(from, to - from);
    // Two spaces follow a sentence that ends a line of the source.
    for (std::size_t at; (at = section.find(".  ")) != std::string::npos;) section.erase(at + 1, 1);
    for (const CLI::Option* option : commands[i]->get_options()) {
      CAPTURE(commands[i]->get_name(), option->get_name());
      const bool is_hidden = option->get_group().empty();
      CHECK((section.find(option->get_description()) != std::string::npos));
      if (!is_hidden) CHECK((section.find(option->get_name()) != std::string::npos));
      ++options;
    }
  }
  CHECK(options > 200);
  CHECK(text.find("Examples:") != std::string::npos);
  CHECK(text.find("5 no improvement") != std::string::npos);
}

TEST_CASE("bash completes commands, options and allowed words", "[manual]") {
  const ScratchFolder folder;
  const auto ask = [&](std::vector<std::string> words) {
    words.insert(words.begin(), "sixtyfold");
    return ask_bash(words, folder.path());
  };
  CHECK(ask({"ex"}) == Words{"explore", "export"});
  CHECK(ask({"--v"}) == Words{"--version"});
  CHECK(ask({"find", "--gr"}) == Words{"--group", "--grain"});
  CHECK(ask({"find", "--grain", ""}) == Words{"long", "short", "none"});
  CHECK(ask({"kit", "a.json", "--paper", "A"}) == Words{"A4", "A3"});
  CHECK(ask({"tally", "--method", "b"}) == Words{"borda"});
  CHECK(ask({"find", "--sheet", ""}).empty());  // a value of one's own
  // bash hands over an equals sign as a word; lists go on behind their comma.
  CHECK(ask({"find", "--grain", "="}) == Words{"long", "short", "none"});
  CHECK(ask({"find", "--grain", "=", "l"}) == Words{"long"});
  CHECK(ask({"find", "--pareto", "joints,stif"}) == Words{"joints,stiffness"});
  CHECK(ask({"materials", "plywood"}).count("plywood-birch-3") == 1);
  // What tune hides is not offered.
  CHECK(ask({"tune", "--min-stiff"}).empty());
  // Files where a file is wanted, also with a space; folders alone where one is.
  write_file(folder.path() / "a design.json", "");
  make_folder(folder.path() / "a folder");
  CHECK(ask({"check", "a"}) == Words{"a design.json", "a folder"});
  CHECK(ask({"merge", "a"}) == Words{"a folder"});
  CHECK(ask({"kit", "a.json", "--out", "a"}) == Words{"a folder"});
}

TEST_CASE("every word that is offered is one the program takes", "[manual]") {
  const std::string design = source_folder() + "/results/sample/001.json";
  const auto program = make_program();
  int tried = 0;
  for (const char* name : {"--grain", "--tool", "--joints-by", "--material", "--first-cut"}) {
    CLI::Option* option = program->get_subcommand("nest")->get_option(name);
    const OfferedValues offered = find_offered_values(*option);
    CHECK(offered.words.size() >= 2);
    for (const std::string& word : offered.words) {
      CAPTURE(name, word);
      // The help of a command is printed once all options before it were taken.
      const ProgramResult result = run_sixtyfold({"nest", design, name, word, "--json"});
      CHECK(result.status != 2);
      ++tried;
    }
  }
  CHECK(tried >= 15);
}

TEST_CASE("fish completes them, too", "[manual]") {
  const ScratchFolder folder;
  const auto program = make_program();
  write_file(folder.path() / "script.fish", make_fish_completion(*program));
  const auto ask = [&](const std::string& line) {
    const ProgramResult result =
        run_program({"env", "HOME=" + folder.path().string(), "fish", "--no-config", "-c",
                     "source script.fish; complete -C '" + line + "'"},
                    folder.path());
    CHECK(result.err.empty());
    return read_lines(result.out);
  };
  CHECK(ask("sixtyfold ex") == Words{"explore", "export"});
  CHECK(ask("sixtyfold find --grain ") == Words{"long", "short", "none"});
  CHECK(ask("sixtyfold find --gr") == Words{"--group", "--grain"});
  CHECK(ask("sixtyfold kit --paper ") == Words{"A4", "A3", "Letter"});
}
