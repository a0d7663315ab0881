#include "engine/variant/windows.h"

#include <algorithm>

#include "engine/part/setback.h"
#include "engine/variant/own_lines.h"

namespace sixtyfold {

namespace {

/// Room for the glue beside a tab and for what board and hand are off by.
constexpr double slack_mm = 3;

/// What a joint is on the panel's own meeting line of one element.
enum class Role { own_edge, seat, edge_and_seat, slot };

double find_half(Role role, double angle_rad, const Limits& limits, double frame_mm) {
  const double t = limits.thickness_mm;
  const double setback = fold_on_face_setback(t, angle_rad);
  const double seat = setback + limits.tab_depth_mm + slack_mm;
  switch (role) {
    case Role::own_edge:
      return frame_mm + setback;
    case Role::seat:
      return seat;
    case Role::edge_and_seat:
      return std::max(frame_mm + setback, seat);
    case Role::slot:
      break;
  }
  return frame_mm + setback;
}

}  // namespace

double measure_mean_width(const Polygon& outline_mm) {
  return 2 * measure_area(outline_mm) / measure_perimeter(outline_mm);
}

void find_kept_strips(const OrbitScheme& scheme, const Variant& variant, const Limits& limits,
                      double frame_mm, std::vector<KeptStrip>& strips) {
  strips.clear();
  const auto add = [&](const LineStretch& stretch, double half) {
    visit_own_images(scheme, variant, stretch, [&](const Vec2& from, const Vec2& to) {
      strips.push_back({from, to, half});
    });
  };
  for (const PairJoint& joint : variant.joints) {
    Role here = Role::slot, there = Role::slot;  // on the line of g, and of its inverse
    switch (joint.contact.kind) {
      case ContactKind::edge_first:
        here = Role::own_edge, there = Role::seat;
        break;
      case ContactKind::edge_second:
        here = Role::seat, there = Role::own_edge;
        break;
      case ContactKind::edges:
        here = there = Role::edge_and_seat;
        break;
      case ContactKind::crossing:
        break;
    }
    const LineStretch own{joint.element, joint.contact.from, joint.contact.to};
    const double half = find_half(here, joint.angle_rad, limits, frame_mm);
    const double half_there = find_half(there, joint.angle_rad, limits, frame_mm);
    if (scheme.group->is_involution(joint.element)) {
      add(own, std::max(half, half_there));
      continue;
    }
    add(own, half);
    add(find_stretch_on_inverse(scheme, joint), half_there);
  }
}

std::vector<Polygon> cut_windows(const OrbitScheme& scheme, const Variant& variant,
                                 const Limits& limits, double frame, const Polygon& outline_mm) {
  WindowOptions options;
  options.bridge_mm = find_least_frame(limits.thickness_mm, limits.min_width_mm);
  options.frame_mm = std::max(options.bridge_mm, frame * measure_mean_width(outline_mm));
  if (scheme.has_mirror()) {
    // Chords of a curve and of its mirror image lie elsewhere: well within what the check of the
    // symmetry allows (engine/contact/symmetry_copies.cpp).
    double reach = 0;
    for (const Vec2& p : outline_mm) reach = std::max(reach, p.norm());
    options.chord_mm = std::min(options.chord_mm, 2e-5 * reach);
  }
  std::vector<KeptStrip> strips;
  find_kept_strips(scheme, variant, limits, options.frame_mm, strips);
  return cut_windows(outline_mm, strips, options);
}

}  // namespace sixtyfold
