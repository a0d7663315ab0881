#pragma once
// The best of all branches together, parted by how they are built and by where their panels lie.

#include "search/space/task.h"

namespace sixtyfold {

/// One niche for each number of panels and each joint_pattern, parted into species (Petrowski
/// 1996): finds whose panels lie alike, whatever the kind of plane and the outline. Where a panel
/// lies decides what its outlines can come to, and good places look poor at first: each species is
/// given its time, by its promise beside those of all and beside those of its niche. What has come
/// to its end rests: it keeps its place, so that what is no better there is not begun anew, and
/// leaves the children to others. Where a criterion has a guide, boxes go by that, so that species
/// climb between two of its steps. Promises: what is kept and chosen depends on what was taken and
/// chosen before, in its order; exchange stores and restores everything.
class Niches {
 public:
  struct Leader {
    Find find;
    Placing placing;
    double worth = 0;  ///< volume of the box between the find and the criteria's worst
  };
  struct Species {
    std::uint64_t asked = 0;        ///< children of it and of those that lie alike in other niches
    std::uint64_t improved_at = 0;  ///< `asked` when its best was last clearly bettered
    double mark = 0;                ///< its best's worth then
    double rise = 0;                ///< how much more its best may come to (natural logarithm) ..
    std::uint64_t rise_at = 0;      ///< .. when so many were asked; fades with what is asked since
    std::vector<Leader> leaders;    ///< best first
    /// What its best may come to: a good place found late is poor still, but rises fast, and the
    /// best of all may have come to its end. Kept, since it is asked for often.
    double promise = 0;
    bool rests() const;
    double find_rise() const;
    void set_promise();
    void exchange(State& state);
  };
  struct Niche {
    int panels = 0, joint_pattern = 0;
    std::vector<Species> species;  ///< best first
    void exchange(State& state);
  };
  /// Promises of the species that do not rest: the same for all that is asked for at once.
  struct Promises {
    double most = 0, upper_quartile = 0;
    std::vector<double> most_of_niche;
  };
  struct Choice {
    const Niche* niche = nullptr;
    const Species* species = nullptr;
  };

  Niches(const std::vector<Branch>& branches, const Goals& goals);

  void take(const std::vector<Find>& finds);
  const std::vector<Niche>& all() const { return niches_; }

  Promises measure_promises() const;
  /// The species with the largest upper confidence bound, whose promise counts from `base` on; what
  /// is chosen counts as asked. None when all rest.
  Choice choose(const Promises& promises, double base);

  /// Throws std::invalid_argument when what is read is not of these branches and goals.
  void exchange(State& state);

 private:
  double measure_worth(const Find& find) const;
  Leader make_leader(Find find) const;
  bool lie_alike(const Leader& a, const Leader& b) const;
  void part(Niche& niche, std::vector<Leader> newcomers) const;

  const std::vector<Branch>& branches_;
  const Goals& goals_;
  std::vector<int> symmetry_of_;  ///< by branch: the first of the same group
  std::vector<Niche> niches_;
};

/// Throws std::invalid_argument when a find is not of these branches and goals.
void check_restored(const Find& find, const std::vector<Branch>& branches, const Goals& goals);

}  // namespace sixtyfold
