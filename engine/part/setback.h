#pragma once
// How far a part's flat material stops short of the meeting line, because board has thickness.
//
// Section across the line, which is the origin. Panel P lies along -x, its mid-surface on y = 0 and
// its faces on y = +-t/2. The mate's mid-surface is the ray m = (-cos delta, sin delta), where
// delta is the interior angle between the two half-planes; for an edge on a face the mate goes on
// past the line, and the acute plane angle is theta. The unit normal of the mate on P's side is n =
// (-sin delta, -cos delta). A setback is the distance from the line to the cut or fold on y = 0.

#include <cmath>

namespace sixtyfold {

/// Straight cut edge butting on a face: (t/2)(1 + cos theta)/sin theta = (t/2)/tan(theta/2).
/// The cut's lower corner (-s, -t/2) must reach the mate's face n.q = t/2, with delta = pi - theta:
/// s sin theta - (t/2) cos theta = t/2. Check values for t = 4: 90 deg 2; 60 deg 3.4641; 30 deg
/// 7.4641. theta in (0, pi/2].
inline double cut_on_face_setback(double thickness_mm, double theta_rad) {
  return 0.5 * thickness_mm / std::tan(0.5 * theta_rad);
}

/// Fold line of a tab glued to the mate's face, on P's side: t/sin(angle); the angle may be the
/// plane angle or its supplement. The tab's mid-surface is the plane n.q = t, which meets y = 0
/// where s sin(angle) = t. The body then clears the mate: its lower corner lies exactly on the
/// mate's face. Check values for t = 4: 90 deg 4; 60 deg 4.6188; 30 deg 8.
inline double fold_on_face_setback(double thickness_mm, double angle_rad) {
  return thickness_mm / std::sin(angle_rad);
}

/// Two straight cut edges meeting edge to edge: (t/2)/tan(delta/2). Each stays on its own side of
/// the bisecting plane, which makes the angle delta/2 with P; the corner nearest to that plane is
/// on the inner face for delta < 180 deg. Check values for t = 4: 90 deg 2; 120 deg 1.1547;
/// 180 deg 0. delta in (0, pi].
inline double edge_to_edge_setback(double thickness_mm, double delta_rad) {
  return 0.5 * thickness_mm / std::tan(0.5 * delta_rad);
}

/// Fold line of one of two tabs glued to each other in the bisecting plane: (t/2)/sin(delta/2).
/// The tab's mid-surface lies t/2 from the bisecting plane. Check values for t = 4: 90 deg 2.8284;
/// 120 deg 2.3094; 180 deg 2. delta in (0, pi].
inline double fold_in_bisector_setback(double thickness_mm, double delta_rad) {
  return 0.5 * thickness_mm / std::sin(0.5 * delta_rad);
}

/// The hinge: a fold turns about one layer of the board, the one that keeps its length; it lies
/// t/2 - a below the face outside the fold, which is the face that is glued. a, the fold allowance,
/// is 0 where the middle of the board keeps its length, t/2 where the outer face does (crushed or
/// grooved from inside), -t/2 where the inner one does (cut from outside); the test coupon measures
/// it at 90 degrees. The setbacks above are those of a = 0; the glued face comes to lie where it
/// should for every a when the fold is drawn a tan(fold/2) nearer to the line. Derivation: the
/// hinge at (-x, -(t/2 - (t/2 - a))) = (-x, -a) has the distance t - a from the mate's
/// mid-surface (t/2 - a from the bisecting plane), so x sin(fold) - a cos(fold) = t - a.
/// Check values for a = 2: 90 deg 2; 60 deg 1.1547.
inline double hinge_shift(double fold_allowance_mm, double fold_rad) {
  return fold_allowance_mm * std::tan(0.5 * fold_rad);
}

/// Where the crease of a folded tab lies on the mate's face, measured from the meeting line against
/// the direction in which the tab runs: t/tan(fold) + a tan(fold/2) behind the line, so a tab of
/// depth d covers the face from there to d further. Derivation: the hinge (-x, -a) above, projected
/// on the mate's ray. fold: the angle through which the tab is folded. Check values for t = 4,
/// a = 0: 36 deg 5.5055; 20 deg 10.9899.
inline double crease_behind_line(double thickness_mm, double fold_rad, double fold_allowance_mm) {
  return thickness_mm / std::tan(fold_rad) + hinge_shift(fold_allowance_mm, fold_rad);
}

}  // namespace sixtyfold
