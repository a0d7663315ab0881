#include "results/votes/tally_report.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "results/drawings/palette.h"
#include "results/drawings/svg_text.h"
#include "results/files/json_writer.h"

namespace sixtyfold {
namespace {

using nlohmann::ordered_json;

constexpr std::size_t most_duels_shown = 12;  // options of a table that fits a terminal

std::string label(const BallotBox& box, int option) {
  std::string name;
  for (const char c : box.options[static_cast<std::size_t>(option)])
    name += static_cast<unsigned char>(c) < 0x20 || c == 0x7f ? '?' : c;  // a terminal obeys them
  return std::to_string(option + 1) + " " + name;
}

std::string plural(int number, const std::string& word) {
  return std::to_string(number) + " " + word + (number == 1 ? "" : "s");
}

std::string pad(const std::string& text, std::size_t width) {
  std::size_t characters = 0;
  for (const char c : text) characters += (static_cast<unsigned char>(c) & 0xc0) != 0x80;
  return text + std::string(characters < width ? width - characters : 0, ' ');
}

std::string pad_left(const std::string& text, std::size_t width) {
  return std::string(text.size() < width ? width - text.size() : 0, ' ') + text;
}

// At most so many characters; an ellipsis shows the cut.
std::string shorten(const std::string& text, std::size_t most) {
  std::size_t characters = 0;
  for (std::size_t i = 0; i < text.size(); ++i)
    if ((static_cast<unsigned char>(text[i]) & 0xc0) != 0x80 && ++characters > most)
      return text.substr(0, i) + "\u2026";
  return text;
}

std::string join_labels(const BallotBox& box, const std::vector<int>& options) {
  std::string text;
  for (std::size_t i = 0; i < options.size(); ++i)
    text += (i == 0 ? "" : i + 1 < options.size() ? ", " : " and ") + label(box, options[i]);
  return text;
}

const char* const tie_advice =
    "Ties are named, never broken: vote again between the tied options, or draw lots before "
    "witnesses.";

}  // namespace

std::string make_verdict(const BallotBox& box, const VoteTally& tally) {
  if (tally.winners.size() == 1) return label(box, tally.winners[0]) + " wins.";
  return "Tie between " + join_labels(box, tally.winners) + ".";
}

std::string write_tally_text(const BallotBox& box, const VoteTally& tally) {
  std::string text = make_verdict(box, tally) + "\n\n" + plural(tally.voters, "ballot") +
                     " counted by " + name_of(tally.method) + ", " +
                     std::to_string(box.spoiled.size()) + " spoiled.\n" + tally.rule + "\n" +
                     tie_advice + "\n\nplace  " + tally.score_unit + "\n";
  std::size_t width = 0;
  for (const TallyRow& row : tally.rows) width = std::max(width, label(box, row.option).size());
  for (const TallyRow& row : tally.rows)
    text += pad_left(std::to_string(row.place), 5) + "  " + pad(label(box, row.option), width) +
            "  " + write_number(row.score) + "\n";
  if (!tally.rounds.empty()) {
    text +=
        "\nRounds (first places; where several are tied for the fewest, the first of them is "
        "shown to drop out):\n";
    for (std::size_t r = 0; r < tally.rounds.size(); ++r) {
      text += "  " + std::to_string(r + 1) + ":";
      for (std::size_t i = 0; i < tally.rounds[r].size(); ++i)
        if (tally.rounds[r][i] >= 0)
          text += "  " + label(box, static_cast<int>(i)) + " " + std::to_string(tally.rounds[r][i]);
      text += "\n";
    }
  }
  if (!tally.duels.empty()) {
    text += tally.condorcet_winner >= 0
                ? "\n" + label(box, tally.condorcet_winner) + " wins every duel.\n"
                : "\nNo option wins every duel.\n";
    if (tally.duels.size() <= most_duels_shown) {
      text += "Duels, voters who put the row before the column:\n       ";
      for (std::size_t j = 0; j < tally.duels.size(); ++j)
        text += pad_left(std::to_string(j + 1), 6);
      text += "\n";
      for (std::size_t i = 0; i < tally.duels.size(); ++i) {
        text += pad_left(std::to_string(i + 1), 7);
        for (std::size_t j = 0; j < tally.duels.size(); ++j)
          text += pad_left(i == j ? "-" : std::to_string(tally.duels[i][j]), 6);
        text += "\n";
      }
    }
  }
  if (!box.spoiled.empty()) text += "\nSpoiled ballots, not counted:\n";
  for (const SpoiledBallot& spoiled : box.spoiled)
    text += "  line " + std::to_string(spoiled.line) + ": " + spoiled.reason + "\n";
  return text;
}

std::string write_tally_json(const BallotBox& box, const VoteTally& tally) {
  ordered_json rows = ordered_json::array(), winners = ordered_json::array(),
               spoiled = ordered_json::array();
  for (const TallyRow& row : tally.rows)
    rows.push_back({{"place", row.place},
                    {"option", row.option + 1},
                    {"name", box.options[static_cast<std::size_t>(row.option)]},
                    {"score", row.score}});
  for (const int option : tally.winners) winners.push_back(option + 1);
  for (const SpoiledBallot& ballot : box.spoiled)
    spoiled.push_back({{"line", ballot.line}, {"reason", ballot.reason}});
  ordered_json document = {{"format", "sixtyfold-tally"},
                           {"version", 1},
                           {"method", name_of(tally.method)},
                           {"winners", winners},
                           {"tie", tally.winners.size() > 1},
                           {"rule", tally.rule + " " + tie_advice},
                           {"voters", tally.voters},
                           {"score_unit", tally.score_unit},
                           {"standing", rows},
                           {"spoiled", spoiled}};
  if (!tally.duels.empty()) {
    document["condorcet_winner"] =
        tally.condorcet_winner < 0 ? ordered_json() : ordered_json(tally.condorcet_winner + 1);
    document["duels"] = tally.duels;
  }
  if (!tally.rounds.empty()) {
    document["rounds"] = ordered_json::array();
    for (const auto& round : tally.rounds) {
      ordered_json counts = ordered_json::array();
      for (const int count : round)
        counts.push_back(count < 0 ? ordered_json() : ordered_json(count));
      document["rounds"].push_back(counts);
    }
  }
  return write_json(document);
}

std::string make_tally_chart_svg(const BallotBox& box, const VoteTally& tally,
                                 const std::string& title) {
  const double row_mm = 9, top = 36, left = 62, right = 178;
  const double height = top + row_mm * static_cast<double>(tally.rows.size()) + 10;
  // The longer a bar, the better, whatever the rule counts.
  const bool less_is_better =
      tally.method == TallyMethod::schulze || tally.method == TallyMethod::minimax;
  const double worst = tally.method == TallyMethod::schulze
                           ? static_cast<double>(tally.rows.size()) - 1
                           : tally.voters;
  double most = less_is_better ? worst : 0;
  for (const TallyRow& row : tally.rows) most = std::max(most, row.score);
  const std::string verdict = make_verdict(box, tally);
  const std::string heading =
      tally.winners.size() <= 3
          ? verdict
          : "Tie between " + std::to_string(tally.winners.size()) + " options.";
  const double heading_mm =
      std::min(7.0, 176 / (0.56 * static_cast<double>(std::max<std::size_t>(1, heading.size()))));
  std::string svg = write_svg_head({200, height}, title, verdict);
  svg += std::string("<rect width=\"200\" height=\"") + write_number(height) + "\" fill=\"" +
         paper_colour + "\"/>\n<g font-family=\"" + drawing_fonts + "\" fill=\"" + ink_colour +
         "\">\n";
  svg += write_text({12, 15}, heading_mm, "font-weight=\"bold\"", heading);
  const std::string quiet = std::string("fill=\"") + quiet_ink + "\"";
  svg += write_text({12, 22.5}, 3.6, quiet, shorten(title, 90));
  svg += write_text({12, 28}, 3.6, quiet,
                    plural(tally.voters, "ballot") + ", " + std::to_string(box.spoiled.size()) +
                        " spoiled, counted by " + name_of(tally.method) + "; the numbers are " +
                        tally.score_unit + (less_is_better ? ", fewer is better" : ""));
  for (std::size_t i = 0; i < tally.rows.size(); ++i) {
    const TallyRow& row = tally.rows[i];
    const double y = top + row_mm * static_cast<double>(i);
    const double value = less_is_better ? worst - row.score : row.score;
    const double wide = most > 0 ? (right - left) * value / most : 0;
    const bool wins = row.place == 1;
    const std::string ink = wins ? "font-weight=\"bold\"" : quiet;
    svg += write_text({12, y + 4.6}, 4, ink, std::to_string(row.place) + ".");
    svg += write_text({20, y + 4.6}, 4, ink, shorten(label(box, row.option), 20));
    svg += "<rect x=\"" + write_number(left) + "\" y=\"" + write_number(y) + "\" width=\"" +
           write_number(std::max(wide, 0.3)) + "\" height=\"6.4\" rx=\"1\" fill=\"" +
           (wins ? panel_colours[2] : panel_colours[0]) + "\"/>\n";
    svg += write_text({left + wide + 2, y + 4.6}, 4, ink, write_number(row.score));
  }
  return svg + "</g>\n</svg>\n";
}

}  // namespace sixtyfold
