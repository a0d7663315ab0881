// Which pairs of copies of a drawn outline collide, by general collision libraries, with the
// symmetry used: one panel against one copy of each class of pairs, as ours. Cutting the outline
// into triangles is not counted; building the tree is. All answer yes or no only.

#include <benchmark/benchmark.h>

#ifdef SIXTYFOLD_HAVE_CGAL
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/AABB_triangle_primitive.h>
#include <CGAL/Simple_cartesian.h>
#endif
#ifdef SIXTYFOLD_HAVE_FCL
#include <fcl/geometry/bvh/BVH_model.h>
#include <fcl/narrowphase/collision.h>
#endif

#include "tests/bench/drafts.h"
#include "tests/support/ear_clipping.h"

using namespace sixtyfold;
using bench::Fill;

namespace {

/// A draft with its triangles in space.
struct Sample {
  std::vector<std::array<Vec3, 3>> triangles;
};

std::vector<Sample> make_samples(int points, Fill fill) {
  std::vector<Sample> samples;
  for (const Draft& draft : bench::make_drafts(60, points, fill)) {
    const Frame frame = make_frame(draft.normal, draft.distance);
    Sample sample;
    for (const auto& corners : support::find_triangles(draft.outline))
      sample.triangles.push_back(
          {frame.to_space(corners[0]), frame.to_space(corners[1]), frame.to_space(corners[2])});
    samples.push_back(std::move(sample));
  }
  return samples;
}

void report(benchmark::State& state, std::size_t found) {
  benchmark::DoNotOptimize(found);
  state.counters["meeting"] = static_cast<double>(found) / static_cast<double>(state.iterations());
}

#ifdef SIXTYFOLD_HAVE_CGAL
/// The fastest of CGAL's kernels, without exact predicates.
using Kernel = CGAL::Simple_cartesian<double>;
using Triangles = std::vector<Kernel::Triangle_3>;
using Tree = CGAL::AABB_tree<
    CGAL::AABB_traits<Kernel, CGAL::AABB_triangle_primitive<Kernel, Triangles::const_iterator>>>;

Kernel::Point_3 to_point(const Vec3& v) { return {v.x(), v.y(), v.z()}; }

void collide_by_cgal(benchmark::State& state, int points, Fill fill) {
  const OrbitScheme scheme = bench::make_generic_scheme("I");
  const std::vector<Sample> samples = make_samples(points, fill);
  std::size_t next = 0, found = 0;
  Triangles own;
  for (auto _ : state) {
    const Sample& sample = samples[next++ % samples.size()];
    own.clear();
    for (const auto& t : sample.triangles)
      own.emplace_back(to_point(t[0]), to_point(t[1]), to_point(t[2]));
    Tree tree(own.begin(), own.end());
    tree.build();
    const auto box = tree.bbox();
    for (const PairClass& pair : scheme.pairs) {
      const Mat3& g = scheme.group->elements[static_cast<std::size_t>(pair.element)];
      for (const auto& t : sample.triangles) {
        const Kernel::Triangle_3 image(to_point(g * t[0]), to_point(g * t[1]), to_point(g * t[2]));
        if (CGAL::do_overlap(box, image.bbox()) && tree.do_intersect(image)) {
          ++found;
          break;
        }
      }
    }
  }
  report(state, found);
}
#endif

#ifdef SIXTYFOLD_HAVE_FCL
void collide_by_fcl(benchmark::State& state, int points, Fill fill) {
  const OrbitScheme scheme = bench::make_generic_scheme("I");
  const std::vector<Sample> samples = make_samples(points, fill);
  std::size_t next = 0, found = 0;
  using Model = fcl::BVHModel<fcl::OBBRSSd>;
  for (auto _ : state) {
    const Sample& sample = samples[next++ % samples.size()];
    const auto model = std::make_shared<Model>();
    model->beginModel(static_cast<int>(sample.triangles.size()), 0);
    for (const auto& t : sample.triangles) model->addTriangle(t[0], t[1], t[2]);
    model->endModel();
    fcl::CollisionObjectd panel(model);
    for (const PairClass& pair : scheme.pairs) {
      const Mat3& g = scheme.group->elements[static_cast<std::size_t>(pair.element)];
      fcl::CollisionObjectd copy(model, g, Vec3::Zero());
      const fcl::CollisionRequestd request;
      fcl::CollisionResultd result;
      found += fcl::collide(&panel, &copy, request, result) > 0;
    }
  }
  report(state, found);
}
#endif

const bool registered = [] {
  for (const int points : {16, 64, 200})
    for (const Fill fill : {Fill::sparse, Fill::crowded}) {
      const std::string end =
          "/I/" + std::to_string(points) + (fill == Fill::sparse ? "/sparse" : "/crowded");
      const auto add = [&](const std::string& peer, auto run) {
        benchmark::RegisterBenchmark(("contact/" + peer + end).c_str(), [=](benchmark::State& s) {
          run(s, points, fill);
        })->Unit(benchmark::kMicrosecond);
      };
#ifdef SIXTYFOLD_HAVE_CGAL
      add("CGAL", collide_by_cgal);
#endif
#ifdef SIXTYFOLD_HAVE_FCL
      add("FCL", collide_by_fcl);
#endif
      (void)add;
    }
  return true;
}();

}  // namespace
