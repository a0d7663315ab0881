#pragma once
// Many independent tasks on several threads. The only place that knows of oneTBB.

#include <functional>
#include <memory>

namespace sixtyfold {

/// Promises: every task runs exactly once; a task that writes only slot `task` of its results and
/// the workspace of its worker gives the same results at any number of threads; two tasks that run
/// at once have different workers, numbered 0 .. threads()-1; the first exception is passed on.
class Evaluator {
 public:
  /// 0: as many as the machine has. Throws std::invalid_argument unless 0 <= threads <= 1024.
  explicit Evaluator(int threads);
  ~Evaluator();
  Evaluator(const Evaluator&) = delete;
  Evaluator& operator=(const Evaluator&) = delete;

  int threads() const;
  void run(int task_count, const std::function<void(int task, int worker)>& work);

 private:
  struct Arena;
  std::unique_ptr<Arena> arena_;
};

}  // namespace sixtyfold
