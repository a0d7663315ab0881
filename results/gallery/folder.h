#pragma once
// The folder a gallery lives in: a run folder (results/files/run_folder.h), or any folder of
// designs, with index.html and gallery.json beside.

#include <filesystem>
#include <vector>

#include "engine/design.h"
#include "results/gallery/gallery_list.h"
#include "results/gallery/page.h"

namespace sixtyfold {

/// anew: 1, 2, 3 ... in the folder's order. keep: what a design was called before, by gallery.json,
/// else by its rank, else by the number its file name begins with; what is new comes after all.
enum class Numbering { anew, keep };

struct GalleryFolder {
  std::vector<Design> designs;               ///< in order of number
  std::vector<int> numbers;                  ///< what each is called
  std::vector<std::filesystem::path> files;  ///< where each was read from
};

/// The designs of a folder: those that ranking.json lists and that are still there, in its order,
/// then all other designs (*.json) by file name. What runs, galleries and counts write is passed
/// over. Throws std::invalid_argument: no such folder, no design in it, too many, a .json file that
/// is no design.
GalleryFolder read_gallery_folder(const std::filesystem::path& folder,
                                  Numbering numbering = Numbering::anew);

/// What the numbers on ballots mean: the folder's gallery.json, or where it has none what a page
/// made now would say.
GalleryList find_gallery_list(const std::filesystem::path& folder);

/// Writes index.html, gallery.json and, unless the designs already live there, NNN.json, NNN.svg
/// and ranking.json. Designs without a name get one (results/files/design_name.h). Makes the
/// folder. `source` says where the designs were read from (`home`) and from which files, and is
/// empty if they are new. Files of a folder that is another one are never touched: throws
/// std::invalid_argument if `folder` holds files already and is not `home`.
void write_gallery_folder(const std::filesystem::path& folder, GalleryFolder source,
                          const GalleryOptions& options, const std::filesystem::path& home = {});

}  // namespace sixtyfold
