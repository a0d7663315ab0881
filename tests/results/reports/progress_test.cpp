#include "results/reports/progress.h"

#include <catch2/catch.hpp>
#include <sstream>

using namespace sixtyfold;

TEST_CASE("the progress line tells rate, feasible count, time left and best", "[progress]") {
  ProgressState state;
  state.seconds = 20;
  state.share_done = 0.25;
  state.variants = 1'240'000;
  state.feasible = 950;
  state.best = "I, 60 panels";
  CHECK(make_progress_line(state, 200) ==
        "25 % | 1.24 M variants, 62.0 k/s | 950 feasible | 1:00 left | best: I, 60 panels");
  CHECK(make_progress_line(state, 20).size() == 20);
  CHECK(make_progress_line({}, 200) == "0 variants | 0 feasible | 0:00");
}

TEST_CASE("a log gets plain lines, quiet gets nothing", "[progress]") {
  std::ostringstream log, terminal, quiet;
  {
    Progress a(log, Progress::Style::log), b(terminal, Progress::Style::terminal),
        c(quiet, Progress::Style::quiet);
    for (int i = 0; i < 100; ++i) {
      ProgressState state;
      state.seconds = 0.25 * i;
      for (Progress* progress : {&a, &b, &c}) progress->show(state);
    }
  }
  CHECK(quiet.str().empty());
  CHECK(log.str().find('\r') == std::string::npos);
  const std::string lines = log.str();
  CHECK(std::count(lines.begin(), lines.end(), '\n') == 3);
  CHECK(terminal.str().ends_with("\r\033[K"));
  CHECK(terminal.str().find('\n') == std::string::npos);
}
