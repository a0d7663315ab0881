#include "results/drawings/board_mesh.h"

#include <catch2/catch.hpp>
#include <map>

#include "results/files/file.h"
#include "results/kit/kit.h"
#include "tests/support/found_designs.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;

namespace {

/// Whether every edge is passed once each way: the surface is closed and turned one way.
bool is_closed(const Mesh& mesh) {
  std::map<std::pair<int, int>, int> passed;
  for (const auto& [a, b, c] : mesh.triangles) {
    ++passed[{a, b}];
    ++passed[{b, c}];
    ++passed[{c, a}];
  }
  for (const auto& [edge, times] : passed) {
    const auto back = passed.find({edge.second, edge.first});
    if (times != 1 || back == passed.end() || back->second != 1) return false;
  }
  return true;
}

double volume_of(const Finished& finished, std::size_t part, double thickness_mm) {
  const FlatPattern& pattern = finished.parts[part].pattern;
  double area = measure_area(pattern.body_mm);
  for (const Polygon& hole : pattern.holes_mm) area -= std::abs(measure_area(hole));
  for (const Tab& tab : pattern.tabs) area += measure_area(tab.outline_mm);
  return area * thickness_mm;
}

}  // namespace

TEST_CASE("boards are closed surfaces that hold as much as is cut", "[mesh]") {
  for (const Design& design : make_found_designs({"I", "T", "D5", "Th", "C3v"}, 5, 21)) {
    const Finished finished = make_finished(design, make_kit_options(design).flat);
    for (std::size_t o = 0; o < design.orbits.size(); ++o) {
      const Mesh mesh = make_part_mesh(finished.parts[o], design.thickness_mm);
      CHECK(is_closed(mesh));
      // Tabs may lose a hair where they are folded.
      CHECK(measure_volume(mesh) ==
            Approx(volume_of(finished, o, design.thickness_mm)).epsilon(0.02));
    }
  }
}

TEST_CASE("boards with windows are closed surfaces with walls round them", "[mesh][windows]") {
  int seen = 0;
  for (const Design& design : make_found_designs({"I", "O", "D5"}, 4, 21, 0.25)) {
    const Finished finished = make_finished(design, make_kit_options(design).flat);
    const Panel& panel = design.orbits[0].panel;
    REQUIRE_FALSE(panel.holes_mm.empty());
    const Mesh mesh = make_part_mesh(finished.parts[0], design.thickness_mm);
    CHECK(is_closed(mesh));
    CHECK(measure_volume(mesh) ==
          Approx(volume_of(finished, 0, design.thickness_mm)).epsilon(0.01));
    // What is missing is the windows, to the cubic millimetre of chords.
    Design whole = design;
    whole.orbits[0].panel.holes_mm.clear();
    const Mesh solid = make_part_mesh(make_finished(whole, make_kit_options(whole).flat).parts[0],
                                      design.thickness_mm);
    double windows = 0;
    for (const Polygon& hole : panel.holes_mm) windows += measure_area(hole);
    CHECK(measure_volume(solid) - measure_volume(mesh) ==
          Approx(windows * design.thickness_mm).epsilon(1e-3));
    // Euler's formula: every window is a handle of the body, tabs are bodies of their own.
    std::map<std::pair<int, int>, int> edges;
    for (const auto& [a, b, c] : mesh.triangles) {
      for (const auto& [p, q] : {std::pair(a, b), std::pair(b, c), std::pair(c, a)})
        ++edges[{std::min(p, q), std::max(p, q)}];
    }
    const int bodies = 1 + static_cast<int>(finished.parts[0].pattern.tabs.size());
    CHECK(static_cast<int>(mesh.points.size()) - static_cast<int>(edges.size()) +
              static_cast<int>(mesh.triangles.size()) ==
          2 * bodies - 2 * static_cast<int>(panel.holes_mm.size()));
    ++seen;
  }
  CHECK(seen == 4);
}

TEST_CASE("glTF and STL are read by an outside reader as what they are", "[mesh]") {
  // Open Asset Import Library (assimp info), which knows nothing of us.
  const ScratchFolder scratch;
  std::vector<Design> designs = make_found_designs({"D5", "Th"}, 2, 21);
  designs.push_back(make_found_designs({"O"}, 1, 21, 0.25).front());  // with windows
  for (const Design& design : designs) {
    const Finished finished = make_finished(design, make_kit_options(design).flat);
    const Mesh mesh = make_part_mesh(finished.parts[0], design.thickness_mm);
    const std::size_t copies = design.orbits[0].copies.size();
    write_file(scratch.path() / "a.glb", make_gltf(design, finished));
    write_file(scratch.path() / "a.stl", make_stl(design, finished));
    const auto read = [&](const std::string& name) {
      const ProgramResult told = run_program({"assimp", "info", name}, scratch.path());
      INFO(told.out << told.err);
      REQUIRE(told.status == 0);
      return told.out;
    };
    const auto number_behind = [](const std::string& text, const std::string& words) {
      const std::size_t at = text.find(words);
      REQUIRE(at != std::string::npos);
      return std::stod(text.substr(text.find(':', at) + 1));
    };
    const std::string gltf = read("a.glb"), stl = read("a.stl");
    CHECK(number_behind(gltf, "Meshes") == 1);
    CHECK(number_behind(gltf, "Nodes") == static_cast<double>(copies) + 1);
    CHECK(number_behind(gltf, "Faces") == static_cast<double>(mesh.triangles.size()));
    CHECK(number_behind(stl, "Faces") == static_cast<double>(copies * mesh.triangles.size()));
    // The same extent: metres there, millimetres here; y up there, z up here.
    const auto point_behind = [](const std::string& text, const std::string& words) {
      Vec3 p = Vec3::Zero();
      const std::size_t at = text.find('(', text.find(words));
      REQUIRE(std::sscanf(text.c_str() + at, "(%lf %lf %lf)", &p[0], &p[1], &p[2]) == 3);
      return p;
    };
    const Vec3 high = point_behind(gltf, "Maximum point"), top = point_behind(stl, "Maximum point");
    CHECK(1000 * high.x() == Approx(top.x()).epsilon(1e-3));
    CHECK(1000 * high.y() == Approx(top.z()).epsilon(1e-3));
  }
}

TEST_CASE("a design is exported as its ending says", "[mesh][export]") {
  const ScratchFolder scratch;
  const std::string sample = source_folder() + "/results/sample/001.json";
  for (const char* const name : {"a.glb", "a.stl", "a.png"})
    CHECK(
        run_sixtyfold({"export", sample, "--out", name, "--width", "320"}, scratch.path()).status ==
        0);
  const std::string png = read_file(scratch.path() / "a.png");
  CHECK(png.rfind("\x89PNG", 0) == 0);
  CHECK(png.substr(16, 4) == std::string("\0\0\x01\x40", 4));  // 320 pixels (ISO/IEC 15948, IHDR)
  CHECK(read_file(scratch.path() / "a.glb").rfind("glTF", 0) == 0);
  const ProgramResult wrong = run_sixtyfold({"export", sample, "--out", "a.obj"}, scratch.path());
  CHECK(wrong.status == 2);
  CHECK(wrong.err.find(".glb, .stl or .png") != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(scratch.path() / "a.obj"));
}
