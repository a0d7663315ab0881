#pragma once
// The plan of the day as pages.

#include <vector>

#include "results/drawings/page.h"
#include "results/kit/event_plan.h"

namespace sixtyfold {

/// What the day is about; each as make_event_plan was given it.
struct EventSubject {
  const Design& design;
  const AssemblyPlan& assembly;
  const Purchase& purchase;
  const PurchaseOptions& ordering;
  const EventOptions& options;
};

std::vector<Page> make_event_pages(const EventSubject& subject, const EventPlan& plan,
                                   const Vec2& paper_mm);

}  // namespace sixtyfold
