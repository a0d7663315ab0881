#include "search/run/scorer.h"

#include <limits>

#include "search/keep/quality_gate.h"

namespace sixtyfold {

std::vector<Scorer::Workspace>& Scorer::prepare(const Evaluator& evaluator) {
  workspaces_.resize(static_cast<std::size_t>(evaluator.threads()));
  for (Workspace& space : workspaces_) space.work.watch = is_watched_ ? &space.clock : nullptr;
  return workspaces_;
}

std::vector<Scored> Scorer::score(Evaluator& evaluator, int count,
                                  const std::function<BranchPoint(int)>& make,
                                  const BranchArchives* to_better) {
  prepare(evaluator);
  std::vector<Scored> scored(static_cast<std::size_t>(count));
  evaluator.run(count, [&](int job, int worker) {
    Workspace& space = workspaces_[static_cast<std::size_t>(worker)];
    auto& [branch, trial, status] = scored[static_cast<std::size_t>(job)];
    BranchPoint made = make(job);
    branch = made.branch;
    trial.point = std::move(made.point);
    const auto b = static_cast<std::size_t>(branch);
    QualityGate gate(task_.goals, task_.limits, [&](const Score& score) {
      const Trial* const elite = (*to_better)[b]->find_elite(measure_place(score));
      return elite ? elite->outcome.quality : -std::numeric_limits<double>::infinity();
    });
    trial.outcome = evaluate(task_, task_.branches[b], trial.point, space.work, space.draft,
                             space.variant, to_better ? &gate : nullptr);
    status = space.variant.status;
  });
  return scored;
}

StageTimes Scorer::stage_times() const {
  StageTimes times;
  for (const Workspace& space : workspaces_) times.add(space.clock.times());
  return times;
}

}  // namespace sixtyfold
