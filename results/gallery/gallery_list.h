#pragma once
// gallery.json: which design stands on the ballots under which number. Written beside the page, so
// that a count knows what the page called 7, whatever became of the folder since.

#include <string>
#include <vector>

#include "engine/design.h"

namespace sixtyfold {

struct GalleryEntry {
  int number = 0;          ///< on the page, on posters and ballots
  std::string name, file;  ///< a plain file name ending in .json, in the same folder

  bool operator==(const GalleryEntry&) const = default;
};

struct GalleryList {
  std::string identity;               ///< see find_gallery_identity
  std::string title;                  ///< of the page
  std::vector<GalleryEntry> entries;  ///< numbers rise

  bool operator==(const GalleryList&) const = default;
};

/// Most designs on one page.
inline constexpr std::size_t most_gallery_designs = 500;
/// Largest number of a design.
inline constexpr int largest_gallery_number = 9999;

/// "g" and 16 hexadecimal digits, made from what a ballot means: each design's number, name and
/// shape. Title, price and language do not change it. It begins with a letter so that no
/// spreadsheet takes it for a number.
std::string find_gallery_identity(const std::vector<Design>& designs,
                                  const std::vector<std::string>& names,
                                  const std::vector<int>& numbers);

std::string write_gallery_list(const GalleryList& list);

/// Throws std::invalid_argument with one sentence.
GalleryList read_gallery_list(const std::string& bytes, const std::string& where);

}  // namespace sixtyfold
