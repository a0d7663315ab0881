#include "results/kit/kit_template.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/allowed.h"
#include "engine/part/setback.h"
#include "engine/shape/arcs.h"
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

/// The pieces of a -> b inside the polygon, longer than a millimetre.
std::vector<std::pair<Vec2, Vec2>> clip(const Vec2& a, const Vec2& b, const Polygon& polygon) {
  std::vector<double> cuts{0, 1};
  const Vec2 way = b - a;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Vec2 p = polygon[i], edge = polygon[(i + 1) % polygon.size()] - p;
    const double turn = cross(way, edge);
    if (std::abs(turn) < 1e-9) continue;
    const double along = cross(Vec2(p - a), edge) / turn, across = cross(Vec2(p - a), way) / turn;
    if (along > 0 && along < 1 && across >= 0 && across <= 1) cuts.push_back(along);
  }
  std::sort(cuts.begin(), cuts.end());
  std::vector<std::pair<Vec2, Vec2>> pieces;
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    const double middle = (cuts[i - 1] + cuts[i]) / 2;
    if ((cuts[i] - cuts[i - 1]) * way.norm() > 1e-9 && contains(polygon, a + middle * way)) {
      const Vec2 from = a + cuts[i - 1] * way, to = a + cuts[i] * way;
      if (!pieces.empty() && (pieces.back().second - from).norm() < 1e-6)
        pieces.back().second = to;
      else
        pieces.emplace_back(from, to);
    }
  }
  pieces.erase(std::remove_if(pieces.begin(), pieces.end(),
                              [](const auto& p) { return (p.second - p.first).norm() < 1; }),
               pieces.end());
  return pieces;
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

void TemplateDrawing::add_hanging_hole(const Vec2& middle, int copy, const std::string& point) {
  const std::string words = point + " panel " + std::to_string(copy + 1);
  for (HangingHole& hole : holes)
    if ((hole.middle - middle).norm() < 1) {
      hole.panels += ", " + words;
      return;
    }
  holes.push_back({middle, "hanging: " + words});
}

SlotName name_slot(const PartJoints& joints, int orbit, int joint) {
  const std::string letter = make_letter(joints.letter[at(orbit)][at(joint)]);
  const int like = joints.alike[at(orbit)][at(joint)];
  for (const JointPair& pair : joints.pairs)
    for (const int side : {0, 1}) {
      if (pair.orbit[side] != orbit || pair.index[side] != joint) continue;
      const int mate = pair.orbit[1 - side];
      const std::pair own(orbit, like),
          other(mate, joints.alike[at(mate)][at(pair.index[1 - side])]);
      if (own == other) return {letter, letter};
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

namespace {

/// One part's drawing, made from its tabs, seats and slots.
class DrawingMaker {
 public:
  DrawingMaker(const Design& design, const Finished& finished, int orbit,
               const TemplateOptions& options)
      : design_(design),
        finished_(finished),
        orbit_(orbit),
        options_(options),
        pattern_(finished.parts[at(orbit)].pattern) {}

  TemplateDrawing make();

 private:
  using Mark = TemplateDrawing::Mark;

  std::string letter_of(int joint) const {
    return make_letter(finished_.joints.letter[at(orbit_)][at(joint)]);
  }
  const PanelJoint& joint_of(int joint) const {
    return finished_.joints.joints[at(orbit_)][at(joint)];
  }
  void mark_end(const Vec2& end, const Vec2& inward);
  void add_line(const Vec2& from, const Vec2& to, const Seat& seat, Mark mark);
  void add_tab(const Tab& tab);
  void add_middle(const Tab& tab);
  void add_seat(const Seat& seat);
  void add_seat_of_tab(const Seat& seat);
  void add_slot_names();
  void add_cut();
  void add_notes();

  const Design& design_;
  const Finished& finished_;
  const int orbit_;
  const TemplateOptions& options_;
  const FlatPattern& pattern_;
  PolygonSet notches_;
  TemplateDrawing drawing_;
};

/// A line's end is notched where it reaches the outline of the cut part, else pricked.
void DrawingMaker::mark_end(const Vec2& end, const Vec2& inward) {
  if (distance_to_boundary(pattern_.outline_mm, end) <= 1.5 && options_.notch_mm > 0)
    notches_.push_back(make_notch(end, inward, options_.notch_mm));
  else
    drawing_.pricks_mm.push_back(end);
}

/// A line of a seat, as far as it lies on the part.
void DrawingMaker::add_line(const Vec2& from, const Vec2& to, const Seat& seat, Mark mark) {
  for (const auto& [a, b] : clip(from, to, pattern_.body_mm)) {
    drawing_.lines.push_back({a, b, false, seat.side, 0, letter_of(seat.joint), mark});
    if (mark == Mark::end) continue;  // its ends are marked already
    const Vec2 along = (b - a).normalized();
    mark_end(a, along);
    mark_end(b, -along);
  }
}

void DrawingMaker::add_tab(const Tab& tab) {
  const std::string name = letter_of(tab.joint);
  drawing_.lines.push_back({tab.fold_from_mm, tab.fold_to_mm, true, tab.fold_side,
                            to_degrees(tab.fold_rad), name, Mark::fold});
  const Vec2 along = (tab.fold_to_mm - tab.fold_from_mm).normalized();
  mark_end(tab.fold_from_mm, along);
  mark_end(tab.fold_to_mm, -along);
  const bool has_middle = joint_of(tab.joint).role == JointRole::double_tab;
  // The letter beside the line of the middle.
  drawing_.letters.emplace_back(
      measure_centroid(tab.outline_mm) + (has_middle ? 12.0 : 0.0) * along, name);
  if (has_middle) add_middle(tab);
}

void DrawingMaker::add_middle(const Tab& tab) {
  const PanelJoint& joint = joint_of(tab.joint);
  const Vec2 along = (tab.fold_to_mm - tab.fold_from_mm).normalized();
  const Vec2 out(along.y(), -along.x());
  const Vec2 middle =
      tab.fold_from_mm + along.dot((joint.from_mm + joint.to_mm) / 2 - tab.fold_from_mm) * along;
  for (const auto& [a, b] : clip(middle, middle + tab.depth_mm * out, tab.outline_mm))
    drawing_.lines.push_back({a, b, false, 1, 0, letter_of(tab.joint), Mark::middle});
}

void DrawingMaker::add_seat_of_tab(const Seat& seat) {
  const Polygon& tab = seat.tab_mm;
  add_line(tab[0], tab[1], seat, Mark::crease);
  add_line(tab[2], tab[3], seat, Mark::free_edge);
  add_line(tab[1], tab[2], seat, Mark::end);
  add_line(tab[3], tab[0], seat, Mark::end);
  double others = 0;
  drawing_.seats.push_back(
      {take_largest(make_intersection({make_counter_clockwise(tab)}, {pattern_.body_mm}), others),
       seat.side, letter_of(seat.joint)});
}

void DrawingMaker::add_seat(const Seat& seat) {
  const PanelJoint& joint = joint_of(seat.joint);
  if (!seat.tab_mm.empty()) {
    add_seat_of_tab(seat);
  } else if (joint.role == JointRole::plain_edge) {  // a letter beside the edge that is glued
    const Vec2 along = (seat.to_mm - seat.from_mm).normalized();
    drawing_.letters.emplace_back((seat.from_mm + seat.to_mm) / 2 + 9 * Vec2(-along.y(), along.x()),
                                  letter_of(seat.joint) + (seat.side > 0 ? "" : "\u2032"));
  } else {  // the corner of a cut edge that stands on the face, see cut_on_face_setback
    const Vec2 back = -cut_on_face_setback(design_.thickness_mm, joint.angle_rad) *
                      joint.mate_side.head<2>().normalized();
    add_line(seat.from_mm + back, seat.to_mm + back, seat, Mark::standing_edge);
  }
}

void DrawingMaker::add_slot_names() {
  // Clear of the slot's bottom at true size and on a small model.
  const double beside_slot =
      std::max(9.0, 0.018 * measure_least_rectangle(pattern_.outline_mm).long_mm);
  for (const Slot& slot : pattern_.slots)
    drawing_.letters.emplace_back(slot.bottom_mm() + beside_slot * slot.inwards(),
                                  name_slot(finished_.joints, orbit_, slot.joint).own);
  drawing_.has_slots = !pattern_.slots.empty();
}

/// The outline less the notches, and the holes, with half of the cut's width added.
void DrawingMaker::add_cut() {
  PolygonSet cut =
      make_difference({make_corners_true(pattern_.outline_mm, most_sagitta_mm)}, notches_);
  if (options_.kerf_mm > 0) cut = make_offset(cut, options_.kerf_mm / 2);
  double others = 0;
  drawing_.cut_mm = {take_largest(cut, others)};
  for (Polygon hole : pattern_.holes_mm) {
    if (options_.kerf_mm > 0) {
      const PolygonSet smaller = make_offset({hole}, -options_.kerf_mm / 2);
      if (!smaller.empty()) hole = smaller.front();
    }
    drawing_.cut_mm.push_back(hole);
  }
}

void DrawingMaker::add_notes() {
  if (!pattern_.tabs.empty())
    drawing_.hinge_note =
        format(
            "The folds are drawn for board whose layer %.1f mm under the outside of a fold keeps "
            "its length (",
            finished_.hinge_depth_mm) +
        options_.hinge_source + "). The coupon measures it.";
  const auto& copies = design_.orbits[at(orbit_)].copies;
  const auto turned_over = std::count_if(copies.begin(), copies.end(),
                                         [](const Mat3& copy) { return copy.determinant() < 0; });
  drawing_.note =
      "cut " + std::to_string(copies.size()) + " from " + format("%.1f", design_.thickness_mm) +
      " mm board" +
      (turned_over
           ? ", " + std::to_string(turned_over) +
                 " of them turned over: there up and down, this face and the other change places"
           : "");
}

TemplateDrawing DrawingMaker::make() {
  drawing_.name = (design_.name.empty() ? "part" : design_.name) +
                  (design_.orbits.size() > 1 ? ", part " + std::to_string(orbit_ + 1) : "");
  drawing_.hash = make_design_hash(design_);
  for (const Tab& tab : pattern_.tabs) add_tab(tab);
  for (const Seat& seat : pattern_.seats) add_seat(seat);
  add_slot_names();
  add_cut();
  drawing_.has_grain = design_.limits.grain != Grain::none;
  drawing_.grain_rad = measure_least_rectangle(pattern_.outline_mm).direction_rad;
  add_notes();
  return std::move(drawing_);
}

}  // namespace

TemplateDrawing make_template_drawing(const Design& design, const Finished& finished, int orbit,
                                      const TemplateOptions& options) {
  return DrawingMaker(design, finished, orbit, options).make();
}

}  // namespace sixtyfold
