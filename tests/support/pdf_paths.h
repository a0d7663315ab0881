#pragma once
// What a PDF draws, in its own coordinates: an interpreter for the few path operators (ISO
// 32000-1, 8.5) on files that qpdf has unpacked. Nothing of ours is used to read it.

#include <string>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold::test {

struct PdfPath {
  Polygon points_mm;  ///< y down from the top of the page
  bool closed = false, stroked = false, clips = false;
};

struct PdfPage {
  double width_mm = 0, height_mm = 0;  ///< of the media box
  std::vector<PdfPath> paths;
};

/// The pages of the PDF. Fails the test where qpdf can not read it.
std::vector<PdfPage> read_pdf(const std::string& bytes);

}  // namespace sixtyfold::test
