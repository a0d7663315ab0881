#include "tools/voting/vote_record.h"

#include <nlohmann/json.hpp>
#include <set>
#include <stdexcept>

#include "results/files/json_reader.h"
#include "results/files/json_writer.h"
#include "results/votes/ballot.h"

namespace sixtyfold {

std::string name_of(VoteMethod method) {
  return method == VoteMethod::approval ? "approval" : "ranking";
}

VoteMethod parse_vote_method(const std::string& word) {
  if (word == "approval") return VoteMethod::approval;
  if (word == "ranking") return VoteMethod::ranking;
  throw std::invalid_argument("is " + quote(word) + "; allowed is approval or ranking");
}

std::string write_vote_record(const VoteRecord& record) {
  nlohmann::ordered_json slips = nlohmann::ordered_json::array();
  for (const VoteSlip& slip : record.slips)
    slips.push_back({{"code", slip.code}, {"place", slip.place}});
  return write_json({{"format", "sixtyfold-vote"},
                     {"version", 1},
                     {"gallery", record.gallery},
                     {"title", record.title},
                     {"language", record.language},
                     {"method", name_of(record.method)},
                     {"address", record.address},
                     {"port", record.port},
                     {"desk_port", record.desk_port},
                     {"token", record.token},
                     {"closed", record.closed},
                     {"given", record.given},
                     {"paper_at_close", record.paper_at_close},
                     {"slips", slips}});
}

VoteRecord read_vote_record(const std::string& bytes, const std::string& where) {
  const JsonCursor document = JsonCursor::parse(bytes, where);
  if (const auto format = document.find("format"); !format || format->text() != "sixtyfold-vote")
    document.fail("is no record of a vote; its format is to be \"sixtyfold-vote\"");
  document.at("version").integer(1, 1);
  VoteRecord record;
  record.gallery = document.at("gallery").text();
  record.title = document.at("title").text(4000);
  record.language = document.at("language").text(4000);
  record.method = parse_vote_method(document.at("method").text());
  record.address = document.at("address").text();
  record.port = static_cast<int>(document.at("port").integer(1, 65535));
  record.desk_port = static_cast<int>(document.at("desk_port").integer(0, 65535));
  record.token = document.at("token").text();
  if (record.token.size() != 32 ||
      record.token.find_first_not_of("0123456789abcdef") != std::string::npos)
    document.at("token").fail("is to be 32 hexadecimal digits");
  record.closed = document.at("closed").boolean();
  record.given = static_cast<int>(document.at("given").integer(1, most_slips));
  record.paper_at_close =
      static_cast<int>(document.at("paper_at_close").integer(0, most_voters_together));
  std::set<std::string> codes;
  std::set<int> places;
  for (const JsonCursor& item : document.at("slips").array(0, most_slips)) {
    VoteSlip slip{item.at("code").text(),
                  static_cast<int>(item.at("place").integer(0, most_slips + most_paper_lines - 1))};
    if (slip.code.size() != code_letters || !codes.insert(slip.code).second ||
        !places.insert(slip.place).second)
      item.fail("is to be a code of six letters and a place, each its own");
    record.slips.push_back(std::move(slip));
  }
  return record;
}

}  // namespace sixtyfold
