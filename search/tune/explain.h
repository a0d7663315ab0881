#pragma once
// Why tuning found nothing.

#include <string>

#include "search/tune/tune.h"
#include "search/tune/workshop.h"

namespace sixtyfold {

/// The limit that the nearest change misses; none: what became of all changes tried. `refusal`: why
/// the full check refused the first of those that help.
std::string explain_none(const TuneResult& result, const Change* nearest, const Demands& demands,
                         const std::string& refusal, const Losses& losses);

/// The proof, where the meeting lines in reach allow no fewer joints, and how many changes were
/// tried beside it.
std::string explain_least(const TuneJob& job, const TuneResult& result, std::uint64_t tried);

}  // namespace sixtyfold
