// Feeds the design reader, and what stands behind it, with bytes of a fuzzer (libFuzzer). Built and
// run by tests/fuzz/run. Whatever comes in, the reader takes it or throws std::invalid_argument;
// what it takes is written and read again as the same bytes.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <stdexcept>
#include <string>

#include "engine/variant/inspection.h"
#include "results/files/design_json.h"
#include "results/reports/report.h"

using namespace sixtyfold;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  Design design;
  try {
    design = read_design_json(std::string(reinterpret_cast<const char*>(data), size), "fuzz.json");
  } catch (const std::invalid_argument&) {
    return 0;
  }
  const std::string bytes = write_design_json(design);
  if (write_design_json(read_design_json(bytes, "again.json")) != bytes) std::abort();
  std::size_t copies = 0;
  for (const Orbit& orbit : design.orbits) copies += orbit.copies.size();
  if (copies <= 24) make_report(inspect(design));
  return 0;
}
