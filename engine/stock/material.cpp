#include "engine/stock/material.h"

#include <algorithm>
#include <cmath>

#include "engine/allowed.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

std::string number(double value) { return format("%g", value); }

std::string check_range(const std::string& what, double value, double low, double high) {
  if (low <= value && value <= high) return {};
  return what + " is " + number(value) + "; it must lie between " + number(low) + " and " +
         number(high);
}

}  // namespace

std::string Material::find_fault() const {
  const auto is_plain = [](char c) {
    return ('a' <= c && c <= 'z') || ('0' <= c && c <= '9') || c == '-' || c == '_' || c == '.';
  };
  if (name.empty() || name.size() > 60 || !std::all_of(name.begin(), name.end(), is_plain))
    return "the name must have 1 to 60 characters, each a-z, 0-9, '-', '_' or '.'";
  struct Check {
    const char* what;
    const SourcedValue* value;
    double low, high;
  };
  const auto optional = [](const MaybeSourced& value) { return value ? &*value : nullptr; };
  for (const Check& check :
       {Check{"thickness_mm", &thickness_mm, allowed::thickness.low, allowed::thickness.high},
        Check{"mass_kg_per_m2", &mass_kg_per_m2, allowed::board_mass.low, allowed::board_mass.high},
        Check{"glue_strength_n_per_mm", optional(glue_strength_n_per_mm), 0.001, 1000},
        Check{"min_fold_radius_mm", optional(min_fold_radius_mm), 0, 1000},
        Check{"fold_allowance_mm", optional(fold_allowance_mm), allowed::fold_allowance.low,
              allowed::fold_allowance.high},
        Check{"modulus_along_mpa", optional(modulus_along_mpa), 0.1, 1e6},
        Check{"modulus_across_mpa", optional(modulus_across_mpa), 0.1, 1e6},
        Check{"working_strain", optional(working_strain), 0, 0.1}}) {
    if (!check.value) continue;
    if (std::string fault = check_range(check.what, check.value->value, check.low, check.high);
        !fault.empty())
      return fault;
    if (check.value->source.empty())
      return std::string(check.what) +
             " has no source; write where the value comes from, or \"common practice, no published "
             "source\"";
  }
  if (fold_allowance_mm && !(std::abs(fold_allowance_mm->value) <= thickness_mm.value / 2))
    return "fold_allowance_mm is " + number(fold_allowance_mm->value) +
           "; the layer that keeps its length lies in the board, so at most half the thickness, " +
           number(thickness_mm.value / 2);
  if (sheets.empty() || sheets.size() > 100) return "sheets must list 1 to 100 sizes";
  for (const SheetOnSale& sheet : sheets) {
    if (!(allowed::sheet_side.holds(sheet.short_mm) && allowed::sheet_side.holds(sheet.long_mm) &&
          sheet.short_mm <= sheet.long_mm))
      return "a sheet is " + number(sheet.short_mm) + " x " + number(sheet.long_mm) +
             " mm; both sides must be " + allowed::sheet_side.range() + ", the short one first";
    if (sheet.price && !(0 <= *sheet.price && *sheet.price <= 1e9))
      return "a sheet's price is " + number(*sheet.price) + "; it must lie between 0 and 1e9";
  }
  return {};
}

Limits with_material(Limits limits, const Material& material, const SheetOnSale& sheet) {
  limits.sheet_width_mm = sheet.short_mm;
  limits.sheet_height_mm = sheet.long_mm;
  limits.grain = material.grain;
  limits.thickness_mm = material.thickness_mm.value;
  limits.slot_play_mm = find_usual_slot_play(limits.thickness_mm);
  limits.mass_kg_per_m2 = material.mass_kg_per_m2.value;
  limits.both_faces_alike = material.both_faces_alike;
  limits.sheet_price = sheet.price.value_or(0);
  limits.working_strain = material.working_strain ? material.working_strain->value : 0;
  if (!material.can_fold()) limits.joints_by = JointsBy::slot;
  return limits;
}

double find_usual_slot_play(double thickness_mm) {
  return std::round(10 * (0.2 + 0.03 * thickness_mm)) / 10;
}

double find_price(const Material& material, const Limits& limits) {
  for (const SheetOnSale& sheet : material.sheets)
    if (sheet.short_mm == limits.sheet_width_mm && sheet.long_mm == limits.sheet_height_mm &&
        sheet.price)
      return *sheet.price;
  return 0;
}

}  // namespace sixtyfold
