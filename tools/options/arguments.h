#pragma once
// What people type on the command line, turned into values. Pure functions; the option's name is
// added by tools/options/options.h.

#include <cstdint>
#include <string>
#include <vector>

#include "engine/allowed.h"

namespace sixtyfold {

// Every function throws std::invalid_argument with the rest of a sentence that begins with the
// option's name: `is "6oo"; allowed is ...`.

/// "4", "4mm", "1.2m", "12cm", "0.5in": millimetres, 0 to 1000 m. A bare number is millimetres.
double parse_length_mm(const std::string& text);
/// The same within what is allowed.
double parse_length_mm(const std::string& text, const Allowed& range);

/// Two lengths of a sheet, the shorter first.
struct SheetSize {
  double short_mm = 0, long_mm = 0;
};
/// "600x1200", "20x40in", "0.6mx1.2m", in either order: a unit behind counts for both. Or "A1",
/// "B2".
SheetSize parse_sheet_size(const std::string& text);

/// A closed range; an end that was left out keeps the bound that was passed in.
struct Range {
  double low = 0, high = 0;
};
/// "0.6": a plain number within `bounds`.
double parse_number(const std::string& text, const Range& bounds);
/// "12": digits only, within `bounds`; "012" is twelve.
int parse_count(const std::string& text, int low, int high);

/// "100000": digits only.
std::uint64_t parse_whole(const std::string& text);

/// "12..60", "..60", "12.." or "60" (both ends), within `bounds`.
Range parse_range(const std::string& text, const Range& bounds);
/// The same with lengths: "1200..2000", "2..3m": a unit behind counts for both.
Range parse_length_range_mm(const std::string& text, const Range& bounds);
/// The same with whole numbers.
Range parse_whole_range(const std::string& text, const Range& bounds);

/// "0,7,12": numbers of copies.
std::vector<int> parse_copies(const std::string& text);

/// "30s", "5m", "1h", "90": seconds, above 0 and at most a week.
double parse_seconds(const std::string& text);

/// "I,O,T,D5": Schoenflies symbols, each once, in the order given. "any" gives the empty list.
std::vector<std::string> parse_groups(const std::string& text);

}  // namespace sixtyfold
