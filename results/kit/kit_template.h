#pragma once
// The part to cut, at true size: one sheet, tiled pages, DXF, a test coupon; and a paper model of
// it.

#include <string>
#include <vector>

#include "engine/part/slab.h"
#include "results/drawings/page.h"
#include "results/kit/gauge_pages.h"

namespace sixtyfold {

enum class Paper { a4, a3, letter };

struct TemplateOptions {
  Paper paper = Paper::a4;
  double kerf_mm = 0;              ///< width of the cut: half of it is added all round
  double notch_mm = 2.5;           ///< depth of the notches at the ends of folds and seats; 0: none
  double overlap_mm = 12;          ///< of tiles
  double model_diameter_mm = 300;  ///< of the paper model
  double card_mm = 0.3;            ///< thickness of the paper model's card
  /// Where the fold allowance comes from, for people.
  std::string hinge_source = "the middle of the board: common practice, no published source";
  std::vector<std::string> tint_of;  ///< "#rrggbb" under each copy of the paper model; empty: none

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
};

/// Everything that is drawn of one part, in its own plane (y up), seen on the outside face.
struct TemplateDrawing {
  std::vector<Polygon> cut_mm;  ///< outline first, then holes; notches and kerf applied
  /// What a line is: the fold of a tab; of a seat the lines on which the tab's crease, its free
  /// edge and its ends come to lie; where an edge without a tab stands; the middle of a tab
  /// that is glued to its like, middle on middle.
  enum class Mark { fold, crease, free_edge, end, standing_edge, middle };
  struct Line {
    Vec2 from, to;
    bool is_fold = false;
    int side = 1;          ///< folds: +1 towards the viewer; seats: +1 this face
    double angle_deg = 0;  ///< to fold through
    std::string letter;
    Mark mark = Mark::fold;
  };
  /// The area that another panel's tab covers of this part's face.
  struct SeatArea {
    Polygon area_mm;  ///< inside the part
    int side = 1;     ///< +1 this face
    std::string letter;
  };
  std::vector<Line> lines;  ///< folds and seats, inside the part
  std::vector<SeatArea> seats;
  std::vector<Vec2> pricks_mm;                        ///< line ends inside the part
  std::vector<std::pair<Vec2, std::string>> letters;  ///< on tabs, at slots, beside bare edges
  /// Drilled in some panels only, to hang the construction from.
  struct HangingHole {
    Vec2 middle;
    std::string panels;  ///< "P1: panel 12 only"
  };
  std::vector<HangingHole> holes;
  double grain_rad = 0;  ///< direction of the grain arrow
  bool has_grain = false, has_slots = false;
  std::string name, hash, note;  ///< note: thickness and which are turned over
  std::string hinge_note;        ///< a sentence; empty without folds

  /// Holes at one place are one, with the numbers of all its panels.
  void add_hanging_hole(const Vec2& middle, int copy, const std::string& point);

  bool has_slots_alone() const { return has_slots && lines.empty(); }
};

/// Part `orbit` of the design. Letters A, B, ... as in the construction; an edge without a letter
/// gets none.
TemplateDrawing make_template_drawing(const Design& design, const Finished& finished, int orbit,
                                      const TemplateOptions& options);

/// True size, with title, 100 mm bars and everything to read; as large as needed.
Page make_template_page(const TemplateDrawing& drawing);
/// On the chosen paper: a first page with the map of tiles, then the tiles by rows. The part is
/// turned so that it takes the fewest pages.
std::vector<Page> make_tiled_pages(const TemplateDrawing& drawing, const TemplateOptions& options);
/// DXF R12 (AC1009), millimetres, y up, layers CUT, FOLD, MARK.
std::string make_template_dxf(const TemplateDrawing& drawing);
/// One page to cut, fold and glue first, with the folds of the design.
Page make_coupon_page(const TemplateOptions& options, double thickness_mm,
                      const std::vector<GaugeAngle>& angles);
/// The same for slots: a comb of slots wider than the board by the plays below, and two halves of a
/// joint with the play given. Drawn with the kerf taken off, as the template is.
Page make_slot_coupon_page(const TemplateOptions& options, double thickness_mm, double play_mm);
/// Plays that the comb tries, ascending, some below 0.
std::vector<double> find_coupon_plays(double thickness_mm);
/// The part at a scale that suits card, once for every copy, numbered, on few pages. The tabs are
/// those of the same construction made of card. Empty when card leaves nothing of a part.
std::vector<Page> make_paper_model_pages(const Design& design, const FlatOptions& flat,
                                         const TemplateOptions& options);

/// Width and height in millimetres, upright (ISO 216; ANSI/ASME Y14.1 for Letter).
Vec2 measure_paper(Paper paper);
/// The two slots of a joint: "A1" goes into "A2" of another panel, and the reverse; slots that go
/// into their like are both "A". `other`: the slot that the given one is pushed into.
struct SlotName {
  std::string own, other;
};
SlotName name_slot(const PartJoints& joints, int orbit, int joint);

}  // namespace sixtyfold
