#include "engine/building/way_out.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Of a block and a copy; where there are more the plates themselves are asked, every time.
constexpr std::size_t most_cones = 20000;

/// Outward first, then ever farther from it.
std::vector<Vec3> make_fan(const Vec3& outward, const Vec3& sideways) {
  const Vec3 side = (sideways - sideways.dot(outward) * outward).norm() > 1e-3
                        ? Vec3((sideways - sideways.dot(outward) * outward).normalized())
                        : Vec3(outward.unitOrthogonal());
  const Vec3 other = outward.cross(side);
  std::vector<Vec3> fan{outward};
  for (const double tilt : {15.0, 30.0, 45.0, 60.0, 75.0, 90.0})
    for (int k = 0; k < 12; ++k) {
      const double a = pi * k / 6, b = to_radians(tilt);
      fan.push_back(std::cos(b) * outward +
                    std::sin(b) * (std::cos(a) * side + std::sin(a) * other));
    }
  return fan;
}

/// The room that a convex plate sweeps is the convex hull of its first and last place.
ConvexPlate make_swept(const ConvexPlate& plate, const Vec3& by) {
  ConvexPlate swept;
  swept.half = plate.half;
  swept.middle.reserve(2 * plate.middle.size());
  swept.middle = plate.middle;
  for (const Vec3& p : plate.middle) swept.middle.push_back(p + by);
  return swept;
}

/// How far the plate reaches from its centre in a direction.
double measure_reach(const StandingPlate& plate, const Vec3& direction) {
  double most = -std::numeric_limits<double>::infinity();
  for (const Vec3& p : plate.plate.middle) most = std::max(most, direction.dot(p - plate.centre));
  return most + std::abs(direction.dot(plate.plate.half));
}

/// Whether a ball moved that way never meets one that lies `apart`, their radii being `reach`
/// together.
bool pass_each_other(const Vec3& apart, double reach, const Vec3& way) {
  const double ahead = way.dot(apart);
  return (apart - ahead * way).squaredNorm() > reach * reach || ahead < -reach;
}

/// False only where the one surely passes the other: by the balls about them, and by the planes
/// across the way and along it.
bool may_meet(const StandingPlate& moving, const StandingPlate& still, const Vec3& way) {
  const Vec3 apart = still.centre - moving.centre;
  const double ahead = way.dot(apart);
  const Vec3 aside = apart - ahead * way;
  if (pass_each_other(apart, moving.radius_mm + still.radius_mm, way)) return false;
  if (ahead < 0 && ahead + measure_reach(still, way) + measure_reach(moving, -way) < 0)
    return false;
  const double distance = aside.norm();
  if (!(distance > 1e-6)) return true;
  const Vec3 axis = aside / distance;
  return distance <= measure_reach(moving, axis) + measure_reach(still, -axis);
}

/// The convex hull of the bodies of one copy, when they lie in one plane and are equally thick.
std::optional<ConvexPlate> find_body_hull(const std::vector<StandingPlate>& plates) {
  const StandingPlate* first = nullptr;
  Polygon corners;
  Vec3 right, up;
  for (const StandingPlate& plate : plates) {
    if (plate.tab >= 0) continue;
    if (!first) {
      first = &plate;
      right = plate.plate.half.unitOrthogonal();
      up = plate.plate.half.normalized().cross(right);
    }
    if ((plate.plate.half - first->plate.half).norm() > 1e-6) return std::nullopt;
    for (const Vec3& p : plate.plate.middle) {
      const Vec3 from = p - first->centre;
      if (std::abs(from.dot(first->plate.half)) > 1e-6 * first->plate.half.norm())
        return std::nullopt;
      corners.emplace_back(right.dot(from), up.dot(from));
    }
  }
  if (!first) return std::nullopt;
  ConvexPlate hull;
  hull.half = first->plate.half;
  for (const Vec2& p : make_convex_hull(corners))
    hull.middle.push_back(first->centre + p.x() * right + p.y() * up);
  if (hull.middle.size() < 3) return std::nullopt;  // slivers of no area
  return hull;
}

/// Kind and turn of a copy as numbers that are equal where the copies are alike.
std::vector<int> make_key(int kind, const Mat3& turn) {
  std::vector<int> key{kind};
  for (int i = 0; i < 9; ++i) key.push_back(static_cast<int>(std::lround(1e4 * turn.data()[i])));
  return key;
}

}  // namespace

StandingCopies make_standing_copies(const Design& design, const Finished& finished,
                                    const JointSides& sides) {
  StandingCopies copies;
  copies.plates = make_standing_plates(design, finished, sides);
  for (std::size_t o = 0; o < design.orbits.size(); ++o)
    for (const Mat3& turn : design.orbits[o].copies) {
      copies.kind.push_back(static_cast<int>(o));
      copies.turn.push_back(turn * design.orbits[o].copies.front().transpose());
    }
  return copies;
}

WaysOut::WaysOut(const StandingCopies& copies, std::vector<std::vector<int>> blocks,
                 const std::vector<std::vector<Vec3>>& hints)
    : copies_(copies), blocks_(std::move(blocks)), block_of_(copies.plates.size(), -1) {
  double radius = 0;
  for (const auto& plates : copies.plates)
    for (const StandingPlate& plate : plates)
      radius = std::max(radius, plate.centre.norm() + plate.radius_mm);
  length_mm_ = 4 * radius;
  for (std::size_t b = 0; b < blocks_.size(); ++b)
    for (const int copy : blocks_[b]) block_of_[at(copy)] = static_cast<int>(b);
  for (const auto& plates : copies.plates) hulls_.push_back(find_body_hull(plates));
  find_kinds(hints);
  for (const auto& plates : copies.plates) {
    const std::vector<const StandingPlate*> all = point_to(plates);
    copy_ball_.push_back(find_ball(all.data(), all.size()));
    runs_.push_back(make_plate_runs(all));
  }
  for (const auto& plates : plates_) {
    block_ball_.push_back(find_ball(plates.data(), plates.size()));
    std::vector<std::pair<double, int>> by_distance;
    for (std::size_t j = 0; j < copy_ball_.size(); ++j)
      by_distance.emplace_back((copy_ball_[j].centre - block_ball_.back().centre).norm(),
                               static_cast<int>(j));
    std::sort(by_distance.begin(), by_distance.end());
    nearest_.emplace_back();
    for (const auto& [distance, copy] : by_distance) nearest_.back().push_back(copy);
  }
}

void WaysOut::find_kinds(const std::vector<std::vector<Vec3>>& hints) {
  const auto find_image = [&](const std::vector<int>& block, int kind, const Mat3& turn) {
    const std::vector<int> key = make_key(kind, turn);
    return std::find_if(block.begin(), block.end(), [&](int copy) {
      return make_key(copies_.kind[at(copy)], copies_.turn[at(copy)]) == key;
    });
  };
  // The images of a block's copies under the turn, if they are those of the other; else nothing.
  const auto carry = [&](const std::vector<int>& from, const std::vector<int>& to,
                         const Mat3& turn) {
    std::vector<int> images;
    for (const int copy : from) {
      const auto image = find_image(to, copies_.kind[at(copy)], turn * copies_.turn[at(copy)]);
      if (image == to.end()) return std::vector<int>{};
      images.push_back(*image);
    }
    return images;
  };
  for (std::size_t b = 0; b < blocks_.size(); ++b) {
    kind_of_.push_back(-1);
    turn_.push_back(Mat3::Identity());
    std::vector<int> order = blocks_[b];  // as in the first of its kind
    for (std::size_t k = 0; k < kinds_.size() && kind_of_[b] < 0; ++k) {
      const std::vector<int>& from = blocks_[at(kinds_[k].first)];
      for (const int image : blocks_[b]) {
        if (from.size() != blocks_[b].size() || kind_of_[b] >= 0) break;
        const Mat3 turn = copies_.turn[at(image)] * copies_.turn[at(from[0])].transpose();
        const std::vector<int> images = carry(from, blocks_[b], turn);
        if (images.empty()) continue;
        kind_of_[b] = static_cast<int>(k);
        turn_[b] = turn;
        order = images;
      }
    }
    plates_.emplace_back();
    for (const int copy : order)
      for (const StandingPlate& plate : copies_.plates[at(copy)]) plates_.back().push_back(&plate);
    if (kind_of_[b] < 0) {
      kind_of_[b] = static_cast<int>(kinds_.size());
      Kind kind;
      kind.first = static_cast<int>(b);
      Vec3 centre = Vec3::Zero();
      for (const StandingPlate* plate : plates_[b]) centre += plate->centre;
      const StandingPlate& lead = *plates_[b].front();
      kind.directions = make_fan(
          centre.norm() > 1e-6 ? Vec3(centre.normalized()) : Vec3(lead.plate.half.normalized()),
          lead.plate.middle.size() > 1 ? Vec3(lead.plate.middle[1] - lead.plate.middle[0])
                                       : Vec3(lead.plate.half));
      if (b < hints.size())
        kind.directions.insert(kind.directions.end(), hints[b].begin(), hints[b].end());
      kinds_.push_back(std::move(kind));
    }
    Kind& kind = kinds_[at(kind_of_[b])];
    relation_.emplace_back();
    for (std::size_t j = 0; j < copies_.plates.size(); ++j) {
      const auto key = make_key(copies_.kind[j], turn_[b].transpose() * copies_.turn[j]);
      const auto [place, fresh] =
          kind.relation_of.emplace(key, static_cast<int>(kind.meetings.size()));
      if (fresh) {
        kind.meetings.emplace_back(kind.directions.size());
        kind.pairs.emplace_back();
      }
      relation_.back().push_back(place->second);
    }
  }
}

bool WaysOut::stays_folded(int block, const StandingPlate& plate) const {
  return plate.tab < 0 || (plate.tab_mate >= 0 && block_of_[at(plate.tab_mate)] == block);
}

bool WaysOut::counts(int block, const StandingPlate& own, const StandingPlate& still,
                     const std::vector<bool>& standing, Tabs tabs) const {
  if (tabs == Tabs::folded) return true;
  if (!stays_folded(block, own)) return false;
  // A tab that stands is held when it is glued to what stands, not to the block that goes.
  return still.tab < 0 || (still.tab_mate >= 0 && standing[at(still.tab_mate)] &&
                           block_of_[at(still.tab_mate)] != block);
}

WaysOut::Pairs& WaysOut::pairs_of(int block, int copy) {
  Pairs& pairs = kinds_[at(kind_of_[at(block)])].pairs[at(relation_[at(block)][at(copy)])];
  if (!pairs.asked.empty()) return pairs;
  const std::size_t own = plates_[at(block)].size();
  pairs.asked.resize(own * copies_.plates[at(copy)].size());
  if (hulls_[at(copy)]) pairs.of_own.resize(own);
  return pairs;
}

BlockingCone WaysOut::make_cone(int block, const ConvexPlate& own, const ConvexPlate& still) const {
  BlockingCone cone = find_blocking_cone(own, still);
  for (Vec3& wall : cone.walls) wall = turn_[at(block)].transpose() * wall;
  return cone;
}

const BlockingCone& WaysOut::find_cone(int block, int copy, std::size_t own, std::size_t still) {
  Pairs& pairs = pairs_of(block, copy);
  const auto& plates = copies_.plates[at(copy)];
  const std::size_t pair = own * plates.size() + still;
  if (const auto known = pairs.cones.find(pair); known != pairs.cones.end()) return known->second;
  pairs.asked[pair] = true;
  return pairs.cones
      .emplace(pair, make_cone(block, plates_[at(block)][own]->plate, plates[still].plate))
      .first->second;
}

bool WaysOut::meets_plate(int block, int copy, std::size_t own, std::size_t still,
                          const Vec3& way) {
  const StandingPlate &moving = *plates_[at(block)][own],
                      &standing = copies_.plates[at(copy)][still];
  Pairs& pairs = pairs_of(block, copy);
  const std::size_t pair = own * copies_.plates[at(copy)].size() + still;
  const bool again = pairs.asked[pair];
  if (again)
    if (const auto known = pairs.cones.find(pair); known != pairs.cones.end())
      return known->second.contains(turn_[at(block)].transpose() * way);
  if (!may_meet(moving, standing, way)) return false;
  if (!again || pairs.cones.size() >= most_cones) {
    pairs.asked[pair] = true;
    return do_meet(make_swept(moving.plate, length_mm_ * way), standing.plate);
  }
  return find_cone(block, copy, own, still).contains(turn_[at(block)].transpose() * way);
}

template <typename Wanted, typename Meets>
bool WaysOut::find_meeting_plates(int block, int copy, const Vec3& seen, const Wanted& wanted,
                                  const Meets& meets) {
  const auto& own = plates_[at(block)];
  const auto& still = copies_.plates[at(copy)];
  Pairs& pairs = pairs_of(block, copy);
  const Vec3 way = turn_[at(block)] * seen;
  const EnclosingBall &moving = block_ball_[at(block)], &standing = copy_ball_[at(copy)];
  if (pass_each_other(standing.centre - moving.centre,
                      (1 + 1e-9) * (moving.radius_mm + standing.radius_mm), way))
    return false;
  for (std::size_t a = 0; a < own.size(); ++a) {
    bool may_meet_bodies = true;
    // Of copies that are alike one may be found flat and another, by rounding, not.
    if (!pairs.of_own.empty() && hulls_[at(copy)]) {
      Pair& all = pairs.of_own[a];
      if (all.asked && !all.cone) all.cone = make_cone(block, own[a]->plate, *hulls_[at(copy)]);
      if (all.cone) may_meet_bodies = all.cone->contains(seen);
      all.asked = true;
    }
    const StandingPlate& plate = *own[a];
    for (const PlateRun& run : runs_[at(copy)]) {
      if (pass_each_other(run.ball.centre - plate.centre,
                          (1 + 1e-9) * (run.ball.radius_mm + plate.radius_mm), way))
        continue;
      for (std::size_t i = run.begin; i < run.end; ++i) {
        if ((still[i].tab < 0 && !may_meet_bodies) || !wanted(plate, still[i])) continue;
        if (meets_plate(block, copy, a, i, way) && meets(static_cast<int>(a), static_cast<int>(i)))
          return true;
      }
    }
  }
  return false;
}

const WaysOut::Meeting& WaysOut::find_meeting(int block, std::size_t direction, int copy,
                                              Tabs tabs) {
  Kind& kind = kinds_[at(kind_of_[at(block)])];
  Meeting& meeting = kind.meetings[at(relation_[at(block)][at(copy)])][direction];
  const Vec3& seen = kind.directions[direction];
  if (!meeting.knows_folded) {
    meeting.knows_folded = true;
    const auto all = [](const StandingPlate&, const StandingPlate&) { return true; };
    find_meeting_plates(block, copy, seen, all, [&](int, int) { return meeting.any = true; });
  }
  if (tabs == Tabs::folded || meeting.knows_open || !meeting.any) return meeting;
  meeting.knows_open = true;
  const auto& still = copies_.plates[at(copy)];
  const auto stays = [&](const StandingPlate& a, const StandingPlate&) {
    return stays_folded(block, a);
  };
  find_meeting_plates(block, copy, seen, stays, [&](int, int i) {
    if (still[at(i)].tab < 0)
      meeting.bodies = true;
    else
      meeting.glued.push_back(i);
    return meeting.bodies;
  });
  return meeting;
}

std::optional<Vec3> WaysOut::find_way(int block, const std::vector<bool>& standing, Tabs tabs) {
  const Kind& kind = kinds_[at(kind_of_[at(block)])];
  const auto is_held = [&](int copy, int plate) {
    const int mate = copies_.plates[at(copy)][at(plate)].tab_mate;
    return mate >= 0 && standing[at(mate)] && block_of_[at(mate)] != block;
  };
  const auto blocks = [&](int copy, std::size_t direction) {
    if (!standing[at(copy)] || block_of_[at(copy)] == block) return false;
    const Meeting& meeting = find_meeting(block, direction, copy, tabs);
    if (tabs == Tabs::folded) return meeting.any;
    return meeting.bodies || std::any_of(meeting.glued.begin(), meeting.glued.end(),
                                         [&](int plate) { return is_held(copy, plate); });
  };
  for (const bool from_below : {false, true})
    for (std::size_t d = 0; d < kind.directions.size(); ++d) {
      const Vec3 way = turn_[at(block)] * kind.directions[d];
      if ((way.z() <= -0.3) == from_below &&
          std::none_of(nearest_[at(block)].begin(), nearest_[at(block)].end(),
                       [&](int copy) { return blocks(copy, d); }))
        return way;
    }
  return std::nullopt;
}

std::optional<WaysOut::Hit> WaysOut::find_hit(int block, const Vec3& seen,
                                              const std::vector<bool>& standing, Tabs tabs,
                                              const std::vector<int>& copies) {
  const auto wanted = [&](const StandingPlate& own, const StandingPlate& still) {
    return counts(block, own, still, standing, tabs);
  };
  std::optional<Hit> hit;
  for (const int copy : copies) {
    if (hit) break;
    if (standing[at(copy)] && block_of_[at(copy)] != block)
      find_meeting_plates(block, copy, seen, wanted, [&](int a, int i) {
        hit = Hit{a, copy, i};
        return true;
      });
  }
  return hit;
}

bool WaysOut::is_free(int block, const Vec3& direction, const std::vector<bool>& standing,
                      Tabs tabs) {
  return !find_hit(block, turn_[at(block)].transpose() * direction, standing, tabs,
                   nearest_[at(block)]);
}

DirectionSearch WaysOut::search_ways(int block, const std::vector<bool>& standing, Tabs tabs) {
  Kind& kind = kinds_[at(kind_of_[at(block)])];
  const auto& relation = relation_[at(block)];
  std::vector<int> copy_of(kind.pairs.size(), -1);
  std::vector<bool> stands(kind.pairs.size(), false);
  for (std::size_t j = 0; j < relation.size(); ++j)
    if (standing[j] && block_of_[j] != block) {
      copy_of[at(relation[j])] = static_cast<int>(j);
      stands[at(relation[j])] = true;
    }
  const auto turned = [&](DirectionSearch search) {
    if (search.free) search.free = Vec3(turn_[at(block)] * *search.free);
    return search;
  };
  if (const auto known = kind.searched.find({tabs, stands}); known != kind.searched.end())
    return turned(known->second);
  const auto cone_of = [&](const Hit& hit) {
    return find_cone(block, hit.copy, at(hit.own), at(hit.plate));
  };
  std::vector<BlockingCone> cones;
  for (const auto& useful : kind.useful) {
    const Hit hit{useful.own, copy_of[at(useful.relation)], useful.plate};
    if (hit.copy >= 0 && counts(block, *plates_[at(block)][at(hit.own)],
                                copies_.plates[at(hit.copy)][at(hit.plate)], standing, tabs))
      cones.push_back(cone_of(hit));
  }
  const auto find = [&](const std::vector<int>& copies) {
    return search_directions(cones, [&](const Vec3& seen) {
      const auto hit = find_hit(block, seen, standing, tabs, copies);
      if (!hit) return false;
      cones.push_back(cone_of(*hit));
      kind.useful.push_back({hit->own, relation[at(hit->copy)], hit->plate});
      return true;
    });
  };
  DirectionSearch search = find(nearest_[at(block)]);
  // Other cones may leave nothing in doubt: those of far copies are wide.
  if (!search.free && search.doubt_deg > 0) {
    cones.clear();
    const std::vector<int> farthest(nearest_[at(block)].rbegin(), nearest_[at(block)].rend());
    const DirectionSearch again = find(farthest);
    if (again.free || again.doubt_deg < search.doubt_deg) search = again;
  }
  kind.searched[{tabs, stands}] = search;
  return turned(search);
}

}  // namespace sixtyfold
