#pragma once
// What template, tiles, coupon and paper model have in common: the part as it is drawn on a page.

#include <string>
#include <vector>

#include "results/kit/kit_template.h"

namespace sixtyfold {

inline constexpr const char* fold_up_colour = "#b3261e";
inline constexpr const char* fold_down_colour = "#1f4fa3";
inline constexpr const char* seat_colour = "#2e7d32";
inline constexpr const char* hanging_colour = "#7a2e8c";

/// Puts the part on a page: y down, its own origin at `origin`.
struct PartPlace {
  Vec2 origin;
  double scale = 1;
  Vec2 operator()(const Vec2& p) const {
    return {origin.x() + scale * p.x(), origin.y() - scale * p.y()};
  }
  Polygon operator()(const Polygon& polygon) const {
    Polygon placed;
    for (const Vec2& p : polygon) placed.push_back((*this)(p));
    return placed;
  }
};

Box measure_drawing_box(const TemplateDrawing& drawing);
Vec2 rotate(const Vec2& p, double angle_rad);
TemplateDrawing turn_drawing(TemplateDrawing drawing, double angle_rad);
/// Seen on the other face: left and right change places, up and down, this face and the other.
TemplateDrawing mirror_drawing(TemplateDrawing drawing);
/// With its long side across the page.
TemplateDrawing lay_across(const TemplateDrawing& drawing);

void draw_part(Page& page, const TemplateDrawing& drawing, const PartPlace& place,
               bool filled = true);
/// What the lines mean, a sentence each.
std::vector<std::string> find_reading_lines(const TemplateDrawing& drawing);
extern const char* const knife_caution;

}  // namespace sixtyfold
