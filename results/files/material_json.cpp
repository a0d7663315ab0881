#include "results/files/material_json.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "engine/text.h"
#include "results/files/file.h"
#include "results/files/json_reader.h"
#include "results/files/json_writer.h"
#include "results/files/names.h"
#include "results/files/shipped_materials.h"

namespace sixtyfold {

namespace {

using nlohmann::ordered_json;

constexpr std::size_t longest_text = 1000;
constexpr std::size_t largest_file = std::size_t{1} << 20;

/// The optional numbers, by key.
template <class SomeMaterial, class Visit>
void visit_optional(SomeMaterial& material, Visit visit) {
  visit("glue_strength_n_per_mm", material.glue_strength_n_per_mm);
  visit("min_fold_radius_mm", material.min_fold_radius_mm);
  visit("fold_allowance_mm", material.fold_allowance_mm);
  visit("modulus_along_mpa", material.modulus_along_mpa);
  visit("modulus_across_mpa", material.modulus_across_mpa);
  visit("working_strain", material.working_strain);
}

template <class Value>
ordered_json write_sourced(const Value& value, const std::string& source) {
  return {{"value", value}, {"source", source}};
}

/// What a value may be is the material's own business, see Material::find_fault.
SourcedValue read_sourced(const JsonCursor& field) {
  return {field.at("value").number(-1e9, 1e9), field.at("source").text(longest_text)};
}

SheetOnSale read_sheet(const JsonCursor& field) {
  SheetOnSale sheet;
  const auto sides = field.at("size_mm").array(2, 2);
  const double a = sides[0].number(1, 20000), b = sides[1].number(1, 20000);
  sheet.short_mm = std::min(a, b);
  sheet.long_mm = std::max(a, b);
  if (const auto price = field.find("price")) sheet.price = price->number(0, 1e9);
  if (const auto source = field.find("source")) sheet.source = source->text(longest_text);
  return sheet;
}

}  // namespace

std::string write_material_json(const Material& material) {
  ordered_json document = {{"format", "sixtyfold-material"},
                           {"version", 1},
                           {"name", material.name},
                           {"title", material.title},
                           {"note", material.note}};
  const auto put = [&](const char* key, const SourcedValue& value) {
    document[key] = write_sourced(value.value, value.source);
  };
  put("thickness_mm", material.thickness_mm);
  put("mass_kg_per_m2", material.mass_kg_per_m2);
  document["sheets"] = ordered_json::array();
  for (const SheetOnSale& sheet : material.sheets) {
    ordered_json entry = {{"size_mm", {sheet.short_mm, sheet.long_mm}}};
    if (sheet.price) entry["price"] = *sheet.price;
    if (!sheet.source.empty()) entry["source"] = sheet.source;
    document["sheets"].push_back(std::move(entry));
  }
  document["grain"] = write_sourced(name_of(material.grain), material.grain_source);
  document["both_faces_alike"] = write_sourced(material.both_faces_alike, material.faces_source);
  visit_optional(material, [&](const char* key, const MaybeSourced& value) {
    if (value) put(key, *value);
  });
  return write_json(document);
}

Material read_material_json(const std::string& bytes, const std::string& where) {
  if (bytes.size() > largest_file)
    throw std::invalid_argument(where + ": a material file has at most 1 MiB");
  const JsonCursor document = JsonCursor::parse(bytes, where);
  if (const JsonCursor format = document.at("format"); format.text() != "sixtyfold-material")
    format.fail("must be \"sixtyfold-material\"");
  document.at("version").integer(1, 1);
  Material material;
  material.name = document.at("name").text(60);
  const auto read_text = [&](const char* key, std::string& text) {
    if (const auto field = document.find(key)) text = field->text(longest_text);
  };
  read_text("title", material.title);
  read_text("note", material.note);
  if (material.title.empty()) material.title = material.name;
  material.thickness_mm = read_sourced(document.at("thickness_mm"));
  material.mass_kg_per_m2 = read_sourced(document.at("mass_kg_per_m2"));
  for (const JsonCursor& sheet : document.at("sheets").array(1, 100))
    material.sheets.push_back(read_sheet(sheet));
  const JsonCursor grain = document.at("grain");
  try {
    parse_name(grain.at("value").text(), material.grain);
  } catch (const std::invalid_argument& error) {
    grain.at("value").fail(error.what());
  }
  material.grain_source = grain.at("source").text(longest_text);
  const JsonCursor faces = document.at("both_faces_alike");
  material.both_faces_alike = faces.at("value").boolean();
  material.faces_source = faces.at("source").text(longest_text);
  visit_optional(material, [&](const char* key, MaybeSourced& value) {
    if (const auto field = document.find(key)) value = read_sourced(*field);
  });
  if (const std::string fault = material.find_fault(); !fault.empty()) document.fail(fault);
  return material;
}

const std::vector<Material>& find_shipped_materials() {
  static const std::vector<Material> materials = [] {
    std::vector<Material> read;
    for (const ShippedFile& file : shipped_material_files())
      read.push_back(read_material_json(file.text, file.name));
    return read;
  }();
  return materials;
}

Material load_material(const std::string& name_or_file) {
  const bool is_file =
      name_or_file.find('/') != std::string::npos || name_or_file.ends_with(".json");
  if (is_file) return read_material_json(read_file(name_or_file, largest_file), name_or_file);
  std::string names;
  for (const Material& material : find_shipped_materials()) {
    if (material.name == name_or_file) return material;
    names += (names.empty() ? "" : ", ") + material.name;
  }
  throw std::invalid_argument("there is no material " + quote(name_or_file) +
                              "; give a file ending in .json or one of: " + names);
}

std::string describe_materials() {
  std::string text;
  for (const Material& material : find_shipped_materials()) {
    text +=
        format("%-22s %-44s %4.1f mm  %4.2f kg/m2 ", material.name.c_str(), material.title.c_str(),
               material.thickness_mm.value, material.mass_kg_per_m2.value);
    for (const SheetOnSale& sheet : material.sheets)
      text += format(" %gx%g", sheet.short_mm, sheet.long_mm);
    text += "\n";
  }
  return text;
}

}  // namespace sixtyfold
