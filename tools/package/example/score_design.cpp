// Reads a design file, measures it afresh and prints its score: score_design DESIGN.json
#include <cstdio>
#include <exception>

#include "engine/variant/inspection.h"
#include "results/files/design_json.h"
#include "results/files/file.h"

int main(int argc, char** argv) try {
  if (argc != 2) throw std::invalid_argument("one argument is wanted, a design file");
  const sixtyfold::Inspection found =
      sixtyfold::inspect(sixtyfold::read_design_json(sixtyfold::read_file(argv[1]), argv[1]));
  for (const std::string& fault : found.faults) std::printf("fault: %s\n", fault.c_str());
  const sixtyfold::Score& score = found.design.score;
  std::printf("panels %d\njoints %d\nstiffness %.17g\nappeal %.17g\n", score.panels, score.joints,
              score.stiffness, score.appeal);
  return found.buildable() ? 0 : 1;
} catch (const std::exception& fault) {
  std::fprintf(stderr, "score_design: %s\n", fault.what());
  return 2;
}
