#pragma once
// What nothing dominates, among all finds that belong together.

#include "search/space/task.h"

namespace sixtyfold {

/// By what a front compares.
enum class By {
  objectives,  ///< as measured and shown
  guides       ///< with the steps made smooth where a criterion has a guide: to climb by
};

/// Promises: of equals the first is kept; when there are too many the most crowded goes (Kukkonen
/// and Deb 2006); nothing infeasible and nothing that is not finite ever enters.
class Front {
 public:
  explicit Front(By by = By::objectives, std::size_t most = 100) : by_(by), most_(most) {}

  /// Whether it was kept.
  bool take(const Find& find);
  const std::vector<Find>& finds() const { return finds_; }
  void exchange(State& state);

 private:
  const Objectives& values_of(const Find& find) const;

  By by_;
  std::size_t most_;
  std::vector<Find> finds_;
};

/// Hypervolume of what the finds together do not dominate, with the box between the criteria's
/// worst and best as 1; finds better than their best have more.
double measure_share(const Goals& goals, const std::vector<const Front*>& fronts);

/// Throws std::invalid_argument when a find read back is not of these branches and goals.
void check_restored(const Find& find, const std::vector<Branch>& branches, const Goals& goals);

}  // namespace sixtyfold
