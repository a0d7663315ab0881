#include "results/kit/kit.h"

#include <algorithm>
#include <stdexcept>

#include "engine/text.h"
#include "engine/variant/inspection.h"

namespace sixtyfold {

std::string KitOptions::find_fault() const {
  for (const std::string& fault :
       {flat.find_fault(), pattern.find_fault(), assembly.find_fault(), tolerance.find_fault(),
        event.find_fault(), purchase.sheet.find_fault(), purchase.cutting.find_fault()})
    if (!fault.empty()) return fault;
  if (!(0 <= purchase.spare_share && purchase.spare_share <= 1))
    return format("spare_share is %g, but must be from 0 to 1", purchase.spare_share);
  if (purchase.price && !(0 <= *purchase.price && *purchase.price < 1e9))
    return format("the price of a sheet is %g, but must be from 0 to 1000000000", *purchase.price);
  if (!(0 <= colours && colours <= 10))
    return format("colours is %d, but must be from 0 to 10", colours);
  return "";
}

KitOptions make_kit_options(const Design& design) {
  KitOptions options;
  options.flat.thickness_mm = design.thickness_mm;
  options.flat.tab_depth_mm = design.limits.tab_depth_mm;
  options.flat.least_tab_depth_mm =
      std::min(options.flat.least_tab_depth_mm, options.flat.tab_depth_mm);
  options.purchase.sheet = make_sheet(design.limits);
  options.purchase.cutting = make_cutting_options(design.limits, design.thickness_mm);
  if (design.limits.sheet_price > 0) options.purchase.price = design.limits.sheet_price;
  return options;
}

Kit make_kit(const Design& given, const KitOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (given.joints.empty())
    throw std::invalid_argument("the design has no joints, so there is nothing to build");
  Design design = given;
  design.thickness_mm = options.flat.thickness_mm;
  const Finished finished = make_finished(design, options.flat);
  for (std::size_t o = 0; o < design.orbits.size(); ++o)
    design.orbits[o].panel.flat_pattern_mm = finished.parts[o].pattern.outline_mm;
  const ColourScheme colours = choose_colour_scheme(design, options.colours);
  TemplateOptions pattern = options.pattern;
  if (colours.colours > 1)
    for (const int colour : colours.colour_of) pattern.tint_of.push_back(find_tint(colour));
  PurchaseOptions ordering = options.purchase;
  ordering.cutting.thickness_mm = design.thickness_mm;
  const Vec2 paper = measure_paper(
      pattern.paper == Paper::a3 ? Paper::a4 : pattern.paper);  // what is read, not traced

  Kit kit;
  kit.warnings = finished.joints.faults;
  if (const std::string fault = find_fold_fault(design.joints, design.limits); !fault.empty())
    kit.warnings.push_back(fault +
                           ": make the tabs as strips of a board that folds, glued along the cut");
  const SlabReport slabs = measure_slabs(design, finished);
  if (!slabs.overlaps.empty())
    kit.warnings.push_back(count_of(static_cast<int>(slabs.overlaps.size()), "pair", "pairs") +
                           format(" of finished panels run into each other, first %d and %d",
                                  slabs.overlaps[0].copies[0] + 1,
                                  slabs.overlaps[0].copies[1] + 1) +
                           ": choose thinner board or another design");
  for (const FinishedPart& part : finished.parts)
    if (!part.pattern.joints_without_tab.empty())
      kit.warnings.push_back(
          count_of(static_cast<int>(part.pattern.joints_without_tab.size()),
                   "edge of the part carries", "edges of the part carry") +
          " no tab, since none of a useful depth fits: the guide says how to back them");
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const std::string name = o == 0 ? "template" : "template-" + std::to_string(o + 1);
    const TemplateDrawing drawing =
        make_template_drawing(design, finished, static_cast<int>(o), pattern);
    const Page whole = make_template_page(drawing);
    std::vector<Page> pages = make_tiled_pages(drawing, pattern);
    pages.insert(pages.begin(), whole);
    kit.files.push_back({name + ".svg", whole.to_svg()});
    kit.files.push_back({name + ".pdf", make_pdf(pages)});
    kit.files.push_back({name + ".dxf", make_template_dxf(drawing)});
  }
  const bool folds =
      std::any_of(finished.parts.begin(), finished.parts.end(),
                  [](const FinishedPart& part) { return !part.pattern.tabs.empty(); });
  if (folds)
    kit.files.push_back({"coupon.pdf", make_pdf({make_coupon_page(pattern, design.thickness_mm)})});
  kit.files.push_back(
      {"paper-model.pdf", make_pdf(make_paper_model_pages(design, options.flat, pattern))});

  const Purchase purchase = make_purchase(design, finished, ordering);
  if (purchase.sheets == 0)
    kit.warnings.push_back(
        "the part does not fit a sheet: choose larger sheets or a smaller design");
  for (const PartPurchase& part : purchase.parts)
    kit.warnings.insert(kit.warnings.end(), part.cutting.warnings.begin(),
                        part.cutting.warnings.end());
  kit.files.push_back({"cutting-plan.pdf",
                       make_pdf(make_cutting_pages(design, finished, purchase, ordering, paper))});

  const AssemblyPlan plan = plan_assembly(design, finished, options.assembly);
  const Closure closure = measure_closure(design, plan, options.tolerance);
  GuideOptions guide;
  guide.paper = pattern.paper;
  guide.colours = colours;
  guide.reach = options.assembly.reach;
  guide.tolerance = options.tolerance;
  const std::vector<Page> pages = make_guide_pages(design, finished, plan, closure, guide);
  kit.files.push_back({"guide.pdf", make_pdf(pages)});
  kit.files.push_back(
      {"guide.html",
       make_pages_html(design.name.empty() ? "Build guide" : design.name + ": build guide",
                       pages)});
  kit.files.push_back({"colours.pdf", make_pdf(make_colour_pages(design, colours, paper))});
  const EventPlan event =
      make_event_plan(design, finished, plan, purchase, ordering, options.event);
  kit.files.push_back({"day.pdf", make_pdf(make_event_pages(design, plan, event, purchase, ordering,
                                                            options.event, paper))});

  if (plan.hard_steps > 0)
    kit.warnings.push_back(format(
        "%s of its assembly have no straight push to their place, and boards may not be bent "
        "so far; the guide names them",
        count_of(plan.hard_steps, "step", "steps").c_str()));
  return kit;
}

}  // namespace sixtyfold
