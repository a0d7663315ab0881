#include "results/build_guide.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <set>

#include "results/drawing_svg.h"
#include "results/hidden_surface.h"
#include "results/markup_text.h"
#include "results/palette.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

std::string fixed(double v, int digits) {
  char text[40];
  std::snprintf(text, sizeof text, "%.*f", digits, v);
  return text;
}

std::string join(const std::vector<int>& copies) {
  std::string text;
  for (std::size_t i = 0; i < copies.size(); ++i) text += (i ? ", " : "") + std::to_string(copies[i] + 1);
  return text;
}

constexpr double margin = 16;

/// Pages that fill from the top; a new one is begun when the next thing does not fit.
class Flow {
 public:
  Flow(const Vec2& paper, std::string title) : paper_(paper), title_(std::move(title)) { begin(); }

  double width() const { return paper_.x() - 2 * margin; }
  Page& page() { return pages_.back(); }
  double y() const { return y_; }
  /// Room of this height, on a new page when need be; returns its top.
  double take(double height) {
    if (y_ + height > paper_.y() - 16) begin();
    const double top = y_;
    y_ += height;
    return top;
  }
  /// Begins a new page when less than this height is left.
  void keep(double height) {
    if (y_ + height > paper_.y() - 16) begin();
  }
  void heading(const std::string& text) {
    keep(60);
    const double top = take(13);
    page().add_text({margin, top + 8}, text, {6, TextAt::start, "#22262e", true, 0});
  }
  void paragraph(const std::string& text, const std::string& colour = "#22262e") {
    PageText how;
    how.size_mm = 3.7;
    how.colour = colour;
    const double lines = std::ceil(static_cast<double>(text.size()) * how.size_mm * 0.5 / width()) + 1;
    if (y_ + lines * how.size_mm * 1.35 > paper_.y() - 16) begin();
    y_ = page().add_paragraph({margin, y_}, text, width(), how) + 1.6;
  }
  std::vector<Page> finish() {
    for (std::size_t k = 0; k < pages_.size(); ++k) {
      pages_[k].add_text({margin, paper_.y() - 8}, title_, {2.8, TextAt::start, "#666666", false, 0});
      pages_[k].add_text({paper_.x() - margin, paper_.y() - 8},
                         "page " + std::to_string(k + 1) + " of " + std::to_string(pages_.size()),
                         {2.8, TextAt::end, "#666666", false, 0});
    }
    return pages_;
  }

 private:
  void begin() {
    pages_.emplace_back(paper_.x(), paper_.y());
    y_ = margin;
  }
  Vec2 paper_;
  std::string title_;
  std::vector<Page> pages_;
  double y_ = margin;
};

struct Boxes {
  const Design& design;
  const Finished& finished;

  /// Letter of a joint: that of its first side.
  std::string letter_of(int joint) const {
    const Joint& j = design.joints[at(joint)];
    const CopyPlace place = find_copy(design, j.panels[0]);
    const Frame frame = make_copy_frame(design, j.panels[0]);
    const Vec2 middle = frame.to_plane((j.from_mm + j.to_mm) / 2);
    const auto& list = finished.joints.joints[at(place.orbit)];
    for (std::size_t i = 0; i < list.size(); ++i)
      if (((list[i].from_mm + list[i].to_mm) / 2 - middle).norm() < 0.5)
        return make_letter(finished.joints.letter[at(place.orbit)][i]);
    return "?";
  }

  /// Joints in columns, each with two boxes: fitted dry, glued.
  void draw(Flow& flow, const std::vector<int>& joints) const {
    const int columns = 3;
    const double cell = flow.width() / columns, line = 6.2;
    const double head = flow.take(6);
    for (int c = 0; c < std::min<int>(columns, static_cast<int>(joints.size())); ++c) {
      flow.page().add_text({margin + c * cell, head + 4.4}, "dry  glued", {2.4, TextAt::start, "#666666", false, 0});
    }
    for (std::size_t i = 0; i < joints.size(); i += columns) {
      const double top = flow.take(line);
      for (std::size_t c = 0; c < columns && i + c < joints.size(); ++c) {
        const Joint& joint = design.joints[at(joints[i + c])];
        const double x = margin + static_cast<double>(c) * cell;
        for (const double dx : {0.0, 6.5})
          flow.page().add_polygon({{x + dx, top + 0.8}, {x + dx + 4, top + 0.8}, {x + dx + 4, top + 4.8}, {x + dx, top + 4.8}},
                                  {"#22262e", 0.3, "", ""});
        const char* between = joint.kind == JointKind::tab ? " on " : joint.kind == JointKind::slot ? " into " : " to ";
        flow.page().add_text({x + 13, top + 4.1},
                             letter_of(joints[i + c]) + ":  " + std::to_string(joint.panels[0] + 1) + between +
                                 std::to_string(joint.panels[1] + 1),
                             {3.5, TextAt::start, "#22262e", false, 0});
      }
    }
  }
};

void draw_part_small(Page& page, const FlatPattern& pattern, const PartJoints& joints, int orbit, const Box& box, bool mirrored) {
  const Box own = measure_box(pattern.outline_mm);
  const double scale = std::min(box.size().x() / own.size().x(), box.size().y() / own.size().y());
  const Vec2 middle = (box.low + box.high) / 2, centre = (own.low + own.high) / 2;
  const auto place = [&](const Vec2& p) {
    return Vec2(middle.x() + (mirrored ? -1 : 1) * scale * (p.x() - centre.x()), middle.y() - scale * (p.y() - centre.y()));
  };
  Polygon outline;
  for (const Vec2& p : pattern.outline_mm) outline.push_back(place(p));
  std::vector<Polygon> rings{outline};
  for (const Polygon& hole : pattern.holes_mm) {
    Polygon ring;
    for (const Vec2& p : hole) ring.push_back(place(p));
    rings.push_back(ring);
  }
  page.add_region(rings, {"#22262e", 0.35, mirrored ? "#f2f2f2" : "#f3e7cf", ""});
  for (const Tab& tab : pattern.tabs) {
    page.add_line(place(tab.fold_from_mm), place(tab.fold_to_mm), {tab.fold_side > 0 ? "#b3261e" : "#1f4fa3", 0.3, "", "2 1"});
    page.add_text(place(measure_centroid(tab.outline_mm)) + Vec2(0, 1.2),
                  make_letter(joints.letter[at(orbit)][at(tab.joint)]), {3.4, TextAt::middle, "#22262e", true, 0});
  }
  for (const Seat& seat : pattern.seats)
    page.add_line(place(seat.from_mm), place(seat.to_mm), {"#2e7d32", 0.3, "", seat.side > 0 ? "" : "0.6 0.8"});
  if (mirrored) {
    page.add_line({box.low.x(), box.low.y()}, {box.high.x(), box.high.y()}, {"#b3261e", 0.8, "", ""});
    page.add_line({box.low.x(), box.high.y()}, {box.high.x(), box.low.y()}, {"#b3261e", 0.8, "", ""});
  }
}

}  // namespace

std::vector<std::string> find_build_cautions() {
  return {
      "Saws and knives: trained people only, guards on, eye protection at the saw, cut away from the hand; follow the maker's manual.",
      "Ladders: on level ground, one person holds it, nobody leans out; use a platform for work with both hands.",
      "Overhead: the loads in this kit are estimates for comparing, not a load calculation. Whoever is responsible for the "
      "building and a competent rigger decide on points, ropes and safety lines before anything hangs above people; nobody stands "
      "under it while it is hoisted.",
      "Glue: read its label and safety data sheet, open the windows, keep it from eyes and skin.",
      "Fire: board burns. Ask the venue for its rules on fire load and decorations in public rooms; keep away from lamps, candles and exits.",
      "Local codes and the house's rules come before anything printed here.",
  };
}

void draw_copies(Page& page, const Box& box, const Design& design, const CopiesPicture& picture) {
  const std::vector<int>&shown = picture.shown, &fresh = picture.fresh;
  if (shown.empty()) return;
  const std::vector<FlatFace> all = make_faces(design, 1.0);
  double radius = 0;
  for (const FlatFace& face : all)
    for (const Vec3& p : face.rings[0]) radius = std::max(radius, p.norm());
  // Seen from above on the side of what is new.
  Vec3 middle = Vec3::Zero();
  for (const int copy : fresh) {
    const CopyPlace place = find_copy(design, copy);
    middle += make_copy_frame(design, copy).to_space(measure_centroid(design.orbits[at(place.orbit)].panel.outline_mm));
  }
  const double azimuth = middle.head<2>().norm() > 1e-6 * radius ? std::atan2(middle.y(), middle.x()) + 0.35 : -1.3;
  Camera camera = make_camera(Vec3::Zero(), 4.2 * radius, azimuth, to_radians(24));
  camera.scale_mm = 0.5 * std::min(box.size().x(), box.size().y()) / std::tan(std::asin(1 / 4.2));
  camera.centre_mm = (box.low + box.high) / 2;
  std::vector<FlatFace> faces;
  for (const int copy : shown) faces.push_back(all[at(copy)]);
  if (picture.close_up) {
    Vec2 low = Vec2::Constant(1e300), high = -low;
    for (const FlatFace& face : faces)
      for (const Vec3& p : face.rings[0]) {
        low = low.cwiseMin(camera.project(p));
        high = high.cwiseMax(camera.project(p));
      }
    const Vec2 size = (high - low).cwiseMax(1e-6);
    const double zoom = std::min(box.size().x() / size.x(), box.size().y() / size.y());
    camera.scale_mm *= zoom;
    camera.centre_mm = (box.low + box.high) / 2 - zoom * ((low + high) / 2 - camera.centre_mm);
  }
  const std::vector<Region> regions = find_visible_regions(faces, camera);
  const std::set<int> is_fresh(fresh.begin(), fresh.end());
  for (std::size_t i = 0; i < faces.size(); ++i) {
    const Region region = make_clean_region(regions[i], 0.03);
    if (region.empty()) continue;
    const bool outside = faces[i].normal.dot(camera.eye - faces[i].point) > 0;
    const char* fill = is_fresh.count(shown[i]) ? (outside ? "#f0a63a" : "#c98420") : (outside ? "#f1ece0" : "#d5cdbb");
    page.add_region(region, {"#22262e", 0.18, fill, ""});
  }
  if (!picture.numbers) return;
  for (std::size_t i = 0; i < faces.size(); ++i) {
    if (!is_fresh.count(shown[i])) continue;
    const Polygon* largest = nullptr;
    for (const Polygon& ring : regions[i])
      if (measure_area(ring) > (largest ? measure_area(*largest) : 4.0)) largest = &ring;
    if (largest)
      page.add_text(measure_centroid(*largest) + Vec2(0, 1), std::to_string(shown[i] + 1), {2.9, TextAt::middle, "#22262e", true, 0});
  }
}

std::vector<Page> make_guide_pages(const Design& design, const Finished& finished, const AssemblyPlan& plan,
                                   const GuideOptions& options) {
  const Vec2 paper = measure_paper(options.paper == Paper::a3 ? Paper::a4 : options.paper);
  const std::string name = design.name.empty() ? "Construction" : design.name;
  Flow flow(paper, name + ": build guide \u00b7 design " + make_design_hash(design));
  const Boxes boxes{design, finished};
  const int copies = count_copies(design), modules = static_cast<int>(plan.steps.size());

  const double head = flow.take(16);
  flow.page().add_text({margin, head + 9}, name, {9, TextAt::start, "#22262e", true, 0});
  flow.page().add_text({margin, head + 15}, "build guide", {4.5, TextAt::start, "#666666", false, 0});
  std::vector<int> everything;
  for (int copy = 0; copy < copies; ++copy) everything.push_back(copy);
  const double picture = flow.take(118);
  draw_copies(flow.page(), {{margin, picture}, {paper.x() - margin, picture + 116}}, design, {everything, {}, false, false});
  std::string facts;
  for (const std::string& fact : find_facts(design)) facts += (facts.empty() ? "" : " \u00b7 ") + fact;
  flow.paragraph(facts);
  flow.paragraph(std::to_string(copies) + " panels, cut from one template, are glued into " + std::to_string(modules) +
                 (plan.chosen.panels > 1 ? " modules of " + std::to_string(plan.chosen.panels) + ". " : " steps. ") + plan.reason);
  for (const std::string& caution : find_build_cautions()) flow.paragraph(caution, "#8a1c14");

  flow.keep(140);
  flow.heading("1  The part, and its mirror image");
  flow.paragraph("Lay a part down as on the left, outside face up. If it only fits the picture on the right it is turned over. "
                 "Red folds come up towards you, blue ones go down.");
  for (std::size_t o = 0; o < finished.parts.size(); ++o) {
    const double top = flow.take(74), half = flow.width() / 2;
    draw_part_small(flow.page(), finished.parts[o].pattern, finished.joints, static_cast<int>(o),
                    {{margin, top + 2}, {margin + half - 6, top + 62}}, false);
    draw_part_small(flow.page(), finished.parts[o].pattern, finished.joints, static_cast<int>(o),
                    {{margin + half + 6, top + 2}, {paper.x() - margin, top + 62}}, true);
    flow.page().add_text({margin + half / 2 - 3, top + 69}, "right: outside face up", {3.6, TextAt::middle, "#2e7d32", true, 0});
    flow.page().add_text({margin + 1.5 * half + 3, top + 69}, "wrong: turned over", {3.6, TextAt::middle, "#b3261e", true, 0});
    for (const Tab& tab : finished.parts[o].pattern.tabs) {
      const PanelJoint& joint = finished.joints.joints[o][at(tab.joint)];
      const std::string letter = make_letter(finished.joints.letter[o][at(tab.joint)]);
      flow.paragraph("Tab " + letter + ": fold " + (tab.fold_side > 0 ? "up" : "down") + " by " +
                     fixed(to_degrees(tab.fold_rad), 0) + "\u00b0, " + fixed(tab.depth_mm, 0) + " mm deep, " +
                     (joint.role == JointRole::double_tab
                          ? "glued to tab " + letter + " of the other panel."
                          : joint.kind == JointKind::edge ? "glued inside the other panel, along its edge " + letter + "."
                                                          : "glued over seat " + letter + " of the other panel."));
    }
    for (const int i : finished.parts[o].pattern.joints_without_tab)
      flow.paragraph("Edge " + make_letter(finished.joints.letter[o][at(i)]) +
                     ": no tab of a useful depth fits here. Glue the edge itself and back it with a strip of board or tape.");
  }

  if (plan.chosen.panels > 1) {
    flow.heading("2  One module");
    flow.paragraph("All modules are alike: " + std::to_string(plan.chosen.panels) + " panels and " +
                   std::to_string(plan.chosen.joints) + " joints. Make the first one dry, with clips, then glue. " +
                   (plan.chosen.internal_dof == 0 ? "Glued, it holds its shape by itself."
                                                  : "It still moves in " + std::to_string(plan.chosen.internal_dof) +
                                                        " ways; handle it like a hinge until it is in place."));
    const double top = flow.take(92);
    draw_copies(flow.page(), {{margin, top}, {paper.x() - margin, top + 90}}, design,
                {plan.chosen.modules.front(), plan.chosen.modules.front(), true, true});
    for (int m = 0; m < modules; ++m) {
      // In the order in which the modules are placed.
      const std::vector<int>& panels = plan.steps[at(m)].copies;
      const auto found = std::find(plan.chosen.modules.begin(), plan.chosen.modules.end(), panels);
      const auto& joints = plan.joints_in_module[static_cast<std::size_t>(found - plan.chosen.modules.begin())];
      const double rows = std::ceil(static_cast<double>(joints.size()) / 3) * 6.2 + 14;
      flow.keep(std::min(rows, 60.0));
      const double title = flow.take(7);
      flow.page().add_text({margin, title + 5}, "Module " + std::to_string(m + 1) + ": panels " + join(panels),
                           {3.9, TextAt::start, "#22262e", true, 0});
      boxes.draw(flow, joints);
      flow.take(2);
    }
  }

  flow.heading(plan.chosen.panels > 1 ? "3  The modules in order" : "2  The panels in order");
  std::vector<int> placed;
  for (int s = 0; s < modules; ++s) {
    const AssemblyStep& step = plan.steps[at(s)];
    placed.insert(placed.end(), step.copies.begin(), step.copies.end());
    // Single panels are many: a picture for every fifth.
    const bool picture_wanted = plan.chosen.panels > 1 || s % 5 == 4 || s + 1 == modules || s == 0;
    const double rows = std::ceil(static_cast<double>(step.joints.size()) / 3) * 6.2 + 8;
    flow.keep(picture_wanted ? std::min(230.0, 76 + rows) : 12 + rows);
    const double title = flow.take(9);
    flow.page().add_text({margin, title + 6}, "Step " + std::to_string(s + 1) + (plan.chosen.panels > 1 ? ": module with panels " : ": panel ") + join(step.copies),
                         {4.2, TextAt::start, "#22262e", true, 0});
    if (picture_wanted) {
      const double at_y = flow.take(62);
      draw_copies(flow.page(), {{margin, at_y}, {margin + 80, at_y + 60}}, design, {placed, step.copies, true, false});
      std::string text;
      if (s == 0) text = "Stand it on the floor as it will stand in the end.";
      else if (step.coming_in == ComingIn::straight) text = "Push it straight in from outside.";
      else if (step.coming_in == ComingIn::tabs_open)
        text = "Push it straight in with the tabs of this step held open; fold them over when it is in place.";
      else text = "A closing piece: no straight push reaches its place. Spring the neighbours apart gently, or leave two joints beside it open until it is in.";
      if (s > 0)
        text += " Direction: from " + std::string(step.push.z() > 0.35 ? "above" : step.push.z() < -0.35 ? "below" : "the side") + ".";
      text += step.internal_dof == 0 ? " After this step everything placed is stiff."
                                     : " After this step the whole still moves in " + std::to_string(step.internal_dof) +
                                           (step.internal_dof == 1 ? " way" : " ways") + ": support it.";
      if (!options.colour_of.empty()) {
        text += " Colours:";
        for (const int copy : step.copies) {
          const std::size_t c = at(options.colour_of[at(copy)]);
          text += " " + std::to_string(copy + 1) + " " + (c < options.colour_names.size() ? options.colour_names[c] : "colour " + std::to_string(c + 1)) + ",";
        }
        text.back() = '.';
      }
      flow.page().add_paragraph({margin + 88, at_y + 4}, text, flow.width() - 88, {3.5, TextAt::start, "#22262e", false, 0});
    }
    if (!step.joints.empty()) boxes.draw(flow, step.joints);
    flow.take(3);
  }
  if (!plan.beyond_clamp.empty())
    flow.paragraph(std::to_string(plan.beyond_clamp.size()) +
                   " joints lie farther from an edge than the clamp reaches: weigh or tape them while they dry.");
  return flow.finish();
}

std::string make_pages_html(const std::string& title, const std::vector<Page>& pages) {
  std::string html = "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>" + make_markup_text(title) +
                     "</title>\n<style>body{margin:0;background:#e9e5da}svg{display:block;margin:12px auto;background:#fff;"
                     "box-shadow:0 1px 6px #0003;max-width:96vw;height:auto}@media print{body{background:#fff}svg{margin:0;"
                     "box-shadow:none;break-after:page;max-width:none}}</style></head><body>\n";
  for (const Page& page : pages) {
    const std::string svg = page.to_svg();
    html += svg.substr(svg.find("<svg"));
  }
  return html + "</body></html>\n";
}

}  // namespace sixtyfold
