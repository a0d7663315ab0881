#include "results/voting/desk_page.h"

#include <nlohmann/json.hpp>

#include "results/drawings/markup_text.h"
#include "results/gallery/page_assets.h"
#include "results/gallery/page_text.h"
#include "results/voting/voting_assets.h"

namespace sixtyfold {

using nlohmann::ordered_json;

std::string make_desk_page(const DeskPage& page) {
  const GalleryWords& words = page.words;
  ordered_json designs = ordered_json::array();
  for (const GalleryEntry& entry : page.gallery.entries)
    designs.push_back({{"number", entry.number}, {"name", entry.name}});
  const ordered_json data = {{"id", page.gallery.identity},
                             {"method", page.ranks ? "ranking" : "approval"},
                             {"designs", designs},
                             {"words", make_script_words(words, {"map_", "guide_"})}};
  const std::string shown = page.address.substr(page.address.find("//") + 2);
  return fill_in(
      desk_html, words,
      {{"title", make_markup_text(page.title, 400)},
       {"head", make_page_head(words, make_markup_text(page.title, 400),
                               std::string(page_css) + desk_css, "")},
       {"address", make_markup_text(shown)},
       {"square", make_square_code_svg(page.square, page.address)},
       {"choose", make_markup_text(words.say(page.ranks ? "choose_in_order" : "pick_every"), 400)},
       {"folder", make_markup_text(page.folder, 2000)},
       {"command", make_markup_text(page.command, 2000)},
       {"paper", fill_in(paper_html, words, {})},
       {"data", write_script_json(data)},
       {"script", fill_in(desk_js, words,
                          {{"basics", basics_js}, {"ballots", ballots_js}, {"paper", paper_js}})}});
}

}  // namespace sixtyfold
