#include "results/workshop/workshop_page.h"

#include <nlohmann/json.hpp>

#include "results/drawings/markup_text.h"
#include "results/files/material_json.h"
#include "results/gallery/page_assets.h"
#include "results/gallery/page_text.h"
#include "results/workshop/workshop_assets.h"

namespace sixtyfold {

std::string make_workshop_page(const GalleryWords& words, const std::string& nonce) {
  std::string boards;
  for (const Material& material : find_shipped_materials())
    boards += "<option value=\"" + make_markup_text(material.name) + "\">" +
              make_markup_text(material.title) + "</option>";
  return fill_in(
      workshop_html, words,
      {{"head", make_page_head(words, make_markup_text(words.say("shop_title"), 2000),
                               std::string(page_css) + workshop_css, "")},
       {"turn_buttons", make_turn_buttons(words)},
       {"nonce", nonce},
       {"boards", boards},
       {"data", write_script_json({{"words", make_script_words(words)}})},
       {"script", fill_in(workshop_js, words, {{"basics", basics_js}, {"view", view_js}})}});
}

}  // namespace sixtyfold
