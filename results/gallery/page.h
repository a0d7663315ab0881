#pragma once
// One page to look, compare and vote: everything inside, nothing loaded from anywhere.

#include <string>
#include <vector>

#include "engine/appeal/taste.h"
#include "engine/building/effort.h"
#include "engine/design.h"
#include "results/gallery/gallery_list.h"
#include "results/gallery/words.h"

namespace sixtyfold {

struct GalleryOptions {
  std::string title;  ///< empty: the language's own question
  GalleryWords words = read_gallery_words("en");
  double price_per_sheet = 0;  ///< 0: not known, the page asks for it
  std::string currency;        ///< written after the cost
  EffortAssumptions effort;
  std::vector<int> numbers;       ///< of the designs, rising, from 1; empty: 1, 2, 3 ...
  std::string colours = "board";  ///< of cards, poster and first 3D view, as in DrawingOptions
  Taste taste;                    ///< of whom the appeal is
  /// Why design i can not be built, one sentence, "" where it can; may be left empty.
  std::vector<std::string> faults;

  /// Empty when the options make sense, else one sentence.
  std::string find_fault() const;
};

/// A complete HTML document. Each design is called by its number and its name (see
/// results/files/design_name.h). Names and titles of others are written as text, never as markup;
/// the page forbids itself every request (content security policy). Same designs, same bytes.
/// Throws std::invalid_argument: no design, too many, a design without a panel, a fault in options.
std::string make_gallery_page(const std::vector<Design>& designs,
                              const GalleryOptions& options = {});

/// The picture of a design's card, a complete SVG document: the design alone, called by its name.
std::string make_card_picture(const Design& design, const std::string& name,
                              const std::string& colours = "board");

/// How ballots are cast on a page that sends them to the server it came from.
struct BallotPaper {
  bool ranks = false;   ///< designs are put in order; else picked
  bool closed = false;  ///< no ballot is taken any more
};

/// The same page for a phone: POST /ballot takes {"gallery", "code", "places"} and answers
/// {"outcome"} (tools/voting/phone_answers.h), GET /state {"open"}; nothing else is asked for.
std::string make_ballot_page(const std::vector<Design>& designs, const GalleryOptions& options,
                             const BallotPaper& paper);

}  // namespace sixtyfold
