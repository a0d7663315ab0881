#include "tools/commands/measured_gallery.h"

#include <limits>

#include "engine/building/day.h"
#include "engine/variant/inspection.h"
#include "tools/commands/given_design.h"

namespace sixtyfold {

bool measure_gallery(GalleryFolder& source, const LimitChanges& changes, GalleryOptions& page) {
  for (std::size_t i = 0; i < source.designs.size(); ++i) {
    Design& design = source.designs[i];
    design.limits = apply(changes, design.limits);
    design.thickness_mm = design.limits.thickness_mm;
    Inspection inspection = inspect(design);
    if (is_refused(inspection, source.files[i].string())) return false;
    measure_building(inspection.design, std::numeric_limits<int>::max(),
                     limits_day(inspection.design.limits));
    for (std::string& fault : find_building_faults(inspection.design))
      inspection.faults.push_back(std::move(fault));
    page.faults.push_back(inspection.faults.empty() ? "" : inspection.faults.front());
    design = std::move(inspection.design);
    design.score.appeal = measure_appeal(design.score, page.taste);
  }
  if (!source.designs.empty()) set_page_by_limits(source.designs.front().limits, page);
  return true;
}

void set_page_by_limits(const Limits& limits, GalleryOptions& page) {
  page.price_per_sheet = limits.sheet_price;
  page.effort.cutting = make_cutting_options(limits, limits.thickness_mm);
}

}  // namespace sixtyfold
