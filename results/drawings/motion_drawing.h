#pragma once
// A floppy design drawn at both ends of one of its free motions.

#include <string>

#include "engine/design.h"
#include "engine/structure/motion.h"

namespace sixtyfold {

/// Two pictures side by side from the same eye, the construction moved one way and the other, with
/// the outline of where it rests; panels that move far are darker. The farthest corner moves a
/// tenth of the radius each way. A complete SVG 1.1 document in millimetres.
std::string make_motion_svg(const Design& design, const FreeMotion& motion);

}  // namespace sixtyfold
