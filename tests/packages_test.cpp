// The lists of packages and the build agree: a machine with the packages of a group has what the
// build looks for at that stage.
#include <catch2/catch.hpp>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/run_program.h"

namespace {

std::string read_source(const std::string& name) {
  std::ifstream stream(sixtyfold::source_folder() + "/" + name);
  REQUIRE(stream);
  std::ostringstream text;
  text << stream.rdbuf();
  return text.str();
}

/// The Debian 12 package of what the build looks for, as `dpkg -S` tells for its CMake or
/// pkg-config file.
const std::map<std::string, std::string> package_of = {{"Eigen3", "libeigen3-dev"},
                                                       {"NLopt", "libnlopt-cxx-dev"},
                                                       {"TBB", "libtbb-dev"},
                                                       {"CLI11", "libcli11-dev"},
                                                       {"nlohmann_json", "nlohmann-json3-dev"},
                                                       {"PkgConfig", "pkg-config"},
                                                       {"polyclipping", "libpolyclipping-dev"},
                                                       {"pugixml", "libpugixml-dev"},
                                                       {"librsvg-2.0", "librsvg2-dev"},
                                                       {"cairo", "libcairo2-dev"},
                                                       {"cairo-pdf", "libcairo2-dev"},
                                                       {"libmicrohttpd", "libmicrohttpd-dev"},
                                                       {"libqrencode", "libqrencode-dev"},
                                                       {"ZLIB", "zlib1g-dev"},
                                                       {"Catch2", "catch2"},
                                                       {"CGAL", "libcgal-dev"},
                                                       {"fcl", "libfcl-dev"},
                                                       {"ccache", "ccache"},
                                                       {"fmt", "libfmt-dev"}};

/// What a CMake file asks for, by find_package, pkg_check_modules, find_library and find_program.
std::vector<std::string> find_wanted(const std::string& cmake) {
  std::vector<std::string> wanted;
  static const std::regex call(
      "(find_package|pkg_check_modules|find_library|find_program)\\s*\\(([^)]*)\\)");
  for (std::sregex_iterator match(cmake.begin(), cmake.end(), call), end; match != end; ++match) {
    std::istringstream words((*match)[2].str());
    std::vector<std::string> arguments;
    for (std::string word; words >> word;) arguments.push_back(word);
    REQUIRE(!arguments.empty());
    if ((*match)[1] == "find_package") {
      wanted.push_back(arguments[0]);
      continue;
    }
    for (std::size_t i = 1; i < arguments.size(); ++i)  // behind the variable's name
      if (arguments[i] != "REQUIRED" && arguments[i] != "IMPORTED_TARGET")
        wanted.push_back(arguments[i]);
  }
  return wanted;
}

/// The packages of these groups.
std::set<std::string> read_packages(const std::set<std::string>& groups) {
  std::istringstream lines(read_source("tools/packages"));
  std::set<std::string> packages;
  for (std::string line; std::getline(lines, line);) {
    std::istringstream words(line);
    std::string group, package;
    if (words >> group >> package && groups.count(group)) packages.insert(package);
  }
  return packages;
}

void check_covered(const std::string& cmake_file, const std::set<std::string>& groups) {
  const auto packages = read_packages(groups);
  const auto wanted = find_wanted(read_source(cmake_file));
  CHECK(!wanted.empty());
  for (const std::string& name : wanted) {
    CAPTURE(cmake_file, name);
    REQUIRE(package_of.count(name) == 1);
    CHECK(packages.count(package_of.at(name)) == 1);
  }
}

}  // namespace

TEST_CASE("the program builds with the packages of group build alone", "[packages]") {
  check_covered("CMakeLists.txt", {"build"});
}

TEST_CASE("the tests build with the packages of groups build and check", "[packages]") {
  check_covered("tests/CMakeLists.txt", {"build", "check"});
}

TEST_CASE("what is looked for is read from every kind of call", "[packages]") {
  CHECK(find_wanted(
            "find_package(A 2 REQUIRED)\npkg_check_modules(B REQUIRED IMPORTED_TARGET b-1 c)\n"
            "find_library(D\n  d REQUIRED)") == std::vector<std::string>{"A", "b-1", "c", "d"});
}
