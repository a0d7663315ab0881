// The command itself, as a process: spoken to over HTTP, killed, opened again.
#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <functional>
#include <nlohmann/json.hpp>
#include <thread>

#include "results/files/file.h"
#include "tests/support/http_client.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;
using nlohmann::json;

namespace {

class OpenWorkshop {
 public:
  explicit OpenWorkshop(const std::filesystem::path& folder) : said_(folder.string() + ".txt") {
    const std::string program = program_path(), place = folder.string();
    std::filesystem::remove(said_);  // of one that was open before
    process_ = ::fork();
    if (process_ == 0) {
      const int file = ::open(said_.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
      ::dup2(file, 1);
      ::execl(program.c_str(), "sixtyfold", "workshop", place.c_str(), "--no-browser", nullptr);
      ::_exit(4);
    }
    wait_for([&] {
      const std::string text = said();
      const std::size_t at = text.find("http://127.0.0.1:");
      if (at == std::string::npos || text.find('\n', at) == std::string::npos) return false;
      const std::size_t slash = text.find('/', at + 17);
      port_ = std::stoi(text.substr(at + 17, slash - at - 17));
      base_ = text.substr(slash, text.find('\n', slash) - slash);
      return true;
    });
  }
  ~OpenWorkshop() { end(SIGKILL); }
  OpenWorkshop(const OpenWorkshop&) = delete;
  OpenWorkshop& operator=(const OpenWorkshop&) = delete;

  int end(int signal_number) {
    if (process_ < 0) return -1;
    ::kill(process_, signal_number);
    int status = 0;
    ::waitpid(process_, &status, 0);
    process_ = -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  }
  std::string said() const {
    try {
      return read_file(said_);
    } catch (const std::exception&) {
      return "";
    }
  }
  int port() const { return port_; }
  const std::string& base() const { return base_; }

  std::string get(const std::string& path) const { return ask(port_, base_ + path); }
  std::string act(const json& action) const { return post(port_, base_ + "act", action.dump()); }
  json state() const { return json::parse(find_body(get("state"))); }

  template <class Holds>
  static void wait_for(const Holds& holds) {
    for (int i = 0; i < 1500; ++i) {
      if (holds()) return;
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
    FAIL("waited thirty seconds in vain");
  }

 private:
  std::filesystem::path said_;
  pid_t process_ = -1;
  int port_ = 0;
  std::string base_;
};

json begin_search(const OpenWorkshop& open) {
  for (const auto& [field, value] : std::map<std::string, std::string>{
           {"seconds", "60"}, {"count", "3"}, {"people", "20"}, {"panels_least", ""}})
    REQUIRE(find_status(open.act({{"action", "set"}, {"field", field}, {"value", value}})) == 200);
  REQUIRE(find_status(open.act({{"action", "find"}})) == 200);
  OpenWorkshop::wait_for([&] { return open.state()["things"][0]["designs"] > 0; });
  return json::parse(find_body(open.get("list/find-001")))["designs"];
}

}  // namespace

TEST_CASE("a workshop killed in the middle of a search has lost nothing", "[workshop][server]") {
  const ScratchFolder scratch;
  const auto folder = scratch.path() / "hall";
  std::string key;
  {
    OpenWorkshop open(folder);
    const json designs = begin_search(open);
    key = designs[0]["key"];
    REQUIRE(find_status(open.act(
                {{"action", "mark"}, {"folder", "find-001"}, {"key", key}, {"word", "pick"}})) ==
            200);
    open.end(SIGKILL);
  }
  // The search ends with its server, and keeps what it found.
  OpenWorkshop::wait_for([&] {
    try {
      const FolderLock is_free(folder / "find-001");
      return std::filesystem::exists(folder / "find-001/ranking.json");
    } catch (const std::invalid_argument&) {
      return false;
    }
  });
  OpenWorkshop open(folder);
  json state = open.state();
  CHECK(state["form"]["people"] == "20");
  CHECK(state["marks"][key]["word"] == "pick");
  CHECK(state["undo"] == "mark");
  CHECK(state["things"][0]["ending"] == "interrupted");
  CHECK(state["things"][0]["resumable"] == true);
  CHECK(state["things"][0]["designs"] > 0);
  const std::string file = state["marks"][key]["file"];
  CHECK(find_status(open.get("files/find-001/" + file)) == 200);
  CHECK(find_status(open.get("picture/find-001/" + file)) == 200);
  // It goes on from there, and what was picked stays picked.
  REQUIRE(find_status(open.act({{"action", "resume"}, {"number", 1}})) == 200);
  OpenWorkshop::wait_for([&] {
    const json now = open.state()["progress"];
    return now.is_object() && now["variants"] > 0;
  });
  REQUIRE(find_status(open.act({{"action", "stop"}, {"number", 1}})) == 200);
  OpenWorkshop::wait_for([&] { return open.state()["progress"].is_null(); });
  state = open.state();
  CHECK(state["things"][0]["ending"] == "stopped");
  CHECK(state["marks"][key]["word"] == "pick");
  // Undone once: nothing is picked; the field before it: twelve people.
  REQUIRE(find_status(open.act({{"action", "undo"}})) == 200);
  CHECK(open.state()["marks"].empty());
  REQUIRE(find_status(open.act({{"action", "redo"}})) == 200);
  CHECK(open.state()["marks"][key]["word"] == "pick");
  CHECK(open.end(SIGINT) == 0);
  CHECK(open.said().find("1 designs picked") == std::string::npos);
  CHECK(open.said().find("1 design picked") != std::string::npos);
}

TEST_CASE("a workshop refuses what is not its own, and the search goes on meanwhile",
          "[workshop][server][mistakes]") {
  const ScratchFolder scratch;
  const auto folder = scratch.path() / "hall";
  write_file(scratch.path() / "secret.json", "{}");
  OpenWorkshop open(folder);
  begin_search(open);
  std::filesystem::create_symlink(scratch.path() / "secret.json", folder / "find-001/777.json");
  const std::string other = "/0123456789abcdef0123456789abcdef/";
  CHECK(find_status(ask(open.port(), other)) == 403);
  CHECK(find_status(ask(open.port(), other + "state")) == 403);
  CHECK(find_status(ask(open.port(), "/")) == 403);
  CHECK(find_status(post(open.port(), other + "act", R"({"action":"find"})")) == 403);
  for (const char* const path :
       {"files/../secret.json", "files/%2e%2e/secret.json", "files/..%2fsecret.json",
        "files/find-001/777.json", "files/.hidden", "files//etc/passwd", "files/find-001",
        "picture/find-001/777.json", "shape/find-001/777.json", "picture/../secret.json",
        "shape/find-001/%2e%2e/secret.json", "list/..", "list/%2fetc", "list/nothing-001",
        "picture/find-001/so-far/zzzzzzzz.json", "state?since=x", "nothing", "act"}) {
    CAPTURE(path);
    const int status = find_status(open.get(path));
    CHECK((status == 400 || status == 404));
  }
  const std::vector<json> refused = {
      {},
      {{"action", "rm"}},
      {{"action", 7}},
      {{"action", "find"}, {"out", "/tmp/x"}},
      {{"action", "find"}, {"options", {"--out", "/tmp/x"}}},
      {{"action", "set"}, {"field", "out"}, {"value", "/tmp/x"}},
      {{"action", "set"}, {"field", "people"}, {"value", "12 --out /tmp/x"}},
      {{"action", "set"}, {"field", "width"}, {"value", "--out"}},
      {{"action", "set"}, {"field", "board"}, {"value", "../../secret.json"}},
      {{"action", "set"}, {"field", "seconds"}, {"value", "100000"}},
      {{"action", "kit"}, {"folder", "../.."}, {"key", "0123abcd"}},
      {{"action", "kit"}, {"folder", "find-001"}, {"key", "../../secret"}},
      {{"action", "tune"}, {"folder", "find-001"}, {"key", "0123abcd"}, {"purpose", "joints"}},
      {{"action", "mark"}, {"folder", "find-001"}, {"key", "0123abcd"}, {"word", "pick"}},
      {{"action", "map"}, {"number", 99}},
      {{"action", "resume"}, {"number", 1}},
      {{"action", "stop"}, {"number", "1"}},
      {{"action", "gallery"}},
      {{"action", "more"}},
  };
  for (const json& action : refused) {
    CAPTURE(action.dump());
    const std::string answer = open.act(action);
    CHECK(find_status(answer) == 400);
    CHECK(json::parse(find_body(answer))["fault"].get<std::string>().size() > 10);
  }
  CHECK(find_status(post(open.port(), open.base() + "act", std::string(60000, '['))) == 400);
  CHECK(find_status(post(open.port(), open.base() + "act", "{\"action\":\"fi")) == 400);
  // One after another, and not too many.
  int taken = 0;
  for (int i = 0; i < 12; ++i) taken += find_status(open.act({{"action", "find"}})) == 200 ? 1 : 0;
  CHECK(taken == 8);
  const json state = open.state();
  CHECK(state["progress"]["number"] == 1);
  const auto variants = state["progress"]["variants"].get<long>();
  OpenWorkshop::wait_for(
      [&] { return open.state()["progress"]["variants"].get<long>() > variants; });
  for (const json& thing : state["things"])
    CHECK(thing["ending"] == (thing["number"] == 1 ? "working" : "waiting"));
  CHECK(open.end(SIGTERM) == 0);
  // What waited is forgotten, not begun.
  CHECK(std::filesystem::exists(folder / "find-001/ranking.json"));
  CHECK_FALSE(std::filesystem::exists(folder / "find-002"));
}

TEST_CASE("one workshop a folder", "[workshop][server][mistakes]") {
  const ScratchFolder scratch;
  const OpenWorkshop open(scratch.path() / "hall");
  const ProgramResult second =
      run_sixtyfold({"workshop", (scratch.path() / "hall").string(), "--no-browser"});
  CHECK(second.status == 2);
  CHECK(second.err.find("at work in this folder") != std::string::npos);
}

TEST_CASE("the page allows itself its own script and its own server, and nothing else",
          "[workshop][server]") {
  const ScratchFolder scratch;
  const OpenWorkshop open(scratch.path() / "hall");
  const std::string page = open.get("");
  CHECK(find_status(page) == 200);
  const std::size_t at = page.find("nonce-");
  REQUIRE(at != std::string::npos);
  const std::string nonce = page.substr(at + 6, 32);
  CHECK(page.find("<script nonce=\"" + nonce + "\">") != std::string::npos);
  CHECK(page.find("connect-src 'self'") != std::string::npos);
  CHECK(page.find("script-src 'nonce-") != std::string::npos);
  CHECK(find_body(page).find("{{") == std::string::npos);
  for (const char* const outside : {"@import", "url(", "http:", "https:", " src="})
    CHECK(find_body(page).find(outside) == std::string::npos);
  // Another time, another one.
  CHECK(open.get("").find("nonce-" + nonce) == std::string::npos);
}
