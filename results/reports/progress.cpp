#include "results/reports/progress.h"

#include <sys/ioctl.h>
#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <ostream>

namespace sixtyfold {

namespace {

constexpr double terminal_step_s = 0.1, log_step_s = 10;

/// Three digits and a letter: 950, 1.24 k, 98.0 k, 1.24 M.
std::string show_count(double count) {
  const char* suffix = "";
  for (const char* larger : {" k", " M", " G"}) {
    if (count < 999.5) break;
    count /= 1000;
    suffix = larger;
  }
  const int decimals = *suffix == '\0' || count >= 99.95 ? 0 : count >= 9.995 ? 1 : 2;
  char text[32];
  std::snprintf(text, sizeof text, "%.*f%s", decimals, count, suffix);
  return text;
}

std::string show_time(double seconds) {
  const long whole = std::lround(seconds);
  char text[32];
  if (whole >= 3600)
    std::snprintf(text, sizeof text, "%ld:%02ld:%02ld", whole / 3600, whole / 60 % 60, whole % 60);
  else
    std::snprintf(text, sizeof text, "%ld:%02ld", whole / 60, whole % 60);
  return text;
}

std::size_t measure_terminal_width() {
  winsize size{};
  if (::ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) return size.ws_col;
  return 80;
}

}  // namespace

std::string make_progress_line(const ProgressState& state, std::size_t width) {
  std::string line;
  if (state.share_done > 0)
    line += std::to_string(std::lround(100 * std::fmin(state.share_done, 1))) + " % | ";
  line += show_count(static_cast<double>(state.variants)) + " variants";
  if (state.seconds > 0)
    line += ", " + show_count(static_cast<double>(state.variants) / state.seconds) + "/s";
  line += " | " + show_count(static_cast<double>(state.feasible)) + " feasible";
  if (state.share_done >= 0.02 && state.share_done < 1)
    line += " | " + show_time(state.seconds * (1 / state.share_done - 1)) + " left";
  else if (state.share_done <= 0)
    line += " | " + show_time(state.seconds);
  if (!state.best.empty()) line += " | best: " + state.best;
  return line.substr(0, width);
}

Progress::Style Progress::find_style(bool quiet) {
  return quiet ? Style::quiet : ::isatty(STDERR_FILENO) ? Style::terminal : Style::log;
}

void Progress::show(const ProgressState& state) {
  if (style_ == Style::quiet || state.seconds < next_s_) return;
  const bool on_terminal = style_ == Style::terminal;
  next_s_ = state.seconds + (on_terminal ? terminal_step_s : log_step_s);
  if (on_terminal)
    stream_ << "\r\033[K" << make_progress_line(state, measure_terminal_width() - 1) << std::flush;
  else
    stream_ << make_progress_line(state, 200) << std::endl;
  is_open_ = on_terminal;
}

void Progress::finish() {
  if (is_open_) stream_ << "\r\033[K" << std::flush;
  is_open_ = false;
}

}  // namespace sixtyfold
