#include "results/gallery/page.h"

#include <catch2/catch.hpp>
#include <set>

#include "engine/appeal/design_looks.h"
#include "engine/appeal/taste.h"
#include "results/files/design_name.h"
#include "results/files/file.h"
#include "results/gallery/folder.h"
#include "tests/support/found_designs.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;

namespace {

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}

}  // namespace

TEST_CASE("a page holds every design and nothing from elsewhere", "[gallery]") {
  std::vector<Design> designs = make_found_designs({"I", "T", "D5"}, 5, 3);
  designs[1].name = "</script><script>alert(1)</script>";
  GalleryOptions options;
  options.title = "<b>Which?</b>";
  const std::string page = make_gallery_page(designs, options);
  CHECK(page == make_gallery_page(designs, options));
  CHECK(count_of(page, "class=\"card\"") == 5);
  CHECK(count_of(page, "<script") == 2);  // the data and the page's own
  CHECK(count_of(page, "</script>") == 2);
  CHECK(page.find("<b>Which") == std::string::npos);
  CHECK(page.find("{{") == std::string::npos);
  for (const char* const outside : {"src=", "@import", "url(", "fetch(", "XMLHttpRequest", "http:"})
    CHECK(count_of(page, outside) ==
          (std::string(outside) == "http:" ? count_of(page, "http://www.w3.org/2000/svg") : 0));
}

TEST_CASE("pages of nothing, of too much and with faults are refused", "[gallery]") {
  CHECK_THROWS_AS(make_gallery_page({}), std::invalid_argument);
  CHECK_THROWS_AS(make_gallery_page(std::vector<Design>(most_gallery_designs + 1)),
                  std::invalid_argument);
  GalleryOptions options;
  options.price_per_sheet = std::nan("");
  CHECK_THROWS_AS(make_gallery_page(make_found_designs({"T"}, 1, 3), options),
                  std::invalid_argument);
}

TEST_CASE("names are the same for the same shape, and can be told apart", "[gallery]") {
  std::vector<Design> designs = make_found_designs({"I", "O", "D5", "D7"}, 12, 8);
  const std::vector<std::string> names = find_design_names(designs);
  CHECK(std::set<std::string>(names.begin(), names.end()).size() == designs.size());
  Design larger = designs[0];
  for (Vec2& p : larger.orbits[0].panel.outline_mm) p *= 2;
  larger.orbits[0].panel.frame.origin *= 2;
  larger.score = {};
  CHECK(make_design_name(larger) == names[0]);
  designs[3].name = "ours";
  CHECK(find_design_names(designs)[3] == "ours");
  // Two of the same shape still get two names.
  CHECK(find_design_names({designs[0], designs[0]})[0] !=
        find_design_names({designs[0], designs[0]})[1]);
}

TEST_CASE("a gallery folder is a run folder, and others' runs are left alone", "[gallery]") {
  const ScratchFolder scratch;
  const auto folder = scratch.path() / "gallery";
  const std::vector<Design> designs = make_found_designs({"T", "D5"}, 3, 5);
  write_gallery_folder(folder, {designs, {}, {}}, {});
  const GalleryFolder back = read_gallery_folder(folder);
  CHECK(back.designs.size() == 3);
  CHECK(std::filesystem::exists(folder / "index.html"));
  CHECK(std::filesystem::exists(folder / "002.svg"));
  CHECK_THROWS_AS(write_gallery_folder(folder, {designs, {}, {}}, {}), std::invalid_argument);
  write_gallery_folder(folder, back, {}, folder);  // the page alone, at home
  std::filesystem::remove(folder / "ranking.json");
  CHECK(read_gallery_folder(folder).designs.size() == 3);
  CHECK_THROWS_AS(read_gallery_folder(scratch.path()), std::invalid_argument);
  CHECK_THROWS_AS(read_gallery_folder(scratch.path() / "no"), std::invalid_argument);
}

TEST_CASE("every word of the page is in the table, in every language", "[gallery]") {
  const GalleryWords english = read_gallery_words("en");
  std::vector<Design> designs = make_found_designs({"T", "D5"}, 2, 5);
  for (const std::string& language : find_word_languages()) {
    INFO(language);
    GalleryOptions options;
    options.words = read_gallery_words(language);
    CHECK(options.words.words.size() == english.words.size());
    options.price_per_sheet = 1.25;
    const std::string page = make_gallery_page(designs, options);
    CHECK(page.find("<html lang=\"" + language + "\"") != std::string::npos);
    CHECK(page.find("{{") == std::string::npos);
  }
  for (Design& design : designs) measure_looks(design, design.score);
  GalleryOptions german;
  german.words = read_gallery_words("de");
  const std::string page = make_gallery_page(designs, german);
  for (const auto& [key, text] : english.words) {
    // Whole sentences of the English table have no place on a German page.
    if (text.size() < 40 || text.find_first_of("<>&\"'") != std::string::npos) continue;
    INFO(key);
    CHECK(page.find(text) == std::string::npos);
  }
  CHECK(page.find("wie eine Trommel mit 5 Seiten (D5)") != std::string::npos);
  CHECK(german.words.write_number(2.5, 2) == "2,50");
  // Nor has what speaks for a design's looks.
  CHECK(count_of(page, "<p class=\"looks\">") > 0);
  for (const auto& [key, text] : english.words)
    if (const std::size_t open = text.find("{n}"); key.rfind("looks_", 0) == 0 && open > 0)
      CHECK(page.find(text.substr(0, open)) == std::string::npos);
}

TEST_CASE("the page and the command line say the same of a design's looks", "[gallery]") {
  const GalleryWords words = read_gallery_words("en");
  std::set<std::string> met;
  for (const double layers : {0.2, 1.35, 4.0})
    for (const double slenderness : {0.1, 0.27, 0.5})
      for (const double evenness : {0.3, 1.0})
        for (const int panels : {6, 20, 60})
          for (const double see_through : {0.0, 0.02, 0.2})
            for (const double legibility : {0.2, 0.7}) {
              Score score;
              score.layers = layers, score.slenderness = slenderness, score.evenness = evenness;
              score.panels = panels, score.see_through = see_through;
              score.legibility = legibility;
              std::vector<std::string> said;
              for (const LooksReason& reason : find_looks_reasons(score)) {
                met.insert(reason.key);
                const std::string text =
                    words.say("looks_" + reason.key,
                              {{"n", words.write_number(reason.value, reason.decimals)}});
                said.push_back(reason.against ? words.say("looks_but", {{"reason", text}}) : text);
              }
              CHECK(said == explain_appeal(score));
            }
  CHECK(met.size() >= 12);
}

TEST_CASE("symmetry is told in words for every kind of group", "[gallery]") {
  std::vector<Design> designs = make_found_designs({"D5"}, 1, 3);
  for (const char* const symbol : {"T", "Td", "Th", "O", "Oh", "I", "Ih", "C5", "C5v", "C5h", "D5",
                                   "D5h", "D5d", "S6", "Ci", "Cs"}) {
    designs[0].symmetry = symbol;
    for (const std::string& language : find_word_languages()) {
      GalleryOptions options;
      options.words = read_gallery_words(language);
      const std::string page = make_gallery_page(designs, options);
      INFO(symbol << " " << language);
      const std::size_t at = page.find(std::string(" (") + symbol + ")");
      REQUIRE(at != std::string::npos);
      CHECK(std::isalpha(static_cast<unsigned char>(page[at - 1])));
    }
  }
}

TEST_CASE("a table of words by somebody else is read with care", "[gallery]") {
  const ScratchFolder scratch;
  const std::string path = (scratch.path() / "fr.json").string();
  const auto write = [&](const std::string& words, const std::string& language = "fr") {
    write_file(path, "{\"format\": \"sixtyfold-words\", \"version\": 1, \"language\": \"" +
                         language + "\", \"words\": {" + words + "}}");
  };
  write("\"vote\": \"<b>Voter</b>\"");
  const GalleryWords french = read_gallery_words(path);
  CHECK(french.say("vote") == "<b>Voter</b>");
  CHECK(french.say("clear") == "Clear");  // what is left out is English
  GalleryOptions options;
  options.words = french;
  CHECK(make_gallery_page(make_found_designs({"T"}, 1, 3), options).find("<b>Voter") ==
        std::string::npos);
  write("\"vot\": \"x\"");
  CHECK_THROWS_WITH(read_gallery_words(path), Catch::Contains("is no key of the table"));
  write("\"voter\": \"{name}\"");
  CHECK_THROWS_WITH(read_gallery_words(path), Catch::Contains("has the place {name}"));
  write("", "../x");
  CHECK_THROWS_WITH(read_gallery_words(path), Catch::Contains("language tag"));
  CHECK_THROWS_WITH(read_gallery_words("xx"), Catch::Contains("allowed is en, de or a file"));
  CHECK(write_gallery_words(read_gallery_words("de")).find("\"Abstimmen\"") != std::string::npos);
}

TEST_CASE("the ballot page asks its own server for two things and holds no count",
          "[gallery][vote]") {
  std::vector<Design> designs = make_found_designs({"T", "D5"}, 3, 3);
  designs[1].name = "</script><script>alert(1)</script>";
  GalleryOptions options;
  options.title = "<b>Which?</b>";
  for (const std::string& language : find_word_languages())
    for (const BallotPaper& paper : {BallotPaper{false, false}, {true, false}, {true, true}}) {
      options.words = read_gallery_words(language);
      const std::string page = make_ballot_page(designs, options, paper);
      CHECK(page == make_ballot_page(designs, options, paper));
      CHECK(count_of(page, "class=\"card\"") == 3);
      CHECK(count_of(page, "<script") == 2);
      CHECK(page.find("<b>Which") == std::string::npos);
      CHECK(page.find("{{") == std::string::npos);
      CHECK(count_of(page, "fetch(") == 2);
      CHECK(count_of(page, "fetch(\"/ballot\"") == 1);
      CHECK(count_of(page, "fetch(\"/state\"") == 1);
      CHECK(count_of(page, "connect-src 'self'") == 1);
      CHECK(count_of(page, paper.ranks ? "\"method\":\"ranking\"" : "\"method\":\"approval\"") ==
            1);
      CHECK(count_of(page, paper.closed ? "\"closed\":true" : "\"closed\":false") == 1);
      CHECK(page.find("countSchulze") == std::string::npos);
      CHECK(page.size() < make_gallery_page(designs, options).size());
    }
}
