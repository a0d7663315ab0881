#include "engine/contact/blunt.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace sixtyfold {

namespace {

/// A foot that walks along the boundary, away from a tip.
class Foot {
 public:
  Foot(const LabelledOutline& outline, std::size_t tip, bool forwards)
      : outline_(outline), forwards_(forwards), at_(tip) {
    set_edge();
  }

  double walked_at_next() const { return walked_ + length_; }
  Vec2 position(double walked) const {
    return outline_.vertex(at_) + (walked - walked_) * direction_;
  }
  const Vec2& direction() const { return direction_; }
  std::size_t edge() const { return forwards_ ? at_ : next_; }
  void pass_vertex() {
    walked_ += length_;
    at_ = next_;
    set_edge();
  }

 private:
  void set_edge() {
    const std::size_t n = outline_.size();
    next_ = forwards_ ? (at_ + 1 == n ? 0 : at_ + 1) : (at_ == 0 ? n - 1 : at_ - 1);
    const Vec2 step = outline_.vertex(next_) - outline_.vertex(at_);
    length_ = step.norm();
    direction_ = step / length_;
  }

  const LabelledOutline& outline_;
  bool forwards_;
  std::size_t at_, next_ = 0;
  double walked_ = 0, length_ = 0;
  Vec2 direction_ = Vec2::Zero();
};

/// A chord across a tip.
struct Chord {
  Vec2 before, after;
  std::size_t edge_before, edge_after;
};

/// Two feet walk away from a tip at the same speed until they are `width` apart, at most four
/// widths.
std::optional<Chord> find_chord(const LabelledOutline& outline, std::size_t tip, double width) {
  Foot before(outline, tip, false), after(outline, tip, true);
  double walked = 0;
  for (std::size_t step = 0; step + 2 < outline.size(); ++step) {
    const double end = std::min({before.walked_at_next(), after.walked_at_next(), 4 * width});
    const Vec2 apart = after.position(walked) - before.position(walked);
    const Vec2 speed = after.direction() - before.direction();
    if ((apart + (end - walked) * speed).squaredNorm() >= width * width) {
      // |apart + t speed| = width: the later root.
      const double along = apart.dot(speed), squared = speed.squaredNorm();
      const double missing = std::max(width * width - apart.squaredNorm(), 0.0);
      walked += std::clamp((std::sqrt(along * along + squared * missing) - along) / squared, 0.0,
                           end - walked);
      if (walked >= before.walked_at_next()) before.pass_vertex();
      if (walked >= after.walked_at_next()) after.pass_vertex();
      return Chord{before.position(walked), after.position(walked), before.edge(), after.edge()};
    }
    walked = end;
    if (!(walked < 4 * width)) return std::nullopt;
    if (walked >= before.walked_at_next()) before.pass_vertex();
    if (walked >= after.walked_at_next()) after.pass_vertex();
  }
  return std::nullopt;
}

bool is_sharp(const LabelledOutline& outline, std::size_t i) {
  const std::size_t n = outline.size();
  const Vec2 back = outline.vertex(i == 0 ? n - 1 : i - 1) - outline.vertex(i);
  const Vec2 forth = outline.vertex(i + 1 == n ? 0 : i + 1) - outline.vertex(i);
  static const double limit = std::tan(sharp_corner_rad);
  const double turn = cross(forth, back);
  return turn > 0 && turn < limit * forth.dot(back);
}

/// Replaces the boundary of the tip by the chord.
void cut_tip(const LabelledOutline& outline, const Chord& chord, LabelledOutline& blunted) {
  const std::size_t n = outline.size();
  blunted.clear();
  blunted.push(chord.after, outline.line[chord.edge_after]);
  for (std::size_t i = chord.edge_after; i != chord.edge_before;) {
    i = i + 1 == n ? 0 : i + 1;
    blunted.push(outline.vertex(i), outline.line[i]);
  }
  blunted.push(chord.before, LabelledOutline::drawn);
}

}  // namespace

int blunt_tips(LabelledOutline& outline, double width, LabelledOutline& scratch) {
  if (!(width > 0)) return 0;
  // Each cut removes a sharp corner and makes two blunt ones.
  int cuts = 0;
  for (std::size_t i = 0; i < outline.size() && cuts < 64;) {
    const auto chord = is_sharp(outline, i) ? find_chord(outline, i, width) : std::nullopt;
    if (!chord) {
      ++i;
      continue;
    }
    cut_tip(outline, *chord, scratch);
    std::swap(outline, scratch);
    i = 0;
    ++cuts;
  }
  return cuts;
}

}  // namespace sixtyfold
