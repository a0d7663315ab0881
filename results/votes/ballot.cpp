#include "results/votes/ballot.h"

#include <algorithm>
#include <cctype>
#include <map>
#include <set>
#include <stdexcept>

#include "results/files/json_reader.h"

namespace sixtyfold {
namespace {

struct Record {
  int line = 0;
  std::vector<std::string> fields;
};

// RFC 4180 with either separator; a quoted field may hold line ends.
std::vector<Record> split_records(const std::string& bytes, const std::string& where) {
  const std::size_t start = bytes.rfind("\xef\xbb\xbf", 0) == 0 ? 3 : 0;
  // The first line that is no remark decides the separator: spreadsheets of many countries write ;
  char separator = ',';
  for (std::size_t at = start; at < bytes.size();) {
    const std::size_t end = std::min(bytes.find('\n', at), bytes.size());
    const std::string first = bytes.substr(at, end - at);
    at = end + 1;
    if (first.empty() || first[0] == '#' || first == "\r") continue;
    if (first.find(',') == std::string::npos && first.find(';') != std::string::npos)
      separator = ';';
    break;
  }
  std::vector<Record> records;
  Record record{1, {""}};
  bool quoted = false, remark = false;
  int line = 1;
  const auto finish = [&] {
    const bool blank = record.fields.size() == 1 && record.fields[0].empty();
    if (!blank && !remark) records.push_back(record);
    if (records.size() > static_cast<std::size_t>(most_ballots) + 1)
      throw std::invalid_argument(where + ": has more than " + std::to_string(most_ballots) +
                                  " ballots, the most that are read");
    record = {line, {""}};
    remark = false;
  };
  for (std::size_t i = start; i < bytes.size(); ++i) {
    const char c = bytes[i];
    const bool line_end =
        c == '\n' || (c == '\r' && (i + 1 == bytes.size() || bytes[i + 1] != '\n'));
    line += line_end;
    if (quoted) {
      if (c == '"' && i + 1 < bytes.size() && bytes[i + 1] == '"') {
        record.fields.back() += c;
        ++i;
      } else if (c == '"') {
        quoted = false;
      } else {
        record.fields.back() += c;
      }
    } else if (line_end) {
      finish();
    } else if (c == '\r') {
    } else if (c == '#' && record.fields.size() == 1 && record.fields[0].empty()) {
      remark = true;
    } else if (remark) {
    } else if (c == '"' && record.fields.back().empty()) {
      quoted = true;
    } else if (c == separator) {
      record.fields.emplace_back();
    } else {
      record.fields.back() += c;
    }
  }
  if (quoted)
    throw std::invalid_argument(where + ": line " + std::to_string(record.line) +
                                ": a quotation mark is opened and never closed");
  finish();
  return records;
}

bool is_utf8(const std::string& bytes) {
  for (std::size_t i = 0; i < bytes.size();) {
    const auto first = static_cast<unsigned char>(bytes[i++]);
    const int more = first < 0x80   ? 0
                     : first < 0xc2 ? -1
                     : first < 0xe0 ? 1
                     : first < 0xf0 ? 2
                     : first < 0xf5 ? 3
                                    : -1;
    if (more < 0) return false;
    for (int k = 0; k < more; ++k, ++i)
      if (i >= bytes.size() || (static_cast<unsigned char>(bytes[i]) & 0xc0) != 0x80) return false;
  }
  return true;
}

// What a file in Latin-1 says, in UTF-8.
std::string from_latin_1(const std::string& bytes) {
  std::string text;
  for (const char c : bytes) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 0x80) text += static_cast<char>(0xc0 | (byte >> 6));
    text += byte < 0x80 ? c : static_cast<char>(0x80 | (byte & 0x3f));
  }
  return text;
}

std::string trim(const std::string& text) {
  const auto first = text.find_first_not_of(" \t\r\n");
  if (first == std::string::npos) return "";
  return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

std::string to_lower(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

std::vector<std::string> split(const std::string& text, const std::string& separators) {
  std::vector<std::string> words{""};
  for (const char c : text) {
    if (separators.find(c) != std::string::npos)
      words.emplace_back();
    else
      words.back() += c;
  }
  for (std::string& word : words) word = trim(word);
  return words;
}

// Places of words; one place with all picks where nothing is put before anything.
std::vector<std::vector<std::string>> split_vote(const std::string& vote) {
  std::vector<std::vector<std::string>> places;
  if (vote.find_first_of(">=") != std::string::npos) {
    for (const std::string& place : split(vote, ">")) places.push_back(split(place, "="));
    return places;
  }
  std::vector<std::string> picks =
      vote.find_first_of(";+") != std::string::npos ? split(vote, ";+") : split(vote, " \t\r\n,");
  std::erase(picks, "");
  return {picks};
}

// 1 and up, or 0 where the word is no such number.
int read_whole(const std::string& word, int largest) {
  if (word.empty() || word.size() > 7) return 0;
  int value = 0;
  for (const char c : word) {
    if (c < '0' || c > '9') return 0;
    value = value * 10 + (c - '0');
  }
  return value <= largest ? value : 0;
}

struct Vote {
  int line = 0, count = 1;
  std::vector<std::vector<std::string>> places;
  std::string fault;
};

std::vector<std::string> find_options(const std::vector<Vote>& votes, const std::string& where) {
  int largest = 0;
  std::map<std::string, std::string> names;  // lower case to as first written
  bool all_numbers = true;
  for (const Vote& vote : votes)
    for (const auto& place : vote.places)
      for (const std::string& word : place) {
        if (word.empty()) continue;
        const int number = read_whole(word, most_options);
        all_numbers = all_numbers && number > 0;
        largest = std::max(largest, number);
        names.emplace(to_lower(word), word);
      }
  std::vector<std::string> options;
  if (all_numbers)
    for (int i = 1; i <= largest; ++i) options.push_back("option " + std::to_string(i));
  else
    for (const auto& [key, name] : names) options.push_back(name);
  if (options.size() > static_cast<std::size_t>(most_options))
    throw std::invalid_argument(where + ": names " + std::to_string(options.size()) +
                                " options; at most " + std::to_string(most_options) +
                                " are allowed");
  return options;
}

}  // namespace

int BallotBox::voters() const {
  int sum = 0;
  for (const Ballot& ballot : ballots) sum += ballot.count;
  return sum;
}

BallotBox read_ballots_csv(const std::string& bytes, const std::string& where,
                           const std::vector<std::string>& options) {
  if (bytes.find('\0') != std::string::npos)
    throw std::invalid_argument(
        where + ": holds a byte of zero, so it is no text in UTF-8; save it as CSV (UTF-8)");
  const std::vector<Record> records =
      split_records(is_utf8(bytes) ? bytes : from_latin_1(bytes), where);
  std::size_t vote_column = 0, count_column = 0;
  const auto find_column = [&](const std::string& name, std::size_t& column) {
    if (records.empty()) return false;
    for (column = 0; column < records[0].fields.size(); ++column)
      if (to_lower(trim(records[0].fields[column])) == name) return true;
    return false;
  };
  if (!find_column("vote", vote_column))
    throw std::invalid_argument(
        where + ": the first line has no column `vote`; a file begins like ballot,vote");
  const bool counted = find_column("count", count_column);

  std::vector<Vote> votes;
  for (std::size_t r = 1; r < records.size(); ++r) {
    const Record& record = records[r];
    Vote vote{record.line, 1, {}, ""};
    if (record.fields.size() > vote_column) vote.places = split_vote(record.fields[vote_column]);
    if (counted) {
      const std::string word =
          record.fields.size() > count_column ? trim(record.fields[count_column]) : "";
      vote.count = read_whole(word, most_voters);
      if (vote.count == 0)
        vote.fault =
            "has the count " + quote(word) + "; allowed is 1 to " + std::to_string(most_voters);
    }
    votes.push_back(std::move(vote));
  }

  BallotBox box;
  box.options = options.empty() ? find_options(votes, where) : options;
  std::map<std::string, int> number_of_name;
  for (std::size_t i = 0; i < box.options.size(); ++i)
    number_of_name.emplace(to_lower(box.options[i]), static_cast<int>(i));
  const int last = static_cast<int>(box.options.size());
  long long voters = 0;
  for (const Vote& vote : votes) {
    Ballot ballot{vote.line, vote.count, {}};
    std::string fault = vote.fault;
    std::set<int> named;
    for (const auto& place : vote.places) {
      ballot.places.emplace_back();
      for (const std::string& word : place) {
        if (!fault.empty()) break;
        const auto name = number_of_name.find(to_lower(word));
        const int option = name != number_of_name.end() ? name->second : read_whole(word, last) - 1;
        if (word.empty())
          fault = "has an empty place";
        else if (option < 0)
          fault = "names " + quote(word) + ", which is no option; they are 1 to " +
                  std::to_string(last);
        else if (!named.insert(option).second)
          fault = "names option " + std::to_string(option + 1) + " twice";
        ballot.places.back().push_back(option);
      }
    }
    if (fault.empty() && named.empty()) fault = "names no option";
    if (!fault.empty()) {
      box.spoiled.push_back({vote.line, fault});
      continue;
    }
    voters += ballot.count;
    if (voters > most_voters_together)
      throw std::invalid_argument(where + ": more than " + std::to_string(most_voters_together) +
                                  " voters are counted together, the most that are read");
    box.ranked = box.ranked || ballot.places.size() > 1;
    box.ballots.push_back(std::move(ballot));
  }
  return box;
}

}  // namespace sixtyfold
