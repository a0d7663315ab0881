#pragma once
// Tables that spreadsheets save: RFC 4180 and what programs of many countries make of it.

#include <string>
#include <vector>

namespace sixtyfold {

struct CsvRow {
  int line = 0;                     ///< where it begins, from 1
  std::vector<std::string> fields;  ///< trimmed
};

struct CsvTable {
  std::vector<std::string> header;  ///< lower case
  std::vector<CsvRow> rows;         ///< empty rows and remarks above the header are left out
};

/// Separated by comma, semicolon or tab: as a line `sep=;` above says, else as the header has them.
/// UTF-8 with or without byte order mark, else Latin-1. Quoted fields may hold line ends. Lines
/// above the header that begin with # are remarks. Throws std::invalid_argument: a zero byte (a
/// file in UTF-16), a quotation mark never closed, or more than `most_rows` rows.
CsvTable read_csv_table(const std::string& bytes, const std::string& where, std::size_t most_rows);

/// Without white space at both ends; ASCII letters made small.
std::string trim(const std::string& text);
std::string to_lower(std::string text);

}  // namespace sixtyfold
