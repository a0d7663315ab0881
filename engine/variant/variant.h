#pragma once
// One variant: from a drawn outline in a placed plane to a trimmed, scaled, scored panel.
//
// A bad variant is data: `status` says at which stage it was turned down and `shortfall` by how
// much. The stages run from cheap to dear, and what is turned down early is not scored further.

#include <limits>
#include <vector>

#include "engine/appeal/taste.h"
#include "engine/contact/clearance.h"
#include "engine/contact/trim.h"
#include "engine/design.h"
#include "engine/part/body_outline.h"
#include "engine/shape/openness.h"
#include "engine/shape/width.h"
#include "engine/structure/block_stiffness.h"
#include "engine/symmetry/orbit_scheme.h"
#include "engine/tolerance.h"
#include "engine/variant/stage.h"
#include "engine/variant/status.h"

namespace sixtyfold {

/// A panel before anything is known about it, in any unit of length.
struct Draft {
  Vec3 normal = Vec3::UnitZ();
  double distance = 1;  ///< of the plane from the centre
  Polygon outline;      ///< simple, counter-clockwise, in the coordinates of make_frame
  /// Of its edges the numbers of the meeting lines they lie on; empty: they lie on none.
  std::vector<std::int16_t> lines;
  Vec2 hub = Vec2::Zero();  ///< inside the outline; is never trimmed away
  TrimStyle style = TrimStyle::lean;
  /// Above 0: windows are cut into the panel, with a frame of so many mean widths, and a panel that
  /// has no room for any is turned down as narrow. See engine/variant/windows.h.
  double frame = 0;
};

/// Joints of the pair class's representatives P and gP.
struct PairJoint {
  int element = 0;    ///< g
  int pairs = 0;      ///< how many unordered pairs of copies have this joint
  Contact contact{};  ///< in the drawn unit
  double angle_rad = 0;
};

struct Variant {
  Status status = Status::bad_outline;
  double shortfall = 0;  ///< how far the limit is missed, as a share of it; 0 when ok
  Frame frame;           ///< in the drawn unit
  LabelledOutline outline;
  std::vector<MeetingLine> lines;  ///< by group element
  std::vector<PairJoint> joints;
  double scale_mm = 1;              ///< millimetres per drawn unit
  std::vector<Polygon> windows_mm;  ///< at true size, counter-clockwise
  Score score;  ///< complete up to the stage reached; flexible and weak come last
};

/// The score of a variant that has come as far as `next`, after the openness, if all goes as well
/// as it can from there on.
Score find_best_case(const Score& score, Stage next, const Limits& limits);

/// Told when the next stage is about to begin what is known so far, and in the last stage (next is
/// count_) with a bound of the stiffness; may end the variant there.
struct StageGate {
  virtual ~StageGate() = default;
  virtual bool lets_through(Stage next, const Score& score) = 0;
};

struct VariantWorkspace {
  TrimWorkspace trim;
  Polygon polygon, hull;
  HullWorkspace hulls;
  std::vector<Vec2> points, offsets;
  WidthWorkspace width;
  OpennessWorkspace openness;
  ClearanceWorkspace clearance;
  BodyOutline body;
  SymmetricStructure structure;
  StiffnessWorkspace stiffness;
  StageWatch* watch = nullptr;
};

/// Whether the stock stage is gone through. It turns nothing down, so a search whose goals do not
/// ask for its numbers (sheets, utilisation, cost, cutting time, size of the flat pattern) leaves
/// it out: they are 0 then.
enum class StockEstimate { made, left_out };

struct MakeOptions {
  StockEstimate stock = StockEstimate::made;
  /// Thicknesses, at least 1. The clearance is told up to this; what is beyond 1 turns nothing
  /// down.
  double clearance_up_to = clearance_cap;
  const Taste* taste = nullptr;  ///< of whom the appeal is; none: the shipped one
  StageGate* gate = nullptr;     ///< none: every stage is gone through
  double most_scale = std::numeric_limits<double>::infinity();  ///< millimetres per drawn unit
};

/// Trims, joins, scales and scores one draft; `variant` and `work` are reused. Same input, same
/// bytes.
void make_variant(const OrbitScheme& scheme, const Draft& draft, const Limits& limits,
                  VariantWorkspace& work, Variant& variant, const MakeOptions& options = {});

/// The whole design: all copies, all joints. The variant must have come as far as its joints.
Design make_design(const OrbitScheme& scheme, const Variant& variant, const Limits& limits);

}  // namespace sixtyfold
