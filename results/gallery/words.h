#pragma once
// Every word of the gallery page in one table, so that a page speaks one language.

#include <map>
#include <string>
#include <utility>
#include <vector>

namespace sixtyfold {

/// Words by key, from results/gallery/words/ or somebody's own file of the same shape. A text may
/// hold {places} to be filled in; where it has forms for numbers they are divided by | in the
/// order zero, one, two, few, many, other, as far as the language has them (Unicode CLDR plural
/// rules; the page chooses the form).
struct GalleryWords {
  std::string language;                      ///< a tag such as "en" or "pt-BR" (BCP 47)
  std::map<std::string, std::string> words;  ///< the same keys in every language

  /// The text of a key with its places filled in. The key must be one of the table.
  std::string say(const std::string& key,
                  const std::vector<std::pair<std::string, std::string>>& values = {}) const;
  /// With the language's decimal mark.
  std::string write_number(double value, int decimals) const;
};

/// Languages that come with the program: "en", "de".
std::vector<std::string> find_word_languages();

/// The words of a language that comes with the program, or of a file (its name ends in .json).
/// Keys that a file leaves out are English. Throws std::invalid_argument: no such language, no such
/// file, a key that is not in the table, a place {like this} that the English text has not.
GalleryWords read_gallery_words(const std::string& language_or_file);

/// As a file that read_gallery_words reads: a start for one's own.
std::string write_gallery_words(const GalleryWords& words);

}  // namespace sixtyfold
