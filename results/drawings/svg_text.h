#pragma once
// The few pieces of SVG that every drawing writes.

#include <string>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// At most two decimals, no trailing zeros, never "-0". The value must be finite.
std::string write_number(double value);

/// Closed rings as path data in steps of `unit_mm`: relative and whole, so short. Rings that round
/// to fewer than three points are left out. Starts with M, from the page's corner.
std::string write_path_data(const std::vector<Polygon>& rings, double unit_mm);

/// A <text> element. `attributes` is markup, `plain` is text and gets escaped.
std::string write_text(const Vec2& at, double size_mm, const std::string& attributes,
                       const std::string& plain);

/// Declaration, document type and opening tag of a page in millimetres, with title and description
/// (plain text). The document ends with "</svg>\n".
std::string write_svg_head(const Vec2& size_mm, const std::string& title,
                           const std::string& description);

inline constexpr const char* svg_document_type =
    "<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" "
    "\"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\">\n";
inline constexpr const char* ink_colour = "#22262e";
inline constexpr const char* quiet_ink = "#5a564f";  ///< small print; 6.8 to 1 on paper
inline constexpr const char* paper_colour = "#faf7f0";
inline constexpr const char* drawing_fonts =
    "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif";

}  // namespace sixtyfold
