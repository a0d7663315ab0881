#include "tools/served/served_file.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <set>

#include "results/files/file.h"
#include "tests/support/run_program.h"
#include "tools/served/client_rates.h"
#include "tools/served/secret.h"

using namespace sixtyfold;
namespace fs = std::filesystem;

TEST_CASE("a folder's files are served, nothing beside them", "[served]") {
  const ScratchFolder home;
  fs::create_directories(home.path() / "open/kit");
  write_file(home.path() / "secret.json", "{}");
  write_file(home.path() / "open/kit/guide.html", "<p>guide</p>");
  write_file(home.path() / "open/.hidden", "no");
  fs::create_symlink("../secret.json", home.path() / "open/link.json");
  fs::create_symlink("kit/guide.html", home.path() / "open/inner.html");
  const fs::path open = home.path() / "open";
  const auto status = [&](std::vector<std::string> path) {
    return make_file_answer(open, path).status;
  };
  const HttpResponse page = make_file_answer(open, {"kit", "guide.html"});
  CHECK(page.status == 200);
  CHECK(page.body == "<p>guide</p>");
  CHECK(page.type == "text/html; charset=utf-8");
  CHECK(status({"inner.html"}) == 200);
  CHECK(status({"link.json"}) == 404);
  CHECK(status({"..", "secret.json"}) == 404);
  CHECK(status({"kit", "..", "..", "secret.json"}) == 404);
  CHECK(status({".hidden"}) == 404);
  CHECK(status({"kit"}) == 404);
  CHECK(status({""}) == 404);
  CHECK(status({}) == 404);
  CHECK(status({"kit", "none.html"}) == 404);
  CHECK(status({"/etc/passwd"}) == 404);
  CHECK(find_media_type("a.SVG") == "application/octet-stream");
  CHECK(find_media_type("a.svg") == "image/svg+xml");
}

TEST_CASE("secrets are long, never twice, and of letters that are not mistaken", "[served]") {
  std::set<std::string> tokens, codes;
  std::string letters;
  for (int i = 0; i < 1000; ++i) {
    tokens.insert(make_token());
    const std::string code = make_code(9);
    codes.insert(code);
    letters += code;
  }
  CHECK(tokens.size() == 1000);
  CHECK(tokens.begin()->size() == 32);
  CHECK(codes.size() == 1000);
  // 9,000 letters of 19: each 474 times on average, deviation 21; beyond six of them is no chance.
  for (const char letter : std::string("bcdfghjkmnpqrstvwxz"))
    CHECK(std::abs(std::count(letters.begin(), letters.end(), letter) - 474) < 130);
  CHECK(is_same_secret("abc", "abc"));
  CHECK_FALSE(is_same_secret("abc", "abd"));
  CHECK_FALSE(is_same_secret("abc", "ab"));
}

TEST_CASE("a client's requests are counted over time, each client by itself", "[served]") {
  ClientRates rates(2, 3);
  const auto begin = ClientRates::Clock::now();
  const auto at = [&](double s) {
    return begin + std::chrono::milliseconds(static_cast<int>(s * 1000));
  };
  for (int i = 0; i < 3; ++i) CHECK(rates.take("a", at(0)));
  CHECK_FALSE(rates.take("a", at(0)));
  CHECK(rates.take("b", at(0)));
  CHECK_FALSE(rates.take("a", at(0.4)));
  CHECK(rates.take("a", at(1)));
  // Ten thousand clients, each asking once, leave no trace that grows.
  int taken = 0;
  for (int i = 0; i < 10000; ++i) taken += rates.take(std::to_string(i), at(2 + i * 0.001));
  CHECK(taken == 10000);
}
