#include "engine/building/tab_side.h"

#include <tuple>

#include "engine/building/assembly_order.h"
#include "engine/part/slab.h"

namespace sixtyfold {

TabSide choose_tab_side(const Design& design, const FlatOptions& options) {
  bool differ = false;
  double joined = 0;
  const auto measure = [&](TabSide side) {
    FlatOptions sided = options;
    sided.tab_side = side;
    const Finished finished = make_finished(design, sided);
    std::size_t without = 0;
    double sum = 0;
    for (const FinishedPart& part : finished.parts) {
      without += part.pattern.joints_without_tab.size();
      for (const Tab& tab : part.pattern.tabs) sum += tab.fold_rad * tab.depth_mm;
    }
    differ = side != TabSide::shortest && sum != joined;
    joined = sum;
    if (side != TabSide::shortest && !differ) return std::make_tuple(0, 0, 0, without);
    const AssemblyOrder order = find_assembly_order(design, finished);
    return std::make_tuple(order.hard_steps, order.spring_steps,
                           static_cast<int>(measure_slabs(design, finished).overlaps.size()),
                           without);
  };
  const auto shortest = measure(TabSide::shortest), inside = measure(TabSide::inside);
  const bool costs_nothing = std::get<0>(inside) <= std::get<0>(shortest) &&
                             std::get<1>(inside) <= std::get<1>(shortest) &&
                             std::get<2>(inside) <= std::get<2>(shortest) &&
                             std::get<3>(inside) <= std::get<3>(shortest);
  return differ && costs_nothing ? TabSide::inside : TabSide::shortest;
}

}  // namespace sixtyfold
