#include "engine/building/assembly_order.h"

#include <algorithm>
#include <cassert>

#include "engine/part/part_joints.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Directions in which the joints of a block may let it go: along each joint, across the faces that
/// its panels meet, and where two such faces leave the same way open.
std::vector<Vec3> find_hints(const Design& design, const std::vector<int>& block,
                             const std::vector<int>& block_of) {
  std::vector<Vec3> normals, hints;
  const auto add = [](std::vector<Vec3>& list, const Vec3& v) {
    if (!(v.norm() > 1e-3)) return;
    const Vec3 unit = v.normalized();
    if (std::none_of(list.begin(), list.end(),
                     [&](const Vec3& w) { return std::abs(w.dot(unit)) > 1 - 1e-9; }))
      list.push_back(unit);
  };
  const int own = block_of[at(block.front())];
  for (const Joint& joint : design.joints)
    for (const int s : {0, 1}) {
      if (block_of[at(joint.panels[s])] != own || block_of[at(joint.panels[1 - s])] == own)
        continue;
      add(hints, joint.to_mm - joint.from_mm);
      add(normals, make_copy_frame(design, joint.panels[0]).normal);
      add(normals, make_copy_frame(design, joint.panels[1]).normal);
    }
  const std::size_t most = 8;  // of a module with many joints the first will do: all directions are
                               // searched anyway when none of these is free
  if (normals.size() > most) normals.resize(most);
  for (std::size_t i = 0; i < normals.size(); ++i) {
    add(hints, normals[i]);
    for (std::size_t k = 0; k < i; ++k) add(hints, normals[i].cross(normals[k]));
  }
  const std::size_t count = hints.size();
  for (std::size_t i = 0; i < count; ++i) hints.push_back(-hints[i]);
  return hints;
}

}  // namespace

OrderTask make_order_task(const Design& design, const StandingCopies& copies,
                          std::vector<std::vector<int>> blocks) {
  OrderTask task;
  task.copies = &copies;
  task.blocks = std::move(blocks);
  task.neighbours.resize(task.blocks.size());
  std::vector<int> block_of(copies.plates.size(), -1);
  for (std::size_t b = 0; b < task.blocks.size(); ++b)
    for (const int copy : task.blocks[b]) block_of[at(copy)] = static_cast<int>(b);
  bool single = true;
  for (const std::vector<int>& block : task.blocks) {
    task.hints.push_back(find_hints(design, block, block_of));
    single = single && block.size() == 1;
  }
  for (const Joint& joint : design.joints) {
    const int a = block_of[at(joint.panels[0])], b = block_of[at(joint.panels[1])];
    if (a < 0 || b < 0 || a == b) continue;
    task.neighbours[at(a)].push_back(b);
    task.neighbours[at(b)].push_back(a);
  }
  if (single && design.limits.working_strain > 0)
    task.spring = [&design, &copies, list = task.blocks](int block,
                                                         const std::vector<bool>& standing) {
      return find_spring_in({&design, &copies, design.limits.working_strain},
                            list[at(block)].front(), standing);
    };
  return task;
}

AssemblyOrder find_assembly_order(const Design& design, const Finished& finished,
                                  const AssemblyOrderOptions& options) {
  assert(!finished.leaves_nothing());
  AssemblyOrder best;
  best.considered = find_module_choices(design, options.most_in_module);
  const JointSides sides = find_joint_sides(design, finished.joints);
  best.copies =
      std::make_shared<const StandingCopies>(make_standing_copies(design, finished, sides));
  for (std::size_t c = 0; c < best.considered.size(); ++c) {
    const ModuleChoice& choice = best.considered[c];
    const int modules = static_cast<int>(choice.modules.size());
    const int most =
        c == 0 ? options.most_hard_steps : std::min(best.hard_steps, options.most_hard_steps);
    std::shared_ptr<WaysOut> ways;  // of the blocks last looked at
    const auto find = [&](std::vector<std::vector<int>> blocks, int most_hard_steps) {
      OrderTask task = make_order_task(design, *best.copies, std::move(blocks));
      task.most_hard_steps = most_hard_steps;
      task.ways = ways = std::make_shared<WaysOut>(*best.copies, task.blocks, task.hints);
      return find_order(task);
    };
    Order in_module;
    if (choice.panels > 1) {
      std::vector<std::vector<int>> panels;
      for (const int copy : choice.modules.front()) panels.push_back({copy});
      in_module = find(std::move(panels), most / modules);
    }
    const int inside = modules * in_module.hard_steps;
    if (c > 0 && inside > most) continue;
    Order order = find(choice.modules, std::max(0, most - inside));
    const int hard = inside > most ? inside : inside + order.hard_steps;
    const int spring = order.spring_steps + modules * in_module.spring_steps;
    if (c > 0 &&
        (hard > best.hard_steps || (hard == best.hard_steps && spring >= best.spring_steps)))
      continue;
    best.chosen = c;
    best.hard_steps = hard;
    best.spring_steps = spring;
    best.doubt_deg = std::max(order.doubt_deg, in_module.doubt_deg);
    best.order = std::move(order);
    best.in_module = std::move(in_module);
    best.ways = std::move(ways);
    if (hard == 0 && spring == 0) break;
  }
  return best;
}

}  // namespace sixtyfold
