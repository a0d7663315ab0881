#include "results/map/map_items.h"

#include <algorithm>

#include "results/drawings/triangulate.h"
#include "results/drawings/viewpoint.h"

namespace sixtyfold {

namespace {

constexpr std::size_t most_ring_points = 60;
constexpr double finest = 0.0025;  // of the radius: a pixel in a view of 400

/// What a worker makes a variant in.
void add_ring(const Polygon& ring, double radius_mm, MapItem& item, std::vector<Polygon>& rings) {
  double tolerance = finest * radius_mm;
  Polygon simple = make_simplified(make_counter_clockwise(ring), tolerance);
  while (simple.size() > most_ring_points) simple = make_simplified(simple, tolerance *= 1.5);
  if (simple.size() < 3) return;
  item.rings.push_back(static_cast<int>(simple.size()));
  rings.push_back(std::move(simple));
}

void draw(const Design& design, MapItem& item) {
  const Panel& panel = design.orbits.front().panel;
  const double radius_mm = measure_enclosing_radius(design);
  item.frame = panel.frame;
  std::vector<Polygon> rings;
  add_ring(panel.outline_mm, radius_mm, item, rings);
  for (const Polygon& hole : panel.holes_mm) add_ring(hole, radius_mm, item, rings);
  if (rings.empty()) return;
  TrianglePatch patch =
      make_triangles(rings.front(), std::vector<Polygon>(rings.begin() + 1, rings.end()));
  item.points = std::move(patch.points);
  item.triangles = std::move(patch.triangles);
}

}  // namespace

MapItems make_map_items(const SearchTask& task, const std::vector<Pool>& pools, std::size_t most,
                        Evaluator& evaluator) {
  MapItems all;
  std::vector<const Find*> finds;
  for (const auto& [find, rigid] : list_finds(pools)) {
    finds.push_back(find);
    all.items.emplace_back().rigid = rigid;
  }
  if (finds.size() > most) {  // the best stay, in their order
    std::vector<double> qualities;
    for (const Find* find : finds) qualities.push_back(find->outcome.quality);
    std::nth_element(qualities.begin(), qualities.begin() + static_cast<std::ptrdiff_t>(most - 1),
                     qualities.end(), std::greater<>());
    const double least = qualities[most - 1];
    std::vector<const Find*> best;
    std::vector<MapItem> their_items;
    for (std::size_t i = 0; i < finds.size() && best.size() < most; ++i)
      if (finds[i]->outcome.quality >= least) {
        best.push_back(finds[i]);
        their_items.push_back(all.items[i]);
      }
    finds = std::move(best);
    all.items = std::move(their_items);
  }
  SearchTask whole = task;
  whole.all_numbers = true;
  std::vector<VariantSpace> spaces(static_cast<std::size_t>(evaluator.threads()));
  std::vector<std::size_t> first_of(task.branches.size(), finds.size());
  for (std::size_t i = finds.size(); i-- > 0;)
    first_of[static_cast<std::size_t>(finds[i]->branch)] = i;
  all.branches.resize(task.branches.size());
  evaluator.run(static_cast<int>(finds.size()), [&](int job, int worker) {
    const auto i = static_cast<std::size_t>(job);
    const Find& find = *finds[i];
    const auto b = static_cast<std::size_t>(find.branch);
    const Branch& branch = task.branches[b];
    VariantSpace& space = spaces[static_cast<std::size_t>(worker)];
    Outcome outcome = evaluate(whole, branch, find.point, space.work, space.draft, space.variant);
    complete(whole, branch, space.work, space.sight, space.variant, outcome);
    const Design design = make_design(branch.scheme, space.variant, task.limits);
    MapItem& item = all.items[i];
    item.branch = find.branch;
    item.parameters = to_values(branch, find.point);
    item.score = space.variant.score;
    item.quality = outcome.quality;
    draw(design, item);
    item.look = find_look(design);
    if (first_of[b] != i) return;
    MapBranch& shared = all.branches[b];
    shared.copies = design.orbits.front().copies;
    shared.towards_eye = find_viewpoints(design).front().towards_eye;
    shared.axes = find_axis_directions(design);
  });
  return all;
}

}  // namespace sixtyfold
