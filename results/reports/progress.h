#pragma once
// What a run shows while it works: a line that is written over on a terminal, plain lines in a log.

#include <cstdint>
#include <iosfwd>
#include <string>

namespace sixtyfold {

struct ProgressState {
  double seconds = 0;     ///< since the run began
  double share_done = 0;  ///< 0 to 1; 0 when no end is set
  std::uint64_t variants = 0, feasible = 0;
  std::string best;  ///< the best so far in a few words; may be empty
};

/// "41 % | 1.24 M variants, 98000/s | 5120 feasible | best: ... | 0:12 left": what is known, cut to
/// `width` columns. Time left is told from 2 % on.
std::string make_progress_line(const ProgressState& state, std::size_t width);

/// Promises: a terminal gets at most ten updates a second on one line, which is cleared at the end;
/// anything else gets a whole line every ten seconds; quiet gets nothing. Never throws.
class Progress {
 public:
  enum class Style { terminal, log, quiet };

  /// terminal when standard error is one, else log.
  static Style find_style(bool quiet);

  Progress(std::ostream& stream, Style style) : stream_(stream), style_(style) {}
  ~Progress() { finish(); }
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  /// Call as often as you like, from one thread.
  void show(const ProgressState& state);
  /// Clears the line.
  void finish();

 private:
  std::ostream& stream_;
  Style style_;
  double next_s_ = 0;
  bool is_open_ = false;
};

}  // namespace sixtyfold
