#include "results/gallery/folder.h"

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>

#include "results/drawings/drawing_svg.h"
#include "results/files/design_json.h"
#include "results/files/design_name.h"
#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "results/files/run_folder.h"

namespace sixtyfold {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t largest_page_bytes = std::size_t{1} << 28;

bool ends_with(const std::string& text, const std::string& end) {
  return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

// Files that a run, a gallery or a count writes beside designs.
bool is_record(const fs::path& file) {
  const std::string name = file.filename().string();
  static const std::set<std::string> records = {"gallery.json", "ranking.json", "run.json",
                                                "search.json",  "so-far.json",  "tally.json",
                                                "variety.json", "winner.json"};
  if (records.count(name) || name[0] == '.') return true;
  // hall-tally.json, and the winners' designs that belong to it: hall-winner.json.
  if (ends_with(name, "-tally.json"))
    return read_file(file).find("\"sixtyfold-tally\"") != std::string::npos;
  const fs::path folder = file.parent_path();
  if (name.rfind("winner-", 0) == 0) return fs::exists(folder / "tally.json");
  const auto winner = name.rfind("-winner");
  return winner != std::string::npos &&
         fs::exists(folder / (name.substr(0, winner) + "-tally.json"));
}

// 13 for 013.json or 13-blue.json, else 0.
int number_of_file_name(const std::string& name) {
  int number = 0;
  for (std::size_t i = 0; i < name.size() && '0' <= name[i] && name[i] <= '9'; ++i)
    if ((number = number * 10 + (name[i] - '0')) > largest_gallery_number) return 0;
  return number;
}

void number_anew(GalleryFolder& found) {
  found.numbers.clear();
  for (std::size_t i = 0; i < found.designs.size(); ++i)
    found.numbers.push_back(static_cast<int>(i) + 1);
}

// Each keeps the number it had; who had none, or one that is taken, comes after all others.
void number_as_before(GalleryFolder& found, const fs::path& folder,
                      const std::map<std::string, int>& ranks) {
  std::map<std::string, int> before;
  for (const auto& [file, rank] : ranks)
    if (1 <= rank && rank <= largest_gallery_number) before[file] = rank;
  if (fs::exists(folder / "gallery.json"))
    for (const GalleryEntry& entry :
         read_gallery_list(read_file(folder / "gallery.json"), (folder / "gallery.json").string())
             .entries)
      before[entry.file] = entry.number;
  std::map<int, std::size_t> taken;
  int largest = 0;
  for (const auto& [file, number] : before) largest = std::max(largest, number);
  std::vector<std::size_t> others;
  for (std::size_t i = 0; i < found.files.size(); ++i) {
    const auto known = before.find(found.files[i].filename().string());
    if (known == before.end() || !taken.emplace(known->second, i).second) others.push_back(i);
  }
  // A number that somebody had who is gone now is not given to another: a ballot may name it.
  for (const std::size_t i : others) {
    const int own = number_of_file_name(found.files[i].filename().string());
    const bool is_free = own > 0 && !taken.count(own) &&
                         std::none_of(before.begin(), before.end(),
                                      [&](const auto& entry) { return entry.second == own; });
    const int number = is_free ? own : largest + 1;
    largest = std::max(largest, number);
    taken.emplace(number, i);
  }
  if (largest > largest_gallery_number)
    throw std::invalid_argument(folder.string() + ": its designs' numbers go beyond " +
                                std::to_string(largest_gallery_number) +
                                "; leave out --keep-numbers");
  GalleryFolder sorted;
  for (const auto& [number, i] : taken) {
    sorted.designs.push_back(std::move(found.designs[i]));
    sorted.files.push_back(found.files[i]);
    sorted.numbers.push_back(number);
  }
  found = std::move(sorted);
}

}  // namespace

GalleryFolder read_gallery_folder(const fs::path& folder, Numbering numbering) {
  if (!fs::is_directory(folder))
    throw std::invalid_argument(folder.string() + ": there is no such folder");
  GalleryFolder found;
  std::map<std::string, int> ranks;
  if (const fs::path ranking = folder / "ranking.json"; fs::exists(ranking))
    for (const RankedFile& entry : read_ranking_json(read_file(ranking), ranking.string())) {
      const bool is_new = ranks.emplace(entry.file, entry.rank).second;
      if (is_new && fs::exists(folder / entry.file)) found.files.push_back(folder / entry.file);
    }
  std::vector<fs::path> others;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder))
    if (entry.is_regular_file() && ends_with(entry.path().filename().string(), ".json") &&
        !ranks.count(entry.path().filename().string()) && !is_record(entry.path()))
      others.push_back(entry.path());
  std::sort(others.begin(), others.end());
  found.files.insert(found.files.end(), others.begin(), others.end());
  if (found.files.empty())
    throw std::invalid_argument(folder.string() + ": holds no design (a .json file)");
  if (found.files.size() > most_gallery_designs)
    throw std::invalid_argument(folder.string() + ": holds " + std::to_string(found.files.size()) +
                                " designs; a gallery holds at most " +
                                std::to_string(most_gallery_designs));
  for (const fs::path& file : found.files)
    found.designs.push_back(read_design_json(read_file(file), file.string()));
  if (numbering == Numbering::keep)
    number_as_before(found, folder, ranks);
  else
    number_anew(found);
  return found;
}

GalleryList find_gallery_list(const fs::path& folder) {
  if (const fs::path list = folder / "gallery.json"; fs::exists(list))
    return read_gallery_list(read_file(list), list.string());
  const GalleryFolder found = read_gallery_folder(folder);
  const std::vector<std::string> names = find_design_names(found.designs);
  GalleryList list;
  list.identity = find_gallery_identity(found.designs, names, found.numbers);
  list.title = GalleryOptions().words.say("title");
  for (std::size_t i = 0; i < names.size(); ++i)
    list.entries.push_back({found.numbers[i], names[i], found.files[i].filename().string()});
  return list;
}

void write_gallery_folder(const fs::path& folder, GalleryFolder source,
                          const GalleryOptions& options, const fs::path& home) {
  const bool at_home = !home.empty() && fs::exists(folder) && fs::equivalent(folder, home);
  const fs::path index = folder / "index.html", list_file = folder / "gallery.json";
  if (!at_home && fs::is_directory(folder) && !fs::is_empty(folder))
    throw std::invalid_argument(folder.string() +
                                ": holds files already; choose a folder that is new or empty");
  if (at_home && fs::exists(index) &&
      read_file(index, largest_page_bytes).find("Made by sixtyfold") == std::string::npos)
    throw std::invalid_argument(index.string() +
                                ": was not made by this program; choose another folder with --out");
  if (at_home && fs::exists(list_file)) read_gallery_list(read_file(list_file), list_file.string());
  if (source.numbers.empty()) number_anew(source);
  std::vector<Design>& designs = source.designs;
  const std::vector<std::string> names = find_design_names(designs);
  for (std::size_t i = 0; i < designs.size(); ++i) designs[i].name = names[i];
  GalleryOptions page = options;
  page.numbers = source.numbers;
  const std::string html = make_gallery_page(designs, page);  // before anything is written
  GalleryList list{find_gallery_identity(designs, names, source.numbers),
                   options.title.empty() ? options.words.say("title") : options.title,
                   {}};
  DrawingOptions drawing;
  drawing.colours = options.colours;
  std::vector<RankedFile> ranking;
  std::vector<NamedBytes> files{{"index.html", html}};
  for (std::size_t i = 0; i < designs.size(); ++i) {
    const int number = source.numbers[i];
    std::string file = at_home ? source.files[i].filename().string() : "";
    if (!at_home) {
      ranking.push_back(make_ranked_file(number, designs[i]));
      file = ranking.back().file;
      files.push_back({file, write_design_json(designs[i])});
      files.push_back({candidate_file_name(number, "svg"), make_drawing_svg(designs[i], drawing)});
    }
    list.entries.push_back({number, names[i], file});
  }
  const std::string listed = write_gallery_list(list);
  if (at_home) {
    write_file(list_file, listed);
    write_file(index, html);
    return;
  }
  files.push_back({"ranking.json", write_ranking_json(ranking)});
  files.push_back({list_file.filename().string(), listed});
  write_folder(folder, files);
}

}  // namespace sixtyfold
