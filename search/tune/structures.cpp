// Which joints of a part are kept, thinned or dropped (search/tune/moves.h).

#include <algorithm>
#include <utility>

#include "search/tune/moves.h"

namespace sixtyfold {

namespace {

/// Goes through what can be kept of the joints of one part.
class StructureSearch {
 public:
  StructureSearch(const TuneJob& job, const Placed& placed, int fewest);
  /// With the joints of each, in the order found.
  std::vector<std::pair<int, KeptContacts>> find();

 private:
  struct Class {
    std::size_t number;
    int contacts;
  };

  int count_joints(const Class& c) const { return scheme_.pairs[c.number].pairs * c.contacts; }
  bool hangs_together() const;
  void decide(std::size_t next, int joints);

  const OrbitScheme& scheme_;
  const int fewest_;
  std::vector<Class> classes_;  ///< those with joints, the dearest first
  std::size_t decided_ = 0;
  KeptContacts structure_;
  std::vector<std::pair<int, KeptContacts>> found_;
};

StructureSearch::StructureSearch(const TuneJob& job, const Placed& placed, int fewest)
    : scheme_(job.scheme), fewest_(fewest), structure_(job.scheme.pairs.size(), -1) {
  for (std::size_t i = 0; i < scheme_.pairs.size(); ++i) {
    const int contacts = static_cast<int>(find_class_joints(placed, scheme_.pairs[i]).size());
    if (contacts > 0) classes_.push_back({i, contacts});
  }
  std::stable_sort(classes_.begin(), classes_.end(), [&](const Class& a, const Class& b) {
    return count_joints(a) > count_joints(b);
  });
  // 3^10 states are 59,000: beyond ten classes only the dearest ten are decided on.
  decided_ = std::min<std::size_t>(classes_.size(), 10);
}

bool StructureSearch::hangs_together() const {
  int subgroup = scheme_.outline_subgroup;
  for (const Class& c : classes_)
    if (structure_[c.number] != 0)
      subgroup = scheme_.subgroups->add(subgroup, scheme_.pairs[c.number].element);
  return scheme_.count_pieces(subgroup) == 1;
}

/// All ways to keep, thin or drop the class `next` and those behind it; `joints` are left so far.
void StructureSearch::decide(std::size_t next, int joints) {
  if (joints < fewest_) return;
  if (next == decided_) {
    if (hangs_together()) found_.emplace_back(joints, structure_);
    return;
  }
  const Class& c = classes_[next];
  const int each = scheme_.pairs[c.number].pairs;
  structure_[c.number] = -1;
  decide(next + 1, joints);
  if (c.contacts > 1) {
    structure_[c.number] = 1;
    decide(next + 1, joints - each * (c.contacts - 1));
  }
  structure_[c.number] = 0;
  decide(next + 1, joints - each * c.contacts);
  structure_[c.number] = -1;
}

std::vector<std::pair<int, KeptContacts>> StructureSearch::find() {
  int all = 0;
  for (const Class& c : classes_) all += count_joints(c);
  decide(0, all);
  return std::move(found_);
}

}  // namespace

std::vector<KeptContacts> find_structures(const TuneJob& job, const Placed& placed, int fewest,
                                          std::size_t most) {
  std::vector<std::pair<int, KeptContacts>> found = StructureSearch(job, placed, fewest).find();
  std::stable_sort(found.begin(), found.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  if (found.size() > most) found.resize(most);
  std::vector<KeptContacts> structures;
  for (auto& [joints, kept] : found) structures.push_back(std::move(kept));
  return structures;
}

}  // namespace sixtyfold
