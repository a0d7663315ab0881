#include "results/voting/slips.h"

#include <catch2/catch.hpp>
#include <set>
#include <sstream>

#include "engine/random.h"
#include "results/files/file.h"
#include "results/voting/desk_page.h"
#include "tests/support/run_program.h"
#include "tools/voting/qr_code.h"

using namespace sixtyfold;

namespace {

/// Whether a point lies in an odd number of rings.
bool is_inside(const std::vector<Polygon>& rings, const Vec2& p) {
  bool inside = false;
  for (const Polygon& ring : rings)
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
      if ((ring[i].y() > p.y()) != (ring[j].y() > p.y()) &&
          p.x() < ring[i].x() + (p.y() - ring[i].y()) * (ring[j].x() - ring[i].x()) /
                                    (ring[j].y() - ring[i].y()))
        inside = !inside;
  return inside;
}

/// What zbarimg (ZBar, another implementation of ISO/IEC 18004) reads in a picture.
std::set<std::string> read_square_codes(const std::string& picture,
                                        const std::filesystem::path& folder) {
  const ProgramResult read =
      run_program({"zbarimg", "--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", picture}, folder);
  std::istringstream lines(read.out);
  std::set<std::string> texts;
  for (std::string line; std::getline(lines, line);) texts.insert(line);
  return texts;
}

}  // namespace

TEST_CASE("the outlines of a square code hold its dark modules and no others", "[vote]") {
  for (const char* const text : {"a", "http://192.168.1.5:8060/", "http://10.0.0.1:8060/#bcdfgh"}) {
    const SquareCode code = make_qr_code(text);
    // Versions have 21, 25, 29 ... modules (ISO/IEC 18004, 5.3.1.1).
    CHECK((code.modules >= 21 && code.modules % 4 == 1));
    const std::vector<Polygon> areas = find_dark_areas(code);
    for (int row = 0; row < code.modules; ++row)
      for (int column = 0; column < code.modules; ++column)
        CHECK(is_inside(areas, {column + 0.5, row + 0.5}) == code.is_dark(row, column));
  }
}

TEST_CASE("what another program reads in the square codes is what stands beside them", "[vote]") {
  const ScratchFolder scratch;
  SlipSheet sheet{
      "A title far longer than there is room for: which of all the many constructions "
      "shall we build in the hall this summer, and who is going to help?",
      "http://192.168.178.120:8060",
      {},
      read_gallery_words("de"),
      {210, 297}};
  std::set<std::string> addresses;
  RandomStream random(3, Purpose::test, 0);
  for (int i = 0; i < 15; ++i) {
    sheet.codes.emplace_back();
    for (int k = 0; k < 6; ++k) sheet.codes.back() += "bcdfghjkmnpqrstvwxz"[random.below(19)];
    addresses.insert("http://192.168.178.120:8060/#" + sheet.codes.back());
  }
  write_file(scratch.path() / "slips.pdf", make_slips_pdf(sheet, make_qr_code));
  // One scan of a full page misses a code in a hundred, another one at each resolution.
  std::set<std::string> read;
  for (const std::string dpi : {"150", "200", "300"}) {
    REQUIRE(run_program({"pdftoppm", "-r", dpi, "-gray", "-png", "slips.pdf", "page" + dpi},
                        scratch.path())
                .status == 0);
    for (const char* const page : {"-1.png", "-2.png"})
      read.merge(read_square_codes("page" + dpi + page, scratch.path()));
  }
  CHECK(read == addresses);
  const ProgramResult text =
      run_program({"pdftotext", "-layout", "slips.pdf", "-"}, scratch.path());
  for (const std::string& code : sheet.codes)
    CHECK(text.out.find(write_slip_code(code)) != std::string::npos);
  CHECK(write_slip_code("bcdfgh") == "bcd-fgh");

  DeskPage desk;
  desk.title = "</title><script>alert(1)</script>";
  desk.address = "http://192.168.178.120:8060";
  desk.square = make_qr_code(desk.address + "/");
  desk.gallery = {"g0123456789abcdef", "t", {{1, "</script><b>x", "001.json"}}};
  desk.folder = "<i>";
  const std::string page = make_desk_page(desk);
  CHECK(page.find("<script>alert") == std::string::npos);
  CHECK(page.find("</script><b>") == std::string::npos);
  CHECK(page.find("<i>") == std::string::npos);
  CHECK(page.find("{{") == std::string::npos);
  const std::size_t at = page.find("<svg"), end = page.find("</svg>");
  write_file(scratch.path() / "square.svg", page.substr(at, end + 6 - at));
  REQUIRE(
      run_program({"rsvg-convert", "-w", "300", "-o", "square.png", "square.svg"}, scratch.path())
          .status == 0);
  CHECK(read_square_codes("square.png", scratch.path()) ==
        std::set<std::string>{desk.address + "/"});
}

TEST_CASE("every word of the leader's page is in the table, in every language", "[vote]") {
  for (const std::string& language : find_word_languages()) {
    DeskPage desk;
    desk.address = "http://10.0.0.1:8060";
    desk.square = make_qr_code("a");
    desk.words = read_gallery_words(language);
    const std::string page = make_desk_page(desk);
    CHECK(page.find("<html lang=\"" + language + "\"") != std::string::npos);
    CHECK(page.find("{{") == std::string::npos);
  }
}
