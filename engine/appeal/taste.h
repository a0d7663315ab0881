#pragma once
// What people choose by, as six numbers of a score, and how much each of them counts.
//
// Terms, peaks and shipped weights were fitted to one rater's marks of 100 designs of ten groups,
// each looked at as a drawing; five-fold cross-validated rank correlation with the marks 0.56 from
// 24 panels on, 0.64 below. Raters differ: a group's own choices move the weights
// (engine/appeal/taste_fit.h).

#include <array>
#include <string>
#include <vector>

#include "engine/score.h"

namespace sixtyfold {

/// One thing the eye goes by. Its number is told in spreads from an ordinary value, so that a taste
/// can be compared between terms.
struct AppealTerm {
  std::string name;  ///< in files and on the command line
  std::string description;
  double (*place)(const Score&);  ///< in spreads from the ordinary, -4 to 4
  double (*rate)(double place);   ///< how well that pleases at large, 0.02 to 1, with one peak
  double ordinary = 0;            ///< place of an ordinary design
  bool dear = false;  ///< takes a picture (engine/appeal/sight.h): unknown within the search
};

inline constexpr std::size_t appeal_term_count = 6;
/// layers, slenderness, evenness, richness, see_through, legibility.
const std::array<AppealTerm, appeal_term_count>& appeal_terms();

using TermNumbers = std::array<double, appeal_term_count>;

/// Weights: powers of the terms' ratings, 0 or more. Slopes: what a spread more of a term adds to
/// the logarithm of the appeal. Shipped: what most people like; no slopes.
struct Taste {
  TermNumbers weights{0.25, 0.3, 0.5, 1.0, 0.2, 0.25}, slopes{};
  TermNumbers ceilings{};  ///< the most each term can add, from make_taste
  bool operator==(const Taste&) const = default;
};
Taste make_taste(const TermNumbers& weights, const TermNumbers& slopes);
inline constexpr Taste shipped_taste{};

/// Which of a score's numbers are known.
enum class Known { all, cheap };

/// Logarithm of what one term leaves of the appeal, at most 0.
double measure_term(std::size_t term, const Score& score, const Taste& taste);

/// 0 to 1: the product of what the terms leave, 1 for what pleases best in all of them.
/// Known::cheap: what it is at most, the dear terms being as good as can be.
double measure_appeal(const Score& score, const Taste& taste = {}, Known known = Known::all);

/// What speaks for a design or against it: a word of a table by its key ("airy", "tangled"), the
/// number that shows it, with `decimals`.
struct LooksReason {
  std::string key;
  double value = 0;
  int decimals = 0;
  bool against = false;
};
/// The two terms that speak most for a design, beside an ordinary one, and the one that speaks most
/// against it; fewer when it is ordinary.
std::vector<LooksReason> find_looks_reasons(const Score& score, const Taste& taste = {});

/// The same in plain words: "airy: a line through it meets 1.4 panels", "but tangled: ...".
std::vector<std::string> explain_appeal(const Score& score, const Taste& taste = {});

}  // namespace sixtyfold
