#pragma once
// Where tuning starts from: the part as it is, the part that reaches out for one more neighbour,
// and the part that gives way to a neighbour it was cut back for.

#include <optional>
#include <vector>

#include "search/tune/moves.h"

namespace sixtyfold {

/// How far an outline may reach out for a neighbour, a share of its radius.
inline constexpr double most_reach = 0.4;

/// measure_gap looks at places so close together that no gap is smaller by this share of the
/// radius.
inline constexpr double gap_doubt = 0.025;

/// How far the copies of a class are from touching: by how much the outline must reach out, both
/// copies together, where it is least. 0 where they are joined; infinity without a meeting line.
double measure_gap(const TuneJob& job, const Placed& placed, const PairClass& pair);

/// What a placed outline was trimmed from, in its plane.
struct DrawnOutline {
  Polygon outline;
  TrimStyle style = TrimStyle::lean;
};

/// What the recipe of the search draws, at the design's size, where it makes this very design; so
/// round outlines stay round.
std::optional<DrawnOutline> find_drawn_outline(const Design& design, const Placed& original);

/// The first is the part as it is, from what was drawn where that is known. Then, nearest first,
/// one for each pair class without a joint that is within most_reach; then one for each class in
/// which one copy is cut back along the other's face, with the roles changed.
std::vector<DrawnPart> find_drawn_parts(const TuneJob& job, const Placed& placed,
                                        const std::optional<DrawnOutline>& drawn = {});

}  // namespace sixtyfold
