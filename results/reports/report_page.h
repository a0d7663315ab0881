#pragma once
// What the pages of reports have in common: drawings set into them, inks and rules.

#include <string>

#include "engine/vectors.h"

namespace sixtyfold {

/// A whole drawing as a part of a page: its own ids get a prefix, so that two can stand side by
/// side; its title and description go.
std::string embed_drawing(const std::string& document, const std::string& prefix, const Vec2& at,
                          const Vec2& size);

/// Attributes of a text: its colour, and more.
std::string ink(const char* colour, const char* more = "");

inline constexpr const char* at_end = " text-anchor=\"end\"";
inline constexpr const char* in_middle = " text-anchor=\"middle\"";
inline constexpr const char* bold = " font-weight=\"bold\"";
inline constexpr const char* rule_colour = "#d8d2c4";
inline constexpr const char* gone_colour = "#d2522a";
inline constexpr const char* kept_colour = "#2a7fae";
inline constexpr const char* new_colour = "#2f8f4e";

}  // namespace sixtyfold
