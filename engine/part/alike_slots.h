#pragma once
// Slots that change places when a part is laid down another way and looks the same.

#include <vector>

#include "engine/design.h"
#include "engine/part/panel_joints.h"

namespace sixtyfold {

/// For each joint of the panel its own number or, for a slot, the least number of a slot that an
/// isometry of the plane carries it to which carries the outline, the holes and all joints onto
/// themselves (kinds, roles and angles with them; within half a millimetre).
std::vector<int> find_alike_slots(const Panel& panel, const std::vector<PanelJoint>& joints);

}  // namespace sixtyfold
