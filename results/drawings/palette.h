#pragma once
// The colours of drawings and pages, and mixing them evenly to the eye.

#include <array>
#include <string>

namespace sixtyfold {

/// OKLab (Ottosson 2020): lightness 0 to 1, green-red, blue-yellow. Equal steps look about equal.
struct Colour {
  double lightness = 0, a = 0, b = 0;
};

/// "#rrggbb". Throws std::invalid_argument otherwise.
Colour make_colour(const std::string& hex);
/// "#rrggbb", clipped to what a screen shows.
std::string to_hex(const Colour& colour);
/// share 0 is `from`, share 1 is `to`.
Colour mix(const Colour& from, const Colour& to, double share);
/// Distance in OKLab; about 0.02 is just seen.
double measure_difference(const Colour& a, const Colour& b);

/// Panel colours, in order of use. The first five differ by at least 0.14 and the first six by at
/// least 0.08 from each other for normal sight and for protanopia, deuteranopia and tritanopia as
/// modelled by Machado, Oliveira and Fernandes 2009; a test computes it.
inline constexpr std::array<const char*, 10> panel_colours = {
    "#2a7fae", "#f0a63a", "#d2522a", "#463a9c", "#b3d6c8",
    "#ab4a68", "#f0dfba", "#6cb3dd", "#6b3c2e", "#c3d53e"};

/// Uncoloured board.
inline constexpr const char* board_colour = "#dcc6a0";

inline constexpr const char* ink_colour = "#22262e";
inline constexpr const char* quiet_ink = "#5a564f";  ///< small print; 6.8 to 1 on paper
inline constexpr const char* paper_colour = "#faf7f0";

}  // namespace sixtyfold
