#include "results/gallery/words.h"

#include <algorithm>
#include <cassert>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>
#include <stdexcept>

#include "engine/text.h"
#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "results/files/json_writer.h"
#include "results/gallery/page_assets.h"

namespace sixtyfold {
namespace {

constexpr std::size_t longest_text = 2000;

std::set<std::string> find_places(const std::string& text) {
  static const std::regex place("\\{(\\w+)\\}");
  std::set<std::string> places;
  for (std::sregex_iterator match(text.begin(), text.end(), place), end; match != end; ++match)
    places.insert((*match)[1]);
  return places;
}

GalleryWords read_words(const std::string& bytes, const std::string& where,
                        const GalleryWords* english) {
  const JsonCursor document = JsonCursor::parse(bytes, where);
  if (const auto format = document.find("format"); !format || format->text() != "sixtyfold-words")
    document.fail("is no table of words; its format is to be \"sixtyfold-words\"");
  document.at("version").integer(1, 1);
  GalleryWords table;
  table.language = document.at("language").text(35);
  static const std::regex tag("[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*");
  if (!std::regex_match(table.language, tag))
    document.at("language")
        .fail("is " + quote(table.language) + "; allowed is a language tag such as en or pt-BR");
  const JsonCursor words = document.at("words");
  for (const std::string& key : words.keys()) {
    const std::string text = words.at(key).text(longest_text);
    if (english) {
      const auto known = english->words.find(key);
      if (known == english->words.end())
        words.at(key).fail("is no key of the table; `sixtyfold gallery --print-words` shows all");
      const std::set<std::string> allowed = find_places(known->second);
      for (const std::string& place : find_places(text))
        if (!allowed.count(place))
          words.at(key).fail("has the place {" + place + "}, which the English text has not");
      if (text.empty() && !known->second.empty()) words.at(key).fail("is empty");
    }
    table.words[key] = text;
  }
  if (english) table.words.insert(english->words.begin(), english->words.end());
  return table;
}

}  // namespace

std::string GalleryWords::say(
    const std::string& key, const std::vector<std::pair<std::string, std::string>>& values) const {
  const auto found = words.find(key);
  assert(found != words.end());
  std::string text;
  const std::string& pattern = found->second;
  for (std::size_t at = 0; at < pattern.size();) {
    const std::size_t close = pattern[at] == '{' ? pattern.find('}', at) : std::string::npos;
    const auto value = close == std::string::npos
                           ? values.end()
                           : std::find_if(values.begin(), values.end(), [&](const auto& candidate) {
                               return candidate.first == pattern.substr(at + 1, close - at - 1);
                             });
    if (value == values.end())
      text += pattern[at++];
    else {
      text += value->second;
      at = close + 1;
    }
  }
  return text;
}

std::string GalleryWords::write_number(double value, int decimals) const {
  std::string text = format("%.*f", decimals, value);
  if (const auto point = text.find('.'); point != std::string::npos)
    text.replace(point, 1, words.at("decimal_mark"));
  return text;
}

std::vector<std::string> find_word_languages() { return {"en", "de"}; }

GalleryWords read_gallery_words(const std::string& language_or_file) {
  static const GalleryWords english = read_words(words_en_json, "words/en.json", nullptr);
  if (language_or_file == "en") return english;
  if (language_or_file == "de") return read_words(words_de_json, "words/de.json", &english);
  const bool is_file = language_or_file.size() > 5 &&
                       language_or_file.substr(language_or_file.size() - 5) == ".json";
  if (!is_file)
    throw std::invalid_argument("is " + quote(language_or_file) +
                                "; allowed is en, de or a file of words that ends in .json");
  return read_words(read_file(language_or_file), language_or_file, &english);
}

std::string write_gallery_words(const GalleryWords& words) {
  return write_json({{"format", "sixtyfold-words"},
                     {"version", 1},
                     {"language", words.language},
                     {"words", words.words}});
}

}  // namespace sixtyfold
