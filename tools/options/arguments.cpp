#include "tools/options/arguments.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <sstream>
#include <stdexcept>

#include "engine/symmetry/point_group.h"
#include "results/files/json_reader.h"

namespace sixtyfold {

namespace {

constexpr double largest_length_mm = 1e6;

[[noreturn]] void refuse(const std::string& text, const std::string& allowed) {
  throw std::invalid_argument("is " + quote(text) + "; allowed is " + allowed);
}

struct Unit {
  const char* name;
  double factor;
};

/// A plain decimal number with one of the units (the first when none is written), or nothing.
template <std::size_t count>
std::optional<double> read_quantity(const std::string& text, const Unit (&units)[count]) {
  double value = 0;
  const char* end = text.data() + text.size();
  const auto [rest, error] = std::from_chars(text.data(), end, value);
  if (error != std::errc() || !std::isfinite(value)) return std::nullopt;
  const std::string unit(rest, end);
  if (unit.empty()) return value * units[0].factor;
  for (const Unit& known : units)
    if (unit == known.name) return value * known.factor;
  return std::nullopt;
}

std::optional<double> read_length_mm(const std::string& text) {
  const auto value = read_quantity(text, {{"mm", 1.0}, {"cm", 10.0}, {"m", 1000.0}, {"in", 25.4}});
  if (value && !(0 <= *value && *value <= largest_length_mm)) return std::nullopt;
  return value;
}

/// The letters at the end of "40in", none for "40".
std::string find_unit(const std::string& text) {
  const auto last = text.find_last_not_of("abcdefghijklmnopqrstuvwxyz");
  return last == std::string::npos ? "" : text.substr(last + 1);
}

/// A number without a unit is given that of its partner: "20" of "20x40in".
std::string share_unit(const std::string& text, const std::string& partner) {
  return text.empty() || !find_unit(text).empty() ? text : text + find_unit(partner);
}

/// Paper sizes of ISO 216:2007, A0 to A6 and B0 to B6, in millimetres.
std::optional<SheetSize> find_paper_size(const std::string& name) {
  static constexpr SheetSize a_sizes[] = {{841, 1189}, {594, 841}, {420, 594}, {297, 420},
                                          {210, 297},  {148, 210}, {105, 148}};
  static constexpr SheetSize b_sizes[] = {{1000, 1414}, {707, 1000}, {500, 707}, {353, 500},
                                          {250, 353},   {176, 250},  {125, 176}};
  if (name.size() != 2 || name[1] < '0' || name[1] > '6') return std::nullopt;
  const auto number = static_cast<std::size_t>(name[1] - '0');
  if (name[0] == 'A' || name[0] == 'a') return a_sizes[number];
  if (name[0] == 'B' || name[0] == 'b') return b_sizes[number];
  return std::nullopt;
}

std::optional<double> read_plain(const std::string& text) {
  return read_quantity(text, {{"", 1.0}});
}

std::string show(double value) {
  std::ostringstream text;
  text.precision(10);
  text << value;
  return text.str();
}

using Reader = std::optional<double> (*)(const std::string&);

Range read_range(const std::string& text, const Range& bounds, Reader read, const char* example) {
  const auto allowed = [&] {
    return std::string("a range such as ") + example + " within " + show(bounds.low) + ".." +
           show(bounds.high);
  };
  const auto dots = text.find("..");
  const auto read_end = [&](const std::string& part, double otherwise) {
    if (part.empty()) return otherwise;
    const auto value = read(part);
    if (!value || !(bounds.low <= *value && *value <= bounds.high)) refuse(text, allowed());
    return *value;
  };
  if (text.empty() || text == "..") refuse(text, allowed());
  if (dots == std::string::npos) {
    const double value = read_end(text, 0);
    return {value, value};
  }
  const std::string low = text.substr(0, dots), high = text.substr(dots + 2);
  const Range range = {read_end(share_unit(low, high), bounds.low), read_end(high, bounds.high)};
  if (!(range.low <= range.high)) refuse(text, allowed() + ", the smaller number first");
  return range;
}

}  // namespace

double parse_length_mm(const std::string& text) {
  const auto value = read_length_mm(text);
  if (!value) refuse(text, "a length such as 4, 4mm, 12cm, 1.2m or 0.5in");
  return *value;
}

double parse_length_mm(const std::string& text, const Allowed& range) {
  const double value = parse_length_mm(text);
  if (!range.holds(value)) refuse(text, "a length from " + range.range());
  return value;
}

SheetSize parse_sheet_size(const std::string& text) {
  if (const auto paper = find_paper_size(text)) return *paper;
  const std::string allowed =
      "two lengths such as 600x1200 (mm), 20x40in or 0.6mx1.2m, or a paper size such as A1 or B2";
  const auto times = text.find('x');
  if (times == std::string::npos) refuse(text, allowed);
  const std::string left = text.substr(0, times), right = text.substr(times + 1);
  const auto first = read_length_mm(share_unit(left, right));
  const auto second = read_length_mm(right);
  if (!first || !second || !(*first > 0 && *second > 0)) refuse(text, allowed);
  return {std::min(*first, *second), std::max(*first, *second)};
}

double parse_number(const std::string& text, const Range& bounds) {
  const auto value = read_plain(text);
  if (!value || !(bounds.low <= *value && *value <= bounds.high))
    refuse(text, "a number from " + show(bounds.low) + " to " + show(bounds.high));
  return *value;
}

std::uint64_t parse_whole(const std::string& text) {
  std::uint64_t value = 0;
  const char* end = text.data() + text.size();
  const auto [rest, error] = std::from_chars(text.data(), end, value);
  if (error != std::errc() || rest != end)
    refuse(text, "a whole number from 0 to 18446744073709551615");
  return value;
}

int parse_count(const std::string& text, int low, int high) {
  int value = 0;
  const char* end = text.data() + text.size();
  const auto [rest, error] = std::from_chars(text.data(), end, value);
  if (error != std::errc() || rest != end || !(low <= value && value <= high))
    refuse(text, "a whole number from " + std::to_string(low) + " to " + std::to_string(high));
  return value;
}

Range parse_range(const std::string& text, const Range& bounds) {
  return read_range(text, bounds, read_plain, "0.1..0.6, ..0.6 or 0.1..");
}

Range parse_length_range_mm(const std::string& text, const Range& bounds) {
  return read_range(text, bounds, read_length_mm, "1200..2000 (mm), ..2m or 48in..");
}

Range parse_whole_range(const std::string& text, const Range& bounds) {
  const Range range = read_range(text, bounds, read_plain, "12..60, ..60, 12.. or 60");
  if (range.low != std::floor(range.low) || range.high != std::floor(range.high))
    refuse(text, "whole numbers only");
  return range;
}

std::vector<int> parse_copies(const std::string& text) {
  std::vector<int> copies;
  std::istringstream list(text);
  for (std::string number; std::getline(list, number, ',');)
    copies.push_back(parse_count(number, 0, 100000));
  if (copies.empty()) refuse(text, "numbers of copies with commas between, such as 0,7,12");
  return copies;
}

double parse_seconds(const std::string& text) {
  const auto value =
      read_quantity(text, {{"s", 1.0}, {"min", 60.0}, {"m", 60.0}, {"h", 3600.0}, {"d", 86400.0}});
  if (!value || !(0 < *value && *value <= 7 * 86400.0))
    refuse(text, "a time such as 30s, 5m or 1h, at most a week");
  return *value;
}

std::vector<std::string> parse_groups(const std::string& text) {
  if (text == "any") return {};
  std::vector<std::string> groups;
  std::istringstream list(text);
  for (std::string symbol; std::getline(list, symbol, ',');) {
    if (!is_point_group(symbol))
      refuse(
          symbol,
          "`any`, or Schoenflies symbols with commas between, such as I,O,T,D5: Cn, Dn (n to 60),"
          " T, O, I, and with reflections Cs, Ci, Cnv, Cnh, Dnh, Dnd, S2n, Th, Td, Oh, Ih");
    if (std::find(groups.begin(), groups.end(), symbol) == groups.end()) groups.push_back(symbol);
  }
  if (groups.empty()) refuse(text, "`any`, or symbols with commas between, such as I,O,T,D5");
  return groups;
}

}  // namespace sixtyfold
