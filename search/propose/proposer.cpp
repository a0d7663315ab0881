#include "search/propose/proposer.h"

#include <stdexcept>

#include "search/propose/archive_proposer.h"
#include "search/propose/evolution_proposer.h"
#include "search/propose/sampling_proposer.h"

namespace sixtyfold {

std::string ProposerOptions::find_fault() const {
  if (!(1 <= dimension && dimension <= largest_sobol_dimension))
    return "the number of parameters is " + std::to_string(dimension) + "; allowed are 1 to " +
           std::to_string(largest_sobol_dimension);
  if (!(population == 0 || population >= 5))
    return "the population is " + std::to_string(population) + "; allowed are 5 and more, or 0";
  double product = 1;
  for (const int count : cells) {
    if (!(count >= 1)) return "an archive has " + std::to_string(count) + " cells along a measure";
    product *= count;
  }
  if (!(product < 2147483648.0)) return "an archive has 2^31 cells or more";
  return "";
}

std::string name_of(Method method) {
  switch (method) {
    case Method::sampling:
      return "sampling";
    case Method::evolution:
      return "evolution";
    case Method::archive:
      return "archive";
  }
  return "";
}

std::unique_ptr<Proposer> make_proposer(Method method, const ProposerOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  switch (method) {
    case Method::sampling:
      return std::make_unique<SamplingProposer>(options);
    case Method::evolution:
      return std::make_unique<EvolutionProposer>(options);
    case Method::archive:
      return std::make_unique<ArchiveProposer>(options);
  }
  return nullptr;
}

}  // namespace sixtyfold
