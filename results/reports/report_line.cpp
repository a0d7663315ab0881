#include "results/reports/report_line.h"

namespace sixtyfold {

void add_report_line(std::string& report, const std::string& heading, const std::string& text) {
  report += heading + std::string(heading.size() < 16 ? 16 - heading.size() : 1, ' ') + text + "\n";
}

}  // namespace sixtyfold
