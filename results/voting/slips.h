#pragma once
// Slips to cut apart: one for each voter, with the address, a square code and a code that casts one
// ballot.

#include <functional>
#include <string>
#include <vector>

#include "results/gallery/words.h"
#include "results/voting/square_code.h"

namespace sixtyfold {

/// "bcdfgh" as people read it: "bcd-fgh".
std::string write_slip_code(const std::string& code);

struct SlipSheet {
  std::string title;
  std::string address;             ///< "http://192.168.1.5:8060"
  std::vector<std::string> codes;  ///< six letters each
  GalleryWords words;
  Vec2 paper_mm{210, 297};
};

/// A page the phone opens with the code filled in already: the part behind # is never sent, so that
/// no list of requests shows it.
std::string find_slip_address(const std::string& address, const std::string& code);

/// One PDF, in the order of the codes. `make_code` makes a square code of a text.
std::string make_slips_pdf(const SlipSheet& sheet,
                           const std::function<SquareCode(const std::string&)>& make_code);

}  // namespace sixtyfold
