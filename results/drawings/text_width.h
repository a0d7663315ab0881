#pragma once
// How long a line of text is on paper, without asking a font library: pages are laid out the same
// on every machine.

#include <string>
#include <vector>

namespace sixtyfold {

/// Width in the unit of `size`, from the advance widths of DejaVu Sans (Bold), the first font that
/// pages ask for; its substitutes are narrower. UTF-8; characters beyond ASCII count as wide as a
/// digit.
double measure_text_width(const std::string& text, double size, bool bold = false);

/// Broken at spaces into lines no wider than `width`; a longer word stands alone on its line.
std::vector<std::string> break_lines(const std::string& text, double width, double size,
                                     bool bold = false);

}  // namespace sixtyfold
