#include <catch2/catch.hpp>

#include "results/files/file.h"
#include "results/gallery/folder.h"
#include "tests/support/found_designs.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;

namespace {

void make_gallery(const std::filesystem::path& folder) {
  std::vector<Design> designs = make_found_designs({"T", "D5"}, 4, 5);
  designs[3].name = "<script>alert(1)</script>";
  write_gallery_folder(folder, {designs, {}, {}}, {});
}

}  // namespace

TEST_CASE("a vote is held in a browser: phones, a kill, paper, closing, the same tally",
          "[vote][browser]") {
  const ScratchFolder scratch;
  make_gallery(scratch.path() / "gallery");
  std::string method = "approval", language = "en";
  SECTION("picks, in English") {}
  SECTION("an order, in German") { method = "ranking", language = "de"; }
  const ProgramResult browsed =
      run_program({"python3", source_folder() + "/tests/support/browse_vote.py", program_path(),
                   "gallery", method, language},
                  scratch.path());
  INFO(browsed.out << browsed.err);
  CHECK(browsed.status == 0);
}

TEST_CASE("mistakes before a vote are told in one sentence", "[vote]") {
  const ScratchFolder scratch;
  make_gallery(scratch.path() / "gallery");
  const auto refuse = [&](std::vector<std::string> arguments, const std::string& part) {
    arguments.insert(arguments.begin(), "vote");
    const ProgramResult result = run_sixtyfold(arguments, scratch.path());
    INFO(result.out << result.err);
    CHECK(result.status == 2);
    CHECK(result.err.find(part) != std::string::npos);
    CHECK(std::count(result.err.begin(), result.err.end(), '\n') == 1);
    CHECK_FALSE(std::filesystem::exists(scratch.path() / "gallery" / "vote"));
  };
  refuse({"nowhere"}, "there is no such folder");
  refuse({"."}, "make a gallery first");
  refuse({"gallery", "--address", "192.0.2.77"}, "no address of this machine");
  refuse({"gallery", "--address", "0.0.0.0"}, "no address of this machine");
  refuse({"gallery", "--voters", "501"}, "--voters");
  refuse({"gallery", "--voters", "0"}, "--voters");
  refuse({"gallery", "--method", "guess"}, "allowed is approval or ranking");
  refuse({"gallery", "--port", "70000"}, "--port");
  refuse({"gallery", "--language", "xx"}, "allowed is en, de");
  refuse({"gallery", "--paper", "B5"}, "allowed is A4 or Letter");
  // A design that was changed since the page was made.
  const auto file = scratch.path() / "gallery" / "001.json";
  std::filesystem::copy_file(scratch.path() / "gallery" / "002.json", file,
                             std::filesystem::copy_options::overwrite_existing);
  refuse({"gallery", "--address", "127.0.0.1"}, "were changed since the page was made");
}
