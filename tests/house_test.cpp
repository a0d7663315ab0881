// The house rules that a program can check: which folder may include what, and how long a header
// is.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "tests/support/run_program.h"

namespace fs = std::filesystem;

namespace {

const fs::path source = sixtyfold::source_folder();

struct SourceFile {
  std::string path;  ///< from the top of the source tree
  std::vector<std::string> lines;
  std::vector<std::string> includes;
};

std::vector<SourceFile> read_sources(const std::string& folder) {
  static const std::regex include_line("^\\s*#\\s*include\\s*[<\"]([^>\"]+)[>\"].*");
  std::vector<SourceFile> files;
  for (const auto& entry : fs::recursive_directory_iterator(source / folder)) {
    const auto extension = entry.path().extension();
    if (!entry.is_regular_file() || (extension != ".h" && extension != ".cpp")) continue;
    SourceFile file{fs::relative(entry.path(), source).string(), {}, {}};
    std::ifstream stream(entry.path());
    std::smatch match;
    for (std::string line; std::getline(stream, line);) {
      if (std::regex_match(line, match, include_line)) file.includes.push_back(match[1]);
      file.lines.push_back(line);
    }
    files.push_back(file);
  }
  std::sort(files.begin(), files.end(),
            [](const SourceFile& a, const SourceFile& b) { return a.path < b.path; });
  return files;
}

bool starts_with_any(const std::string& text, const std::vector<std::string>& starts) {
  return std::any_of(starts.begin(), starts.end(),
                     [&](const std::string& start) { return text.rfind(start, 0) == 0; });
}

/// Headers of libraries, by the folder that may use them. What is not listed here is standard or
/// belongs to the system.
const std::map<std::string, std::vector<std::string>> libraries = {
    {"engine", {"Eigen/", "polyclipping/"}},
    {"search", {"tbb/", "oneapi/", "nlopt"}},
    {"results", {"nlohmann/", "librsvg/", "cairo", "glib", "pugixml"}},
    {"tools", {"CLI/", "microhttpd", "qrencode", "zlib"}},
};

const std::vector<std::string> floors = {"engine", "search", "results", "tools"};

}  // namespace

TEST_CASE("data flows engine -> search -> results -> tools", "[house]") {
  for (std::size_t floor = 0; floor < floors.size(); ++floor) {
    std::vector<std::string> above{"tests/"}, foreign;
    for (std::size_t higher = floor + 1; higher < floors.size(); ++higher) {
      above.push_back(floors[higher] + "/");
      const auto& theirs = libraries.at(floors[higher]);
      foreign.insert(foreign.end(), theirs.begin(), theirs.end());
    }
    const auto files = read_sources(floors[floor]);
    REQUIRE(!files.empty());
    for (const SourceFile& file : files)
      for (const std::string& include : file.includes) {
        CAPTURE(file.path, include);
        CHECK_FALSE(starts_with_any(include, above));
        CHECK_FALSE(starts_with_any(include, foreign));
      }
  }
}

// One floor from the ground up: a room uses those that stand before it, never one behind. Longer
// names first where one begins another: a file may have a place of its own.
const std::vector<std::pair<std::string, int>> rooms = {
    {"engine/design", 3},    {"engine/joint", 3},       {"engine/symmetry/", 1},
    {"engine/shape/", 2},    {"engine/contact/", 4},    {"engine/structure/", 4},
    {"engine/part/", 5},     {"engine/appeal/", 5},     {"engine/nest/", 6},
    {"engine/stock/", 7},    {"engine/variant/", 8},    {"engine/building/", 9},
    {"engine/", 0},          {"search/space/", 10},     {"search/keep/", 11},
    {"search/propose/", 12}, {"search/run/", 13},       {"search/choose/", 14},
    {"search/tune/", 15},    {"search/alike/", 16},     {"results/drawings/", 20},
    {"results/files/", 21},  {"results/reports/", 22},  {"results/gallery/", 23},
    {"results/votes/", 23},  {"results/map/", 24},      {"results/kit/", 24},
    {"results/voting/", 24}, {"results/workshop/", 25}, {"tools/options/", 30},
    {"tools/served/", 31},   {"tools/workshop/", 32},   {"tools/voting/", 32},
    {"tools/commands/", 33}, {"tools/manual/", 34},     {"tools/", 35},
};

std::size_t find_room(const std::string& path) {
  for (std::size_t i = 0; i < rooms.size(); ++i)
    if (path.rfind(rooms[i].first, 0) == 0) return i;
  return rooms.size();
}

TEST_CASE("inside a floor no room uses one that stands behind it", "[house]") {
  for (const std::string& floor : floors)
    for (const SourceFile& file : read_sources(floor)) {
      const std::size_t own = find_room(file.path);
      CAPTURE(file.path);
      REQUIRE(own < rooms.size());
      for (const std::string& include : file.includes) {
        const std::size_t used = find_room(include);
        if (used == rooms.size() || used == own) continue;  // a library's, or its own
        CAPTURE(include);
        CHECK(rooms[used].second <= rooms[own].second);
        // Rooms on the same step know nothing of each other.
        const bool are_beside = rooms[used].second == rooms[own].second;
        CHECK((!are_beside || rooms[used].second == 3));
      }
    }
}

TEST_CASE("each library has its one place", "[house]") {
  const std::vector<std::pair<std::string, std::vector<std::string>>> places = {
      {"tbb/", {"search/run/evaluator"}},
      {"oneapi/", {"search/run/evaluator"}},
      {"nlopt", {"search/propose/refine"}}};
  for (const std::string& floor : floors)
    for (const SourceFile& file : read_sources(floor))
      for (const std::string& include : file.includes)
        for (const auto& [library, allowed] : places)
          if (include.rfind(library, 0) == 0) {
            CAPTURE(file.path, include);
            CHECK(starts_with_any(file.path, allowed));
          }
}

TEST_CASE("the engine knows no threads, files, clock, randomness or printing", "[house]") {
  const std::set<std::string> unwanted = {"thread", "mutex",  "atomic",   "future",     "fstream",
                                          "chrono", "random", "iostream", "filesystem", "ctime"};
  for (const SourceFile& file : read_sources("engine"))
    for (const std::string& include : file.includes) {
      CAPTURE(file.path, include);
      CHECK(unwanted.count(include) == 0);
    }
}

// Two classes of one name in two headers are one to the linker: whose destructor is called is luck.
TEST_CASE("no two headers define a class of the same name", "[house]") {
  static const std::regex definition("^(?:struct|class|enum class|union) (\\w+)[^;]*$");
  std::map<std::string, std::string> places;
  for (const std::string& floor : floors)
    for (const SourceFile& file : read_sources(floor)) {
      if (!file.path.ends_with(".h")) continue;
      std::smatch match;
      for (const std::string& line : file.lines) {
        if (!std::regex_match(line, match, definition)) continue;
        const auto [at, is_new] = places.emplace(match[1], file.path);
        CAPTURE(match[1].str(), at->second, file.path);
        CHECK(is_new);
      }
    }
  CHECK(places.size() > 100);
}

TEST_CASE("a header is a contract readable in a minute", "[house]") {
  for (const std::string& floor : floors)
    for (const SourceFile& file : read_sources(floor)) {
      if (fs::path(file.path).extension() != ".h") continue;
      CAPTURE(file.path);
      REQUIRE(!file.lines.empty());
      CHECK(file.lines[0] == "#pragma once");
      CHECK(file.lines.size() <= 140);
    }
}

TEST_CASE("the top level is fixed", "[house]") {
  const std::set<std::string> allowed = {"engine", "search",    "results",       "tools",
                                         "tests",  "README.md", "DEVELOPERS.md", "CMakeLists.txt"};
  for (const auto& entry : fs::directory_iterator(source)) {
    const std::string name = entry.path().filename().string();
    CAPTURE(name);
    const bool is_made_here = name[0] == '.' || name.rfind("build", 0) == 0 || name == "runs";
    CHECK((is_made_here || allowed.count(name) == 1));
  }
}
