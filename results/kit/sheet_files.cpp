#include "results/kit/sheet_files.h"

#include <algorithm>
#include <cmath>

#include "engine/shape/hub.h"
#include "engine/text.h"
#include "results/drawings/dxf.h"
#include "results/drawings/markup_text.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

struct Stroke {
  Vec2 from, to;
};
struct Number {
  Vec2 from;
  double height_mm;
  std::string text;
};

/// What lies on one sheet, y up.
struct SheetContent {
  std::vector<Polygon> cuts;
  std::vector<Stroke> folds, marks;
  std::vector<Number> numbers;
};

SheetContent lay_out(const TemplateDrawing& drawing, const PartPurchase& part, int first, int count,
                     int first_copy) {
  SheetContent content;
  const auto [hub, room] = find_roomiest_spot(drawing.cut_mm);
  for (int k = 0; k < count; ++k) {
    const Placement& placement = part.nest.placements[at(k)];
    const auto put = [&](const Polygon& points) { return placement.place(points); };
    for (const Polygon& ring : drawing.cut_mm)
      content.cuts.push_back(make_counter_clockwise(put(ring)));
    for (const TemplateDrawing::Line& line : drawing.lines) {
      const Polygon ends = put({line.from, line.to});
      if (line.is_fold)
        content.folds.push_back({ends[0], ends[1]});
      else if ((line.side > 0) != placement.turned_over)
        content.marks.push_back({ends[0], ends[1]});
    }
    const int number = first + k;
    const std::string text = number < part.parts ? std::to_string(first_copy + number + 1)
                                                 : "S" + std::to_string(number - part.parts + 1);
    const double height = std::clamp(0.6 * room, 3.0, 12.0);
    const Vec2 middle = put({hub}).front();
    content.numbers.push_back(
        {middle - Vec2(0.35 * height * static_cast<double>(text.size()), 0.5 * height), height,
         text});
  }
  return content;
}

std::string write_dxf(const SheetContent& content, const Sheet& sheet, const std::string& comment) {
  const Box box{Vec2::Zero(), {sheet.long_mm, sheet.short_mm}};
  Dxf dxf(comment, {{"CUT", 7}, {"FOLD", 1}, {"MARK", 3}, {"NUMBER", 5}, {"SHEET", 8}}, box);
  dxf.add_ring("SHEET", {box.low, {box.high.x(), 0}, box.high, {0, box.high.y()}});
  for (const Polygon& ring : content.cuts) dxf.add_ring("CUT", ring);
  for (const Stroke& fold : content.folds) dxf.add_line("FOLD", fold.from, fold.to);
  for (const Stroke& mark : content.marks) dxf.add_line("MARK", mark.from, mark.to);
  for (const Number& number : content.numbers)
    dxf.add_text("NUMBER", number.from, number.height_mm, number.text);
  return dxf.finish();
}

std::string write_svg(const SheetContent& content, const Sheet& sheet, const std::string& comment) {
  const auto x = [](const Vec2& p) { return format("%.3f", p.x()); };
  const auto y = [&](const Vec2& p) { return format("%.3f", sheet.short_mm - p.y()); };
  const auto group = [](const char* name, const char* more) {
    return std::string("<g id=\"") + name + "\" " + more + ">\n";
  };
  const auto lines = [&](const std::vector<Stroke>& strokes) {
    std::string svg;
    for (const Stroke& stroke : strokes)
      svg += "<line x1=\"" + x(stroke.from) + "\" y1=\"" + y(stroke.from) + "\" x2=\"" +
             x(stroke.to) + "\" y2=\"" + y(stroke.to) + "\"/>\n";
    return svg + "</g>\n";
  };
  const std::string width = format("%g", sheet.long_mm), height = format("%g", sheet.short_mm);
  std::string svg =
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG "
      "1.1//EN\" \"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\">\n"
      "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"" +
      width + "mm\" height=\"" + height + "mm\" viewBox=\"0 0 " + width + " " + height +
      "\">\n<title>" + make_markup_text(comment) + "</title>\n";
  svg += group("SHEET", "fill=\"none\" stroke=\"#999999\" stroke-width=\"0.2\"") +
         "<rect x=\"0\" y=\"0\" width=\"" + width + "\" height=\"" + height + "\"/>\n</g>\n";
  svg += group("NUMBER", "fill=\"#0000ff\" stroke=\"none\" font-family=\"sans-serif\"");
  for (const Number& number : content.numbers)
    svg += "<text x=\"" + x(number.from) + "\" y=\"" + y(number.from) + "\" font-size=\"" +
           format("%.2f", number.height_mm / 0.73) + "\">" + number.text + "</text>\n";
  svg += "</g>\n";
  svg +=
      group("MARK", "fill=\"none\" stroke=\"#00a000\" stroke-width=\"0.2\"") + lines(content.marks);
  svg +=
      group("FOLD", "fill=\"none\" stroke=\"#ff0000\" stroke-width=\"0.2\"") + lines(content.folds);
  svg += group("CUT", "fill=\"none\" stroke=\"#000000\" stroke-width=\"0.2\"");
  for (const Polygon& ring : content.cuts) {
    svg += "<path d=\"M";
    for (std::size_t i = 0; i < ring.size(); ++i)
      svg += (i ? "L" : "") + x(ring[i]) + " " + y(ring[i]);
    svg += "Z\"/>\n";
  }
  return svg + "</g>\n</svg>\n";
}

}  // namespace

std::vector<NamedBytes> make_sheet_files(const TemplateDrawing& drawing, const PartPurchase& part,
                                         int first_copy, const std::string& prefix,
                                         int most_sheets) {
  std::vector<NamedBytes> files;
  const Nest& nest = part.nest;
  if (nest.sheets > most_sheets) return files;
  for (int sheet = 0; sheet < nest.sheets; ++sheet) {
    const int first = sheet * nest.parts_per_sheet,
              count = std::min(nest.parts_per_sheet, nest.copies - first);
    const SheetContent content = lay_out(drawing, part, first, count, first_copy);
    const std::string name = prefix + format("sheet-%02d", sheet + 1);
    const std::string comment = format("sixtyfold %s, sheet %d of %d, millimetres, design %s",
                                       name.c_str(), sheet + 1, nest.sheets, drawing.hash.c_str());
    files.push_back({name + ".dxf", write_dxf(content, nest.sheet, comment)});
    files.push_back({name + ".svg", write_svg(content, nest.sheet, comment)});
  }
  return files;
}

}  // namespace sixtyfold
