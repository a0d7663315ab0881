#include "engine/part/part_joints.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "engine/part/alike_slots.h"
#include "engine/tolerance.h"

namespace sixtyfold {

namespace {

/// Coordinates of one joint's ends as one of its two copies sees them.
struct Ends {
  Vec2 from, to;
};

/// Twice the contact band: two copies' readings of one segment may differ by a band each.
constexpr double match_mm = 2 * contact_band_mm;

int find_match(const std::vector<PanelJoint>& joints, const Ends& ends, JointKind kind, bool face) {
  for (std::size_t i = 0; i < joints.size(); ++i) {
    const PanelJoint& j = joints[i];
    if (j.kind != kind || (j.role == JointRole::seat) != face) continue;
    const double same = std::max((j.from_mm - ends.from).norm(), (j.to_mm - ends.to).norm());
    const double swapped = std::max((j.from_mm - ends.to).norm(), (j.to_mm - ends.from).norm());
    if (std::min(same, swapped) <= match_mm) return static_cast<int>(i);
  }
  return -1;
}

Ends find_ends(const Design& design, int copy, const Joint& joint) {
  const Frame frame = make_copy_frame(design, copy);
  return {frame.to_plane(joint.from_mm), frame.to_plane(joint.to_mm)};
}

/// Sets of numbers that belong together, joined two at a time (Tarjan 1975).
class Classes {
 public:
  explicit Classes(int count) : parent_(static_cast<std::size_t>(count)) {
    std::iota(parent_.begin(), parent_.end(), 0);
  }
  int find(int i) const {
    while (parent_[static_cast<std::size_t>(i)] != i) i = parent_[static_cast<std::size_t>(i)];
    return i;
  }
  void join(int a, int b) {
    a = find(a), b = find(b);
    parent_[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
  }

 private:
  std::vector<int> parent_;
};

/// The slot that each slot is pushed into: (part, joint), and what is like it in its own part.
std::pair<int, int> find_partner(const PartJoints& joints, int orbit, int index) {
  for (const JointPair& pair : joints.pairs)
    for (const int side : {0, 1})
      if (pair.orbit[side] == orbit && pair.index[side] == index) {
        const int o = pair.orbit[1 - side], i = pair.index[1 - side];
        return {o, joints.alike[static_cast<std::size_t>(o)][static_cast<std::size_t>(i)]};
      }
  return {-1, -1};
}

/// Slots that are alike by the part's own symmetry, where what they are pushed into is alike, too:
/// else which of them is which matters, and none counts as alike.
void find_alike(const Design& design, PartJoints& result) {
  for (std::size_t o = 0; o < design.orbits.size(); ++o)
    result.alike.push_back(find_alike_slots(design.orbits[o].panel, result.joints[o]));
  for (std::size_t o = 0; o < design.orbits.size(); ++o)
    for (std::size_t i = 0; i < result.joints[o].size(); ++i) {
      const int part = static_cast<int>(o);
      if (result.joints[o][i].role != JointRole::slot ||
          find_partner(result, part, static_cast<int>(i)) ==
              find_partner(result, part, result.alike[o][i]))
        continue;
      for (std::vector<int>& alike : result.alike) std::iota(alike.begin(), alike.end(), 0);
      return;
    }
}

}  // namespace

std::string make_letter(int number) {
  std::string letter;
  for (int n = number + 1; n > 0; n = (n - 1) / 26)
    letter.insert(letter.begin(), static_cast<char>('A' + (n - 1) % 26));
  return letter;
}

int count_copies(const Design& design) {
  int count = 0;
  for (const Orbit& orbit : design.orbits) count += static_cast<int>(orbit.copies.size());
  return count;
}

CopyPlace find_copy(const Design& design, int copy) {
  CopyPlace place{0, copy};
  for (const Orbit& orbit : design.orbits) {
    const int size = static_cast<int>(orbit.copies.size());
    if (place.number < size) break;
    place.number -= size;
    ++place.orbit;
  }
  return place;
}

Frame make_copy_frame(const Design& design, int copy) {
  const CopyPlace place = find_copy(design, copy);
  const Orbit& orbit = design.orbits[static_cast<std::size_t>(place.orbit)];
  const Mat3& turn = orbit.copies[static_cast<std::size_t>(place.number)];
  const Frame& own = orbit.panel.frame;
  Frame frame;
  frame.origin = turn * own.origin;
  frame.x_axis = turn * own.x_axis;
  frame.y_axis = turn * own.y_axis;
  frame.normal = turn * own.normal;
  return frame;
}

PartJoints find_part_joints(const Design& design) {
  PartJoints result;
  const std::size_t orbits = design.orbits.size();
  result.joints.resize(orbits);
  result.letter.resize(orbits);

  int first = 0;
  for (std::size_t o = 0; o < orbits; ++o) {
    result.joints[o] = find_panel_joints(design, first);
    first += static_cast<int>(design.orbits[o].copies.size());
  }

  std::vector<int> offset(orbits + 1, 0);
  for (std::size_t o = 0; o < orbits; ++o)
    offset[o + 1] = offset[o] + static_cast<int>(result.joints[o].size());
  Classes classes(offset.back());
  for (std::size_t n = 0; n < design.joints.size(); ++n) {
    const Joint& joint = design.joints[n];
    JointPair pair;
    bool found = true;
    Vec2 starts[2];
    for (int side = 0; side < 2; ++side) {
      const int copy = joint.panels[side];
      pair.orbit[side] = find_copy(design, copy).orbit;
      const Ends ends = find_ends(design, copy, joint);
      const auto& list = result.joints[static_cast<std::size_t>(pair.orbit[side])];
      pair.index[side] =
          find_match(list, ends, joint.kind, joint.kind == JointKind::tab && side == 1);
      if (pair.index[side] < 0) {
        found = false;
        result.faults.push_back("joint " + std::to_string(n) + ": copy " + std::to_string(copy) +
                                " has it where the first copy of its panel has none");
        break;
      }
      starts[side] = list[static_cast<std::size_t>(pair.index[side])].from_mm;
    }
    if (!found) continue;
    const Vec3 start0 = make_copy_frame(design, joint.panels[0]).to_space(starts[0]);
    const Vec3 start1 = make_copy_frame(design, joint.panels[1]).to_space(starts[1]);
    if (joint.kind == JointKind::tab) {
      const Frame own = make_copy_frame(design, joint.panels[0]);
      const Frame seat = make_copy_frame(design, joint.panels[1]);
      const Vec3& m = result
                          .joints[static_cast<std::size_t>(pair.orbit[0])]
                                 [static_cast<std::size_t>(pair.index[0])]
                          .mate_side;
      const Vec3 run = m.x() * own.x_axis + m.y() * own.y_axis + m.z() * own.normal;
      pair.run = Vec2(seat.x_axis.dot(run), seat.y_axis.dot(run)).normalized();
    }
    pair.reversed = (start0 - start1).norm() > 0.5 * joint.length_mm();
    classes.join(offset[static_cast<std::size_t>(pair.orbit[0])] + pair.index[0],
                 offset[static_cast<std::size_t>(pair.orbit[1])] + pair.index[1]);
    const bool known =
        std::any_of(result.pairs.begin(), result.pairs.end(), [&](const JointPair& p) {
          return p.orbit[0] == pair.orbit[0] && p.orbit[1] == pair.orbit[1] &&
                 p.index[0] == pair.index[0] && p.index[1] == pair.index[1];
        });
    if (!known) result.pairs.push_back(pair);
  }

  // Seats run as the edges that land on them, and tell the same side as the edges do: at a right
  // angle both sides bend alike and rounding alone would choose.
  for (const JointPair& pair : result.pairs) {
    PanelJoint& seat = result.joints[static_cast<std::size_t>(pair.orbit[1])]
                                    [static_cast<std::size_t>(pair.index[1])];
    if (seat.role == JointRole::seat) seat.mate_side = {pair.run.x(), pair.run.y(), 0};
  }
  for (JointPair& pair : result.pairs) {
    PanelJoint& b = result.joints[static_cast<std::size_t>(pair.orbit[1])]
                                 [static_cast<std::size_t>(pair.index[1])];
    if (b.role != JointRole::seat || !pair.reversed) continue;
    std::swap(b.from_mm, b.to_mm);
    for (JointPair& p : result.pairs)
      if (p.orbit[1] == pair.orbit[1] && p.index[1] == pair.index[1]) p.reversed = !p.reversed;
  }

  find_alike(design, result);
  for (std::size_t o = 0; o < orbits; ++o)
    for (std::size_t i = 0; i < result.joints[o].size(); ++i)
      classes.join(offset[o] + static_cast<int>(i), offset[o] + result.alike[o][i]);
  std::vector<int> letter_of(static_cast<std::size_t>(offset.back()), -1);
  int letters = 0;
  for (std::size_t o = 0; o < orbits; ++o) {
    result.letter[o].resize(result.joints[o].size());
    for (std::size_t i = 0; i < result.joints[o].size(); ++i) {
      const int own = offset[o] + static_cast<int>(i);
      const auto root = static_cast<std::size_t>(classes.find(own));
      if (letter_of[root] < 0) letter_of[root] = letters++;
      result.letter[o][i] = letter_of[root];
    }
  }
  return result;
}

}  // namespace sixtyfold
