#pragma once
// The page of whoever leads a vote: for the projector the address, its square code and the count;
// then the leader's menu and the result. Served to this computer alone (tools/voting).

#include <string>
#include <vector>

#include "results/gallery/gallery_list.h"
#include "results/gallery/words.h"
#include "results/voting/square_code.h"

namespace sixtyfold {

struct DeskPage {
  std::string title;
  std::string address;  ///< "http://192.168.1.5:8060", as phones type it
  SquareCode square;    ///< of that address
  bool ranks = false;
  GalleryList gallery;
  std::string folder;   ///< where all of it lies
  std::string command;  ///< that counts the file again, as typed in a shell
  GalleryWords words = read_gallery_words("en");
};

/// A complete HTML document. It asks its own server alone: GET state, result, slips.pdf,
/// picture/N.svg, gallery.html; POST close, paper, paper-back, slips (tools/voting/desk_answers.h).
/// Names and titles are written as text, never as markup.
std::string make_desk_page(const DeskPage& page);

}  // namespace sixtyfold
