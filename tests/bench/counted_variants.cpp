// The same 2,000 variants of I every time, once: for counting instructions
// (tests/bench/count_instructions).

#include "tests/bench/drafts.h"

using namespace sixtyfold;

int main() {
  const OrbitScheme scheme = bench::make_generic_scheme("I");
  Limits limits;
  limits.sheet_width_mm = 700;
  limits.sheet_height_mm = 1000;
  limits.thickness_mm = 3;
  VariantWorkspace work;
  Variant variant;
  for (const Draft& draft : bench::make_drafts(2000, 64, bench::Fill::crowded))
    make_variant(scheme, draft, limits, work, variant);
}
