#pragma once
// What is found out about finds that may be listed, each thing when it is asked for and once: lists
// of one run made of the same finds share it.

#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "engine/variant/inspection.h"
#include "search/choose/design_look.h"
#include "search/choose/variant_likeness.h"
#include "search/run/evaluator.h"
#include "search/space/task.h"

namespace sixtyfold {

/// The design of a variant just made of this point, with the recipe that makes it again.
Design make_candidate_design(const SearchTask& task, const Branch& branch, const UnitPoint& point,
                             const Variant& variant);
/// The independent check of such a design, quickly nested; where it can be built, with how far it
/// goes together; without `rebuilt`.
Inspection inspect_candidate(const SearchTask& task, const Design& design);

/// What is known of one find so far.
struct Judged {
  std::optional<Signature> signature;
  std::optional<Outcome> whole;          ///< with what takes pictures
  std::optional<Inspection> inspection;  ///< with hard steps and the day where a
                                         ///< goal asks, quickly nested, without `rebuilt`
  Look look;                             ///< with the inspection, or without; empty: not yet
  std::optional<Score> nested;           ///< after the usual nest
  bool is_wanted = true;                 ///< since forget was called last
};

/// Promises: what is found out depends on task and find alone, not on order or threads. Everything
/// takes several finds at once, one task each. The tasks it is given must be alike but for `count`
/// and for what may move, and that only for finds that do.
class Judge {
 public:
  explicit Judge(Evaluator& evaluator);

  Judged& of(const Find& find);
  void add_signatures(const SearchTask& task, const std::vector<const Find*>& finds);
  void make_whole(const SearchTask& task, const std::vector<const Find*>& finds);
  void look(const SearchTask& task, const std::vector<const Find*>& finds);
  /// Looks, too.
  void inspect(const SearchTask& task, const std::vector<const Find*>& finds);
  /// Of what was inspected and can be built.
  void nest(const std::vector<const Find*>& finds);
  /// Drops what was not asked for since this was called last.
  void forget();

  int threads() const { return evaluator_.threads(); }

 private:
  template <typename Work>
  void evaluate_each(const SearchTask& task, const std::vector<const Find*>& finds,
                     const Work& work);

  Evaluator& evaluator_;
  std::vector<VariantSpace> spaces_;  ///< one for each thread
  std::map<std::pair<int, UnitPoint>, Judged> known_;
};

}  // namespace sixtyfold
