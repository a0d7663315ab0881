// The guide that turns: driven in a browser as a group would, and the laws of what it holds.
#include "results/kit/guide_page.h"

#include <catch2/catch.hpp>

#include "results/files/file.h"
#include "results/kit/kit.h"
#include "tests/support/random_designs.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

Design make_sample(const char* symbol) {
  Limits limits;
  limits.allow_flexible = true;
  return make_first_random_design(symbol, limits, 700);
}

std::string find_file(const Kit& kit, const std::string& name) {
  for (const KitFile& file : kit.files)
    if (file.name == name) return file.bytes;
  return "";
}

}  // namespace

TEST_CASE("a group builds with the guide in a browser, and prints the paper guide",
          "[kit][guide][browser]") {
  const ScratchFolder scratch;
  Design design = make_sample("D5");
  design.name = "<script>alert(1)</script>";
  const Kit kit = make_kit(design, make_kit_options(design));
  for (const char* name : {"guide.html", "guide.pdf"})
    write_file(scratch.path() / name, find_file(kit, name));
  const ProgramResult browsed =
      run_program({"python3", source_folder() + "/tests/support/browse_guide.py", "guide.html",
                   "guide.pdf", "."},
                  scratch.path());
  INFO(browsed.out << browsed.err);
  CHECK(browsed.status == 0);
}

TEST_CASE("the guide's page holds no markup of others, asks nothing, speaks one language",
          "[kit][guide]") {
  Design design = make_sample("T");
  design.name = "</script><img src=x onerror=alert(1)>{{data}}";
  for (const std::string& language : find_word_languages()) {
    KitOptions options = make_kit_options(design);
    options.words = read_gallery_words(language);
    options.limit_faults = {"<b>so & so</b>"};
    const std::string page = find_file(make_kit(design, options), "guide.html");
    CAPTURE(language);
    CHECK(page.find("<html lang=\"" + language + "\"") != std::string::npos);
    CHECK(page.find("default-src 'none'") != std::string::npos);
    for (const char* outside :
         {"<img", "<b>so", "<script src", "@import", "fetch(", "XMLHttpRequest"})
      CHECK(page.find(outside) == std::string::npos);
    for (const auto& [key, text] : read_gallery_words("en").words) {
      if (language == "en" || key.rfind("guide_", 0) != 0 || key.rfind("guide_caution", 0) == 0 ||
          text.size() < 40 || text.find_first_of("<>&\"'") != std::string::npos)
        continue;
      INFO(key);  // the paper's own words are English and are said in other places
      CHECK(page.substr(0, page.find("<div class=\"paper\"")).find(text) == std::string::npos);
    }
  }
}

TEST_CASE("a hundred and twenty panels make a page of a few megabytes", "[kit][guide]") {
  const Design design = make_sample("Ih");
  REQUIRE(count_copies(design) == 120);
  const std::string page = find_file(make_kit(design, make_kit_options(design)), "guide.html");
  CHECK(page.size() < 4'000'000);
}
