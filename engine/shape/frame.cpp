#include "engine/shape/frame.h"

namespace sixtyfold {

Frame make_frame(const Vec3& normal, double distance) {
  Frame frame;
  frame.normal = normal.normalized();
  const Vec3 horizontal = Vec3::UnitZ().cross(frame.normal);
  frame.x_axis = horizontal.norm() > 1e-9 ? Vec3(horizontal.normalized()) : Vec3::UnitX();
  frame.x_axis = (frame.x_axis - frame.normal * frame.normal.dot(frame.x_axis)).normalized();
  frame.y_axis = frame.normal.cross(frame.x_axis);
  frame.origin = distance * frame.normal;
  return frame;
}

}  // namespace sixtyfold
