#include "results/gallery/gallery_list.h"

#include <cstdint>
#include <nlohmann/json.hpp>

#include "engine/hash.h"
#include "engine/text.h"
#include "results/files/design_name.h"
#include "results/files/json_reader.h"
#include "results/files/json_writer.h"

namespace sixtyfold {
namespace {

using nlohmann::ordered_json;

std::string hash_text(const std::string& text) {
  return format("%016llx", static_cast<unsigned long long>(make_hash(text)));
}

bool is_identity(const std::string& word) {
  return word.size() == 17 && word[0] == 'g' &&
         word.find_first_not_of("0123456789abcdef", 1) == std::string::npos;
}

// Text in a JSON file that is read back: control characters have no place in it.
std::string make_plain(std::string text) {
  for (char& c : text)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = ' ';
  return text;
}

}  // namespace

std::string find_gallery_identity(const std::vector<Design>& designs,
                                  const std::vector<std::string>& names,
                                  const std::vector<int>& numbers) {
  std::string text;
  for (std::size_t i = 0; i < designs.size(); ++i)
    text +=
        std::to_string(numbers[i]) + "\t" + names[i] + "\t" + make_design_name(designs[i]) + "\n";
  return "g" + hash_text(text);
}

std::string write_gallery_list(const GalleryList& list) {
  ordered_json entries = ordered_json::array();
  for (const GalleryEntry& entry : list.entries)
    entries.push_back(
        {{"number", entry.number}, {"name", make_plain(entry.name)}, {"file", entry.file}});
  return write_json({{"format", "sixtyfold-gallery"},
                     {"version", 1},
                     {"identity", list.identity},
                     {"title", make_plain(list.title)},
                     {"designs", entries}});
}

GalleryList read_gallery_list(const std::string& bytes, const std::string& where) {
  const JsonCursor document = JsonCursor::parse(bytes, where);
  if (const auto format = document.find("format"); !format || format->text() != "sixtyfold-gallery")
    document.fail("is no list of a gallery; its format is to be \"sixtyfold-gallery\"");
  document.at("version").integer(1, 1);
  GalleryList list;
  list.identity = document.at("identity").text();
  if (!is_identity(list.identity))
    document.at("identity").fail("is " + quote(list.identity) + "; allowed is g and 16 hex digits");
  list.title = document.at("title").text(4000);
  int last = 0;
  for (const JsonCursor& item : document.at("designs").array(1, most_gallery_designs)) {
    GalleryEntry entry;
    entry.number = static_cast<int>(item.at("number").integer(last + 1, largest_gallery_number));
    last = entry.number;
    entry.name = item.at("name").text(4000);
    entry.file = item.at("file").text(300);
    if (entry.file.size() < 6 || entry.file.find_first_of("/\\") != std::string::npos ||
        entry.file[0] == '.' || entry.file.substr(entry.file.size() - 5) != ".json")
      item.at("file").fail("is " + quote(entry.file) +
                           "; allowed is a plain file name that ends in .json");
    list.entries.push_back(std::move(entry));
  }
  return list;
}

}  // namespace sixtyfold
