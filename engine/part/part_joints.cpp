#include "engine/part/part_joints.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

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

namespace {

/// Matches the joints of all copies to those of the first copy of each part.
class JointMatcher {
 public:
  explicit JointMatcher(const Design& design);
  PartJoints find();

 private:
  std::vector<PanelJoint>& joints_of(int orbit) {
    return result_.joints[static_cast<std::size_t>(orbit)];
  }
  PanelJoint& joint_at(const JointPair& pair, int side) {
    return joints_of(pair.orbit[side])[static_cast<std::size_t>(pair.index[side])];
  }
  /// Of joint `index` of a part, among those of all parts.
  int number_of(int orbit, int index) const {
    return offset_[static_cast<std::size_t>(orbit)] + index;
  }
  bool match(std::size_t number, JointPair& pair);
  Vec2 find_run(const Joint& joint, const JointPair& pair);
  void add_pair(std::size_t number);
  void turn_seats();
  void name_with_letters();

  const Design& design_;
  PartJoints result_;
  std::vector<int> offset_{0};  ///< number of each part's first joint; of all at the end
  Classes classes_{0};          ///< of joints that share a letter
};

JointMatcher::JointMatcher(const Design& design) : design_(design) {
  int first = 0;
  for (const Orbit& orbit : design.orbits) {
    result_.joints.push_back(find_panel_joints(design, first));
    first += static_cast<int>(orbit.copies.size());
    offset_.push_back(offset_.back() + static_cast<int>(result_.joints.back().size()));
  }
  classes_ = Classes(offset_.back());
}

/// Where each of its two copies has the joint. False where one has none there; that is told.
bool JointMatcher::match(std::size_t number, JointPair& pair) {
  const Joint& joint = design_.joints[number];
  for (const int side : {0, 1}) {
    const int copy = joint.panels[side];
    pair.orbit[side] = find_copy(design_, copy).orbit;
    pair.index[side] = find_match(joints_of(pair.orbit[side]), find_ends(design_, copy, joint),
                                  joint.kind, joint.kind == JointKind::tab && side == 1);
    if (pair.index[side] >= 0) continue;
    result_.faults.push_back("joint " + std::to_string(number) + ": copy " + std::to_string(copy) +
                             " has it where the first copy of its panel has none");
    return false;
  }
  return true;
}

Vec2 JointMatcher::find_run(const Joint& joint, const JointPair& pair) {
  const Frame own = make_copy_frame(design_, joint.panels[0]);
  const Frame seat = make_copy_frame(design_, joint.panels[1]);
  const Vec3& m = joint_at(pair, 0).mate_side;
  const Vec3 run = m.x() * own.x_axis + m.y() * own.y_axis + m.z() * own.normal;
  return Vec2(seat.x_axis.dot(run), seat.y_axis.dot(run)).normalized();
}

void JointMatcher::add_pair(std::size_t number) {
  JointPair pair;
  if (!match(number, pair)) return;
  const Joint& joint = design_.joints[number];
  if (joint.kind == JointKind::tab) pair.run = find_run(joint, pair);
  const auto find_start = [&](int side) {
    return make_copy_frame(design_, joint.panels[side]).to_space(joint_at(pair, side).from_mm);
  };
  pair.reversed = (find_start(0) - find_start(1)).norm() > 0.5 * joint.length_mm();
  classes_.join(number_of(pair.orbit[0], pair.index[0]), number_of(pair.orbit[1], pair.index[1]));
  const bool known =
      std::any_of(result_.pairs.begin(), result_.pairs.end(), [&](const JointPair& p) {
        return p.orbit[0] == pair.orbit[0] && p.orbit[1] == pair.orbit[1] &&
               p.index[0] == pair.index[0] && p.index[1] == pair.index[1];
      });
  if (!known) result_.pairs.push_back(pair);
}

/// Seats run as the edges that land on them, and tell the same side as the edges do: at a right
/// angle both sides bend alike and rounding alone would choose.
void JointMatcher::turn_seats() {
  for (const JointPair& pair : result_.pairs) {
    PanelJoint& seat = joint_at(pair, 1);
    if (seat.role == JointRole::seat) seat.mate_side = {pair.run.x(), pair.run.y(), 0};
  }
  for (JointPair& pair : result_.pairs) {
    PanelJoint& seat = joint_at(pair, 1);
    if (seat.role != JointRole::seat || !pair.reversed) continue;
    std::swap(seat.from_mm, seat.to_mm);
    for (JointPair& p : result_.pairs)
      if (p.orbit[1] == pair.orbit[1] && p.index[1] == pair.index[1]) p.reversed = !p.reversed;
  }
}

/// One letter for all that are glued to each other or alike, in the order of the parts' joints.
void JointMatcher::name_with_letters() {
  const int parts = static_cast<int>(result_.joints.size());
  for (int o = 0; o < parts; ++o) {
    const std::vector<int>& alike = result_.alike[static_cast<std::size_t>(o)];
    for (std::size_t i = 0; i < alike.size(); ++i)
      classes_.join(number_of(o, static_cast<int>(i)), number_of(o, alike[i]));
  }
  std::vector<int> letter_of(static_cast<std::size_t>(offset_.back()), -1);
  int letters = 0;
  for (int o = 0; o < parts; ++o) {
    std::vector<int>& own = result_.letter.emplace_back();
    for (std::size_t i = 0; i < joints_of(o).size(); ++i) {
      const int root = classes_.find(number_of(o, static_cast<int>(i)));
      int& letter = letter_of[static_cast<std::size_t>(root)];
      if (letter < 0) letter = letters++;
      own.push_back(letter);
    }
  }
}

PartJoints JointMatcher::find() {
  for (std::size_t n = 0; n < design_.joints.size(); ++n) add_pair(n);
  turn_seats();
  find_alike(design_, result_);
  name_with_letters();
  return std::move(result_);
}

}  // namespace

PartJoints find_part_joints(const Design& design) { return JointMatcher(design).find(); }

}  // namespace sixtyfold
