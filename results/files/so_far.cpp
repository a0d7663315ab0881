#include "results/files/so_far.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <utility>

#include "results/drawings/drawing_svg.h"
#include "results/files/design_hash.h"
#include "results/files/design_json.h"
#include "results/files/design_name.h"
#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "results/files/json_writer.h"
#include "results/files/run_folder.h"
#include "results/files/score_json.h"

namespace sixtyfold {

using nlohmann::ordered_json;

namespace {

constexpr char format_word[] = "sixtyfold-so-far";
constexpr double between_s = 0.25;

bool is_key(const std::string& text) {
  return text.size() == 8 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

/// "001.json" or "so-far/KEY.json".
bool is_listed_file(const std::string& file, const std::string& key) {
  if (file == "so-far/" + key + ".json") return true;
  const std::size_t digits = file.find_first_not_of("0123456789");
  return digits != std::string::npos && 3 <= digits && digits <= 4 &&
         file.substr(digits) == ".json";
}

}  // namespace

SoFar::SoFar(std::filesystem::path folder, std::string material, Evaluator& evaluator)
    : folder_(std::move(folder)), material_(std::move(material)), evaluator_(evaluator) {}

void SoFar::list(const std::vector<Candidate>& candidates) {
  std::vector<Design> designs;
  for (const Candidate& candidate : candidates) designs.push_back(candidate.design);
  const std::vector<std::string> names = find_design_names(designs);
  designs_.clear();
  std::vector<std::size_t> wanted;
  for (std::size_t i = 0; i < designs.size(); ++i) {
    designs[i].name = names[i];
    designs[i].material = material_;
    const std::string key = make_design_hash(designs[i]);
    designs_.push_back({key, "so-far/" + key + ".json", names[i], designs[i].symmetry,
                        candidates[i].why, designs[i].score});
    if (written_.insert(key).second) wanted.push_back(i);
  }
  const std::filesystem::path place = folder_ / "so-far";
  if (!wanted.empty()) make_folder(place);
  std::vector<std::pair<std::string, std::string>> made(wanted.size());
  evaluator_.run(static_cast<int>(wanted.size()), [&](int job, int) {
    const auto j = static_cast<std::size_t>(job);
    DrawingOptions drawing;
    drawing.setting = Setting::plain;
    drawing.width_mm = 120;
    drawing.height_mm = 108;
    made[j] = {write_design_json(designs[wanted[j]]),
               make_drawing_svg(designs[wanted[j]], drawing)};
  });
  for (std::size_t j = 0; j < wanted.size(); ++j) {
    const std::string& key = designs_[wanted[j]].key;
    write_file(place / (key + ".json"), made[j].first);
    write_file(place / (key + ".svg"), made[j].second);
  }
  ++lists_;
  is_new_ = true;
}

void SoFar::tell(SoFarState state) {
  if (!is_new_ && state.seconds < next_s_) return;
  next_s_ = state.seconds + between_s;
  write(state);
}

void SoFar::end(const std::vector<Candidate>& candidates, SoFarState state) {
  list(candidates);
  for (std::size_t i = 0; i < designs_.size(); ++i) {
    designs_[i].file = candidate_file_name(static_cast<int>(i) + 1, "json");
    designs_[i].name = candidates[i].design.name;
  }
  state.is_over = true;
  write(state);
}

void SoFar::write(SoFarState state) {
  is_new_ = false;
  ordered_json designs = ordered_json::array();
  for (const SoFarDesign& design : designs_)
    designs.push_back({{"key", design.key},
                       {"file", design.file},
                       {"name", design.name},
                       {"symmetry", design.symmetry},
                       {"why", design.why},
                       {"score", write_score_json(design.score)}});
  write_file(folder_ / "so-far.json", write_json({{"format", format_word},
                                                  {"version", 1},
                                                  {"seconds", state.seconds},
                                                  {"share_done", state.share_done},
                                                  {"variants", state.variants},
                                                  {"feasible", state.feasible},
                                                  {"lists", lists_},
                                                  {"is_over", state.is_over},
                                                  {"designs", designs}}));
}

SoFarFile read_so_far_json(const std::string& bytes, const std::string& where) {
  const JsonCursor root = JsonCursor::parse(bytes, where);
  if (root.at("format").text() != format_word)
    root.at("format").fail(std::string("is no list so far; \"") + format_word + "\" is needed");
  root.at("version").integer(1, 1);
  SoFarFile file;
  file.state.seconds = root.at("seconds").number(0, 1e9);
  file.state.share_done = root.at("share_done").number(0, 1);
  file.state.variants = root.at("variants").unsigned_integer();
  file.state.feasible = root.at("feasible").unsigned_integer();
  file.state.lists = static_cast<int>(root.at("lists").integer(0, 1000000));
  file.state.is_over = root.at("is_over").boolean();
  for (const JsonCursor& item : root.at("designs").array(0, most_candidates)) {
    SoFarDesign design;
    design.key = item.at("key").text();
    if (!is_key(design.key)) item.at("key").fail("is no key of eight hexadecimal digits");
    design.file = item.at("file").text();
    if (!is_listed_file(design.file, design.key))
      item.at("file").fail("is " + quote(design.file) + ", which no search writes");
    design.name = item.at("name").text();
    design.symmetry = item.at("symmetry").text();
    for (const JsonCursor& reason : item.at("why").array(0, 100))
      design.why.push_back(reason.text(500));
    design.score = read_score_json(item.at("score"));
    file.designs.push_back(std::move(design));
  }
  return file;
}

}  // namespace sixtyfold
