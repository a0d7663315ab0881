#include "engine/appeal/taste.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/text.h"

namespace sixtyfold {

namespace {

constexpr double farthest = 4;  // spreads

double clamp_place(double place) { return std::clamp(place, -farthest, farthest); }

/// 0.02 up to `from`, rising to 1 at `to`; `to` may lie below `from`.
double ramp(double value, double from, double to) {
  return std::clamp((value - from) / (to - from), 0.02, 1.0);
}

// The ordinary value and the spread of each number: median and half the middle four fifths of the
// 100 designs, rounded.
constexpr double ordinary_slenderness = 0.27, slenderness_spread = 0.13;
constexpr double ordinary_evenness = 1, evenness_spread = 0.2;
constexpr double ordinary_richness = 5, richness_spread = 1;  // binary logarithm of the panels
constexpr double ordinary_sight = 0.03, sight_spread = 0.03;
constexpr double ordinary_legibility = 0.45, legibility_spread = 0.12;
constexpr double best_layers = 1.35, layers_ratio = 1.57;  // a spread is a ratio

double place_layers(const Score& s) {
  return clamp_place(std::log(std::max(s.layers, 1e-9) / best_layers) / std::log(layers_ratio));
}
double rate_layers(double place) { return std::max(0.02, std::exp(-place * place / 2)); }

double place_slenderness(const Score& s) {
  return clamp_place((s.slenderness - ordinary_slenderness) / slenderness_spread);
}
double rate_slenderness(double place) {
  const double value = ordinary_slenderness + slenderness_spread * place;
  return std::min(ramp(value, 0, 0.1), ramp(value, 0.7, 0.15));
}

double place_evenness(const Score& s) {
  return clamp_place((s.evenness - ordinary_evenness) / evenness_spread);
}
double rate_evenness(double place) {
  return ramp(ordinary_evenness + evenness_spread * place, 0, 1);
}

double place_richness(const Score& s) {
  return clamp_place((std::log2(std::max(1, s.panels)) - ordinary_richness) / richness_spread);
}
double rate_richness(double place) {
  return ramp(ordinary_richness + richness_spread * place, 1, 5);
}

double place_see_through(const Score& s) {
  return clamp_place((s.see_through - ordinary_sight) / sight_spread);
}
double rate_see_through(double place) {
  return ramp(ordinary_sight + sight_spread * place, -0.002, 0.06);
}

double place_legibility(const Score& s) {
  return clamp_place((s.legibility - ordinary_legibility) / legibility_spread);
}
double rate_legibility(double place) {
  return ramp(ordinary_legibility + legibility_spread * place, 0.1, 0.6);
}

double weigh(std::size_t term, double place, const Taste& taste) {
  return taste.weights[term] * std::log(appeal_terms()[term].rate(place)) +
         taste.slopes[term] * place;
}

/// What a term's number means, without judging it.
LooksReason describe_term(std::size_t term, const Score& s) {
  const double place = appeal_terms()[term].place(s);
  const auto pick = [&](double high, double low, const char* above, const char* below,
                        const char* between) {
    return place > high ? above : place < low ? below : between;
  };
  switch (term) {
    case 0:
      return {pick(0.8, -0.8, "dense", "sparse", "airy"), s.layers, 1};
    case 1:
      return {pick(0.3, -0.3, "broad", "slender", "middling"), 100 * s.slenderness};
    case 2:
      return {s.evenness > 0.8 ? "round" : "long", 100 * s.evenness};
    case 3:
      return {pick(-0.2, -1.2, "rich", "simple", "few"), static_cast<double>(s.panels)};
    case 4:
      return {place > 0              ? "windows"
              : s.see_through < 0.01 ? "closed"
                                     : "hardly_open",
              100 * s.see_through};
    default:
      return {place > 0 ? "legible" : "tangled", 100 * s.legibility};
  }
}

/// In English, {n} being the number.
std::string find_reason_words(const std::string& key) {
  static const std::map<std::string, std::string> words = {
      {"dense", "dense: a line through it meets {n} panels"},
      {"airy", "airy: a line through it meets {n} panels"},
      {"sparse", "sparse: a line through it meets {n} panels"},
      {"broad", "broad parts: each fills {n} % of the square on its length"},
      {"middling", "middling parts: each fills {n} % of the square on its length"},
      {"slender", "slender parts: each fills {n} % of the square on its length"},
      {"round", "round: alike in all directions"},
      {"long", "flat or long: {n} % as deep one way as another"},
      {"rich", "rich: {n} panels"},
      {"few", "few: {n} panels"},
      {"simple", "simple: {n} panels"},
      {"windows", "windows: one sees through {n} % of it"},
      {"hardly_open", "hardly open: one sees through {n} % of it"},
      {"closed", "closed: one sees through {n} % of it"},
      {"legible", "legible: of each panel {n} % shows"},
      {"tangled", "tangled: of each panel {n} % shows"}};
  return words.at(key);
}

}  // namespace

const std::array<AppealTerm, appeal_term_count>& appeal_terms() {
  // Sources: layers, Cauchy and Crofton's formula (Santalo 1976) with an optimum between too simple
  // and too complex (Berlyne 1971). Evenness, the pull of balance (Arnheim 1954). Richness,
  // complexity by number of elements (Berlyne 1971), here monotone as no design had more panels
  // than pleased. See-through and legibility, how much is shown of what there is to see (Kaplan and
  // Kaplan 1989). Slenderness and all numbers: from the marks.
  static const std::array<AppealTerm, appeal_term_count> terms = {{
      {"layers", "panels on a line through the construction, best near 1.35", place_layers,
       rate_layers, 0.75},
      {"slenderness", "panel's area over its length squared, best near 0.12", place_slenderness,
       rate_slenderness},
      {"evenness", "how alike the construction is in all directions, 1: a ball", place_evenness,
       rate_evenness},
      {"richness", "panels, best from 32 on", place_richness, rate_richness},
      {"see_through", "share of the silhouette through which one sees, best from 0.06 on",
       place_see_through, rate_see_through, 0, true},
      {"legibility", "share of a panel that no other hides, best from 0.6 on", place_legibility,
       rate_legibility, 0, true},
  }};
  return terms;
}

Taste make_taste(const TermNumbers& weights, const TermNumbers& slopes) {
  Taste taste{weights, slopes, {}};
  constexpr int steps = 80;
  for (std::size_t term = 0; term < appeal_term_count; ++term) {
    if (slopes[term] == 0) continue;  // the best rating is 1, its logarithm 0
    double best = weigh(term, -farthest, taste);
    for (int i = 1; i <= steps; ++i)
      best = std::max(best, weigh(term, -farthest + 2 * farthest * i / steps, taste));
    taste.ceilings[term] = best;
  }
  return taste;
}

double measure_term(std::size_t term, const Score& score, const Taste& taste) {
  return std::min(0.0,
                  weigh(term, appeal_terms()[term].place(score), taste) - taste.ceilings[term]);
}

double measure_appeal(const Score& score, const Taste& taste, Known known) {
  double sum = 0;
  for (std::size_t i = 0; i < appeal_term_count; ++i)
    if (known == Known::all || !appeal_terms()[i].dear) sum += measure_term(i, score, taste);
  return std::exp(sum);
}

std::vector<LooksReason> find_looks_reasons(const Score& score, const Taste& taste) {
  struct Reason {
    double gain;  // beside an ordinary design
    std::size_t term;
  };
  std::vector<Reason> reasons;
  for (std::size_t i = 0; i < appeal_term_count; ++i)
    reasons.push_back({weigh(i, appeal_terms()[i].place(score), taste) -
                           weigh(i, appeal_terms()[i].ordinary, taste),
                       i});
  std::stable_sort(reasons.begin(), reasons.end(),
                   [](const Reason& a, const Reason& b) { return a.gain > b.gain; });
  constexpr double least_for = 0.02, least_against = 0.15;
  std::vector<LooksReason> found;
  for (std::size_t i = 0; i < 2; ++i)
    if (reasons[i].gain > least_for) found.push_back(describe_term(reasons[i].term, score));
  if (reasons.back().gain < -least_against) {
    found.push_back(describe_term(reasons.back().term, score));
    found.back().against = true;
  }
  return found;
}

std::vector<std::string> explain_appeal(const Score& score, const Taste& taste) {
  std::vector<std::string> sentences;
  for (const LooksReason& reason : find_looks_reasons(score, taste)) {
    std::string text = find_reason_words(reason.key);
    if (const std::size_t at = text.find("{n}"); at != std::string::npos)
      text.replace(at, 3, format("%.*f", reason.decimals, reason.value));
    sentences.push_back((reason.against ? "but " : "") + text);
  }
  return sentences;
}

}  // namespace sixtyfold
