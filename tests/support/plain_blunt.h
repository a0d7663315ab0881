#pragma once
// The slow reference of engine/contact/blunt.h: the chord across a tip is found by halving.

#include "engine/contact/span.h"

namespace sixtyfold::plain {

/// Edges not longer than `least` go; their neighbours meet at the start of what went.
LabelledOutline drop_short_edges(const LabelledOutline& outline, double least);

struct Blunted {
  LabelledOutline outline;
  int tips = 0;  ///< cut off
};

/// Cuts every sharp corner off along the first chord as long as `width`, to 1e-11 of it.
Blunted blunt_tips(const LabelledOutline& outline, double width);

}  // namespace sixtyfold::plain
