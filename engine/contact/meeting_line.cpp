#include "engine/contact/meeting_line.h"

namespace sixtyfold {

MeetingLine make_meeting_line(const Frame& frame, const Mat3& element) {
  const Vec3 image = element * frame.normal;
  const Vec2 projected(frame.x_axis.dot(image), frame.y_axis.dot(image));
  const double sine = projected.norm(), cosine = frame.normal.dot(image);
  MeetingLine line;
  if (!(sine > 1e-7)) return line;
  line.exists = true;
  line.side = projected / sine;
  line.sine = sine;
  line.cosine = cosine;
  // d (1 - cos) / sin, in the form that loses nothing for small angles.
  const double distance = frame.normal.dot(frame.origin);
  line.offset = cosine > 0 ? distance * sine / (1 + cosine) : distance * (1 - cosine) / sine;
  return line;
}

}  // namespace sixtyfold
