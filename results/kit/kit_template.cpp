#include "results/kit/kit_template.h"

#include <algorithm>
#include <cmath>

#include "engine/allowed.h"
#include "engine/shape/boolean.h"
#include "engine/text.h"
#include "results/files/design_hash.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// A notch: a slim triangle into the part from the outline along `inward`.
Polygon make_notch(const Vec2& tip_outside, const Vec2& inward, double depth) {
  const Vec2 across(-inward.y(), inward.x());
  return {tip_outside - 0.3 * depth * inward + 0.4 * across, tip_outside + depth * inward,
          tip_outside - 0.3 * depth * inward - 0.4 * across};
}

}  // namespace

std::string TemplateOptions::find_fault() const {
  for (const std::string& fault :
       {allowed::kerf.find_fault(kerf_mm), Allowed{"a notch", 0, 10, "mm"}.find_fault(notch_mm),
        Allowed{"the overlap of tiles", 5, 40, "mm"}.find_fault(overlap_mm),
        allowed::paper_model.find_fault(model_diameter_mm),
        Allowed{"the thickness of the card", 0.05, 2, "mm"}.find_fault(card_mm)})
    if (!fault.empty()) return fault;
  return "";
}

SlotName name_slot(const PartJoints& joints, int orbit, int joint) {
  const std::string letter = make_letter(joints.letter[at(orbit)][at(joint)]);
  for (const JointPair& pair : joints.pairs)
    for (const int side : {0, 1}) {
      if (pair.orbit[side] != orbit || pair.index[side] != joint) continue;
      const std::pair own(orbit, joint), other(pair.orbit[1 - side], pair.index[1 - side]);
      if (own == other) break;
      return {letter + (own < other ? "1" : "2"), letter + (own < other ? "2" : "1")};
    }
  return {letter, letter};
}

Vec2 measure_paper(Paper paper) {
  switch (paper) {
    case Paper::a4:
      return {210, 297};
    case Paper::a3:
      return {297, 420};
    case Paper::letter:
      return {215.9, 279.4};
  }
  return {210, 297};
}

TemplateDrawing make_template_drawing(const Design& design, const Finished& finished, int orbit,
                                      const TemplateOptions& options) {
  const FlatPattern& pattern = finished.parts[at(orbit)].pattern;
  const auto& letter = finished.joints.letter[at(orbit)];
  TemplateDrawing drawing;
  drawing.name = (design.name.empty() ? "part" : design.name) +
                 (design.orbits.size() > 1 ? ", part " + std::to_string(orbit + 1) : "");
  drawing.hash = make_design_hash(design);
  PolygonSet cut{pattern.outline_mm};
  PolygonSet notches;
  // A line's end is notched where it reaches the outline of the cut part, else pricked.
  const auto mark_end = [&](const Vec2& end, const Vec2& inward) {
    if (distance_to_boundary(pattern.outline_mm, end) <= 1.5 && options.notch_mm > 0)
      notches.push_back(make_notch(end, inward, options.notch_mm));
    else
      drawing.pricks_mm.push_back(end);
  };
  // Where a seat runs to the mid-surface outline, the cut part may end a setback earlier.
  const auto clip = [&](Vec2 from, Vec2 to) {
    const Vec2 step = (to - from) / 400;
    Vec2 a = from, b = to;
    for (int k = 0; k < 160 && !contains(pattern.outline_mm, a); ++k) a += step;
    for (int k = 0; k < 160 && !contains(pattern.outline_mm, b); ++k) b -= step;
    return std::make_pair(a, b);
  };
  for (const Tab& tab : pattern.tabs) {
    const std::string name = make_letter(letter[at(tab.joint)]);
    drawing.lines.push_back(
        {tab.fold_from_mm, tab.fold_to_mm, true, tab.fold_side, to_degrees(tab.fold_rad), name});
    const Vec2 along = (tab.fold_to_mm - tab.fold_from_mm).normalized();
    mark_end(tab.fold_from_mm, along);
    mark_end(tab.fold_to_mm, -along);
    drawing.letters.emplace_back(measure_centroid(tab.outline_mm), name);
  }
  for (const Seat& seat : pattern.seats) {
    const PanelJoint& joint = finished.joints.joints[at(orbit)][at(seat.joint)];
    const std::string name = make_letter(letter[at(seat.joint)]);
    if (joint.role == JointRole::plain_edge) {  // the edge itself is the seat: a letter beside it
      const Vec2 along = (seat.to_mm - seat.from_mm).normalized();
      drawing.letters.emplace_back(
          (seat.from_mm + seat.to_mm) / 2 + 9 * Vec2(-along.y(), along.x()),
          name + (seat.side > 0 ? "" : "\u2032"));
      continue;
    }
    const auto [from, to] = clip(seat.from_mm, seat.to_mm);
    drawing.lines.push_back({from, to, false, seat.side, 0, name});
    const Vec2 along = (to - from).normalized();
    mark_end(from, along);
    mark_end(to, -along);
  }
  // Clear of the slot's bottom at true size and on a small model.
  const double beside_slot =
      std::max(9.0, 0.018 * measure_least_rectangle(pattern.outline_mm).long_mm);
  for (const Slot& slot : pattern.slots)
    drawing.letters.emplace_back(slot.bottom_mm() + beside_slot * slot.inwards(),
                                 name_slot(finished.joints, orbit, slot.joint).own);
  drawing.has_slots = !pattern.slots.empty();
  cut = make_difference(cut, notches);
  if (options.kerf_mm > 0) cut = make_offset(cut, options.kerf_mm / 2);
  double others = 0;
  drawing.cut_mm = {take_largest(cut, others)};
  for (Polygon hole : pattern.holes_mm) {
    if (options.kerf_mm > 0) {
      const PolygonSet smaller = make_offset({hole}, -options.kerf_mm / 2);
      if (!smaller.empty()) hole = smaller.front();
    }
    drawing.cut_mm.push_back(hole);
  }
  drawing.has_grain = design.limits.grain != Grain::none;
  drawing.grain_rad = measure_least_rectangle(pattern.outline_mm).direction_rad;
  int turned_over = 0;
  const auto& copies = design.orbits[at(orbit)].copies;
  for (const Mat3& copy : copies) turned_over += static_cast<int>(copy.determinant() < 0);
  drawing.note =
      "cut " + std::to_string(copies.size()) + " from " + format("%.1f", design.thickness_mm) +
      " mm board" +
      (turned_over
           ? ", " + std::to_string(turned_over) +
                 " of them turned over: there up and down, this face and the other change places"
           : "");
  return drawing;
}

}  // namespace sixtyfold
