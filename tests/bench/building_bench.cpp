// What it takes to plan the building of given designs: processor milliseconds of each calculation
// of engine/building, one after another on one thread.
//
//   building_bench DESIGN...

#include <cstdio>
#include <ctime>
#include <exception>

#include "engine/building/closure.h"
#include "engine/building/purchase.h"
#include "engine/part/scaled_pattern.h"
#include "engine/variant/inspection.h"
#include "results/files/design_json.h"
#include "results/files/file.h"

using namespace sixtyfold;

namespace {

double read_cpu_ms() { return 1000.0 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

/// The time of one call, told as a column.
template <typename Work>
auto measure(const Work& work) {
  const double from = read_cpu_ms();
  auto result = work();
  std::printf(" %9.1f", read_cpu_ms() - from);
  return result;
}

void measure_design(const char* path) {
  const Design design = inspect(read_design_json(read_file(path), path), 1).design;
  std::printf("%-28s %5s %4d", path, design.symmetry.c_str(), count_copies(design));
  const Finished finished =
      measure([&] { return make_finished(design, make_flat_options(design)); });
  measure([&] { return find_module_choices(design, 12); });
  measure([&] { return find_assembly_order(design, finished); });
  const AssemblyPlan plan = measure([&] { return plan_assembly(design, finished); });
  measure([&] { return measure_closure(design, plan); });
  PurchaseOptions ordering;
  ordering.sheet = make_sheet(design.limits);
  ordering.cutting = make_cutting_options(design.limits, design.thickness_mm);
  measure([&] { return make_purchase(design, finished, ordering); });
  std::printf("\n");
}

}  // namespace

int main(int count, char** paths) {
  std::printf("%-28s %5s %4s %9s %9s %9s %9s %9s %9s   (ms of CPU)\n", "design", "group", "n",
              "finished", "modules", "order", "plan", "closure", "purchase");
  for (int i = 1; i < count; ++i) try {
      measure_design(paths[i]);
    } catch (const std::exception& fault) {
      std::fprintf(stderr, "%s: %s\n", paths[i], fault.what());
      return 1;
    }
}
