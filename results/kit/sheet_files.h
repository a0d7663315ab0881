#pragma once
// Whole sheets for a machine that cuts and engraves: every sheet a DXF and an SVG.

#include <string>
#include <vector>

#include "engine/building/purchase.h"
#include "results/files/file.h"
#include "results/kit/kit_template.h"

namespace sixtyfold {

/// Sheets 1, 2, ... of one part: "sheet-01.dxf", "sheet-01.svg" ...; with several parts
/// "part-2-sheet-01.dxf". On layers (DXF) and in groups with those names (SVG): CUT the outlines
/// with half the kerf added, FOLD the tabs' folds, MARK the seats on the face that lies up, NUMBER
/// the panels' numbers to engrave (the copies in order from `first_copy`, then S1, S2 ... for the
/// spares), SHEET the sheet's border, which is not cut.
/// `drawing`: with kerf, without notches. At most `most_sheets`, beyond them none.
std::vector<NamedBytes> make_sheet_files(const TemplateDrawing& drawing, const PartPurchase& part,
                                         int first_copy, const std::string& prefix,
                                         int most_sheets);

}  // namespace sixtyfold
