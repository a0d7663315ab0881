// Nests beside libnest2d (Debian libnest2d-dev), the general-purpose nesting library: parts on one
// sheet and processor time, in one run. What is compared, in the peer's favour:
// - libnest2d as packaged has a no-fit polygon for convex parts only and lets concave parts
// overlap.
//   So it is run on the part and on its convex hull, as drawn and with the part's long axis along
//   the sheet, from the bottom left and as its defaults are: eight runs. Every sheet is checked
//   (Boost.Geometry: shared area, size), and the best valid one counts, with the time of that run
//   alone.
// - One sheet: the peer is asked for one part more than it can lay, the least that shows the sheet
// to be
//   full. Ours is the whole nest, with offcuts.
// - The job of 60 copies, or of a full sheet where it takes more: the peer fills sheet after sheet.
//
// nest_bench [DESIGN.json ...]: parts drawn here, then the flat patterns of the designs. Status 1:
// a nest of ours has fewer parts, is slower than the peer on the job, or is not valid.

#include <cmath>
#include <cstdio>
#include <ctime>

#include "engine/nest/nest.h"
#include "engine/nest/profile_fit.h"
#include "engine/nest/sheet_fit.h"
#include "engine/part/scaled_pattern.h"
#include "results/files/design_json.h"
#include "results/files/file.h"
#include "tests/bench/peer_nest.h"
#include "tests/support/nest_oracle.h"
#include "tests/support/outlines.h"
#include "tests/support/polygon_oracle.h"

using namespace sixtyfold;

namespace {

struct Part {
  std::string name;
  Polygon outline;
};

Polygon make_of_area(Polygon polygon, double area_mm2) {
  const double factor = std::sqrt(area_mm2 / std::abs(measure_area(polygon)));
  for (Vec2& p : polygon) p *= factor;
  return make_counter_clockwise(std::move(polygon));
}

/// A band along half a sine wave or more, thinner to its ends.
Polygon make_blade(double bend, double waves) {
  Polygon low, high;
  for (int i = 0; i <= 30; ++i) {
    const double t = -1 + i / 15.0;
    const Vec2 middle{t, bend * std::sin(waves * pi * t)};
    const Vec2 along = Vec2{1, bend * waves * pi * std::cos(waves * pi * t)}.normalized();
    const Vec2 out =
        (0.15 * std::sqrt(std::max(0.0, 1 - t * t)) + 0.02) * Vec2{-along.y(), along.x()};
    low.push_back(middle - out);
    high.push_back(middle + out);
  }
  low.insert(low.end(), high.rbegin(), high.rend());
  return low;
}

std::vector<Part> make_parts() {
  return {
      {"pentagon", make_radial(5, [](double) { return 1.0; })},
      {"heptagon", make_radial(7, [](double) { return 1.0; })},
      {"triangle", {{0, 0}, {2, 0}, {0.6, 1.1}}},
      {"kite", {{0, -1.2}, {0.7, 0.2}, {0, 0.6}, {-0.7, 0.2}}},
      {"L-tromino", {{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}},
      {"rectangle 4:3", {{0, 0}, {4, 0}, {4, 3}, {0, 3}}},
      {"S-shaped blade", make_blade(0.35, 1)},
      {"crescent blade", make_blade(0.45, 0.5)},
      {"three lobes", make_radial(60, [](double t) { return 1 + 0.45 * std::cos(3 * t); })},
      {"four-armed wheel",
       make_radial(72, [](double t) { return 1 + 0.4 * std::cos(4 * t) + 0.2 * std::sin(2 * t); })},
      {"five-pointed star",
       make_radial(10, [](double t) { return std::cos(5 * t) > 0 ? 1.0 : 0.45; })},
      {"leaf with a stem", make_radial(64, [](double t) {
         return 1 + 0.3 * std::cos(2 * t) + 0.25 * std::cos(5 * t + 1);
       })}};
}

/// Of the processor, so that what else the machine does counts for nobody.
double read_clock_s() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

struct Outcome {
  int parts = 0;
  double sheet_s = 0, job_s = 0;
  std::string how = "lays none";
};

/// With the part's long axis along x, as grain wants it: libnest2d turns by quarters and halves
/// alone.
Polygon make_lying(const Polygon& outline, const Sheet& sheet) {
  const Eigen::Rotation2Dd turn(-measure_sheet_fit(make_convex_hull(outline), sheet).long_axis_rad);
  Polygon lying;
  for (const Vec2& p : outline) lying.push_back(turn * p);
  return lying;
}

/// All parts of the first sheet inside it, and none on another.
bool is_valid(const peer_nest::Result& result, const Sheet& sheet) {
  std::vector<Polygon> placed;
  Polygon all;
  for (const peer_nest::Points& one : result.parts) {
    placed.emplace_back();
    for (const auto& [x, y] : one) placed.back().emplace_back(x, y);
    all.insert(all.end(), placed.back().begin(), placed.back().end());
  }
  if (all.empty()) return true;
  const Vec2 size = measure_box(all).size();
  if (!(size.x() <= sheet.along_mm() + 0.01 && size.y() <= sheet.across_mm() + 0.01)) return false;
  for (std::size_t i = 0; i < placed.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (oracle::overlap_area(placed[i], placed[j]) > 0.1) return false;
  return true;
}

/// The most parts of all valid results, of equal ones the fastest; `wrong` counts those that are
/// not. `most` are more than a sheet takes.
Outcome run_peer(const Polygon& part, const Sheet& sheet, int most, int& wrong) {
  peer_nest::Task task{sheet.along_mm(), sheet.across_mm(), sheet.gap_mm, most,
                       sheet.grain == Grain::none};
  Outcome best;
  peer_nest::Task best_task = task;
  peer_nest::Points best_points;
  const auto try_outline = [&](const Polygon& outline, const char* how) {
    peer_nest::Points points;
    for (const Vec2& p : outline) points.emplace_back(p.x(), p.y());
    for (const bool centred : {false, true}) {
      task.centred = centred;
      task.items = most;
      const peer_nest::Result first = peer_nest::fill_sheet(points, task);
      if (!is_valid(first, sheet)) {
        ++wrong;
        continue;
      }
      const int parts = static_cast<int>(first.parts.size());
      if (parts == 0 || parts < best.parts) continue;
      task.items = parts + 1;
      double seconds = first.seconds;
      for (int i = 0; i < 3; ++i)
        seconds = std::min(seconds, peer_nest::fill_sheet(points, task).seconds);
      if (parts == best.parts && !(seconds < best.sheet_s)) continue;
      best = {parts, seconds, 0, how};
      best_task = task;
      best_points = points;
    }
  };
  const bool convex = measure_area(make_convex_hull(part)) < 1.001 * measure_area(part);
  const Polygon lying = make_lying(part, sheet);
  const bool turns = sheet.grain == Grain::none;
  if (turns) try_outline(part, "");
  try_outline(lying, turns ? "lying" : "");
  if (!convex && turns) try_outline(make_convex_hull(part), "hulls");
  if (!convex) try_outline(make_convex_hull(lying), turns ? "lying hulls" : "hulls");
  if (best.parts == 0) return best;
  best_task.items = std::max(60, best.parts);
  best.job_s = peer_nest::fill_sheet(best_points, best_task).seconds;
  return best;
}

/// The lesser of two runs.
double time_nest(const Polygon& outline, const NestOptions& options, Nest& nest) {
  double least = 1e9;
  for (int i = 0; i < 2; ++i) {
    const double start = read_clock_s();
    nest = make_nest(outline, options);
    least = std::min(least, read_clock_s() - start);
  }
  return least;
}

double time_bound_us(const Polygon& outline, const Sheet& sheet) {
  const Polygon hull = make_convex_hull(outline);
  std::vector<Segment> border;
  for (std::size_t i = 0; i < outline.size(); ++i)
    border.push_back({outline[i], outline[(i + 1) % outline.size()]});
  constexpr int rounds = 200;
  int parts = 0;
  const double start = read_clock_s();
  for (int i = 0; i < rounds; ++i) {
    const SheetFit fit = measure_sheet_fit(hull, sheet);
    const Vec2 directions[] = {{std::cos(fit.long_axis_rad), std::sin(fit.long_axis_rad)}};
    parts += std::max(fit.parts_per_sheet, find_interlocked(border, directions, sheet).parts);
  }
  return parts < 0 ? 0 : (read_clock_s() - start) / rounds * 1e6;
}

struct Total {
  int shapes = 0, compared = 0, fewer = 0, more = 0, slower = 0, slower_with_more = 0,
      slower_job = 0, invalid = 0;
};

void compare(const Part& part, const Sheet& sheet, Total& total) {
  NestOptions options;
  options.sheet = sheet;
  Nest quick, usual;
  options.effort = 1;
  const double quick_s = time_nest(part.outline, options, quick);
  options.effort = 2;
  const double usual_s = time_nest(part.outline, options, usual);
  bool valid = true;
  for (const Nest* nest : {&quick, &usual}) {
    const oracle::NestFaults faults = oracle::measure_nest(*nest, part.outline);
    valid = valid && faults.overlap_mm2 == 0 && faults.least_gap_mm >= sheet.gap_mm - 0.001 &&
            faults.least_margin_mm >= sheet.edge_margin_mm - 0.001;
  }
  int wrong = 0;
  const int most = std::max(quick.parts_per_sheet, usual.parts_per_sheet) + 1;
  const Outcome peer = run_peer(part.outline, sheet, most, wrong);
  const bool fewer = std::min(quick.parts_per_sheet, usual.parts_per_sheet) < peer.parts;
  // A peer that lays nothing has done no job to compare the time of.
  const bool compared = peer.parts > 0;
  const bool slower = compared && quick_s > peer.sheet_s;
  const bool slower_job = compared && usual_s > peer.job_s;
  ++total.shapes;
  total.compared += compared;
  total.fewer += fewer;
  total.more += quick.parts_per_sheet > peer.parts;
  total.slower += slower;
  total.slower_with_more += slower && quick.parts_per_sheet > peer.parts;
  total.slower_job += slower_job;
  total.invalid += !valid;
  const std::string name = part.name.substr(part.name.find_last_of('/') + 1);
  std::printf(
      "%-17s %3d %7.1f %3d %7.1f%s  bound %5.1f us | %3d %7.1f %8.1f  %d invalid %s%s%s%s\n",
      name.c_str(), quick.parts_per_sheet, 1e3 * quick_s, usual.parts_per_sheet, 1e3 * usual_s,
      valid ? "" : " NOT VALID", time_bound_us(part.outline, sheet), peer.parts, 1e3 * peer.sheet_s,
      1e3 * peer.job_s, wrong, peer.how.c_str(), fewer ? " FEWER" : "", slower ? " SLOWER" : "",
      slower_job ? " SLOWER JOB" : "");
  std::fflush(stdout);
}

}  // namespace

int main(int argc, char** argv) {
  Total total;
  Sheet sheet;
  sheet.short_mm = 1000, sheet.long_mm = 1600;
  sheet.gap_mm = 3, sheet.edge_margin_mm = 5;
  for (const Grain grain : {Grain::none, Grain::along_long_side}) {
    sheet.grain = grain;
    std::printf(
        "%g x %g mm, %s\n"
        "part              effort 1: n, ms; effort 2: n, ms             | libnest2d: n, ms a "
        "sheet, ms a job\n",
        sheet.short_mm, sheet.long_mm,
        grain == Grain::none ? "no grain" : "grain along, half turns only");
    for (const Part& part : make_parts()) {
      Part sized = part;
      sized.outline = make_of_area(part.outline, 30000);
      compare(sized, sheet, total);
    }
    for (int i = 1; i < argc; ++i) try {
        const Design design = read_design_json(read_file(argv[i]), argv[i]);
        compare({argv[i], make_flat_patterns(design)[0].outline_mm}, sheet, total);
      } catch (const std::exception& fault) {
        std::fprintf(stderr, "%s\n", fault.what());
        return 2;
      }
  }
  std::printf(
      "%d nests, %d not valid: fewer parts than libnest2d on %d, more on %d (at effort 1)\n"
      "of the %d that libnest2d can lay: the job slower on %d (at effort 2); one sheet slower on "
      "%d "
      "(at effort 1), %d of these with more parts\n",
      total.shapes, total.invalid, total.fewer, total.more, total.compared, total.slower_job,
      total.slower, total.slower_with_more);
  return total.fewer + total.slower_job + total.invalid == 0 ? 0 : 1;
}
