#include <catch2/catch.hpp>

#include "tests/support/run_program.h"

using namespace sixtyfold;

TEST_CASE("from an empty folder to a printed kit by mouse, by touch and by keyboard alone",
          "[workshop][browser]") {
  const ScratchFolder scratch;
  for (const char* const way : {"mouse", "touch", "keyboard"}) {
    const ProgramResult browsed =
        run_program({"python3", source_folder() + "/tests/support/browse_workshop.py",
                     program_path(), way, way},
                    scratch.path());
    INFO(way << ": " << browsed.out << browsed.err);
    CHECK(browsed.status == 0);
  }
}
