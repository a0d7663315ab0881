#pragma once
// The flat pattern: the mid-surface outline after the thickness allowance, plus its tabs; what is
// cut from the sheet. And the bound of it that the search uses.

#include <string>
#include <vector>

#include "engine/joint.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

/// To which face of its own panel a tab is folded where both can be: the one that bends the board
/// less, or the inner or outer face, seen from the centre.
enum class TabSide { shortest, inside, outside };

/// The side that bends the board more is taken up to this fold only (common practice, no published
/// source: beyond it board cracks).
inline constexpr double most_far_fold_deg = 120;

struct FlatOptions {
  double thickness_mm = 4;
  double tab_depth_mm = 35;        ///< wanted depth, from the fold line
  double least_tab_depth_mm = 10;  ///< a shallower tab is no use: the joint then has none
  double least_tab_edge_mm = 8;    ///< shortest outer edge of a tab
  double fold_allowance_mm = 0;    ///< how far the hinge lies from the middle of the board to the
                                   ///< outside of the fold, -t/2 .. t/2 (setback.h); 0: common
                                   ///< practice, no published source
  double gap_mm = 1;               ///< kept free between tabs, and between a tab and the body
  TabSide tab_side = TabSide::shortest;
  double relief_mm = -1;      ///< radius cut off where copies share a point; < 0: thickness
  double slot_play_mm = 0.3;  ///< slots are wider and deeper by so much (common practice, no
                              ///< published source: a push fit in board)

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
  double relief() const { return relief_mm < 0 ? thickness_mm : relief_mm; }
};

/// A tab as fitted to one joint: a trapezoid on the joint's segment.
struct TabShape {
  double depth_mm = 0;  ///< 0: no tab of a useful depth fits
  double from_inset_mm = 0,
         to_inset_mm = 0;                 ///< the fold starts and ends this far inside the joint
  double from_cut_mm = 0, to_cut_mm = 0;  ///< the outer edge is this much shorter again at each end
  bool far_side = false;                  ///< folded through pi - angle, to the other side
};

struct Tab {
  int joint = 0;  ///< number in the list of PanelJoints
  int mate = 0;   ///< copy it is glued to
  Vec2 fold_from_mm = Vec2::Zero(),
       fold_to_mm = Vec2::Zero();  ///< counter-clockwise along the outline
  Polygon outline_mm;  ///< flat, counter-clockwise; the first two vertices are the fold's ends
  double depth_mm = 0;
  double fold_rad = 0;            ///< angle to fold through, from flat
  int fold_side = 0;              ///< +1 folds towards the panel's normal, -1 away from it
  Vec3 direction = Vec3::Zero();  ///< unit, panel frame: outward across the tab once it is folded
};

/// Where another copy's tab, edge or fold lies on this panel.
struct Seat {
  int joint = 0;
  int mate = 0;
  Vec2 from_mm = Vec2::Zero(), to_mm = Vec2::Zero();
  int side = 0;  ///< +1 on the normal's face, -1 on the other face
  /// What the tab covers of this face: from its crease's ends (0, 1) to its free edge's (2, 3).
  /// Past this part's own edge where the crease stands outside it. Empty: no tab lies here.
  Polygon tab_mm;
};

/// One of the two slots of a slot joint.
struct Slot {
  int joint = 0;
  int mate = 0;
  Polygon outline_mm;  ///< a rectangle: two corners outside the border, two at the bottom
  double width_mm = 0, depth_mm = 0;  ///< the depth along the line, from the border
  Vec2 bottom_mm() const { return (outline_mm[2] + outline_mm[3]) / 2; }
  Vec2 inwards() const { return (outline_mm[2] - outline_mm[1]).normalized(); }
};

struct FlatPattern {
  Polygon outline_mm;  ///< cut line: body and tabs
  Polygon body_mm;     ///< without tabs
  std::vector<Polygon> holes_mm;
  std::vector<Tab> tabs;
  std::vector<Seat> seats;
  std::vector<Slot> slots;              ///< cut out of the body already
  std::vector<int> joints_without_tab;  ///< edges that should carry a tab, and none fits
  double lost_area_mm2 = 0;  ///< of the body, cut off beyond the setbacks because it came loose
};

/// What a flat pattern is made from. shapes[i] belongs to joints[i] and counts where the role is
/// tab_edge or double_tab.
struct PartToCut {
  Polygon outline_mm;
  std::vector<Polygon> holes_mm;
  std::vector<PanelJoint> joints;
  std::vector<TabShape> shapes;
  std::vector<Polygon>
      reliefs_mm;  ///< cut away besides the setbacks, where another copy needs room
};

/// Every outline edge on a joint is moved in by engine/part/setback.h; a small disc is cut off
/// where copies share a point. Throws std::invalid_argument when the options have a fault.
FlatPattern make_flat_pattern(const PartToCut& part, const FlatOptions& options);

/// Widest tab that fits one joint by its length alone: ends cut back at 45 degrees, depth as wanted
/// or what leaves least_tab_edge_mm; depth 0 when nothing useful fits.
TabShape make_plain_tab(const PanelJoint& joint, const FlatOptions& options);

/// Angle to fold the tab of a joint through, from flat.
double measure_fold(const PanelJoint& joint, bool far_side);
/// Setback of the fold (with the hinge's shift) or cut edge of one joint; 0 for seats and slots. A
/// shape without depth is no tab. Below 0: the fold stands outside the outline.
double measure_setback(const PanelJoint& joint, const TabShape& shape, const FlatOptions& options);

/// Where the tab's fold line runs: the joint less the insets, moved in by the setback.
void place_fold(const PanelJoint& joint, const TabShape& shape, const FlatOptions& options,
                Vec2& from, Vec2& to);
/// The flat tab past its fold line, counter-clockwise, the fold's ends first.
Polygon make_tab_outline(const Vec2& fold_from, const Vec2& fold_to, const TabShape& shape);
/// The outline less the setbacks, reliefs and slots; `lost_mm2`: area of pieces that came loose.
Polygon make_body(const PartToCut& part, const FlatOptions& options, double& lost_mm2);

/// Bound for the search: how far past the outline edge the tab of a joint reaches (depth minus
/// setback, at least 0), and the tab's two outer corners. The convex hull of the outline and these
/// corners holds the whole flat pattern. No allocation.
struct TabReach {
  double length_mm = 0;
  Vec2 corners_mm[2] = {Vec2::Zero(), Vec2::Zero()};
};
TabReach measure_tab_reach(const PanelJoint& joint, const FlatOptions& options);

}  // namespace sixtyfold
