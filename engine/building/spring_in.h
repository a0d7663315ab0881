#pragma once
// What has to bend, and how far, when a panel is sprung in because no straight push reaches its
// place.

#include <optional>
#include <vector>

#include "engine/building/way_out.h"

namespace sixtyfold {

/// A board bent out of its plane at one joint.
struct Bend {
  int copy = 0;
  int joint = -1;  ///< the construction's joint at which it is bent; -1: it is only passed by
  double deflection_mm = 0;
  double free_length_mm = 0;  ///< of the strip, from where it is held
  double strain = 0;          ///< at the surface
};

struct SpringIn {
  Vec3 push = Vec3::Zero();  ///< unit; it comes in along -push
  double strain = 0;         ///< the largest
  std::vector<Bend> bends;   ///< the most strained first
};

/// Surface strain of a strip held at one end, its free end deflected: 3 t s / (2 L^2). Cantilever
/// with a load at its end, small deflections: s = P L^3 / (3 E I), strain = P L t / (2 E I). Gere
/// and Goodno 2013, appendix H. Infinite for L <= 0.
double measure_strip_strain(double thickness_mm, double deflection_mm, double free_length_mm);

/// A slot of depth D along the crossing c; the panel moves along d in its own plane, at `theta` to
/// c; the planes meet at `phi`. With x the mover's displacement when the slots are about to meet,
/// x.d less D along c is across c: the misfit D tan(theta) lies in the mover's plane, in which
/// board does not bend. The partner takes it by D tan(theta) / sin(phi) out of its own plane, the
/// mover by D tan(theta) |cot(phi)|.
struct SlotMisfit {
  double travel_mm = 0, partner_mm = 0, mover_mm = 0;
};
SlotMisfit measure_slot_misfit(double depth_mm, double theta_rad, double phi_rad);

struct SpringTask {
  const Design* design = nullptr;
  const StandingCopies* copies = nullptr;
  double working_strain = 0;  ///< of the material; 0: it does not spring
};

/// The straight push that strains the boards least, when that stays within the working strain. One
/// panel moves; every panel in its way is bent out of its plane as a strip that is held at its
/// nearest joint with what stands, at a slot by its misfit, elsewhere by as much as clears the way.
/// An estimate: a strip instead of a plate, boards straight but for the bend.
std::optional<SpringIn> find_spring_in(const SpringTask& task, int copy,
                                       const std::vector<bool>& standing);

}  // namespace sixtyfold
