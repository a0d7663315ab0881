#pragma once
// Drawings against the SVG standard, by a validator outside the project.

#include <string>

namespace sixtyfold {

/// What xmllint (libxml2-utils) finds in `svg` against the W3C's document type of SVG 1.1
/// (REC-SVG11-20110816, as packaged in w3c-sgml-lib); empty when the document is valid. A machine
/// without these packages is a fault too.
std::string find_svg_faults(const std::string& svg);

}  // namespace sixtyfold
