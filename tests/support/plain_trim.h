#pragma once
// The slow reference of engine/contact/trim.h: every pair of copies is looked at, and cuts are made
// vertex by vertex. It leaves no crossings for slots: keep_slots and edge_clearance of the options
// must be off.

#include "engine/contact/trim.h"

namespace sixtyfold::plain {

struct Trimmed {
  TrimStatus status = TrimStatus::clean;
  LabelledOutline outline;  ///< as far as it came
  int cuts = 0;             ///< tried, those given up again too
};

Trimmed trim(const OrbitScheme& scheme, const Frame& frame, const std::vector<MeetingLine>& lines,
             const TrimOptions& options, const LabelledOutline& outline);

}  // namespace sixtyfold::plain
