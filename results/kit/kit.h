#pragma once
// The kit: everything a leader needs to cut, fold, build, colour and hang a chosen design, as
// files.

#include <string>
#include <vector>

#include "results/files/file.h"
#include "results/kit/build_guide.h"
#include "results/kit/cutting_pages.h"
#include "results/kit/event_plan.h"
#include "results/kit/guide_page.h"

namespace sixtyfold {

struct KitOptions {
  FlatOptions flat;  ///< the thickness comes from the design unless given
  TemplateOptions pattern;
  AssemblyOptions assembly;
  ClosureOptions tolerance;
  EventOptions event;
  PurchaseOptions purchase;                       ///< sheet, saw figures, spares, price
  GalleryWords words = read_gallery_words("en");  ///< of the guide's page; paper is English
  std::vector<std::string> limit_faults;          ///< as `check` finds them; told first
  std::string colours = "modules";  ///< a word of choose_colours (engine/building/colourings.h)

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
};

using KitFile = NamedBytes;

struct Kit {
  std::vector<KitFile> files;
  std::vector<std::string> warnings;  ///< what a leader must know before cutting, one sentence each
};

/// template.svg, .pdf, .dxf (template-2... for more parts), coupon.pdf, gauges.pdf, numbers.pdf,
/// sheet-01.dxf, .svg ..., paper-model.pdf, cutting-plan.pdf, guide.html, guide.pdf, colours.pdf,
/// day.pdf. Same design and options, same bytes. Throws std::invalid_argument for options with a
/// fault or a design without joints.
Kit make_kit(const Design& design, const KitOptions& options);

/// Options for a design: its thickness, tab depth and sheet.
KitOptions make_kit_options(const Design& design);

}  // namespace sixtyfold
