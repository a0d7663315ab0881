#include "tools/cutting_options.h"

#include <stdexcept>

#include "results/json_reader.h"
#include "tools/arguments.h"
#include "tools/options.h"

namespace sixtyfold {

void add_cutting_options(CLI::App& app, CuttingOptions& cutting) {
  constexpr char group[] = "Cutting (every number is an assumption: time one stack and put in yours)";
  const auto add_length = [&](const char* name, double& value, const char* help) {
    add_parsed_option(app, name, "LENGTH", [&value](const std::string& text) { value = parse_length_mm(text); }, help)
        ->group(group);
  };
  add_parsed_option(
      app, "--tool", "TOOL",
      [&cutting](const std::string& text) {
        if (text == "knife") cutting = make_knife_options(cutting.thickness_mm);
        else if (text == "scroll-saw") cutting = CuttingOptions{};
        else throw std::invalid_argument("is " + quote(text) + "; allowed is knife or scroll-saw");
      },
      "knife or scroll-saw: sets the numbers below to usual ones, unless given")
      ->group(group);
  add_length("--cutting-height", cutting.cutting_height_mm, "of a stack");
  add_length("--throat", cutting.throat_mm, "from the saw's blade to its column");
  add_parsed_option(app, "--feed", "MM/MIN",
                    [&cutting](const std::string& text) { cutting.feed_mm_per_min = parse_number(text, {1, 1e5}); },
                    "speed along the cut")
      ->group(group);
}

}  // namespace sixtyfold
