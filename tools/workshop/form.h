#pragma once
// The form of the workshop: a short table of fields, what each may hold, and the command lines that
// are made of them. Nothing that is not in the table ever gets onto a command line.

#include <map>
#include <string>
#include <vector>

namespace sixtyfold {

/// Texts as typed, by the field's name; every field of the table is there.
using Form = std::map<std::string, std::string>;

/// Names of all fields, in the table's order.
const std::vector<std::string>& form_fields();

/// What it holds before anybody typed.
Form make_form();

/// Throws std::invalid_argument with one sentence: no such field, or a text that it does not take.
/// Numbers are read by the functions that read the options.
void check_field(const std::string& name, const std::string& text);

/// Options of the limits for any command that takes them: --sheet 600x1200 --material ... Throws
/// std::invalid_argument where fields do not go together.
std::vector<std::string> make_limit_arguments(const Form& form);

/// `sixtyfold find` into `folder`.
std::vector<std::string> make_find_command(const Form& form, int seed, const std::string& folder);

/// Files of designs, from the workshop's folder.
struct LikeFiles {
  std::vector<std::string> like, unlike;
};
std::vector<std::string> make_more_command(const Form& form, const LikeFiles& files, int seed,
                                           const std::string& folder);

/// What a design can be tuned for: words of the page, each with its options.
const std::vector<std::string>& tune_purposes();
/// Throws std::invalid_argument: no such purpose.
std::vector<std::string> make_tune_command(const Form& form, const std::string& purpose,
                                           const std::string& file, const std::string& folder);

std::vector<std::string> make_map_command(const Form& form, const std::string& run);
std::vector<std::string> make_gallery_command(const Form& form, const std::string& from,
                                              const std::string& folder);
std::vector<std::string> make_kit_command(const Form& form, const std::string& file,
                                          const std::string& folder);

/// A command as a shell takes it, with the program's name before it.
std::string write_command(const std::vector<std::string>& arguments);

}  // namespace sixtyfold
