#include "results/kit/kit.h"

#include <algorithm>
#include <stdexcept>

#include "engine/allowed.h"
#include "engine/part/scaled_pattern.h"
#include "engine/text.h"
#include "engine/variant/inspection.h"
#include "results/files/design_hash.h"
#include "results/kit/event_pages.h"
#include "results/kit/gauge_pages.h"
#include "results/kit/partner_pages.h"
#include "results/kit/rigging_pages.h"
#include "results/kit/sheet_files.h"

namespace sixtyfold {

std::string KitOptions::find_fault() const {
  for (const std::string& fault :
       {flat.find_fault(), pattern.find_fault(), assembly.find_fault(), tolerance.find_fault(),
        event.find_fault(), purchase.sheet.find_fault(), purchase.cutting.find_fault()})
    if (!fault.empty()) return fault;
  if (std::string fault = allowed::spares.find_fault(100 * purchase.spare_share); !fault.empty())
    return fault;
  if (purchase.price)
    if (std::string fault = allowed::sheet_price.find_fault(*purchase.price); !fault.empty())
      return fault;
  return "";
}

KitOptions make_kit_options(const Design& design) {
  KitOptions options;
  options.flat = make_flat_options(design);
  options.purchase.sheet = make_sheet(design.limits);
  options.purchase.cutting = make_cutting_options(design.limits, design.thickness_mm);
  if (design.limits.sheet_price > 0) options.purchase.price = design.limits.sheet_price;
  return options;
}

namespace {

/// A page of a PDF file is 14,400 units of 1/72 inch long at most (ISO 32000-1:2008, annex C).
constexpr double longest_part_mm = 5000;
/// Of one part; whoever cuts more by machine nests them there.
constexpr int most_sheet_files = 100;

/// Throws for what would fill gigabytes or take minutes.
void check_work(const Design& design) {
  for (const Orbit& orbit : design.orbits) {
    const double length = measure_box(orbit.panel.outline_mm).size().maxCoeff();
    if (!(length <= longest_part_mm))
      throw std::invalid_argument(
          format("the part is %.1f m long; a kit is drawn for parts up to %.0f m, the longest page "
                 "of a PDF file",
                 length / 1000, longest_part_mm / 1000));
  }
}

/// Teams that glue modules at a time, or that bring panels where there are none.
int find_teams(const AssemblyPlan& plan, const ScheduleOptions& schedule) {
  return std::clamp(schedule.people / std::max(1, schedule.module_people), 1,
                    static_cast<int>(plan.steps.size()));
}

}  // namespace

Kit make_kit(const Design& given, const KitOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (given.joints.empty())
    throw std::invalid_argument("the design has no joints, so there is nothing to build");
  check_work(given);
  Design design = given;
  design.thickness_mm = options.flat.thickness_mm;
  const Finished finished = make_finished(design, options.flat);
  for (const FinishedPart& part : finished.parts)
    if (part.pattern.body_mm.size() < 3)
      throw std::invalid_argument("boards so thick leave nothing of the part at its angles");
  for (std::size_t o = 0; o < design.orbits.size(); ++o)
    design.orbits[o].panel.flat_pattern_mm = finished.parts[o].pattern.outline_mm;
  const ColourScheme colours = [&] {
    try {
      return choose_colours(design, options.colours);
    } catch (const std::invalid_argument& fault) {
      throw std::invalid_argument(std::string("--colours ") + fault.what());
    }
  }();
  TemplateOptions pattern = options.pattern;
  if (colours.colours > 1)
    for (const int colour : colours.colour_of) pattern.tint_of.push_back(find_tint(colour));
  PurchaseOptions ordering = options.purchase;
  ordering.cutting.thickness_mm = design.thickness_mm;
  const Vec2 paper = measure_paper(
      pattern.paper == Paper::a3 ? Paper::a4 : pattern.paper);  // what is read, not traced

  Kit kit;
  kit.warnings = finished.joints.faults;
  for (const std::string& fault : options.limit_faults)
    if (std::find(kit.warnings.begin(), kit.warnings.end(), fault) == kit.warnings.end())
      kit.warnings.push_back("not within its limits: " + fault);
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
  EventOptions happening = options.event;
  happening.day.painted = happening.day.painted && colours.colours > 1;
  const Rigging rigging = find_rigging(design, finished, happening);
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const std::string name = o == 0 ? "template" : "template-" + std::to_string(o + 1);
    TemplateDrawing drawing = make_template_drawing(design, finished, static_cast<int>(o), pattern);
    for (std::size_t k = 0; k < rigging.points.size(); ++k)
      if (find_copy(design, rigging.points[k].copy).orbit == static_cast<int>(o))
        drawing.add_hanging_hole(rigging.points[k].hole_mm, rigging.points[k].copy,
                                 name_rig_point(static_cast<int>(k)));
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
  const bool slots =
      std::any_of(finished.parts.begin(), finished.parts.end(),
                  [](const FinishedPart& part) { return !part.pattern.slots.empty(); });
  std::vector<Page> coupons;
  if (folds)
    coupons.push_back(make_coupon_page(pattern, design.thickness_mm, find_gauge_angles(finished)));
  if (slots)
    coupons.push_back(
        make_slot_coupon_page(pattern, design.thickness_mm, options.flat.slot_play_mm));
  if (!coupons.empty()) kit.files.push_back({"coupon.pdf", make_pdf(coupons)});
  kit.files.push_back(
      {"gauges.pdf",
       make_pdf(make_gauge_pages((design.name.empty() ? "Construction" : design.name) +
                                     ": angle gauges \u00b7 design " + make_design_hash(design),
                                 finished, paper))});
  kit.files.push_back(
      {"numbers.pdf", make_pdf(make_partner_pages(design, finished, colours, paper))});
  if (const std::vector<Page> model = make_paper_model_pages(design, options.flat, pattern);
      !model.empty())
    kit.files.push_back({"paper-model.pdf", make_pdf(model)});
  else
    kit.warnings.push_back(
        "there is no paper model: at such angles card stops too far from its neighbours");

  const Purchase purchase = make_purchase(design, finished, ordering);
  if (purchase.sheets == 0)
    kit.warnings.push_back(
        "the part does not fit a sheet: choose larger sheets or a smaller design");
  for (const PartPurchase& part : purchase.parts)
    kit.warnings.insert(kit.warnings.end(), part.cutting.warnings.begin(),
                        part.cutting.warnings.end());
  int first_copy = 0;
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    TemplateOptions machine = pattern;
    machine.notch_mm = 0;
    const std::string prefix =
        design.orbits.size() > 1 ? "part-" + std::to_string(o + 1) + "-" : std::string();
    for (NamedBytes& file :
         make_sheet_files(make_template_drawing(design, finished, static_cast<int>(o), machine),
                          purchase.parts[o], first_copy, prefix, most_sheet_files))
      kit.files.push_back(std::move(file));
    if (purchase.parts[o].nest.sheets > most_sheet_files)
      kit.warnings.push_back(format(
          "there are %d sheets%s, and files of whole sheets are written for up to %d: cut "
          "by the template and the cutting plan, or nest template.dxf at the machine",
          purchase.parts[o].nest.sheets,
          design.orbits.size() > 1 ? format(" of part %zu", o + 1).c_str() : "", most_sheet_files));
    first_copy += static_cast<int>(design.orbits[o].copies.size());
  }
  kit.files.push_back({"cutting-plan.pdf",
                       make_pdf(make_cutting_pages(design, finished, purchase, ordering, paper))});

  const AssemblyPlan plan = plan_assembly(design, finished, options.assembly);
  const Closure closure = measure_closure(design, plan, options.tolerance);
  GuideOptions guide;
  guide.paper = pattern.paper;
  guide.colours = colours;
  guide.reach = options.assembly.reach;
  guide.tolerance = options.tolerance;
  guide.limit_faults = options.limit_faults;
  const std::vector<Page> pages = make_guide_pages(design, finished, plan, closure, guide);
  kit.files.push_back({"guide.pdf", make_pdf(pages)});
  GuidePageOptions turning;
  turning.words = options.words;
  turning.teams = find_teams(plan, options.event.schedule);
  turning.guide = guide;
  kit.files.push_back(
      {"guide.html", make_guide_page(design, finished, plan, closure, pages, turning)});
  kit.files.push_back({"colours.pdf", make_pdf(make_colour_pages(design, colours, paper))});
  const EventPlan event =
      make_event_plan(design, finished, plan, purchase, ordering, rigging, happening);
  kit.files.push_back(
      {"day.pdf",
       make_pdf(make_event_pages({design, plan, purchase, ordering, happening}, event, paper))});

  if (plan.hard_steps > 0)
    kit.warnings.push_back(format(
        "%s of its assembly have no straight push to their place, and boards may not be bent "
        "so far; the guide names them",
        count_of(plan.hard_steps, "step", "steps").c_str()));
  return kit;
}

}  // namespace sixtyfold
