// What is installed works from where it was put, for a person, a desktop, and a program built on
// the libraries. Checked by what reads it: desktop-file-validate (Desktop Entry Specification,
// freedesktop.org), the SVG standard, dpkg (Debian Policy chapters 5 and 7), CMake.
#include <catch2/catch.hpp>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>

#include "results/files/file.h"
#include "tests/support/run_program.h"
#include "tests/support/svg_standard.h"

using namespace sixtyfold;
namespace fs = std::filesystem;

namespace {

const fs::path source = source_folder();
const fs::path build = fs::path(program_path()).parent_path();
const std::string design = (source / "results/sample/001.json").string();

ProgramResult run_well(const std::vector<std::string>& argv, const fs::path& folder = ".") {
  ProgramResult result = run_program(argv, folder);
  CAPTURE(argv, result.out, result.err);
  REQUIRE(result.status == 0);
  return result;
}

void install(const fs::path& prefix) {
  run_well({"cmake", "--install", build.string(), "--prefix", prefix.string()});
}

/// "Key: value" or "key=value" a line; further lines of a value, and headings, are left out.
std::map<std::string, std::string> read_fields(const std::string& text, const std::string& mark) {
  std::map<std::string, std::string> fields;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);)
    if (const std::size_t at = line.find(mark); at != std::string::npos && line[0] != ' ')
      fields.emplace(line.substr(0, at), line.substr(at + mark.size()));
  return fields;
}

}  // namespace

TEST_CASE("the installed program runs from where it was put", "[install]") {
  const ScratchFolder folder;
  install(folder.path());
  const std::string program = (folder.path() / "bin/sixtyfold").string();
  CHECK(run_well({program, "--version"}).out == run_sixtyfold({"--version"}).out);
  CHECK(run_well({program, "check", design}).out == run_sixtyfold({"check", design}).out);
  // A shell that looks for completions in the prefix finds and loads it.
  CHECK(run_well({"bash", "-c", "source \"$0\" && complete -p sixtyfold",
                  (folder.path() / "share/bash-completion/completions/sixtyfold").string()})
            .out == "complete -F _sixtyfold sixtyfold\n");
  CHECK(run_well({"man", "-M", (folder.path() / "share/man").string(), "sixtyfold"})
            .out.find("sixtyfold kit") != std::string::npos);
}

TEST_CASE("desktops find the starter and its icon", "[install]") {
  const ScratchFolder folder;
  install(folder.path());
  const fs::path starter = folder.path() / "share/applications/sixtyfold.desktop";
  const ProgramResult verdict = run_well({"desktop-file-validate", starter.string()});
  CHECK((verdict.out + verdict.err).empty());
  auto fields = read_fields(read_file(starter), "=");
  REQUIRE(fields["Exec"].rfind("sixtyfold ", 0) == 0);
  std::istringstream words(fields["Exec"].substr(10));
  std::string command;
  words >> command;
  CHECK(run_sixtyfold({command, "--help"}).status == 0);
  // Icon Theme Specification: NAME.svg of the theme hicolor, where any desktop looks last.
  const std::string icon =
      read_file(folder.path() / "share/icons/hicolor/scalable/apps" / (fields["Icon"] + ".svg"));
  CHECK(find_svg_faults(icon).empty());
  CHECK(icon.size() < 20000);
}

#ifndef __SANITIZE_ADDRESS__  // their run time would have to be linked into the example
TEST_CASE("a program of one's own, built on the installed libraries, scores alike", "[install]") {
  const ScratchFolder folder;
  const fs::path prefix = folder.path() / "prefix", own = folder.path() / "own";
  install(prefix);
  // Nothing but the installed tree may be needed: the example is taken from there, too.
  run_well({"cmake", "-S", (prefix / "share/doc/libsixtyfold-dev/example").string(), "-B",
            own.string(), "-DCMAKE_PREFIX_PATH=" + prefix.string()});
  run_well({"cmake", "--build", own.string()});
  const ProgramResult result = run_well({(own / "score_design").string(), design});
  const nlohmann::json score =
      nlohmann::json::parse(run_sixtyfold({"check", design, "--json"}).out).at("score");
  std::istringstream words(result.out);
  std::string name;
  double value = 0;
  int compared = 0;
  while (words >> name >> value) {
    CAPTURE(name);
    CHECK(value == score.at(name).get<double>());
    ++compared;
  }
  CHECK(compared == 4);
  CHECK(run_program({(own / "score_design").string(), "no-such.json"}).status == 2);
}

TEST_CASE("the Debian packages say what they need", "[install]") {
  const ScratchFolder folder;
  run_well(
      {"cpack", "--config", (build / "CPackConfig.cmake").string(), "-B", folder.path().string()});
  std::map<std::string, std::string> files;
  for (const auto& entry : fs::directory_iterator(folder.path())) {
    const std::string name = entry.path().filename().string();
    if (entry.path().extension() == ".deb") files[name.substr(0, name.find('_'))] = entry.path();
  }
  REQUIRE(files.size() == 2);
  REQUIRE(files.count("sixtyfold") == 1);
  auto control = read_fields(run_well({"dpkg-deb", "--field", files["sixtyfold"]}).out, ": ");
  CHECK(control["Version"] + "\n" == run_sixtyfold({"--version"}).out);
  CHECK(control["Maintainer"] == "sixtyfold <sixtyfold@localhost>");
  CHECK_FALSE(control["Description"].empty());
  CHECK_FALSE(control["Section"].empty());
  // Shared libraries as dpkg-shlibdeps names them; no compiler, no headers.
  for (const char* needed : {"libc6 (>=", "libtbb12", "libnlopt0", "librsvg2-2", "fonts-dejavu"}) {
    CAPTURE(control["Depends"], needed);
    CHECK(control["Depends"].find(needed) != std::string::npos);
  }
  CHECK(control["Depends"].find("-dev") == std::string::npos);
  CHECK(control["Depends"].find("g++") == std::string::npos);
  const std::string contents = run_well({"dpkg-deb", "--contents", files["sixtyfold"]}).out;
  for (const char* file :
       {"./usr/bin/sixtyfold\n", "man1/sixtyfold.1.gz\n", "applications/sixtyfold.desktop\n",
        "apps/sixtyfold.svg\n", "doc/sixtyfold/copyright\n"}) {
    CAPTURE(file);
    CHECK(contents.find(file) != std::string::npos);
  }
  CHECK(contents.find("/include/") == std::string::npos);
  const std::string libraries = run_well({"dpkg-deb", "--contents", files["libsixtyfold-dev"]}).out;
  CHECK(libraries.find("include/sixtyfold/engine/design.h\n") != std::string::npos);
  CHECK(libraries.find("bin/") == std::string::npos);
}
#endif
