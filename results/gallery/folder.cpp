#include "results/gallery/folder.h"

#include <algorithm>
#include <stdexcept>

#include "results/drawings/drawing_svg.h"
#include "results/files/design_json.h"
#include "results/files/design_name.h"
#include "results/files/file.h"
#include "results/files/run_folder.h"

namespace sixtyfold {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t largest_page_bytes = std::size_t{1} << 28;

// Files that a run or a tally writes beside designs.
bool is_record(const std::string& name) {
  return name == "ranking.json" || name == "run.json" || name == "search.json" ||
         name == "tally.json" || name == "variety.json" || name.rfind("winner", 0) == 0;
}

}  // namespace

GalleryFolder read_gallery_folder(const fs::path& folder) {
  if (!fs::is_directory(folder))
    throw std::invalid_argument(folder.string() + ": there is no such folder");
  GalleryFolder found;
  if (fs::exists(folder / "ranking.json")) {
    RunFolder run = read_run_folder(folder);
    found.designs = std::move(run.designs);
    for (const RankedFile& entry : run.ranking) found.files.push_back(folder / entry.file);
  } else {
    for (const fs::directory_entry& entry : fs::directory_iterator(folder))
      if (entry.is_regular_file() && entry.path().extension() == ".json" &&
          !is_record(entry.path().filename().string()))
        found.files.push_back(entry.path());
    std::sort(found.files.begin(), found.files.end());
    if (found.files.size() > most_gallery_designs)
      throw std::invalid_argument(
          folder.string() + ": holds " + std::to_string(found.files.size()) +
          " designs; a gallery holds at most " + std::to_string(most_gallery_designs));
    for (const fs::path& file : found.files)
      found.designs.push_back(read_design_json(read_file(file), file.string()));
  }
  if (found.designs.empty())
    throw std::invalid_argument(folder.string() + ": holds no design (a .json file)");
  return found;
}

void write_gallery_folder(const fs::path& folder, std::vector<Design> designs,
                          const GalleryOptions& options, const fs::path& home) {
  const bool at_home = !home.empty() && fs::exists(folder) && fs::equivalent(folder, home);
  const fs::path index = folder / "index.html";
  if (!at_home && fs::is_directory(folder) && !fs::is_empty(folder))
    throw std::invalid_argument(folder.string() +
                                ": holds files already; choose a folder that is new or empty");
  if (at_home && fs::exists(index) &&
      read_file(index, largest_page_bytes).find("Made by sixtyfold") == std::string::npos)
    throw std::invalid_argument(index.string() +
                                ": was not made by this program; choose another folder with --out");
  const std::vector<std::string> names = find_design_names(designs);
  for (std::size_t i = 0; i < designs.size(); ++i) designs[i].name = names[i];
  const std::string page = make_gallery_page(designs, options);  // before anything is written
  make_folder(folder);
  if (!at_home) {
    std::vector<RankedFile> ranking;
    for (std::size_t i = 0; i < designs.size(); ++i) {
      const int rank = static_cast<int>(i) + 1;
      ranking.push_back(make_ranked_file(rank, designs[i]));
      write_file(folder / ranking.back().file, write_design_json(designs[i]));
      write_file(folder / candidate_file_name(rank, "svg"), make_drawing_svg(designs[i]));
    }
    write_file(folder / "ranking.json", write_ranking_json(ranking));
  }
  write_file(index, page);
}

}  // namespace sixtyfold
