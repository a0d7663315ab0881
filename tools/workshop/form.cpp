#include "tools/workshop/form.h"

#include <algorithm>
#include <functional>
#include <stdexcept>

#include "engine/allowed.h"
#include "engine/text.h"
#include "results/files/json_reader.h"
#include "results/files/material_json.h"
#include "results/files/plain_text.h"
#include "tools/options/arguments.h"

namespace sixtyfold {

namespace {

constexpr std::size_t longest_text = 40;
constexpr double longest_search_s = 600;
constexpr const char* own_board = "own";

struct Field {
  std::string name, usual;
  bool may_be_empty;
  std::function<void(const std::string&)> check;  ///< throws the rest of a sentence
};

std::function<void(const std::string&)> one_of(std::vector<std::string> words) {
  return [words = std::move(words)](const std::string& text) {
    if (std::find(words.begin(), words.end(), text) != words.end()) return;
    std::string list;
    for (const std::string& word : words) list += (list.empty() ? "" : ", ") + word;
    throw std::invalid_argument("is " + quote(text) + "; allowed is " + list);
  };
}

std::function<void(const std::string&)> length(const Allowed& range) {
  return [range](const std::string& text) { parse_length_mm(text, range); };
}

std::function<void(const std::string&)> count(int low, int high) {
  return [low, high](const std::string& text) { parse_count(text, low, high); };
}

bool is_bare_number(const std::string& text) {
  return text.find_first_not_of("0123456789.") == std::string::npos;
}

/// People measure a room in metres: "2" is 2 m.
std::string in_metres(const std::string& text) { return is_bare_number(text) ? text + "m" : text; }

const std::vector<Field>& fields() {
  static const std::vector<Field> table = [] {
    std::vector<std::string> boards = {own_board};
    for (const Material& material : find_shipped_materials()) boards.push_back(material.name);
    const auto number = [](double low, double high) {
      return [low, high](const std::string& text) { parse_number(text, {low, high}); };
    };
    return std::vector<Field>{
        {"width", "600", false, length(allowed::sheet_side)},
        {"height", "1200", false, length(allowed::sheet_side)},
        {"board", "corrugated-c", false, one_of(boards)},
        {"across", "2", false,
         [](const std::string& text) {
           parse_length_mm(in_metres(text), Allowed{"the size across", 50, 100000, "mm"});
         }},
        {"people", "12", false,
         count(static_cast<int>(allowed::people.low), static_cast<int>(allowed::people.high))},
        {"hours", "", true, number(0.25, 1000)},
        {"thickness", "", true, length(allowed::thickness)},
        {"panels_least", "10", true, count(1, 240)},
        {"panels_most", "", true, count(1, 240)},
        {"joints_most", "", true, count(1, 10000)},
        {"joints_by", "tab", false, one_of({"tab", "slot", "both"})},
        {"windows", "off", false, one_of({"off", "on", "both"})},
        {"saws", "1", false,
         count(static_cast<int>(allowed::saws.low), static_cast<int>(allowed::saws.high))},
        {"price", "", true, number(allowed::sheet_price.low, allowed::sheet_price.high)},
        {"count", "12", false, count(1, 48)},
        {"seconds", "20", false, number(1, longest_search_s)},
        {"near", "0.3", false, number(0.05, 0.7)},
        {"paper", "A4", false, one_of({"A4", "A3", "Letter"})},
        {"language", "en", false, one_of({"en", "de"})},
    };
  }();
  return table;
}

const std::string& at(const Form& form, const char* name) { return form.at(name); }

/// "A LOW..HIGH range", either end empty.
std::string write_range(const std::string& low, const std::string& high) {
  return low + ".." + high;
}

void add(std::vector<std::string>& list, std::initializer_list<std::string> more) {
  list.insert(list.end(), more);
}

void add_search(std::vector<std::string>& list, const Form& form, int seed,
                const std::string& folder) {
  add(list, {"--seed", std::to_string(seed), "--time", at(form, "seconds") + "s", "--live",
             "--quiet", "--out", folder});
}

struct Purpose {
  const char* word;
  std::vector<std::string> options;
};

const std::vector<Purpose>& purposes() {
  static const std::vector<Purpose> table = {
      {"joints", {"--for", "joints"}},
      {"stiffness", {"--for", "stiffness"}},
      {"mass", {"--for", "mass"}},
      {"sheet", {"--for", "sheets", "--also", "joints"}},
  };
  return table;
}

}  // namespace

const std::vector<std::string>& form_fields() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> list;
    for (const Field& field : fields()) list.push_back(field.name);
    return list;
  }();
  return names;
}

Form make_form() {
  Form form;
  for (const Field& field : fields()) form[field.name] = field.usual;
  return form;
}

void check_field(const std::string& name, const std::string& text) {
  const auto found = std::find_if(fields().begin(), fields().end(),
                                  [&](const Field& field) { return field.name == name; });
  if (found == fields().end())
    throw std::invalid_argument("the form has no field called " + quote(name));
  if (text.size() > longest_text)
    throw std::invalid_argument(
        format("%s is longer than %zu letters", name.c_str(), longest_text));
  if (text.empty() && found->may_be_empty) return;
  try {
    found->check(text);
  } catch (const std::invalid_argument& fault) {
    throw std::invalid_argument(name + " " + fault.what());
  }
}

std::vector<std::string> make_limit_arguments(const Form& form) {
  std::vector<std::string> list = {"--sheet", at(form, "width") + "x" + at(form, "height")};
  if (at(form, "board") != own_board) add(list, {"--material", at(form, "board")});
  if (!at(form, "thickness").empty()) add(list, {"--thickness", at(form, "thickness")});
  if (!at(form, "price").empty()) add(list, {"--price", at(form, "price")});
  add(list, {"--diameter", ".." + in_metres(at(form, "across"))});
  const std::string least = at(form, "panels_least"), most = at(form, "panels_most");
  if (!least.empty() && !most.empty() && std::stoi(least) > std::stoi(most))
    throw std::invalid_argument("there can not be at least " + least + " panels and at most " +
                                most);
  if (!least.empty() || !most.empty()) add(list, {"--panels", write_range(least, most)});
  if (!at(form, "joints_most").empty()) add(list, {"--joints", ".." + at(form, "joints_most")});
  if (at(form, "joints_by") != "tab") add(list, {"--joints-by", at(form, "joints_by")});
  add(list, {"--people", at(form, "people"), "--saws", at(form, "saws")});
  if (!at(form, "hours").empty()) add(list, {"--hours", ".." + at(form, "hours")});
  return list;
}

std::vector<std::string> make_find_command(const Form& form, int seed, const std::string& folder) {
  std::vector<std::string> list = {"find"};
  for (std::string& text : make_limit_arguments(form)) list.push_back(std::move(text));
  if (at(form, "windows") != "off") add(list, {"--windows", at(form, "windows")});
  add(list, {"--count", at(form, "count")});
  add_search(list, form, seed, folder);
  return list;
}

std::vector<std::string> make_more_command(const Form& form, const LikeFiles& files, int seed,
                                           const std::string& folder) {
  std::vector<std::string> list = {"find"};
  for (const std::string& file : files.like) add(list, {"--like", file});
  for (const std::string& file : files.unlike) add(list, {"--unlike", file});
  for (std::string& text : make_limit_arguments(form)) list.push_back(std::move(text));
  const auto parents = static_cast<int>(std::max<std::size_t>(1, files.like.size()));
  const int each = std::max(2, std::stoi(at(form, "count")) / parents);
  add(list, {"--near", at(form, "near"), "--count", std::to_string(each)});
  add_search(list, form, seed, folder);
  return list;
}

const std::vector<std::string>& tune_purposes() {
  static const std::vector<std::string> words = [] {
    std::vector<std::string> list;
    for (const Purpose& purpose : purposes()) list.push_back(purpose.word);
    return list;
  }();
  return words;
}

std::vector<std::string> make_tune_command(const Form& form, const std::string& purpose,
                                           const std::string& file, const std::string& folder) {
  const auto found = std::find_if(purposes().begin(), purposes().end(),
                                  [&](const Purpose& one) { return purpose == one.word; });
  if (found == purposes().end())
    throw std::invalid_argument("a design is not tuned for " + quote(purpose));
  std::vector<std::string> list = {"tune", file};
  list.insert(list.end(), found->options.begin(), found->options.end());
  // For another sheet: the sheet of the form in place of the design's own.
  if (purpose == "sheet")
    for (std::string& text : make_limit_arguments(form)) list.push_back(std::move(text));
  add(list, {"--count", "6", "--time", "120s", "--quiet", "--out", folder});
  return list;
}

std::vector<std::string> make_map_command(const Form& form, const std::string& run) {
  return {"explore", run, "--language", at(form, "language")};
}

std::vector<std::string> make_gallery_command(const Form& form, const std::string& from,
                                              const std::string& folder) {
  return {"gallery", "--from", from, "--language", at(form, "language"), "--out", folder};
}

std::vector<std::string> make_kit_command(const Form& form, const std::string& file,
                                          const std::string& folder) {
  return {"kit",        file,
          "--people",   at(form, "people"),
          "--saws",     at(form, "saws"),
          "--paper",    at(form, "paper"),
          "--language", at(form, "language"),
          "--out",      folder};
}

std::string write_command(const std::vector<std::string>& arguments) {
  std::string line = "sixtyfold";
  for (const std::string& text : arguments) line += " " + quote_for_shell(text);
  return line;
}

}  // namespace sixtyfold
