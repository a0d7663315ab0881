#pragma once
// The result of a vote as text, JSON and a bar chart.

#include <string>

#include "results/votes/tally.h"

namespace sixtyfold {

/// "Parun wins." or "Tie between Parun and Telmo." with numbers.
std::string make_verdict(const BallotBox& box, const VoteTally& tally);

/// For people: verdict, standing, each class, rounds of a run-off, duels, rule, spoiled ballots
/// with line and reason.
std::string write_tally_text(const BallotBox& box, const VoteTally& tally);

/// For machines: the same, keys in a fixed order.
std::string write_tally_json(const BallotBox& box, const VoteTally& tally);

/// A complete SVG 1.1 document: one bar a design, the best first.
std::string make_tally_chart_svg(const BallotBox& box, const VoteTally& tally,
                                 const std::string& title);

}  // namespace sixtyfold
