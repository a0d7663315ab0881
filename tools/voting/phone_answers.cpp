#include "tools/voting/phone_answers.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "results/files/json_reader.h"
#include "tools/served/gzip.h"
#include "tools/voting/ballot_json.h"

namespace sixtyfold {
namespace {

constexpr std::size_t most_clients = 5000;

constexpr const char* page_policy =
    "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data: "
    "blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

HttpResponse tell(int status, const std::string& outcome, const std::string& said) {
  const nlohmann::ordered_json document = {{"outcome", outcome}, {"said", said}};
  return {status, "application/json", document.dump() + "\n"};
}

}  // namespace

double Guesses::measure(const Made& made, Clock::time_point now) const {
  const double passed_s = std::chrono::duration<double>(now - made.when).count();
  return std::max(0.0, made.count - passed_s / each_s);
}

bool Guesses::are_too_many(const std::string& client, Clock::time_point now) {
  const auto made = made_.find(client);
  return made != made_.end() && measure(made->second, now) + 1 > at_once;
}

void Guesses::note(const std::string& client, Clock::time_point now) {
  if (made_.size() >= most_clients)
    std::erase_if(made_, [&](const auto& entry) { return measure(entry.second, now) <= 0; });
  if (made_.size() >= most_clients) made_.erase(made_.begin());
  Made& made = made_[client];
  made = {measure(made, now) + 1, now};
}

PhoneAnswers::PhoneAnswers(Vote& vote, std::function<std::string(bool)> page)
    : vote_(vote), page_(std::move(page)) {
  write_page(false);  // before the first phone waits for it
}

int PhoneAnswers::count_visitors() const {
  const std::lock_guard<std::mutex> guard(busy_);
  return static_cast<int>(visitors_.size());
}

HttpResponse PhoneAnswers::write_page(bool packed) {
  const bool closed = vote_.count().closed;
  Page& page = closed ? closed_page_ : open_page_;
  if (page.text.empty()) {
    page.text = page_(closed);
    page.packed = make_gzip(page.text);
  }
  HttpResponse response{200, "text/html; charset=utf-8", packed ? page.packed : page.text,
                        page_policy};
  if (packed) response.headers.emplace_back("Content-Encoding", "gzip");
  response.headers.emplace_back("Vary", "Accept-Encoding");
  return response;
}

HttpResponse PhoneAnswers::take_ballot(const HttpRequest& request, Guesses::Clock::time_point now) {
  std::string gallery, code;
  BallotPlaces places;
  try {
    const JsonCursor sent = JsonCursor::parse(request.body, "ballot");
    gallery = sent.at("gallery").text();
    code = sent.at("code").text();
    places = read_ballot_places(sent.at("places"));
  } catch (const std::invalid_argument& fault) {
    return tell(400, "bad-ballot", std::string("This ballot was not taken: ") + fault.what());
  }
  const VoteRecord record = vote_.record();
  if (record.closed) return tell(410, "closed", "This ballot was not taken: the vote is closed.");
  if (gallery != record.gallery)
    return tell(400, "other-gallery",
                "This ballot was not taken: it is another gallery's; open the page anew.");
  if (guesses_.are_too_many(request.client, now))
    return tell(429, "too-many-guesses",
                "This ballot was not taken: too many codes were tried from here that are none; "
                "wait a minute.");
  switch (vote_.cast(code, places)) {
    case CastOutcome::taken:
      return tell(200, "taken", "The ballot is in.");
    case CastOutcome::changed:
      return tell(200, "changed", "The ballot is in, in place of the one this slip cast before.");
    case CastOutcome::closed:
      return tell(410, "closed", "This ballot was not taken: the vote is closed.");
    case CastOutcome::bad_ballot:
      return tell(400, "bad-ballot",
                  "This ballot was not taken: it names what is no design, or one twice.");
    case CastOutcome::not_kept:
      return tell(507, "not-kept",
                  "This ballot was NOT taken: the disk did not keep it. Tell whoever leads.");
    case CastOutcome::unknown_code:
      break;
  }
  guesses_.note(request.client, now);
  return tell(403, "unknown-code", "This ballot was not taken: no slip has this code.");
}

HttpResponse PhoneAnswers::answer(const HttpRequest& request, Guesses::Clock::time_point now) {
  const bool is_root =
      request.path.empty() || (request.path.size() == 1 && request.path[0].empty());
  const std::string name = request.path.size() == 1 ? request.path[0] : "";
  if (request.method == "GET" && is_root) {
    {
      const std::lock_guard<std::mutex> guard(busy_);
      if (visitors_.size() < most_clients) visitors_.insert(request.client);
    }
    return write_page(request.takes_gzip);
  }
  if (request.method == "GET" && name == "state") {
    const nlohmann::ordered_json document = {{"gallery", vote_.record().gallery},
                                             {"open", !vote_.count().closed}};
    return {200, "application/json", document.dump() + "\n"};
  }
  if (request.method == "POST" && name == "ballot") return take_ballot(request, now);
  return {404, "text/plain; charset=utf-8", "There is nothing here but the ballot: /\n"};
}

}  // namespace sixtyfold
