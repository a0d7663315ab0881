#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>
#include <memory>

#include "results/gallery_folder.h"
#include "tools/command.h"

namespace sixtyfold {

namespace {

struct GalleryCommand {
  std::string from, out;
  GalleryOptions page;
};

ExitStatus make_gallery(const GalleryCommand& options) {
  if (const std::string fault = options.page.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  const GalleryFolder source = read_gallery_folder(options.from);
  write_gallery_folder(options.out, source.designs, options.page, options.from);
  std::cout
      << source.designs.size() << " designs. Open "
      << (std::filesystem::path(options.out) / "index.html").string()
      << " in a browser; put the saved ballots beside it and count them with\n  sixtyfold tally "
      << (std::filesystem::path(options.out) / "ballots.csv").string() << "\n";
  return ExitStatus::ok;
}

}  // namespace

void add_gallery_command(CLI::App& app) {
  CLI::App* command = add_command(
      app, "gallery", "Make one page on which a group looks at designs, compares them and votes",
      {"sixtyfold gallery --from run --out gallery",
       "sixtyfold gallery --from our-designs --out gallery --title 'Which one for the hall?' "
       "--sheet-price 6.5 --currency euros"});
  auto options = std::make_shared<GalleryCommand>();
  command->add_option("--from", options->from, "folder of a run, or of design files")
      ->type_name("FOLDER")
      ->required();
  command->add_option("--out", options->out, "folder of the page, new or the same as --from")
      ->type_name("FOLDER")
      ->required();
  command->add_option("--title", options->page.title, "title of the page")->capture_default_str();
  command
      ->add_option("--sheet-price", options->page.price_per_sheet,
                   "price of one sheet, to show what the board costs")
      ->type_name("NUMBER");
  command->add_option("--currency", options->page.currency, "word written after the cost")
      ->type_name("WORD");
  command
      ->add_option("--cut-speed", options->page.effort.cut_mm_per_minute,
                   "millimetres cut in a minute, for the hours")
      ->capture_default_str();
  command
      ->add_option("--minutes-per-joint", options->page.effort.minutes_per_joint,
                   "minutes to fold and glue one joint, for the hours")
      ->capture_default_str();
  run_when_chosen(*command, [options] { return make_gallery(*options); });
}

}  // namespace sixtyfold
