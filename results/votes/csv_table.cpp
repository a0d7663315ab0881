#include "results/votes/csv_table.h"

#include <algorithm>
#include <cctype>
#include <stdexcept>

#include "engine/utf8.h"

namespace sixtyfold {
namespace {

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

// Of a header: whichever of the three it has most of.
char find_separator(const std::string& line) {
  char best = ',';
  std::ptrdiff_t most = std::count(line.begin(), line.end(), ',');
  for (const char candidate : {';', '\t'})
    if (const auto count = std::count(line.begin(), line.end(), candidate); count > most) {
      most = count;
      best = candidate;
    }
  return best;
}

// The line without quotation marks and what a spreadsheet hangs on it: "sep=;" or # remark;;;
std::string bare_line(const std::string& line) {
  std::string bare = trim(line);
  if (!bare.empty() && bare[0] == '"') bare.erase(0, 1);
  return bare;
}

struct Start {
  std::size_t at = 0;  // of the header
  int line = 1;
  char separator = ',';
};

Start find_start(const std::string& text) {
  Start start;
  if (text.rfind("\xef\xbb\xbf", 0) == 0) start.at = 3;
  char said = 0;
  while (start.at < text.size()) {
    const std::size_t end = std::min(text.find_first_of("\r\n", start.at), text.size());
    const std::string line = text.substr(start.at, end - start.at);
    const std::string bare = bare_line(line);
    const bool says = bare.size() >= 5 && to_lower(bare.substr(0, 4)) == "sep=";
    if (says) said = bare[4];
    // A line `sep=` with a tab behind loses it to trimming.
    if (to_lower(bare) == "sep=") said = '\t';
    const bool passes = says || to_lower(bare) == "sep=" || bare.empty() || bare[0] == '#' ||
                        bare.find_first_not_of(",;\t") == std::string::npos;
    if (!passes) {
      start.separator = said ? said : find_separator(line);
      return start;
    }
    start.at = end;
    if (start.at < text.size()) {
      const bool two =
          text[start.at] == '\r' && start.at + 1 < text.size() && text[start.at + 1] == '\n';
      start.at += two ? 2 : 1;
      ++start.line;
    }
  }
  return start;
}

}  // namespace

std::string trim(const std::string& text) {
  const auto first = text.find_first_not_of(" \t\r\n");
  if (first == std::string::npos) return "";
  return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

std::string to_lower(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

CsvTable read_csv_table(const std::string& bytes, const std::string& where, std::size_t most_rows) {
  if (bytes.find('\0') != std::string::npos)
    throw std::invalid_argument(
        where + ": holds a byte of zero, so it is no text in UTF-8; save it as CSV (UTF-8)");
  const std::string text = is_utf8(bytes) ? bytes : from_latin_1(bytes);
  const Start start = find_start(text);
  CsvTable table;
  CsvRow row{start.line, {""}};
  bool quoted = false, headed = false;
  int line = start.line;
  const auto finish = [&] {
    for (std::string& field : row.fields) field = trim(field);
    const bool empty = std::all_of(row.fields.begin(), row.fields.end(),
                                   [](const std::string& field) { return field.empty(); });
    if (!empty && !headed) {
      headed = true;
      for (std::string& field : row.fields) table.header.push_back(to_lower(field));
    } else if (!empty) {
      table.rows.push_back(row);
    }
    if (table.rows.size() > most_rows)
      throw std::invalid_argument(where + ": has more than " + std::to_string(most_rows) +
                                  " ballots, the most that are read");
    row = {line, {""}};
  };
  for (std::size_t i = start.at; i < text.size(); ++i) {
    const char c = text[i];
    const bool line_end = c == '\n' || (c == '\r' && (i + 1 == text.size() || text[i + 1] != '\n'));
    line += line_end;
    if (quoted) {
      if (c == '"' && i + 1 < text.size() && text[i + 1] == '"') {
        row.fields.back() += c;
        ++i;
      } else if (c == '"') {
        quoted = false;
      } else {
        row.fields.back() += c;
      }
    } else if (line_end) {
      finish();
    } else if (c == '\r') {
    } else if (c == '"' && trim(row.fields.back()).empty()) {
      quoted = true;
    } else if (c == start.separator) {
      row.fields.emplace_back();
    } else {
      row.fields.back() += c;
    }
  }
  if (quoted)
    throw std::invalid_argument(where + ": line " + std::to_string(row.line) +
                                ": a quotation mark is opened and never closed");
  finish();
  return table;
}

}  // namespace sixtyfold
