#pragma once
// Parameter sets or designs in, scores out: one JSON object a line, so that any optimiser in any
// language can drive the evaluator.

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "search/space/task.h"

namespace sixtyfold {

/// Longest line that is read.
inline constexpr std::size_t longest_score_line = std::size_t{4} << 20;

/// How long a line's answer is waited for. Every line that is read is bounded to less work; this is
/// for a machine that is too busy.
inline constexpr double longest_score_wait_s = 30;

/// Promises: one answer a line, in order; a line that can not be read gives { "error": sentence }
/// and nothing else happens; the same lines give the same answers at any number of threads, but for
/// a line that takes longer than longest_score_wait_s, whose answer says so.
///
/// A line is either a design file on one line, or
/// { "symmetry": "I", "plane": "generic", "family": "radial", "parameters": {"size": 1.2, ...} }
/// where parameters may also be a list in the schema's order. An "id" is given back.
class ScoreStream {
 public:
  ScoreStream(const Limits& limits, const Goals& goals, int threads);
  ~ScoreStream();

  /// `first_line` is the number of the first of them, from 1, for the sentences. `release` is given
  /// each answer as soon as those before it have gone.
  void answer(const std::vector<std::string>& lines, std::uint64_t first_line,
              const std::function<void(const std::string&)>& release);
  /// All answers at once.
  std::vector<std::string> answer(const std::vector<std::string>& lines, std::uint64_t first_line);

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

/// The parameter space of these branches as JSON Schema 2020-12.
std::string write_space_schema(const std::vector<Branch>& branches);

}  // namespace sixtyfold
