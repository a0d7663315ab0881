#include "tools/manual/value_words.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <exception>
#include <set>

#include "results/files/material_json.h"
#include "search/run/run_plan.h"
#include "search/space/carving.h"
#include "search/space/criterion.h"
#include "search/space/parameter_space.h"

namespace sixtyfold {

namespace {

/// Parts of `text` between any of `marks`, without the empty ones.
std::vector<std::string> split(std::string text, const std::vector<std::string>& marks) {
  for (const std::string& mark : marks)
    for (std::size_t at; (at = text.find(mark)) != std::string::npos;)
      text.replace(at, mark.size(), "\n");
  std::vector<std::string> parts;
  std::size_t begin = 0;
  while (begin <= text.size()) {
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    if (end > begin) parts.push_back(text.substr(begin, end - begin));
    begin = end + 1;
  }
  return parts;
}

/// "A4", "A3", "Letter" of a value described as "TEXT:{A4,A3,Letter}".
std::vector<std::string> find_braced(const std::string& type) {
  const std::size_t open = type.find('{'), close = type.rfind('}');
  if (open == std::string::npos || close == std::string::npos || close < open) return {};
  return split(type.substr(open + 1, close - open - 1), {","});
}

std::vector<std::string> find_all_plane_names() {
  std::vector<std::string> names;
  for (const std::string& symbol : all_symmetries())
    for (const std::string& name : find_plane_names(make_point_group(symbol)))
      if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  return names;
}

/// Words of lists that are read as a whole, when the command begins: those options take any text.
std::vector<std::string> find_listed(const std::string& name) {
  std::vector<std::string> words;
  if (name == "--group") {
    words = all_symmetries();
    words.push_back("any");
  } else if (name == "--family") {
    words = find_family_names();
  } else if (name == "--plane") {
    words = find_all_plane_names();
  } else if (name == "--weight" || name == "--pareto" || name == "--for" || name == "--also") {
    for (const Criterion& criterion : criteria()) words.push_back(criterion.name);
  } else if (name == "--material" || name == "NAME") {
    for (const Material& material : find_shipped_materials()) words.push_back(material.name);
  }
  return words;
}

/// Whether the option takes this value. Empty: it does, else what it says.
std::string find_refusal(CLI::Option& option, const std::string& value) {
  option.clear();
  std::string refusal;
  try {
    option.add_result(value);
    option.run_callback();
  } catch (const std::exception& fault) {
    refusal = fault.what();
    if (refusal.empty()) refusal = "refused";
  }
  option.clear();
  return refusal;
}

/// "long", "short", "none" of "--grain is "?"; allowed is long, short or none".
std::vector<std::string> find_allowed(CLI::Option& option) {
  const std::string refusal = find_refusal(option, "?"), mark = "; allowed is ";
  const std::size_t at = refusal.find(mark);
  if (at == std::string::npos) return {};
  std::string list = refusal.substr(at + mark.size());
  if (const std::string start = "one of "; list.rfind(start, 0) == 0) list.erase(0, start.size());
  std::vector<std::string> words;
  for (const std::string& word : split(list, {", ", " or "})) {
    const bool is_word = std::isalpha(static_cast<unsigned char>(word[0])) &&
                         word.find_first_not_of("abcdefghijklmnopqrstuvwxyz-") == std::string::npos;
    if (is_word) words.push_back(word);
  }
  return words;
}

}  // namespace

OfferedValues find_offered_values(CLI::Option& option) {
  OfferedValues offered;
  const std::string type = option.get_type_name(), name = option.get_name();
  const auto says = [&](const char* word) { return type.find(word) != std::string::npos; };
  offered.folders = says("FOLDER") || name.rfind("FOLDER", 0) == 0;
  offered.files = says("FILE") || says(".json") || (option.get_positional() && !offered.folders);
  offered.words = find_listed(name);
  if (offered.words.empty()) offered.words = find_braced(type);
  if (offered.words.empty()) offered.words = find_allowed(option);
  offered.words.erase(
      std::remove_if(offered.words.begin(), offered.words.end(),
                     [&](const std::string& word) { return !find_refusal(option, word).empty(); }),
      offered.words.end());
  if (option.get_positional() && !offered.words.empty()) offered.files = false;
  return offered;
}

std::string describe_value(const CLI::Option& option) {
  if (option.get_items_expected_max() == 0) return "";
  const std::string type = option.get_type_name();
  std::string words;
  for (const std::string& word : find_braced(type)) words += (words.empty() ? "" : "|") + word;
  return words.empty() ? type : words;
}

}  // namespace sixtyfold
