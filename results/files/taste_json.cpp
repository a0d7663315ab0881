#include "results/files/taste_json.h"

#include <nlohmann/json.hpp>

#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "results/files/json_writer.h"

namespace sixtyfold {

using nlohmann::ordered_json;

namespace {

constexpr std::size_t largest_file = std::size_t{1} << 16;

}  // namespace

ordered_json write_taste_terms(const Taste& taste) {
  ordered_json object = ordered_json::object();
  for (std::size_t i = 0; i < appeal_term_count; ++i)
    object[appeal_terms()[i].name] = {{"weight", taste.weights[i]}, {"slope", taste.slopes[i]}};
  return object;
}

Taste read_taste_terms(const JsonCursor& object) {
  TermNumbers weights = shipped_taste.weights, slopes = shipped_taste.slopes;
  for (std::size_t i = 0; i < appeal_term_count; ++i) {
    const auto term = object.find(appeal_terms()[i].name);
    if (!term) continue;
    weights[i] = term->at("weight").number(0, 10);
    slopes[i] = term->at("slope").number(-10, 10);
  }
  return make_taste(weights, slopes);
}

std::string write_taste_json(const Taste& taste, int ballots) {
  ordered_json words = ordered_json::object();
  for (const AppealTerm& term : appeal_terms()) words[term.name] = term.description;
  return write_json(
      {{"format", "sixtyfold-taste"},
       {"version", 1},
       {"ballots", ballots},
       {"what_it_says",
        "weight: how much the term counts as most people like it; slope: how much more "
        "(or, below 0, less) of it pleases this group"},
       {"terms", write_taste_terms(taste)},
       {"what_the_terms_are", words}});
}

Taste read_taste_json(const std::string& bytes, const std::string& where) {
  const JsonCursor root = JsonCursor::parse(bytes, where);
  if (root.at("format").text() != "sixtyfold-taste")
    root.at("format").fail("must be \"sixtyfold-taste\", as `sixtyfold taste` writes it");
  root.at("version").integer(1, 1);
  return read_taste_terms(root.at("terms"));
}

Taste load_taste(const std::string& path) {
  return path.empty() ? Taste{} : read_taste_json(read_file(path, largest_file), path);
}

}  // namespace sixtyfold
