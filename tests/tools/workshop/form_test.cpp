#include "tools/workshop/form.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "tests/support/run_program.h"

using namespace sixtyfold;

namespace {

const std::vector<std::string> hostile = {
    "--out", "/etc/passwd", "..",        "6oo",        "-1",       "600 --out /tmp/x",
    "$(id)", "1e999",       "nan",       "inf",        "600;id",   "\n",
    "0x10",  "--options",   "file.json", "' --out ''", "../x.json"};

}  // namespace

TEST_CASE("a form's own words make a command that find understands", "[workshop]") {
  const ScratchFolder scratch;
  Form form = make_form();
  form["seconds"] = "1";
  form["count"] = "2";
  form["panels_least"] = "";
  const ProgramResult found = run_sixtyfold(make_find_command(form, 3, "find-001"), scratch.path());
  INFO(found.err);
  CHECK(found.status == 0);
  CHECK(std::filesystem::exists(scratch.path() / "find-001/so-far.json"));
}

TEST_CASE("every field refuses what is none of its own, and no text becomes an option",
          "[workshop]") {
  for (const std::string& field : form_fields())
    for (const std::string& text : hostile) {
      CAPTURE(field, text);
      CHECK_THROWS_AS(check_field(field, text), std::invalid_argument);
    }
  CHECK_THROWS_AS(check_field("out", "x"), std::invalid_argument);
  CHECK_THROWS_AS(check_field("people", std::string(5000, '1')), std::invalid_argument);
  for (const std::string& field : form_fields())
    CHECK_NOTHROW(check_field(field, make_form().at(field)));
}

TEST_CASE("a search is bounded in time, and only known options are passed", "[workshop]") {
  CHECK_NOTHROW(check_field("seconds", "600"));
  CHECK_THROWS(check_field("seconds", "601"));
  CHECK_THROWS(check_field("seconds", "0"));
  Form form = make_form();
  for (const auto& [field, text] :
       std::vector<std::pair<std::string, std::string>>{{"hours", "6"},
                                                        {"thickness", "5"},
                                                        {"panels_most", "60"},
                                                        {"joints_most", "150"},
                                                        {"joints_by", "slot"},
                                                        {"price", "6.5"},
                                                        {"windows", "both"}}) {
    check_field(field, text);
    form[field] = text;
  }
  const std::set<std::string> allowed = {
      "--sheet",     "--material", "--thickness", "--price", "--diameter", "--panels", "--joints",
      "--joints-by", "--people",   "--saws",      "--hours", "--windows",  "--count",  "--seed",
      "--time",      "--live",     "--quiet",     "--out",   "--like",     "--unlike", "--near",
      "--for",       "--also",     "--language",  "--from",  "--paper"};
  std::vector<std::vector<std::string>> commands = {
      make_find_command(form, 1, "find-001"),
      make_more_command(form, {{"find-001/001.json"}, {"find-001/002.json"}}, 1, "more-001"),
      make_map_command(form, "find-001"), make_gallery_command(form, "chosen-001", "gallery-001"),
      make_kit_command(form, "find-001/001.json", "kit-001")};
  for (const std::string& purpose : tune_purposes())
    commands.push_back(make_tune_command(form, purpose, "find-001/001.json", "tune-001"));
  for (const auto& command : commands)
    for (const std::string& word : command)
      if (word.rfind("-", 0) == 0) {
        CAPTURE(write_command(command), word);
        CHECK(allowed.count(word) == 1);
      }
  for (const auto& command : {commands[0], commands[1], commands[5]})
    CHECK(std::count(command.begin(), command.end(), "--time") == 1);
  CHECK_THROWS(make_tune_command(form, "--out", "find-001/001.json", "tune-001"));
}

TEST_CASE("fields that do not go together are refused in a sentence", "[workshop]") {
  Form form = make_form();
  form["panels_least"] = "60";
  form["panels_most"] = "12";
  CHECK_THROWS_WITH(make_find_command(form, 1, "find-001"),
                    "there can not be at least 60 panels and at most 12");
}
