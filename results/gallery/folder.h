#pragma once
// The folder a gallery lives in: a run folder (results/files/run_folder.h) with index.html beside.

#include <filesystem>
#include <vector>

#include "engine/design.h"
#include "results/gallery/page.h"

namespace sixtyfold {

struct GalleryFolder {
  std::vector<Design> designs;               ///< option i + 1, by rank or by file name
  std::vector<std::filesystem::path> files;  ///< where each was read from
};

/// Reads a run folder by its ranking.json, any other folder by its *.json files in order of name,
/// but for those that runs and tallies leave there (ranking, run, search, tally, winner*).
/// Throws std::invalid_argument: no such folder, no design in it, a file that is no design.
GalleryFolder read_gallery_folder(const std::filesystem::path& folder);

/// Writes index.html and, unless the designs already live there, NNN.json, NNN.svg and
/// ranking.json. Designs without a name get one (results/files/design_name.h). Makes the folder.
/// `home` is where the designs were read from, empty if they are new. Files of a folder that is
/// another one are never touched: throws std::invalid_argument if `folder` holds a ranking already
/// and is not `home`.
void write_gallery_folder(const std::filesystem::path& folder, std::vector<Design> designs,
                          const GalleryOptions& options, const std::filesystem::path& home = {});

}  // namespace sixtyfold
