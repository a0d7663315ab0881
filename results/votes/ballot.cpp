#include "results/votes/ballot.h"

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>

#include "engine/text.h"
#include "results/files/json_reader.h"
#include "results/votes/csv_table.h"

namespace sixtyfold {
namespace {

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

// How a vote is written; `one` names a single design and is a pick as well as a ranking.
enum class Form { none, one, picks, ranking, blank };

struct Vote {
  int file = 0, line = 0, count = 1, class_index = -1;
  Form form = Form::none;
  std::vector<std::vector<std::string>> places;
  std::string code, gallery, fault;
};

// The rank beside each: 7:1 3:2. Empty where some word is none.
std::map<int, std::vector<std::string>> split_slip(const std::string& text) {
  std::map<int, std::vector<std::string>> ranks;
  std::vector<std::string> words =
      split(text, text.find_first_of(";+") != std::string::npos ? ";+" : " \t\r\n,");
  std::erase(words, "");
  for (const std::string& word : words) {
    const std::size_t colon = word.rfind(':');
    const int rank =
        colon == std::string::npos ? 0 : read_whole(trim(word.substr(colon + 1)), 9999);
    if (rank == 0) return {};
    ranks[rank].push_back(trim(word.substr(0, colon)));
  }
  return ranks;
}

void split_vote(const std::string& text, Vote& vote) {
  const std::string word = to_lower(text);
  if (word == "blank" || word == "leer" || word == "-") {
    vote.form = Form::blank;
    return;
  }
  if (text.find_first_of(">=") != std::string::npos) {
    for (const std::string& place : split(text, ">")) vote.places.push_back(split(place, "="));
    vote.form = Form::ranking;
    return;
  }
  if (const auto ranks = split_slip(text); !ranks.empty()) {
    for (const auto& [rank, words] : ranks) vote.places.push_back(words);
    vote.form = Form::ranking;
    return;
  }
  std::vector<std::string> picks =
      split(text, text.find_first_of(";+") != std::string::npos ? ";+" : " \t\r\n,");
  std::erase(picks, "");
  vote.form = picks.empty() ? Form::none : picks.size() == 1 ? Form::one : Form::picks;
  if (!picks.empty()) vote.places.push_back(std::move(picks));
}

struct Columns {
  std::size_t vote, count, of_class, gallery, code;
};

Columns find_columns(const CsvTable& table, const std::string& where) {
  const auto find = [&](std::initializer_list<const char*> names) {
    for (std::size_t i = 0; i < table.header.size(); ++i)
      for (const char* const name : names)
        if (table.header[i] == name) return i;
    return std::string::npos;
  };
  const Columns columns{find({"vote", "stimme"}), find({"count", "anzahl"}),
                        find({"class", "klasse"}), find({"gallery", "galerie"}),
                        find({"ballot", "zettel"})};
  if (columns.vote == std::string::npos)
    throw std::invalid_argument(
        where + ": the first line has no column `vote`; a file begins like ballot,vote");
  return columns;
}

// As the page gives them out: v and nine consonants, no digits that a spreadsheet could change.
bool is_code(const std::string& word) {
  return word.size() == 10 && word[0] == 'v' &&
         word.find_first_not_of("bcdfghjkmnpqrstvwxz") == std::string::npos;
}

class Reader {
 public:
  Reader(const std::vector<BallotFile>& files, const BallotGuide& guide)
      : files_(files), guide_(guide) {}

  BallotBox read() {
    std::map<std::string, std::string> seen_bytes;
    for (std::size_t f = 0; f < files_.size(); ++f) {
      box_.files.push_back(files_[f].name);
      const auto [same, is_new] = seen_bytes.emplace(files_[f].bytes, files_[f].name);
      if (!is_new)
        box_.notices.push_back(files_[f].name + " holds the very same bytes as " + same->second +
                               ": if it is a copy, leave one of them out");
      read_file_votes(static_cast<int>(f));
    }
    if (votes_.size() > static_cast<std::size_t>(most_ballots) * 2)
      throw std::invalid_argument(
          format("these files hold more than %d ballots together, the "
                 "most that are counted",
                 most_ballots * 2));
    check_galleries();
    find_designs();
    find_kind();
    for (Vote& vote : votes_) add(vote);
    return std::move(box_);
  }

 private:
  void read_file_votes(int file) {
    const BallotFile& source = files_[static_cast<std::size_t>(file)];
    const CsvTable table = read_csv_table(source.bytes, source.name, most_ballots);
    const Columns columns = find_columns(table, source.name);
    const auto field = [](const CsvRow& row, std::size_t column) {
      return column < row.fields.size() ? row.fields[column] : std::string();
    };
    for (const CsvRow& row : table.rows) {
      Vote vote;
      vote.file = file;
      vote.line = row.line;
      std::string of_class = field(row, columns.of_class);
      if (of_class.empty() && files_.size() > 1) of_class = find_class_of_file(source.name);
      if (!of_class.empty()) vote.class_index = find_class(of_class);
      vote.gallery = field(row, columns.gallery);
      vote.code = field(row, columns.code);
      std::size_t filled = row.fields.size();
      while (filled > table.header.size() && row.fields[filled - 1].empty()) --filled;
      if (filled > table.header.size()) {
        vote.fault = format(
            "has %zu fields where the first line has %zu: a vote with commas "
            "needs quotation marks, or spaces instead",
            filled, table.header.size());
        vote.gallery = vote.code = "";  // who knows what stands in which column
      } else if (row.fields[0][0] == '#') {
        vote.fault = "begins with #, which marks a remark";
      }
      split_vote(field(row, columns.vote), vote);
      if (columns.count != std::string::npos && vote.fault.empty()) {
        const std::string word = field(row, columns.count);
        vote.count = read_whole(word, most_voters);
        if (vote.count == 0)
          vote.fault =
              "has the count " + quote(word) + "; allowed is 1 to " + std::to_string(most_voters);
      }
      if (row.fields[0][0] == '#' && field(row, columns.vote).empty()) continue;  // a remark
      votes_.push_back(std::move(vote));
    }
  }

  int find_class(const std::string& name) {
    const auto found = std::find(box_.classes.begin(), box_.classes.end(), name);
    if (found == box_.classes.end()) {
      if (box_.classes.size() == static_cast<std::size_t>(most_classes))
        throw std::invalid_argument(box_.files.back() + ": names more than " +
                                    std::to_string(most_classes) +
                                    " classes, the most that are counted apart");
      box_.classes.push_back(name);
    }
    return static_cast<int>(std::find(box_.classes.begin(), box_.classes.end(), name) -
                            box_.classes.begin());
  }

  void check_galleries() {
    std::string expected = guide_.gallery;
    std::map<int, int> without;
    for (const Vote& vote : votes_) {
      if (vote.gallery.empty()) {
        ++without[vote.file];
        continue;
      }
      if (expected.empty()) expected = vote.gallery;
      if (vote.gallery != expected)
        throw std::invalid_argument(
            name_of_file(vote.file) + ": line " + std::to_string(vote.line) +
            " was cast for another gallery (" + quote(vote.gallery) + ") than " +
            (guide_.gallery.empty() ? "the lines before" : "this one") + " (" + expected + ")");
    }
    if (expected.empty()) return;
    for (const auto& [file, count] : without)
      box_.notices.push_back(name_of_file(file) + ": " +
                             count_of(count, "ballot tells", "ballots tell") + " no gallery and " +
                             (count == 1 ? "is" : "are") + " taken as cast for this one");
  }

  void find_designs() {
    box_.designs = guide_.designs;
    box_.numbers = guide_.numbers;
    if (box_.designs.empty()) take_designs_from_votes();
    if (box_.numbers.empty())
      for (std::size_t i = 0; i < box_.designs.size(); ++i)
        box_.numbers.push_back(static_cast<int>(i) + 1);
    for (std::size_t i = 0; i < box_.designs.size(); ++i) {
      index_of_number_.emplace(box_.numbers[i], static_cast<int>(i));
      const std::string name = to_lower(box_.designs[i]);
      const bool is_new = index_of_name_.emplace(name, static_cast<int>(i)).second;
      if (!is_new) index_of_name_[name] = -1;  // two of one name: only numbers tell them apart
    }
  }

  void take_designs_from_votes() {
    int largest = 0;
    std::map<std::string, std::string> names;  // lower case to as first written
    bool all_numbers = true;
    for (const Vote& vote : votes_)
      for (const auto& place : vote.places)
        for (const std::string& word : place) {
          if (word.empty() || !vote.fault.empty()) continue;
          const int number = read_whole(word, most_vote_designs);
          all_numbers = all_numbers && number > 0;
          largest = std::max(largest, number);
          names.emplace(to_lower(word), word);
        }
    if (all_numbers)
      for (int i = 1; i <= largest; ++i) box_.designs.push_back("design " + std::to_string(i));
    else
      for (const auto& [key, name] : names) box_.designs.push_back(name);
    if (box_.designs.size() > static_cast<std::size_t>(most_vote_designs))
      throw std::invalid_argument(name_of_file(0) + ": names " +
                                  std::to_string(box_.designs.size()) + " designs; at most " +
                                  std::to_string(most_vote_designs) + " are allowed");
  }

  // One ballot of the other kind does not change the method: what at least half of them are.
  void find_kind() {
    int ranked = 0, picked = 0;
    for (const Vote& vote : votes_) {
      if (!vote.fault.empty()) continue;
      ranked += vote.form == Form::ranking;
      picked += vote.form == Form::picks || vote.form == Form::one;
    }
    any_ranked_ = ranked > 0;
    box_.kind = guide_.kind.value_or(ranked > 0 && ranked >= picked ? BallotKind::ranking
                                                                    : BallotKind::picks);
  }

  // The rest of a sentence, or empty and the designs on their places.
  std::string find_places(const Vote& vote, std::vector<std::vector<int>>& places) const {
    std::set<int> named;
    for (const auto& words : vote.places) {
      places.emplace_back();
      for (const std::string& word : words) {
        if (word.empty()) return "has an empty place";
        int design = -1;
        if (const auto number = index_of_number_.find(read_whole(word, 9999));
            number != index_of_number_.end())
          design = number->second;
        else if (const auto name = index_of_name_.find(to_lower(word));
                 name != index_of_name_.end())
          design = name->second;
        if (design < 0) return "names " + quote(word) + ", which is no design; " + say_numbers();
        const int number = box_.numbers[static_cast<std::size_t>(design)];
        if (!named.insert(design).second)
          return "names design " + std::to_string(number) + " twice";
        places.back().push_back(design);
      }
    }
    if (vote.form == Form::none) return "names no design; a blank ballot is written `blank`";
    if (box_.kind == BallotKind::picks && vote.form == Form::ranking)
      return "ranks designs where ballots pick them";
    if (box_.kind == BallotKind::ranking && any_ranked_ && vote.form == Form::picks)
      return "picks designs where ballots rank them: write 3>7, or 3=7 if they are equal";
    return "";
  }

  std::string say_numbers() const {
    const int first = box_.numbers.empty() ? 0 : box_.numbers.front();
    const int last = box_.numbers.empty() ? 0 : box_.numbers.back();
    const bool all = last - first + 1 == static_cast<int>(box_.numbers.size());
    return std::string(all ? "they are " : "they are some of ") + std::to_string(first) + " to " +
           std::to_string(last);
  }

  void add(Vote& vote) {
    if (is_code(vote.code)) {
      const auto [first, is_new] = codes_.emplace(vote.code, &vote);
      if (!is_new) {
        const Vote& before = *first->second;
        const std::string where =
            name_of_file(before.file) + " line " + std::to_string(before.line);
        if (before.places == vote.places && before.form == vote.form)
          box_.notices.push_back(name_of_file(vote.file) + " line " + std::to_string(vote.line) +
                                 ": this ballot is in " + where + " already and counts once");
        else
          spoil(vote, "has the code of " + where + ", but another vote");
        return;
      }
    }
    if (!vote.fault.empty()) return spoil(vote, vote.fault);
    Ballot ballot{vote.file, vote.line, vote.count, vote.class_index, {}};
    if (vote.form != Form::blank)
      if (const std::string fault = find_places(vote, ballot.places); !fault.empty())
        return spoil(vote, fault);
    voters_ += ballot.count;
    if (voters_ > most_voters_together)
      throw std::invalid_argument(name_of_file(vote.file) + ": more than " +
                                  std::to_string(most_voters_together) +
                                  " voters are counted together, the most that are read");
    box_.ranked = box_.ranked || ballot.places.size() > 1;
    (vote.form == Form::blank ? box_.blank : box_.ballots).push_back(std::move(ballot));
  }

  void spoil(const Vote& vote, const std::string& reason) {
    box_.spoiled.push_back({vote.file, vote.line, vote.class_index, reason});
  }

  const std::string& name_of_file(int file) const {
    return files_[static_cast<std::size_t>(file)].name;
  }

  const std::vector<BallotFile>& files_;
  const BallotGuide& guide_;
  BallotBox box_;
  std::vector<Vote> votes_;
  std::map<int, int> index_of_number_;
  std::map<std::string, int> index_of_name_;
  std::map<std::string, const Vote*> codes_;
  bool any_ranked_ = false;
  long long voters_ = 0;
};

}  // namespace

int BallotBox::voters() const {
  int sum = 0;
  for (const Ballot& ballot : ballots) sum += ballot.count;
  return sum;
}

int BallotBox::blank_voters() const {
  int sum = 0;
  for (const Ballot& ballot : blank) sum += ballot.count;
  return sum;
}

std::string find_class_of_file(const std::string& name) {
  std::string stem = name.substr(name.find_last_of("/\\") + 1);
  if (const auto dot = stem.rfind('.'); dot != std::string::npos && dot > 0) stem.resize(dot);
  for (const char* const prefix : {"ballots-", "ballots_", "ballots "})
    if (stem.rfind(prefix, 0) == 0 && stem.size() > 8) return stem.substr(8);
  return stem;
}

BallotBox read_ballots(const std::vector<BallotFile>& files, const BallotGuide& guide) {
  if (files.empty()) throw std::invalid_argument("no file of ballots is given");
  if (files.size() > static_cast<std::size_t>(most_ballot_files))
    throw std::invalid_argument(
        format("%zu files of ballots are given; at most %d are counted "
               "together",
               files.size(), most_ballot_files));
  return Reader(files, guide).read();
}

}  // namespace sixtyfold
