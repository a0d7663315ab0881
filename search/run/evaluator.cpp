#include "search/run/evaluator.h"

#include <oneapi/tbb/blocked_range.h>
#include <oneapi/tbb/global_control.h>
#include <oneapi/tbb/info.h>
#include <oneapi/tbb/parallel_for.h>
#include <oneapi/tbb/partitioner.h>
#include <oneapi/tbb/task_arena.h>

#include <optional>
#include <stdexcept>
#include <string>

#ifdef __SANITIZE_THREAD__
extern "C" {
void __tsan_acquire(void*);
void __tsan_release(void*);
}
#endif

namespace sixtyfold {

namespace {

/// Debian's oneTBB is not built with the thread sanitizer, which therefore does not see how work is
/// handed to its threads and back: that is told here.
struct HandOver {
#ifdef __SANITIZE_THREAD__
  char place = 0;
  void give() { __tsan_release(&place); }
  void take() { __tsan_acquire(&place); }
#else
  void give() {}
  void take() {}
#endif
};

}  // namespace

struct Evaluator::Arena {
  explicit Arena(int count) : threads(count), arena(count) {
    // More threads than cores are allowed: the tests run them on any machine. The least of all that
    // are alive counts, so one thread, which needs no arena, does not ask.
    if (count > 1)
      control.emplace(tbb::global_control::max_allowed_parallelism,
                      static_cast<std::size_t>(count));
  }
  int threads;
  std::optional<tbb::global_control> control;
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
  HandOver begun, done;
  begun.give();
  arena_->arena.execute([&] {
    // Tasks differ in length, often whole stretches of them: one by one, so that no thread waits
    // for another's last ones. Handing one out costs a tenth of a microsecond.
    tbb::parallel_for(
        tbb::blocked_range<int>(0, task_count, 1),
        [&](const auto& range) {
          begun.take();
          const int worker = tbb::this_task_arena::current_thread_index();
          for (int task = range.begin(); task != range.end(); ++task) work(task, worker);
          done.give();
        },
        tbb::simple_partitioner());
  });
  done.take();
}

}  // namespace sixtyfold
