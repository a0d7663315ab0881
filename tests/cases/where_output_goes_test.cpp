// Output once went where it did harm: over a link or a device, into a folder in use, half-written.
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "engine/utf8.h"
#include "results/files/file.h"
#include "results/files/plain_text.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;
namespace fs = std::filesystem;

TEST_CASE("only plain files are replaced", "[cases][files]") {
  const ScratchFolder scratch;
  const fs::path path = scratch.path();
  write_file(path / "ours", "ours");
  fs::create_symlink("ours", path / "link");
  fs::create_symlink("nowhere", path / "dangling");
  fs::create_directory(path / "folder");
  REQUIRE(::mkfifo((path / "pipe").c_str(), 0600) == 0);
  for (const char* name : {"link", "dangling", "folder", "pipe"}) {
    CAPTURE(name);
    CHECK_THROWS_AS(write_file(path / name, "new"), std::invalid_argument);
    CHECK_THROWS_AS(check_output_file(path / name), std::invalid_argument);
  }
  CHECK_THROWS_AS(write_file("/dev/null", "new"), std::invalid_argument);
  CHECK(fs::is_symlink(path / "link"));
  CHECK(read_file(path / "ours") == "ours");
  write_file(path / "ours", "theirs", Keep::on_the_disk);
  CHECK(read_file(path / "ours") == "theirs");
}

TEST_CASE("a folder of files is written whole or not at all", "[cases][files]") {
  const ScratchFolder scratch;
  const fs::path path = scratch.path();
  write_folder(path / "a/kit", {{"1.txt", "one"}, {"2.txt", "two"}});
  CHECK(read_file(path / "a/kit/2.txt") == "two");
  CHECK_THROWS_AS(write_folder(path / "a/kit", {{"3.txt", "three"}}), std::invalid_argument);
  CHECK_FALSE(fs::exists(path / "a/kit/3.txt"));
  fs::create_directory(path / "empty");
  write_folder(path / "empty/", {{"1.txt", "one"}});
  CHECK(read_file(path / "empty/1.txt") == "one");
  // The second file can not be written: its name is no file's.
  CHECK_THROWS(write_folder(path / "b", {{"1.txt", "one"}, {"no/2.txt", "two"}}));
  CHECK_FALSE(fs::exists(path / "b"));
  for (const auto& entry : fs::directory_iterator(path)) CHECK(entry.path().extension() != ".tmp");
}

TEST_CASE("a limit on the size of files leaves nothing half-written", "[cases][files]") {
  const ScratchFolder scratch;
  const fs::path path = scratch.path();
  const std::string design = source_folder() + "/tests/fuzz/corpus/design-joints-swapped.json";
  const ProgramResult result = run_program(
      {"/bin/bash", "-c", "ulimit -f 8; '" + program_path() + "' kit '" + design + "' --out kit"},
      path);
  CAPTURE(result.out, result.err);
  CHECK(result.status == 4);
  CHECK(result.err.find("larger than the system allows") != std::string::npos);
  CHECK(fs::is_empty(path));
}

TEST_CASE("missing rights are told as such, and nothing is left behind", "[cases][files]") {
  const ScratchFolder scratch;
  const fs::path path = scratch.path();
  fs::permissions(path, fs::perms(0755));
  fs::create_directory(path / "shut");
  fs::copy_file(program_path(), path / "program");
  fs::permissions(path / "program", fs::perms(0755));
  const std::string design = read_file(source_folder() + "/results/sample/001.json");
  write_file(path / "ours.json", design);
  write_file(path / "theirs.json", design);
  fs::permissions(path / "ours.json", fs::perms(0000));
  fs::permissions(path / "theirs.json", fs::perms(0644));
  fs::permissions(path / "shut", fs::perms(0555));
  // Root may do everything, so it steps down to nobody (setpriv is part of util-linux).
  std::vector<std::string> nobody;
  if (::geteuid() == 0) nobody = {"setpriv", "--reuid=65534", "--regid=65534", "--clear-groups"};
  for (const std::vector<std::string>& arguments : std::vector<std::vector<std::string>>{
           {"check", "ours.json"},
           {"kit", "ours.json", "--out", "shut/kit"},
           {"find", "--group", "T", "--budget", "100", "--quiet", "--out", "shut/run"},
           {"kit", "theirs.json", "--out", "shut/kit"},
           {"nest", "theirs.json", "--svg", "shut/sheets.svg"},
           {"export", "theirs.json", "--out", "shut/model.glb"}}) {
    std::vector<std::string> argv = nobody;
    argv.push_back("./program");
    argv.insert(argv.end(), arguments.begin(), arguments.end());
    const ProgramResult result = run_program(argv, path);
    CAPTURE(arguments, result.out, result.err);
    CHECK(result.status == 4);
    CHECK_THAT(result.err, Catch::Contains("the right to do so is missing"));
    CHECK_THAT(result.err, !Catch::Contains(".tmp"));  // no name that nobody typed
    CHECK(std::count(result.err.begin(), result.err.end(), '\n') == 1);
    CHECK(fs::is_empty(path / "shut"));
  }
}

TEST_CASE("nest writes the sheets to standard output when asked for -", "[cases][files]") {
  const ScratchFolder scratch;
  const std::string design = source_folder() + "/tests/fuzz/corpus/design-joints-swapped.json";
  const ProgramResult result = run_sixtyfold({"nest", design, "--svg", "-"}, scratch.path());
  CHECK(result.status == 0);
  CHECK(result.out.starts_with("<?xml"));
  CHECK(result.err.find("parts from ") != std::string::npos);
  CHECK(fs::is_empty(scratch.path()));
}

TEST_CASE("two runs do not share a folder", "[cases][files]") {
  const ScratchFolder scratch;
  const FolderLock lock(scratch.path());
  CHECK_THROWS_WITH(FolderLock(scratch.path()), Catch::Contains("another run is at work"));
  const ProgramResult result = run_sixtyfold(
      {"find", "--group", "T", "--budget", "100", "--quiet", "--out", "."}, scratch.path());
  CHECK(result.status == 2);
  CHECK(result.err.find("another run is at work") != std::string::npos);
}

TEST_CASE("leftovers are told by their whole name", "[cases][files]") {
  CHECK(is_leftover_of("001.json.77.tmp", "001.json"));
  CHECK_FALSE(is_leftover_of("001.json.tmp", "001.json"));
  CHECK_FALSE(is_leftover_of("001.json..tmp", "001.json"));
  CHECK_FALSE(is_leftover_of("001.json.7a.tmp", "001.json"));
  CHECK_FALSE(is_leftover_of("notes.77.tmp", "001.json"));
}

TEST_CASE("what is printed is plain: no control, no turned direction, nothing endless",
          "[cases][words]") {
  CHECK(make_plain_text("caf\xc3\xa9 \xe4\xb8\xad") == "caf\xc3\xa9 \xe4\xb8\xad");
  CHECK(make_plain_text("a\x1b[31mb\n") == "a\\x1b[31mb\\x0a");
  CHECK(make_plain_text("a\xe2\x80\xae"
                        "b") ==
        "a\\xe2\\x80\\xae"
        "b");
  CHECK(make_plain_text("a\xff"
                        "b") ==
        "a\\xff"
        "b");
  CHECK(make_plain_text(std::string(5000, 'x')).size() < 100);
  // Overlong and surrogate forms are not UTF-8 (RFC 3629, section 3).
  CHECK(is_utf8("\xed\x9f\xbf\xf4\x8f\xbf\xbf"));
  for (const char* bad : {"\xc0\xaf", "\xed\xa0\x80", "\xf4\x90\x80\x80", "\xe2\x80", "\x80"})
    CHECK_FALSE(is_utf8(bad));
}

TEST_CASE("numbers are read by one rule and mistakes told in our words", "[cases][words]") {
  const ScratchFolder scratch;
  const fs::path path = scratch.path();
  const std::string design = source_folder() + "/tests/fuzz/corpus/design-joints-swapped.json";
  struct Case {
    std::vector<std::string> arguments;
    const char* told;
  };
  for (const Case& each : std::vector<Case>{
           {{"nest", design, "--most-sheets", "3.7"},
            "--most-sheets is \"3.7\"; allowed is a whole"},
           {{"kit", design, "--out", "k", "--people", "x"}, "--people is \"x\""},
           {{"kit", design, "--out", "k", "--people", std::string(5000, '7')}, "--people is \"777"},
           {{"check", design, "--json=1"}, "--json takes no value"},
           {{"check", design, "\xff"}, "is not UTF-8"},
           {{"check", design, "\xe2\x80\xaex"}, "\\xe2\\x80\\xaex"},
           {{"check", design, "--tab-depth", "1"},
            "--tab-depth is \"1\"; allowed is a length from "
            "2 to 500 mm"},
           {{"check", design, "--hang", "0,x"}, "--hang is \"x\""},
           {{"nest", design, "--curve-svg", "c.svg"}, "--curve-svg is used with --curve"},
           {{"tune", design, "--turn", "3"}, "--turn says how a part drawn by --outline lies"},
           {{"nest", design, "--svg", "/dev/null"}, "is a device"},
           {{"kit", design, "--out", "."}, "holds files already"},
       }) {
    write_file(path / "here", "x");
    const ProgramResult result = run_sixtyfold(each.arguments, path);
    CAPTURE(each.told, result.err);
    CHECK(result.status == 2);
    CHECK(result.err.find(each.told) != std::string::npos);
    CHECK(result.err.size() < 600);
    CHECK(std::count(result.err.begin(), result.err.end(), '\n') == 1);
    CHECK(std::distance(fs::directory_iterator(path), {}) == 1);
  }
  // Ten, not eight.
  const ProgramResult ten =
      run_sixtyfold({"nest", design, "--most-sheets", "010", "--json", "--effort", "01"}, path);
  CHECK(ten.status == 0);
}
