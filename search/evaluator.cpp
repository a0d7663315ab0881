#include "search/evaluator.h"

#include <oneapi/tbb/blocked_range.h>
#include <oneapi/tbb/global_control.h>
#include <oneapi/tbb/info.h>
#include <oneapi/tbb/parallel_for.h>
#include <oneapi/tbb/partitioner.h>
#include <oneapi/tbb/task_arena.h>

#include <stdexcept>
#include <string>

namespace sixtyfold {

struct Evaluator::Arena {
  explicit Arena(int count)
      : threads(count),
        // More threads than cores are allowed: the tests run them on any machine.
        control(tbb::global_control::max_allowed_parallelism, static_cast<std::size_t>(count)),
        arena(count) {}
  int threads;
  tbb::global_control control;
  tbb::task_arena arena;
};

Evaluator::Evaluator(int threads) {
  if (!(0 <= threads && threads <= 1024))
    throw std::invalid_argument("the number of threads is " + std::to_string(threads) +
                                "; allowed are 1 to 1024, or 0 for as many as the machine has");
  arena_ = std::make_unique<Arena>(threads == 0 ? tbb::info::default_concurrency() : threads);
}

Evaluator::~Evaluator() = default;

int Evaluator::threads() const { return arena_->threads; }

void Evaluator::run(int task_count, const std::function<void(int task, int worker)>& work) {
  if (arena_->threads == 1) {
    for (int task = 0; task < task_count; ++task) work(task, 0);
    return;
  }
  arena_->arena.execute([&] {
    // Tasks differ in length, often whole stretches of them: one by one, so that no thread waits for
    // another's last ones. Handing one out costs a tenth of a microsecond.
    tbb::parallel_for(
        tbb::blocked_range<int>(0, task_count, 1),
        [&](const auto& range) {
          const int worker = tbb::this_task_arena::current_thread_index();
          for (int task = range.begin(); task != range.end(); ++task) work(task, worker);
        },
        tbb::simple_partitioner());
  });
}

}  // namespace sixtyfold
