#include "results/assembly.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "engine/structure/stiffness.h"
#include "engine/symmetry/point_group.h"
#include "engine/symmetry/subgroup.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// One plate of a copy in space, a little thinner, so that what is glued does not count as in the way.
struct Piece {
  ConvexPlate plate;
  bool is_tab;
};

std::vector<std::vector<Piece>> make_pieces(const Design& design, const Finished& finished) {
  std::vector<std::vector<Piece>> all;
  for (int copy = 0; copy < count_copies(design); ++copy) {
    const Frame frame = make_copy_frame(design, copy);
    const FinishedPart& part = finished.parts[at(find_copy(design, copy).orbit)];
    const auto turn = [&](const Vec3& v) { return Vec3(v.x() * frame.x_axis + v.y() * frame.y_axis + v.z() * frame.normal); };
    std::vector<Piece> pieces;
    for (std::size_t i = 0; i < part.plates.size(); ++i) {
      Piece piece{{}, part.tab_of[i] >= 0};
      for (const Vec3& p : part.plates[i].middle) piece.plate.middle.push_back(frame.origin + turn(p));
      const Vec3 half = turn(part.plates[i].half);
      piece.plate.half = half - slab_tolerance_mm * half.normalized();
      pieces.push_back(std::move(piece));
    }
    all.push_back(std::move(pieces));
  }
  return all;
}

struct Bounds {
  Vec3 low = Vec3::Constant(std::numeric_limits<double>::infinity()), high = -low;
  explicit Bounds(const ConvexPlate& plate) {
    for (const Vec3& p : plate.middle) {
      low = low.cwiseMin(p - plate.half.cwiseAbs());
      high = high.cwiseMax(p + plate.half.cwiseAbs());
    }
  }
  bool meets(const Bounds& other) const {
    return (low.array() <= other.high.array()).all() && (other.low.array() <= high.array()).all();
  }
};

/// Can the moving pieces leave along `push` for `length` without passing through the standing ones? The
/// room swept by a convex plate is the convex hull of its first and last place.
bool can_leave(const std::vector<const Piece*>& moving, const std::vector<const Piece*>& standing, const Vec3& push,
               double length, bool tabs_too) {
  for (const Piece* piece : moving) {
    if (piece->is_tab && !tabs_too) continue;
    ConvexPlate swept = piece->plate;
    const std::size_t n = swept.middle.size();
    for (std::size_t i = 0; i < n; ++i) swept.middle.push_back(swept.middle[i] + length * push);
    const Bounds bounds(swept);
    for (const Piece* other : standing) {
      if (other->is_tab && !tabs_too) continue;
      if (bounds.meets(Bounds(other->plate)) && measure_distance(swept, other->plate).distance <= 0) return false;
    }
  }
  return true;
}

Structure make_part_structure(const Structure& whole, const std::vector<int>& copies) {
  Structure part;
  part.radius_mm = whole.radius_mm;
  std::map<int, int> number;
  for (const int copy : copies) {
    number[copy] = static_cast<int>(part.bodies.size());
    part.bodies.push_back(whole.bodies[at(copy)]);
  }
  for (Joint joint : whole.joints) {
    if (!number.count(joint.panels[0]) || !number.count(joint.panels[1])) continue;
    joint.panels[0] = number[joint.panels[0]];
    joint.panels[1] = number[joint.panels[1]];
    part.joints.push_back(joint);
  }
  return part;
}

/// Cosets of the subgroup as lists of copies; empty when a copy would belong to several.
std::vector<std::vector<int>> find_modules(const Design& design, const PointGroup& group,
                                           const std::vector<std::vector<int>>& elements_of,
                                           const Subgroup& subgroup) {
  const std::vector<int> coset = find_left_cosets(group, subgroup);
  std::map<int, std::vector<int>> modules;
  for (int copy = 0; copy < count_copies(design); ++copy) {
    const int first = coset[at(elements_of[at(copy)].front())];
    for (const int e : elements_of[at(copy)])
      if (coset[at(e)] != first) return {};
    modules[first].push_back(copy);
  }
  std::vector<std::vector<int>> list;
  for (auto& [number, copies] : modules) list.push_back(std::move(copies));
  return list;
}

/// Elements that carry the first copy to each copy; empty when the copies are not one full orbit.
std::vector<std::vector<int>> find_elements(const Design& design, const PointGroup& group) {
  if (design.orbits.size() != 1) return {};
  const int copies = count_copies(design);
  std::vector<std::vector<int>> elements(at(copies));
  const Panel& panel = design.orbits[0].panel;
  const Vec3 centroid = make_copy_frame(design, 0).to_space(measure_centroid(panel.outline_mm));
  std::vector<Vec3> places, normals;
  for (int copy = 0; copy < copies; ++copy) {
    const Frame frame = make_copy_frame(design, copy);
    places.push_back(frame.to_space(measure_centroid(panel.outline_mm)));
    normals.push_back(frame.normal);
  }
  for (int e = 0; e < group.order(); ++e) {
    const Vec3 image = group.elements[at(e)] * centroid, normal = group.elements[at(e)] * normals[0];
    bool found = false;
    for (int copy = 0; copy < copies && !found; ++copy) {
      if ((places[at(copy)] - image).norm() > 1e-3 || std::abs(normals[at(copy)].dot(normal)) < 1 - 1e-9) continue;
      elements[at(copy)].push_back(e);
      found = true;
    }
    if (!found) return {};
  }
  for (const auto& list : elements)
    if (list.empty()) return {};
  return elements;
}

ModuleChoice measure_choice(const Structure& whole, std::vector<std::vector<int>> modules) {
  ModuleChoice choice;
  choice.panels = static_cast<int>(modules.front().size());
  const Structure part = make_part_structure(whole, modules.front());
  choice.joints = static_cast<int>(part.joints.size());
  const Stiffness stiffness = measure_stiffness(part);
  choice.internal_dof = stiffness.pieces > 1 ? 6 * choice.panels : stiffness.internal_dof;
  choice.stiffness = stiffness.value;
  choice.modules = std::move(modules);
  return choice;
}

/// Directions to try: outward first, then ever farther from it.
std::vector<Vec3> make_pushes(const Vec3& outward) {
  const Vec3 side = outward.unitOrthogonal(), other = outward.cross(side);
  std::vector<Vec3> pushes{outward};
  for (const double tilt : {20.0, 40.0, 60.0, 80.0})
    for (int k = 0; k < 8; ++k) {
      const double a = pi * k / 4, b = to_radians(tilt);
      pushes.push_back(std::cos(b) * outward + std::sin(b) * (std::cos(a) * side + std::sin(a) * other));
    }
  return pushes;
}

}  // namespace

AssemblyPlan plan_assembly(const Design& design, const Finished& finished, const AssemblyOptions& options) {
  AssemblyPlan plan;
  const Structure whole = make_structure(design);
  const int copies = count_copies(design);

  std::vector<std::vector<int>> singles;
  for (int copy = 0; copy < copies; ++copy) singles.push_back({copy});
  ModuleChoice single;
  single.modules = singles;
  if (is_point_group(design.symmetry)) {
    const PointGroup group = make_point_group(design.symmetry);
    const auto elements = find_elements(design, group);
    if (!elements.empty())
      for (const Subgroup& subgroup : find_subgroups(group)) {
        auto modules = find_modules(design, group, elements, subgroup);
        if (modules.size() < 2 || modules.front().size() < 2 ||
            static_cast<int>(modules.front().size()) > options.most_in_module)
          continue;
        ModuleChoice choice = measure_choice(whole, std::move(modules));
        if (choice.internal_dof < 6 * choice.panels) plan.considered.push_back(std::move(choice));
      }
  }
  std::stable_sort(plan.considered.begin(), plan.considered.end(), [](const ModuleChoice& a, const ModuleChoice& b) {
    if (a.internal_dof != b.internal_dof) return a.internal_dof < b.internal_dof;
    const int left = a.joints * b.panels, right = b.joints * a.panels;
    if (left != right) return left > right;
    return a.stiffness > b.stiffness * (1 + 1e-9);
  });
  if (plan.considered.empty()) plan.considered.push_back(single);
  plan.chosen = plan.considered.front();
  if (plan.chosen.panels == 1) {
    plan.reason = "No group of up to " + std::to_string(options.most_in_module) +
                  " panels that repeats over the whole construction hangs together by itself, so panels are placed one by one.";
  } else {
    plan.reason = std::to_string(plan.chosen.panels) + " panels form a module: of the " +
                  std::to_string(plan.considered.size()) +
                  " ways to divide the construction into equal modules that hang together, this one has the fewest loose "
                  "movements on its own (" +
                  std::to_string(plan.chosen.internal_dof) + "), and then the most joints for each panel (" +
                  std::to_string(plan.chosen.joints) + " joints on " + std::to_string(plan.chosen.panels) + " panels).";
  }

  const auto& modules = plan.chosen.modules;
  const int count = static_cast<int>(modules.size());
  std::vector<int> module_of(at(copies), -1);
  for (int m = 0; m < count; ++m)
    for (const int copy : modules[at(m)]) module_of[at(copy)] = m;
  plan.joints_in_module.resize(at(count));
  for (std::size_t n = 0; n < design.joints.size(); ++n) {
    const int a = module_of[at(design.joints[n].panels[0])], b = module_of[at(design.joints[n].panels[1])];
    if (a == b) plan.joints_in_module[at(a)].push_back(static_cast<int>(n));
  }

  const auto pieces = make_pieces(design, finished);
  std::vector<Vec3> centre(at(count), Vec3::Zero());
  std::vector<std::vector<const Piece*>> pieces_of(at(count));
  const double radius = whole.radius_mm;
  for (int m = 0; m < count; ++m) {
    for (const int copy : modules[at(m)]) {
      centre[at(m)] += whole.bodies[at(copy)].centroid_mm / static_cast<double>(modules[at(m)].size());
      for (const Piece& piece : pieces[at(copy)]) pieces_of[at(m)].push_back(&piece);
    }
  }
  // Taken apart from the top: what can leave now can leave later too, since there is ever less in its
  // way, so taking any piece that is free misses no order that exists. Building runs backwards.
  std::vector<bool> standing(at(count), true);
  int base = 0;
  for (int m = 1; m < count; ++m)
    if (centre[at(m)].z() < centre[at(base)].z() - 1e-6) base = m;
  const auto joints_to_standing = [&](int m) {
    std::vector<int> joints;
    for (std::size_t n = 0; n < design.joints.size(); ++n) {
      const int a = module_of[at(design.joints[n].panels[0])], b = module_of[at(design.joints[n].panels[1])];
      if (a != b && ((a == m && standing[at(b)]) || (b == m && standing[at(a)]))) joints.push_back(static_cast<int>(n));
    }
    return joints;
  };
  const auto stays_whole = [&](int without) {
    std::vector<int> queue{base};
    std::vector<bool> reached(at(count), false);
    reached[at(base)] = true;
    for (std::size_t next = 0; next < queue.size(); ++next)
      for (const Joint& joint : design.joints) {
        const int a = module_of[at(joint.panels[0])], b = module_of[at(joint.panels[1])];
        for (const auto& [from, to] : {std::make_pair(a, b), std::make_pair(b, a)})
          if (from == queue[next] && to != without && standing[at(to)] && !reached[at(to)]) {
            reached[at(to)] = true;
            queue.push_back(to);
          }
      }
    int left = 0;
    for (int m = 0; m < count; ++m) left += static_cast<int>(standing[at(m)] && m != without);
    return static_cast<int>(queue.size()) == left;
  };
  const auto outward_of = [&](int m) {
    return centre[at(m)].norm() > 1e-6 ? Vec3(centre[at(m)].normalized()) : Vec3(Vec3::UnitZ());
  };
  std::vector<AssemblyStep> backwards;
  for (int left = count; left > 1; --left) {
    std::vector<int> candidates;
    for (int m = 0; m < count; ++m)
      if (standing[at(m)] && m != base) candidates.push_back(m);
    std::stable_sort(candidates.begin(), candidates.end(), [&](int a, int b) {
      if (std::abs(centre[at(a)].z() - centre[at(b)].z()) > 1e-6) return centre[at(a)].z() > centre[at(b)].z();
      return joints_to_standing(a).size() < joints_to_standing(b).size();
    });
    AssemblyStep step;
    int chosen = -1;
    const auto try_all = [&](bool tabs_too, bool keep_whole) {
      for (const int m : candidates) {
        if (keep_whole && !stays_whole(m)) continue;
        std::vector<const Piece*> others;
        for (int k = 0; k < count; ++k)
          if (standing[at(k)] && k != m) others.insert(others.end(), pieces_of[at(k)].begin(), pieces_of[at(k)].end());
        for (const Vec3& push : make_pushes(outward_of(m))) {
          if (!can_leave(pieces_of[at(m)], others, push, 4 * radius, tabs_too)) continue;
          chosen = m;
          step.push = push;
          step.coming_in = tabs_too ? ComingIn::straight : ComingIn::tabs_open;
          return true;
        }
      }
      return false;
    };
    if (!try_all(true, true) && !try_all(false, true) && !try_all(true, false) && !try_all(false, false)) {
      chosen = candidates.front();
      for (const int m : candidates)
        if (stays_whole(m)) {
          chosen = m;
          break;
        }
      step.push = outward_of(chosen);
      step.coming_in = ComingIn::no_straight_push;
    }
    standing[at(chosen)] = false;
    step.copies = modules[at(chosen)];
    step.joints = joints_to_standing(chosen);
    backwards.push_back(std::move(step));
  }
  AssemblyStep first;
  first.copies = modules[at(base)];
  first.push = outward_of(base);
  backwards.push_back(std::move(first));
  plan.steps.assign(backwards.rbegin(), backwards.rend());
  std::vector<int> placed;
  for (AssemblyStep& step : plan.steps) {
    placed.insert(placed.end(), step.copies.begin(), step.copies.end());
    step.internal_dof = measure_stiffness(make_part_structure(whole, placed)).internal_dof;
  }

  for (std::size_t n = 0; n < design.joints.size(); ++n) {
    const Joint& joint = design.joints[n];
    if (joint.kind != JointKind::tab) continue;
    const Frame frame = make_copy_frame(design, joint.panels[1]);
    const Polygon& outline = design.orbits[at(find_copy(design, joint.panels[1]).orbit)].panel.outline_mm;
    const Vec2 middle = frame.to_plane((joint.from_mm + joint.to_mm) / 2);
    if (distance_to_boundary(outline, middle) > options.clamp_depth_mm) plan.beyond_clamp.push_back(static_cast<int>(n));
  }
  return plan;
}

}  // namespace sixtyfold
