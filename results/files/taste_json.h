#pragma once
// The taste file: what a group likes, as a few numbers that can be read and changed by hand.

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "engine/appeal/taste.h"

namespace sixtyfold {

class JsonCursor;

/// The terms with weight and slope: an object inside other documents.
nlohmann::ordered_json write_taste_terms(const Taste& taste);
/// Terms that are not named keep the shipped numbers; weights 0 to 10, slopes -10 to 10.
Taste read_taste_terms(const JsonCursor& object);

/// A whole file. `ballots`: how many choices it was made from.
std::string write_taste_json(const Taste& taste, int ballots);
/// Throws std::invalid_argument: the file, the place in it and what is allowed.
Taste read_taste_json(const std::string& bytes, const std::string& where);

/// The file of that path; the shipped taste for an empty one.
Taste load_taste(const std::string& path);

}  // namespace sixtyfold
