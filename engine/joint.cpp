#include "engine/joint.h"

namespace sixtyfold {

std::string name_of(JointKind kind) {
  switch (kind) {
    case JointKind::tab:
      return "tab";
    case JointKind::edge:
      return "edge";
    case JointKind::slot:
      return "slot";
  }
  return "";
}

}  // namespace sixtyfold
