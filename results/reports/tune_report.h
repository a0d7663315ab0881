#pragma once
// What `sixtyfold tune` leaves behind: before and after side by side, the trade-off, the numbers.

#include <string>

#include "search/tune/tune.h"

namespace sixtyfold {

/// A page, 297 x 210 mm: both drawings, the numbers before and after, both outlines over each other
/// with the joints that stay, went and came, and what was changed.
std::string make_comparison_svg(const TuneResult& result, int variant);

/// Joints against the stiffness kept and against the look kept, side by side, with what was asked
/// for; 210 x 120 mm.
std::string make_trade_off_svg(const TuneResult& result);

/// `tune.json`: before, least possible, variants with their look and steps, the trade-off.
std::string write_tune_json(const TuneResult& result);

/// Plain text for the terminal.
std::string make_tune_report(const TuneResult& result);

}  // namespace sixtyfold
