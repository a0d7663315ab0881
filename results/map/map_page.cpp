#include "results/map/map_page.h"

#include <glib.h>

#include <cmath>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "engine/text.h"
#include "results/drawings/markup_text.h"
#include "results/gallery/page_assets.h"
#include "results/gallery/page_text.h"
#include "results/map/map_assets.h"
#include "search/choose/look_map.h"

namespace sixtyfold {
namespace {

using nlohmann::ordered_json;

/// A number that the page shows, filters by and draws against others.
struct Column {
  const char* name;
  double (*measure)(const MapItem&);
  int better;  ///< 1: more is, -1: less is, 0: neither
};

const Column columns[] = {
    {"appeal", [](const MapItem& i) { return i.score.appeal; }, 1},
    {"panels", [](const MapItem& i) { return 1.0 * i.score.panels; }, 0},
    {"joints", [](const MapItem& i) { return 1.0 * i.score.joints; }, -1},
    {"stiffness", [](const MapItem& i) { return i.score.stiffness; }, 1},
    {"diameter", [](const MapItem& i) { return i.score.diameter_mm / 1000; }, 1},
    {"sheets", [](const MapItem& i) { return 1.0 * i.score.sheets; }, -1},
    {"mass", [](const MapItem& i) { return i.score.mass_kg; }, -1},
    {"openness", [](const MapItem& i) { return 100 * i.score.openness; }, 0},
    {"layers", [](const MapItem& i) { return i.score.layers; }, 0},
    {"slenderness", [](const MapItem& i) { return 100 * i.score.slenderness; }, 0},
    {"shortest", [](const MapItem& i) { return i.score.shortest_joint_mm; }, 1},
    {"angle", [](const MapItem& i) { return i.score.min_angle_deg; }, 1},
    {"quality", [](const MapItem& i) { return i.quality; }, 1},
};

/// Numbers one after another, as a browser's typed arrays read them: little-endian, then base64.
template <class Number>
class Stream {
 public:
  void add(double value) { numbers_.push_back(static_cast<Number>(value)); }
  std::string write() const {
    static_assert(__BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__);
    gchar* text = g_base64_encode(reinterpret_cast<const guchar*>(numbers_.data()),
                                  numbers_.size() * sizeof(Number));
    std::string written = text;
    g_free(text);
    return written;
  }

 private:
  std::vector<Number> numbers_;
};

/// A share of the radius in 32,767 steps.
double to_steps(double value_mm, double radius_mm) {
  return std::lround(std::fmin(1.0, std::fmax(-1.0, value_mm / radius_mm)) * 32767);
}

ordered_json write_branches(const SearchTask& task, const MapItems& all,
                            const GalleryWords& words) {
  ordered_json list = ordered_json::array();
  const auto round_to = [](double value) { return std::round(value * 1e6) / 1e6; };
  for (std::size_t b = 0; b < all.branches.size(); ++b) {
    const Branch& branch = task.branches[b];
    const MapBranch& shared = all.branches[b];
    ordered_json item = {
        {"symmetry", branch.symmetry},     {"words", describe_symmetry(branch.symmetry, words)},
        {"plane", branch.plane},           {"family", branch.family},
        {"dimension", branch.dimension()}, {"copies", ordered_json::array()},
        {"eye", ordered_json::array()},    {"axes", ordered_json::array()}};
    for (const Mat3& copy : shared.copies) {
      ordered_json entries;
      for (int column = 0; column < 3; ++column)
        for (int row = 0; row < 3; ++row) entries.push_back(round_to(copy(row, column)));
      item["copies"].push_back(entries);
    }
    for (int k = 0; k < 3; ++k) item["eye"].push_back(round_to(shared.towards_eye[k]));
    for (const Vec3& axis : shared.axes)
      for (int k = 0; k < 3; ++k) item["axes"].push_back(round_to(axis[k]));
    list.push_back(item);
  }
  return list;
}

ordered_json write_items(const MapItems& all) {
  Stream<float> numbers, frames;
  Stream<std::uint16_t> branches, cells, rings, triangles;
  Stream<std::int16_t> points;
  Stream<double> parameters;
  Stream<std::uint8_t> rigid;
  std::vector<Look> looks;
  for (const MapItem& item : all.items) looks.push_back(item.look);
  const LookMap map = make_look_map(looks);
  for (std::size_t i = 0; i < all.items.size(); ++i) {
    const MapItem& item = all.items[i];
    const double radius_mm = item.score.diameter_mm / 2;
    branches.add(item.branch);
    rigid.add(item.rigid);
    for (const Column& column : columns) numbers.add(column.measure(item));
    for (const int cell : map.cells[i]) cells.add(cell);
    for (const Vec3& v : {Vec3(item.frame.origin / radius_mm), item.frame.x_axis, item.frame.y_axis,
                          item.frame.normal})
      for (int k = 0; k < 3; ++k) frames.add(v[k]);
    rings.add(static_cast<double>(item.rings.size()));
    for (const int count : item.rings) rings.add(count);
    for (const Vec2& p : item.points)
      for (int k = 0; k < 2; ++k) points.add(to_steps(p[k], radius_mm));
    triangles.add(static_cast<double>(item.triangles.size()));
    for (const auto& triangle : item.triangles)
      for (const int corner : triangle) triangles.add(corner);
    for (const double value : item.parameters) parameters.add(value);
  }
  return {{"count", all.items.size()},
          {"columns", map.columns},
          {"rows", map.rows},
          {"numbers", numbers.write()},
          {"frames", frames.write()},
          {"branches", branches.write()},
          {"cells", cells.write()},
          {"rings", rings.write()},
          {"points", points.write()},
          {"triangles", triangles.write()},
          {"parameters", parameters.write()},
          {"rigid", rigid.write()}};
}

/// What goes on from the picks, under the board that the run had.
std::string write_command(const Limits& limits) {
  return format("sixtyfold find --picks picks.json --sheet %gx%g --thickness %g --diameter ..%g",
                limits.sheet_width_mm, limits.sheet_height_mm, limits.thickness_mm,
                limits.max_diameter_mm) +
         (limits.joints_by == JointsBy::slot   ? " --joints-by slot"
          : limits.joints_by == JointsBy::both ? " --joints-by both"
                                               : "") +
         " --out more";
}

}  // namespace

std::string make_map_page(const SearchTask& task, const MapItems& items,
                          const MapOptions& options) {
  if (items.items.empty()) throw std::invalid_argument("the run keeps no design to look at");
  const GalleryWords& words = options.words;
  ordered_json shown = ordered_json::array();
  for (const Column& column : columns)
    shown.push_back({{"name", column.name}, {"better", column.better}});
  const std::string count = std::to_string(items.items.size());
  return fill_in(map_html, words,
                 {{"head", make_page_head(words, make_markup_text(words.say("map_title"), 2000),
                                          std::string(page_css) + map_css, make_policy_tag())},
                  {"lead", make_markup_text(words.say("map_lead", {{"n", count}}), 2000)},
                  {"data", write_script_json({{"command", write_command(task.limits)},
                                              {"run", options.identity},
                                              {"thickness", task.limits.thickness_mm},
                                              {"words", make_script_words(words)},
                                              {"columns", shown},
                                              {"branches", write_branches(task, items, words)},
                                              {"items", write_items(items)}})},
                  {"script", fill_in(map_js, words, {{"basics", basics_js}, {"view", view_js}})}});
}

}  // namespace sixtyfold
