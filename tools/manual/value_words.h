#pragma once
// What may stand behind an option, as far as it can be offered while somebody types.

#include <string>
#include <vector>

namespace CLI {
class Option;
}

namespace sixtyfold {

/// What a person's shell can offer for the value of an option or for a positional.
struct OfferedValues {
  std::vector<std::string> words;  ///< one of these, or for lists several with commas between
  bool files = false;              ///< or the name of a file
  bool folders = false;            ///< or of a folder; both: of either
};

/// Words come from where the option takes them: the lists of families, groups, criteria, materials;
/// the set a check of the command line library allows; else from the option itself, which is given
/// a word nobody allows and says in its refusal what is. Each is then tried on the option: what it
/// does not take is not offered. Values tried stay in `option`, whose program must not be run.
OfferedValues find_offered_values(CLI::Option& option);

/// The word for the value in help and man page: "LENGTH", "A4|A3|Letter"; empty for a flag.
std::string describe_value(const CLI::Option& option);

}  // namespace sixtyfold
