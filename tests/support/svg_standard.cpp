#include "tests/support/svg_standard.h"

#include "results/files/file.h"
#include "tests/support/run_program.h"

namespace sixtyfold {

std::string find_svg_faults(const std::string& svg) {
  const std::string dtd = "/usr/share/xml/w3c-sgml-lib/schema/dtd/REC-SVG11-20110816/svg11.dtd";
  if (!std::filesystem::exists(dtd)) return "w3c-sgml-lib is not installed";
  const ScratchFolder folder;
  write_file(folder.path() / "drawing.svg", svg);
  const ProgramResult result = run_program(
      {"xmllint", "--noout", "--nonet", "--dtdvalid", dtd, "drawing.svg"}, folder.path());
  if (result.status == 0) return result.err;
  return "xmllint ended with " + std::to_string(result.status) + ": " + result.err;
}

}  // namespace sixtyfold
