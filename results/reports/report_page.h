#pragma once
// Colours that the pages of reports share.

namespace sixtyfold {

inline constexpr const char* rule_colour = "#d8d2c4";
inline constexpr const char* gone_colour = "#d2522a";
inline constexpr const char* kept_colour = "#2a7fae";
inline constexpr const char* new_colour = "#2f8f4e";

}  // namespace sixtyfold
