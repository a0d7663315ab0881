#include "results/gallery/page_text.h"

#include <algorithm>
#include <cctype>
#include <nlohmann/json.hpp>

#include "results/drawings/markup_text.h"
#include "results/gallery/page_assets.h"

namespace sixtyfold {

using nlohmann::ordered_json;

std::string fill_in(const std::string& page, const GalleryWords& words,
                    const std::vector<std::pair<std::string, std::string>>& parts) {
  std::string filled;
  for (std::size_t at = 0; at < page.size();) {
    const std::size_t open = page.find("{{", at);
    filled.append(page, at, open == std::string::npos ? open : open - at);
    if (open == std::string::npos) break;
    const std::size_t close = page.find("}}", open);
    const std::string key =
        close == std::string::npos ? "" : page.substr(open + 2, close - open - 2);
    const auto part = std::find_if(parts.begin(), parts.end(),
                                   [&](const auto& candidate) { return candidate.first == key; });
    if (part != parts.end())
      filled += part->second;
    else if (key == "w.language")
      filled += make_markup_text(words.language);
    else
      filled += make_markup_text(words.say(key.substr(2)), 2000);
    at = close + 2;
  }
  return filled;
}

// Neither can occur without a '<'.
std::string write_script_json(const ordered_json& document) {
  std::string text = document.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace), safe;
  for (const char c : text) safe += c == '<' ? std::string("\\u003c") : std::string(1, c);
  return safe;
}

std::string find_part(const std::string& parts, const std::string& name) {
  const std::string mark = "<!-- " + name + " -->\n";
  const std::size_t begin = parts.find(mark) + mark.size();
  return parts.substr(begin, parts.find("<!-- ", begin) - begin);
}

std::string make_policy_tag(const std::string& more) {
  return "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
         "'unsafe-inline'; script-src 'unsafe-inline'; img-src data: blob:" +
         more + "\">\n";
}

std::string make_page_head(const GalleryWords& words, const std::string& title,
                           const std::string& style, const std::string& policy) {
  return fill_in(find_part(parts_html, "head"), words,
                 {{"title", title}, {"style", style}, {"policy", policy}});
}

std::string make_turn_buttons(const GalleryWords& words) {
  return fill_in(find_part(parts_html, "turn_buttons"), words, {});
}

ordered_json make_script_words(const GalleryWords& words, const std::vector<std::string>& without) {
  ordered_json spoken;
  for (const auto& [key, text] : words.words)
    if (std::none_of(without.begin(), without.end(),
                     [&key = key](const std::string& start) { return key.rfind(start, 0) == 0; }))
      spoken[key] = text;
  spoken["language"] = words.language;
  return spoken;
}

std::string describe_symmetry(const std::string& symbol, const GalleryWords& words) {
  const auto with_symbol = [&](const std::string& text) { return text + " (" + symbol + ")"; };
  if (symbol == "Th") return with_symbol(words.say("symmetry_Th"));
  if (symbol[0] == 'T' || symbol[0] == 'O' || symbol[0] == 'I')
    return with_symbol(words.say("symmetry_" + symbol.substr(0, 1)));
  if (symbol == "Ci" || symbol == "Cs") return with_symbol(words.say("symmetry_" + symbol));
  const std::size_t digits_end = symbol.find_first_not_of("0123456789", 1);
  const std::string number =
      symbol.substr(1, digits_end == std::string::npos ? digits_end : digits_end - 1);
  const std::string kind =
      symbol[0] + (digits_end == std::string::npos ? "" : symbol.substr(digits_end));
  return with_symbol(words.say("symmetry_" + kind, {{"n", number}}));
}

std::string explain_looks(const Score& score, const Taste& taste, const GalleryWords& words) {
  if (!(score.legibility > 0)) return "";
  std::string text;
  for (const LooksReason& reason : find_looks_reasons(score, taste)) {
    const std::string value = words.write_number(reason.value, reason.decimals);
    const std::string said = words.say("looks_" + reason.key, {{"n", value}});
    text += (text.empty() ? "" : "; ") +
            (reason.against ? words.say("looks_but", {{"reason", said}}) : said);
  }
  if (text.empty()) return "";
  text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text + ".";
}

}  // namespace sixtyfold
