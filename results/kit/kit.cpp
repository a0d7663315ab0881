#include "results/kit/kit.h"

#include <algorithm>
#include <stdexcept>
#include <utility>

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

/// The design of boards as thick as the options say. Throws for what can not be built or drawn.
Design make_design_of_board(const Design& given, const KitOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  if (given.joints.empty())
    throw std::invalid_argument("the design has no joints, so there is nothing to build");
  check_work(given);
  Design design = given;
  design.thickness_mm = options.flat.thickness_mm;
  return design;
}

ColourScheme choose_kit_colours(const Design& design, const std::string& word) {
  try {
    return choose_colours(design, word);
  } catch (const std::invalid_argument& fault) {
    throw std::invalid_argument(std::string("--colours ") + fault.what());
  }
}

/// The files of one kit, made one after another from the same finished parts.
class KitMaker {
 public:
  KitMaker(const Design& given, const KitOptions& options);
  Kit make();

 private:
  void warn_of_parts();
  void add_templates(const Rigging& rigging);
  void add_coupons();
  void add_numbers();
  void add_paper_model();
  Purchase buy();
  void add_sheets(const Purchase& purchase);
  void add_guide(const AssemblyPlan& plan);
  void add_day(const AssemblyPlan& plan, const Purchase& purchase, const Rigging& rigging);

  void add_pdf(const char* name, const std::vector<Page>& pages) {
    kit_.files.push_back({name, make_pdf(pages)});
  }
  void warn(const std::string& sentence) { kit_.warnings.push_back(sentence); }
  /// Whether any part has such things.
  template <class Things>
  bool any_has(Things FlatPattern::*things) const {
    return std::any_of(
        finished_.parts.begin(), finished_.parts.end(),
        [things](const FinishedPart& part) { return !(part.pattern.*things).empty(); });
  }

  const KitOptions& options_;
  Design design_;  ///< with the flat patterns as they will be cut
  Finished finished_;
  ColourScheme colours_;
  TemplateOptions pattern_;
  PurchaseOptions ordering_;
  EventOptions happening_;
  Vec2 paper_;  ///< of what is read, not traced
  Kit kit_;
};

KitMaker::KitMaker(const Design& given, const KitOptions& options)
    : options_(options),
      design_(make_design_of_board(given, options)),
      finished_(make_finished(design_, options.flat)),
      pattern_(options.pattern),
      ordering_(options.purchase),
      happening_(options.event),
      paper_(measure_paper(pattern_.paper == Paper::a3 ? Paper::a4 : pattern_.paper)) {
  if (finished_.leaves_nothing())
    throw std::invalid_argument("boards so thick leave nothing of the part at its angles");
  for (std::size_t o = 0; o < design_.orbits.size(); ++o)
    design_.orbits[o].panel.flat_pattern_mm = finished_.parts[o].pattern.outline_mm;
  colours_ = choose_kit_colours(design_, options.colours);
  if (colours_.colours > 1)
    for (const int colour : colours_.colour_of) pattern_.tint_of.push_back(find_tint(colour));
  ordering_.cutting.thickness_mm = design_.thickness_mm;
  happening_.day.painted = happening_.day.painted && colours_.colours > 1;
}

/// What the parts themselves give reason to say before anybody cuts.
void KitMaker::warn_of_parts() {
  kit_.warnings = finished_.joints.faults;
  for (const std::string& fault : options_.limit_faults)
    if (std::find(kit_.warnings.begin(), kit_.warnings.end(), fault) == kit_.warnings.end())
      warn("not within its limits: " + fault);
  if (const std::string fault = find_fold_fault(design_.joints, design_.limits); !fault.empty())
    warn(fault + ": make the tabs as strips of a board that folds, glued along the cut");
  const SlabReport slabs = measure_slabs(design_, finished_);
  if (!slabs.overlaps.empty())
    warn(count_of(static_cast<int>(slabs.overlaps.size()), "pair", "pairs") +
         format(" of finished panels run into each other, first %d and %d",
                slabs.overlaps[0].copies[0] + 1, slabs.overlaps[0].copies[1] + 1) +
         ": choose thinner board or another design");
  for (const FinishedPart& part : finished_.parts)
    if (!part.pattern.joints_without_tab.empty())
      warn(count_of(static_cast<int>(part.pattern.joints_without_tab.size()),
                    "edge of the part carries", "edges of the part carry") +
           " no tab, since none of a useful depth fits: the guide says how to back them");
}

void KitMaker::add_templates(const Rigging& rigging) {
  for (std::size_t o = 0; o < design_.orbits.size(); ++o) {
    const std::string name = o == 0 ? "template" : "template-" + std::to_string(o + 1);
    TemplateDrawing drawing =
        make_template_drawing(design_, finished_, static_cast<int>(o), pattern_);
    for (std::size_t k = 0; k < rigging.points.size(); ++k)
      if (find_copy(design_, rigging.points[k].copy).orbit == static_cast<int>(o))
        drawing.add_hanging_hole(rigging.points[k].hole_mm, rigging.points[k].copy,
                                 name_rig_point(static_cast<int>(k)));
    const Page whole = make_template_page(drawing);
    std::vector<Page> pages = make_tiled_pages(drawing, pattern_);
    pages.insert(pages.begin(), whole);
    kit_.files.push_back({name + ".svg", whole.to_svg()});
    kit_.files.push_back({name + ".pdf", make_pdf(pages)});
    kit_.files.push_back({name + ".dxf", make_template_dxf(drawing)});
  }
}

void KitMaker::add_coupons() {
  std::vector<Page> coupons;
  if (any_has(&FlatPattern::tabs))
    coupons.push_back(
        make_coupon_page(pattern_, design_.thickness_mm, find_gauge_angles(finished_)));
  if (any_has(&FlatPattern::slots))
    coupons.push_back(
        make_slot_coupon_page(pattern_, design_.thickness_mm, options_.flat.slot_play_mm));
  if (!coupons.empty()) add_pdf("coupon.pdf", coupons);
}

/// Gauges of the angles, and who is joined to whom.
void KitMaker::add_numbers() {
  const std::string name = design_.name.empty() ? "Construction" : design_.name;
  add_pdf("gauges.pdf",
          make_gauge_pages(name + ": angle gauges \u00b7 design " + make_design_hash(design_),
                           finished_, paper_));
  add_pdf("numbers.pdf", make_partner_pages(design_, finished_, colours_, paper_));
}

void KitMaker::add_paper_model() {
  if (const std::vector<Page> model = make_paper_model_pages(design_, options_.flat, pattern_);
      !model.empty())
    add_pdf("paper-model.pdf", model);
  else
    warn("there is no paper model: at such angles card stops too far from its neighbours");
}

Purchase KitMaker::buy() {
  Purchase purchase = make_purchase(design_, finished_, ordering_);
  if (purchase.sheets == 0)
    warn("the part does not fit a sheet: choose larger sheets or a smaller design");
  for (const PartPurchase& part : purchase.parts)
    kit_.warnings.insert(kit_.warnings.end(), part.cutting.warnings.begin(),
                         part.cutting.warnings.end());
  return purchase;
}

/// Whole sheets for machines, and the plan of the cutting.
void KitMaker::add_sheets(const Purchase& purchase) {
  TemplateOptions machine = pattern_;
  machine.notch_mm = 0;
  const bool has_parts = design_.orbits.size() > 1;
  int first_copy = 0;
  for (std::size_t o = 0; o < design_.orbits.size(); ++o) {
    const std::string prefix = has_parts ? "part-" + std::to_string(o + 1) + "-" : std::string();
    for (NamedBytes& file :
         make_sheet_files(make_template_drawing(design_, finished_, static_cast<int>(o), machine),
                          purchase.parts[o], first_copy, prefix, most_sheet_files))
      kit_.files.push_back(std::move(file));
    if (purchase.parts[o].nest.sheets > most_sheet_files)
      warn(
          format("there are %d sheets%s, and files of whole sheets are written for up to %d: cut "
                 "by the template and the cutting plan, or nest template.dxf at the machine",
                 purchase.parts[o].nest.sheets,
                 has_parts ? format(" of part %zu", o + 1).c_str() : "", most_sheet_files));
    first_copy += static_cast<int>(design_.orbits[o].copies.size());
  }
  add_pdf("cutting-plan.pdf", make_cutting_pages(design_, finished_, purchase, ordering_, paper_));
}

void KitMaker::add_guide(const AssemblyPlan& plan) {
  const Closure closure = measure_closure(design_, plan, options_.tolerance);
  GuideOptions guide;
  guide.paper = pattern_.paper;
  guide.colours = colours_;
  guide.reach = options_.assembly.reach;
  guide.tolerance = options_.tolerance;
  guide.limit_faults = options_.limit_faults;
  const std::vector<Page> pages = make_guide_pages(design_, finished_, plan, closure, guide);
  add_pdf("guide.pdf", pages);
  GuidePageOptions turning;
  turning.words = options_.words;
  turning.teams = find_teams(plan, options_.event.schedule);
  turning.guide = guide;
  kit_.files.push_back(
      {"guide.html", make_guide_page(design_, finished_, plan, closure, pages, turning)});
}

void KitMaker::add_day(const AssemblyPlan& plan, const Purchase& purchase, const Rigging& rigging) {
  const EventPlan event =
      make_event_plan(design_, finished_, plan, purchase, ordering_, rigging, happening_);
  add_pdf("day.pdf",
          make_event_pages({design_, plan, purchase, ordering_, happening_}, event, paper_));
}

Kit KitMaker::make() {
  warn_of_parts();
  const Rigging rigging = find_rigging(design_, finished_, happening_);
  add_templates(rigging);
  add_coupons();
  add_numbers();
  add_paper_model();
  const Purchase purchase = buy();
  add_sheets(purchase);
  const AssemblyPlan plan = plan_assembly(design_, finished_, options_.assembly);
  add_guide(plan);
  add_pdf("colours.pdf", make_colour_pages(design_, colours_, paper_));
  add_day(plan, purchase, rigging);
  if (plan.hard_steps > 0)
    warn(
        format("%s of its assembly have no straight push to their place, and boards may not be "
               "bent so far; the guide names them",
               count_of(plan.hard_steps, "step", "steps").c_str()));
  return std::move(kit_);
}

}  // namespace

Kit make_kit(const Design& design, const KitOptions& options) {
  return KitMaker(design, options).make();
}

}  // namespace sixtyfold
