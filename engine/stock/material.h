#pragma once
// What sheets are made of and sold as. Every value carries where it comes from.

#include <optional>
#include <string>
#include <vector>

#include "engine/limits.h"
#include "engine/nest/sheet.h"

namespace sixtyfold {

/// A number and its source: a publication, "common practice, no published source", "from memory",
/// or how it was computed.
struct SourcedValue {
  double value = 0;
  std::string source;

  bool operator==(const SourcedValue&) const = default;
};
using MaybeSourced = std::optional<SourcedValue>;

struct SheetOnSale {
  double short_mm = 0, long_mm = 0;
  std::optional<double> price;  ///< of one sheet, in the buyer's own money
  std::string source;

  bool operator==(const SheetOnSale&) const = default;
};

struct Material {
  std::string name;   ///< lower case, as written on the command line
  std::string title;  ///< for people
  std::string note;
  SourcedValue thickness_mm;
  SourcedValue mass_kg_per_m2;
  std::vector<SheetOnSale> sheets;  ///< at least one
  Grain grain = Grain::none;
  std::string grain_source;
  bool both_faces_alike = false;
  std::string faces_source;
  MaybeSourced glue_strength_n_per_mm;  ///< pulled off by peeling, for each mm of glue line
  MaybeSourced min_fold_radius_mm;      ///< inside a fold; none: does not fold, use slots
  MaybeSourced fold_allowance_mm;  ///< from the middle of the board to the hinge, see setback.h
  MaybeSourced modulus_along_mpa, modulus_across_mpa;  ///< of elasticity in bending
  MaybeSourced working_strain;  ///< at the surface, bent for a moment while it is put together

  bool can_fold() const { return min_fold_radius_mm.has_value(); }
  /// Empty when all values make sense, else one sentence: the value, and what is allowed.
  std::string find_fault() const;

  bool operator==(const Material&) const = default;
};

/// The material's thickness, mass, grain, faces, and size and price of `sheet`, put into the
/// limits.
Limits with_material(Limits limits, const Material& material, const SheetOnSale& sheet);

/// Play that a slot needs where nobody has cut a slot coupon yet: the board may be that much
/// thicker than its name says. EN 315 allows sanded plywood 0.2 mm and 3 % of its thickness above
/// the nominal size (recalled, from memory); to whole tenths of a millimetre, the coupon's steps.
double find_usual_slot_play(double thickness_mm);

/// Price of a sheet of the size in the limits; 0 when the material does not tell.
double find_price(const Material& material, const Limits& limits);

}  // namespace sixtyfold
