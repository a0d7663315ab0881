#include "search/run/stream.h"

#include <cassert>

#include "search/run/pareto_stream.h"
#include "search/run/quality_stream.h"

namespace sixtyfold {

std::unique_ptr<Stream> make_stream(const SearchTask& task, std::uint64_t number) {
  assert(task.find_fault().empty());
  if (task.goals.pareto.empty()) return std::make_unique<QualityStream>(task, number);
  return std::make_unique<ParetoStream>(task, number);
}

}  // namespace sixtyfold
