// What phones and the leader's page are told, without a network between.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "results/gallery/folder.h"
#include "tests/support/found_designs.h"
#include "tests/support/run_program.h"
#include "tools/voting/desk_answers.h"
#include "tools/voting/own_addresses.h"
#include "tools/voting/phone_answers.h"

using namespace sixtyfold;

namespace {

const std::string token(32, 'a');

struct Begun {
  ScratchFolder scratch;
  GalleryList list{"g0123456789abcdef", "Which?", {{1, "a", "001.json"}, {2, "b", "002.json"}}};
  std::unique_ptr<Vote> vote;
  Begun() {
    VoteRecord record;
    record.gallery = list.identity;
    record.address = "127.0.0.1";
    record.port = 8060;
    record.token = token;
    Vote::begin(scratch.path() / "vote", record, 5, 2);
    vote = std::make_unique<Vote>(scratch.path() / "vote", list);
  }
  std::string code(std::size_t slip) const { return vote->record().slips[slip].code; }
};

HttpRequest get(std::vector<std::string> path) {
  return {"GET", std::move(path), {}, "", "10.0.0.7", false};
}

HttpRequest post(std::vector<std::string> path, const nlohmann::json& body,
                 const std::string& client = "10.0.0.7") {
  return {"POST", std::move(path), {}, body.dump(), client, false};
}

nlohmann::json ballot(const Begun& begun, const std::string& code) {
  return {{"gallery", begun.list.identity}, {"code", code}, {"places", {{2}}}};
}

std::string outcome_of(const HttpResponse& response) {
  return nlohmann::json::parse(response.body)["outcome"];
}

}  // namespace

TEST_CASE("a phone gets the page, the state and an answer to a ballot, nothing else", "[vote]") {
  const Begun begun;
  PhoneAnswers phones(*begun.vote, [](bool closed) { return closed ? "<closed>" : "<open>"; });
  CHECK(phones.answer(get({})).body == "<open>");
  CHECK(phones.answer(get({""})).body == "<open>");
  CHECK(phones.count_visitors() == 1);
  HttpRequest slow = get({""});
  slow.takes_gzip = true;
  const HttpResponse packed = phones.answer(slow);
  CHECK(packed.headers[0] == std::pair<std::string, std::string>{"Content-Encoding", "gzip"});
  write_file(begun.scratch.path() / "page.gz", packed.body);  // unpacked by another program
  CHECK(run_program({"gzip", "-dc", "page.gz"}, begun.scratch.path()).out == "<open>");
  CHECK(nlohmann::json::parse(phones.answer(get({"state"})).body)["open"] == true);
  for (const auto& path : std::vector<std::vector<std::string>>{
           {"vote.json"}, {token}, {token, ""}, {"ballot"}, {"index.html"}, {"state", ""}})
    CHECK(phones.answer(get(path)).status == 404);
  CHECK(phones.answer(post({"close"}, {})).status == 404);
  CHECK(phones.answer(post({token, "close"}, {})).status == 404);

  const HttpResponse taken = phones.answer(post({"ballot"}, ballot(begun, begun.code(0))));
  CHECK((taken.status == 200 && outcome_of(taken) == "taken"));
  CHECK(outcome_of(phones.answer(post({"ballot"}, ballot(begun, begun.code(0)), "10.0.0.8"))) ==
        "changed");
  CHECK(begun.vote->count().cast == 1);
  nlohmann::json other = ballot(begun, begun.code(1));
  other["gallery"] = "gffffffffffffffff";
  CHECK(outcome_of(phones.answer(post({"ballot"}, other))) == "other-gallery");
  const nlohmann::json late = ballot(begun, begun.code(1));
  begun.vote->close();
  const HttpResponse closed = phones.answer(post({"ballot"}, late));
  CHECK((closed.status == 410 && outcome_of(closed) == "closed"));
  CHECK(phones.answer(get({})).body == "<closed>");
}

TEST_CASE("a body that is no ballot is refused, whatever it is", "[vote]") {
  const Begun begun;
  PhoneAnswers phones(*begun.vote, [](bool) { return ""; });
  for (const char* const body :
       {"", "null", "[]", "{", "{\"gallery\": 3}", "\xff", "{\"gallery\":\"g\",\"code\":\"b\"}",
        "{\"gallery\":\"g\",\"code\":\"b\",\"places\":[[1e99]]}",
        "{\"gallery\":\"g\",\"code\":\"b\",\"places\":[[]]}",
        "{\"gallery\":\"g\",\"code\":\"b\",\"places\":[[[[1]]]]}"}) {
    HttpRequest request = post({"ballot"}, {});
    request.body = body;
    const HttpResponse response = phones.answer(request);
    CHECK((response.status == 400 && outcome_of(response) == "bad-ballot"));
  }
  HttpRequest deep = post({"ballot"}, {});
  deep.body = std::string(60000, '[');
  CHECK(phones.answer(deep).status == 400);
  CHECK(begun.vote->count().cast == 0);
}

TEST_CASE("guessing codes is slow: told, bounded, and no one else's trouble", "[vote]") {
  const Begun begun;
  PhoneAnswers phones(*begun.vote, [](bool) { return ""; });
  const auto start = Guesses::Clock::now();
  const auto seconds = [](double s) {
    return std::chrono::duration_cast<Guesses::Clock::duration>(std::chrono::duration<double>(s));
  };
  int refused = 0;
  for (int i = 0; i < 3600; ++i) {  // one a second for an hour
    const HttpResponse response =
        phones.answer(post({"ballot"}, ballot(begun, "bbbbbb")), start + seconds(i));
    if (outcome_of(response) == "unknown-code")
      ++refused;
    else
      CHECK(response.status == 429);
  }
  CHECK(refused <= Guesses::at_once + 3600 / Guesses::each_s + 1);
  CHECK(refused >= 3600 / Guesses::each_s);
  // Right or wrong, whoever guesses waits; another client casts, and later so does this one.
  const auto then = start + seconds(3600);
  phones.answer(post({"ballot"}, ballot(begun, "bbbbbb")), then);
  CHECK(outcome_of(phones.answer(post({"ballot"}, ballot(begun, begun.code(0))), then)) ==
        "too-many-guesses");
  CHECK(outcome_of(phones.answer(post({"ballot"}, ballot(begun, begun.code(0)), "10.0.0.9"),
                                 then)) == "taken");
  CHECK(outcome_of(phones.answer(post({"ballot"}, ballot(begun, begun.code(0))),
                                 then + seconds(60))) == "changed");
}

TEST_CASE("the leader's page answers its token alone, and tells no standing while open", "[vote]") {
  const Begun begun;
  DeskSource source;
  source.page = [] { return "<desk>"; };
  source.slips = [] { return "%PDF"; };
  source.picture = [](int number) { return number == 2 ? "<svg/>" : ""; };
  source.visitors = [] { return 3; };
  source.gallery = begun.scratch.path();
  DeskAnswers desk(*begun.vote, source);
  for (const auto& path : std::vector<std::vector<std::string>>{{},
                                                                {""},
                                                                {"", token},
                                                                {std::string(32, 'b'), ""},
                                                                {token},
                                                                {token + "a", ""},
                                                                {"state"}})
    CHECK(desk.answer(get(path)).status == 404);
  CHECK(desk.answer(get({token, ""})).body == "<desk>");
  CHECK(desk.answer(get({token, "slips.pdf"})).type == "application/pdf");
  CHECK(desk.answer(get({token, "picture", "2.svg"})).body == "<svg/>");
  for (const char* const name : {"3.svg", ".svg", "2.svgx", "99999.svg", "-2.svg", "2"})
    CHECK(desk.answer(get({token, "picture", name})).status == 404);
  for (const char* const name : {"vote.json", "close", "paper", "gallery.html", "x"})
    CHECK(desk.answer(get({token, name})).status == 404);

  begun.vote->cast(begun.code(0), {{2}});
  const nlohmann::json state = nlohmann::json::parse(desk.answer(get({token, "state"})).body);
  CHECK(state == nlohmann::json{{"given", 5},
                                {"cast", 1},
                                {"paper", 0},
                                {"late", 0},
                                {"closed", false},
                                {"visitors", 3}});
  CHECK(desk.answer(get({token, "result"})).status == 403);

  const nlohmann::json paper = {
      {"ballots", {{{"code", "vbcdfghjkm"}, {"count", 2}, {"class", "5a"}, {"places", {{1, 2}}}}}}};
  CHECK(nlohmann::json::parse(desk.answer(post({token, "paper"}, paper)).body)["taken"] == true);
  CHECK(desk.answer(post({token, "paper"}, {{"ballots", nlohmann::json::array()}})).status == 400);
  CHECK(desk.answer(post({token, "slips"}, {{"more", 500}})).status == 400);
  CHECK(desk.answer(post({token, "slips"}, {{"more", 2}})).status == 200);
  CHECK(desk.answer(post({std::string(32, 'b'), "close"}, {})).status == 404);
  CHECK(desk.answer(post({token, "close"}, nlohmann::json::object())).status == 200);
  const nlohmann::json result = nlohmann::json::parse(desk.answer(get({token, "result"})).body);
  CHECK(result["voters"] == 3);
  CHECK(result["rows"][0] == nlohmann::json{{"number", 2}, {"place", 1}, {"score", 3.0}});
  CHECK(desk.answer(get({token, "slips.pdf"})).status == 403);
}

// RFC 1918, section 3: 10/8, 172.16/12, 192.168/16; RFC 3927: 169.254/16.
TEST_CASE("the address phones come to is the one local one, or is named", "[vote]") {
  for (const char* const local :
       {"10.0.0.1", "172.16.0.1", "172.31.255.254", "192.168.1.1", "169.254.3.4"})
    CHECK(is_private_address(local));
  for (const char* const other :
       {"172.32.0.1", "172.15.0.1", "192.169.0.1", "11.0.0.1", "127.0.0.1", "8.8.8.8", "", "x"})
    CHECK_FALSE(is_private_address(other));
  const OwnAddress loop{"127.0.0.1", "lo"}, home{"192.168.1.20", "wlan0"},
      cable{"10.1.2.3", "eth0"}, wide{"203.0.113.7", "eth1"};
  CHECK(choose_address("", {loop, home, wide}) == "192.168.1.20");
  CHECK(choose_address("127.0.0.1", {home}) == "127.0.0.1");
  CHECK(choose_address("203.0.113.7", {loop, wide}) == "203.0.113.7");
  CHECK_THROWS_WITH(choose_address("", {loop, home, cable}),
                    Catch::Contains("192.168.1.20 (wlan0)") && Catch::Contains("--address"));
  CHECK_THROWS_WITH(choose_address("", {loop, wide}), Catch::Contains("no address of a local"));
  CHECK_THROWS_WITH(choose_address("192.168.1.21", {loop, home}),
                    Catch::Contains("no address of this machine"));
  CHECK_THROWS_AS(choose_address("0.0.0.0", {loop, home}), std::invalid_argument);
}
