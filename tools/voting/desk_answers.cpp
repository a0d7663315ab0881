#include "tools/voting/desk_answers.h"

#include <nlohmann/json.hpp>
#include <stdexcept>

#include "results/files/json_reader.h"
#include "tools/served/secret.h"
#include "tools/served/served_file.h"
#include "tools/voting/ballot_json.h"

namespace sixtyfold {
namespace {

using nlohmann::ordered_json;

constexpr const char* page_policy =
    "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src 'self' "
    "data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

HttpResponse tell(int status, const std::string& text) {
  return {status, "text/plain; charset=utf-8", text + "\n"};
}

HttpResponse send(const ordered_json& document, int status = 200) {
  return {status, "application/json",
          document.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace) + "\n"};
}

/// 12 of "12.svg", else 0.
int read_number(const std::string& file) {
  const std::size_t dot = file.find(".svg");
  if (dot == 0 || dot > 4 || dot + 4 != file.size()) return 0;
  int number = 0;
  for (std::size_t i = 0; i < dot; ++i) {
    if (file[i] < '0' || file[i] > '9') return 0;
    number = 10 * number + (file[i] - '0');
  }
  return number;
}

ordered_json write_result(const VoteResult& result) {
  ordered_json rows = ordered_json::array(), spoiled = ordered_json::array();
  if (result.tally)
    for (const TallyRow& row : result.tally->rows)
      rows.push_back({{"number", result.box.numbers[static_cast<std::size_t>(row.design)]},
                      {"place", row.place},
                      {"score", row.score}});
  for (const SpoiledBallot& ballot : result.box.spoiled)
    spoiled.push_back("line " + std::to_string(ballot.line) + " " + ballot.reason);
  return {{"rows", rows},
          {"voters", result.box.voters()},
          {"blank", result.box.blank_voters()},
          {"spoiled", spoiled}};
}

}  // namespace

HttpResponse DeskAnswers::get(const std::string& name, const HttpRequest& request) {
  const VoteCount count = vote_.count();
  if (name.empty()) return {200, "text/html; charset=utf-8", source_.page(), page_policy};
  if (name == "state")
    return send({{"given", count.given},
                 {"cast", count.cast},
                 {"paper", count.paper},
                 {"late", count.late},
                 {"closed", count.closed},
                 {"visitors", source_.visitors()}});
  if (name == "result")
    return count.closed ? send(write_result(vote_.find_result()))
                        : tell(403, "The vote is open: nobody sees a standing.");
  if (name == "slips.pdf") {
    if (count.closed) return tell(403, "The vote is closed: its codes were thrown away.");
    return {200,
            "application/pdf",
            source_.slips(),
            "default-src 'none'",
            {{"Content-Disposition", "inline; filename=\"slips.pdf\""}}};
  }
  if (name == "gallery.html") return make_file_answer(source_.gallery, {"index.html"});
  if (name == "picture" && request.path.size() == 3)
    if (std::string picture = source_.picture(read_number(request.path[2])); !picture.empty())
      return {200, "image/svg+xml", std::move(picture)};
  return tell(404, "There is nothing of that name.");
}

void DeskAnswers::post(const std::string& name, const std::string& body) {
  const JsonCursor sent = JsonCursor::parse(body, "request");
  if (name == "close") return vote_.close();
  if (name == "slips")
    return vote_.add_slips(static_cast<int>(sent.at("more").integer(1, most_slips)));
  if (name == "paper-back") return vote_.take_back_paper(sent.at("code").text());
  std::vector<PaperBallot> ballots;
  for (const JsonCursor& item : sent.at("ballots").array(1, most_paper_lines))
    ballots.push_back({item.at("code").text(),
                       static_cast<int>(item.at("count").integer(1, most_voters)),
                       item.at("class").text(), read_ballot_places(item.at("places"))});
  vote_.add_paper(ballots);
}

HttpResponse DeskAnswers::answer(const HttpRequest& request) {
  if (request.path.empty() || !is_same_secret(request.path[0], vote_.record().token))
    return tell(404, "There is nothing here without the whole address that the program printed.");
  if (request.path.size() < 2)
    return tell(404, "There is nothing of that name; the address ends with a slash.");
  const std::string& name = request.path[1];
  const bool is_plain = request.path.size() == 2;
  if (request.method != "POST")
    return is_plain || name == "picture" ? get(name, request)
                                         : tell(404, "There is nothing of that name.");
  if (!is_plain || (name != "close" && name != "slips" && name != "paper" && name != "paper-back"))
    return tell(404, "There is nothing of that name.");
  try {
    post(name, request.body);
    return send({{"taken", true}, {"said", ""}});
  } catch (const std::invalid_argument& fault) {
    return send({{"taken", false}, {"said", fault.what()}}, 400);
  } catch (const std::runtime_error& fault) {
    return send({{"taken", false}, {"said", fault.what()}}, 507);
  }
}

}  // namespace sixtyfold
