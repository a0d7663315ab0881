#include "results/votes/tally_report.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "results/drawings/number_text.h"
#include "results/drawings/page.h"
#include "results/drawings/palette.h"
#include "results/files/json_writer.h"

namespace sixtyfold {
namespace {

using nlohmann::ordered_json;

constexpr std::size_t most_duels_shown = 12;  // designs of a table that fits a terminal

std::string plural(int number, const std::string& word) {
  return std::to_string(number) + " " + word + (number == 1 ? "" : "s");
}

std::size_t count_characters(const std::string& text) {
  std::size_t characters = 0;
  for (const char c : text) characters += (static_cast<unsigned char>(c) & 0xc0) != 0x80;
  return characters;
}

std::string pad(const std::string& text, std::size_t width) {
  const std::size_t characters = count_characters(text);
  return text + std::string(characters < width ? width - characters : 0, ' ');
}

// What one design has in one count: its score or its place; a dash where nothing counts.
std::string write_cell(const std::optional<VoteTally>& tally, int design, bool score) {
  if (tally)
    for (const TallyRow& row : tally->rows)
      if (row.design == design)
        return score ? write_number(row.score) : std::to_string(row.place) + ".";
  return "-";
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

const char* const tie_advice =
    "Ties are named, never broken: vote again between the tied designs, or draw lots before "
    "witnesses.";

int number_of(const BallotBox& box, int design) {
  return box.numbers[static_cast<std::size_t>(design)];
}

// A terminal obeys control characters.
std::string make_printable(const std::string& text) {
  std::string safe;
  for (const char c : text) safe += static_cast<unsigned char>(c) < 0x20 || c == 0x7f ? '?' : c;
  return safe;
}

std::string label(const BallotBox& box, int design) {
  return std::to_string(number_of(box, design)) + " " +
         make_printable(box.designs[static_cast<std::size_t>(design)]);
}

// "5a.csv line 7", or "line 7" where there is one file only.
std::string where_of(const BallotBox& box, const SpoiledBallot& ballot) {
  return (box.files.size() > 1
              ? make_printable(box.files[static_cast<std::size_t>(ballot.file)]) + " "
              : "") +
         "line " + std::to_string(ballot.line);
}

std::string count_ballots(const BallotBox& box, const VoteTally& tally) {
  const int blank = box.blank_voters();
  return plural(tally.voters, "ballot") + " counted by " + title_of(tally.method) + ", " +
         (blank > 0 ? std::to_string(blank) + " blank, " : "") +
         std::to_string(box.spoiled.size()) + " spoiled";
}

std::string join_labels(const BallotBox& box, const std::vector<int>& designs) {
  std::string text;
  for (std::size_t i = 0; i < designs.size(); ++i)
    text += (i == 0 ? "" : i + 1 < designs.size() ? ", " : " and ") + label(box, designs[i]);
  return text;
}

}  // namespace

std::string make_verdict(const BallotBox& box, const VoteTally& tally) {
  if (tally.winners.size() == 1) return label(box, tally.winners[0]) + " wins.";
  return "Tie between " + join_labels(box, tally.winners) + ".";
}

namespace {

// Each class by itself and all together; scores where they sum up, else places.
std::string write_classes(const BallotBox& box, const VoteTally& tally) {
  const std::vector<ClassTally> classes = make_class_tallies(box, tally.method);
  if (classes.empty()) return "";
  const bool sums = adds_up(tally.method);
  std::size_t width = 7;
  for (const TallyRow& row : tally.rows) width = std::max(width, label(box, row.design).size());
  std::vector<std::string> heads;
  for (const ClassTally& part : classes) heads.push_back(shorten(make_printable(part.name), 14));
  heads.push_back("all");
  std::string text = std::string("\nBy class (") + (sums ? tally.score_unit : "places") + "):\n";
  const auto add_line = [&](const std::string& name, const std::vector<std::string>& cells) {
    text += "  " + pad(name, width);
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const std::size_t room = std::max<std::size_t>(6, count_characters(heads[i]));
      const std::size_t used = count_characters(cells[i]);
      text += "  " + std::string(used < room ? room - used : 0, ' ') + cells[i];
    }
    text += "\n";
  };
  add_line("", heads);
  for (const TallyRow& row : tally.rows) {
    std::vector<std::string> cells;
    for (const ClassTally& part : classes)
      cells.push_back(write_cell(part.tally, row.design, sums));
    cells.push_back(write_cell(tally, row.design, sums));
    add_line(label(box, row.design), cells);
  }
  std::vector<std::string> voters, blank, spoiled;
  for (const ClassTally& part : classes) {
    voters.push_back(std::to_string(part.tally ? part.tally->voters : 0));
    blank.push_back(std::to_string(part.blank));
    spoiled.push_back(std::to_string(part.spoiled));
  }
  voters.push_back(std::to_string(tally.voters));
  blank.push_back(std::to_string(box.blank_voters()));
  spoiled.push_back(std::to_string(box.spoiled.size()));
  add_line("ballots", voters);
  add_line("blank", blank);
  add_line("spoiled", spoiled);
  return text;
}

}  // namespace

std::string write_tally_text(const BallotBox& box, const VoteTally& tally) {
  std::string text = make_verdict(box, tally) + "\n\n" + count_ballots(box, tally) + ".\n" +
                     tally.rule + "\n" + tie_advice + "\n\nplace  " + tally.score_unit + "\n";
  std::size_t width = 0;
  for (const TallyRow& row : tally.rows) width = std::max(width, label(box, row.design).size());
  for (const TallyRow& row : tally.rows)
    text += pad_left(std::to_string(row.place), 5) + "  " + pad(label(box, row.design), width) +
            "  " + write_number(row.score) + "\n";
  text += write_classes(box, tally);
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
                : "\nNo design wins every duel.\n";
    if (tally.duels.size() <= most_duels_shown) {
      text += "Duels, voters who put the row before the column:\n       ";
      for (std::size_t j = 0; j < tally.duels.size(); ++j)
        text += pad_left(std::to_string(number_of(box, static_cast<int>(j))), 6);
      text += "\n";
      for (std::size_t i = 0; i < tally.duels.size(); ++i) {
        text += pad_left(std::to_string(number_of(box, static_cast<int>(i))), 7);
        for (std::size_t j = 0; j < tally.duels.size(); ++j)
          text += pad_left(i == j ? "-" : std::to_string(tally.duels[i][j]), 6);
        text += "\n";
      }
    }
  }
  if (!box.spoiled.empty()) text += "\nSpoiled ballots, not counted:\n";
  for (const SpoiledBallot& spoiled : box.spoiled)
    text += "  " + where_of(box, spoiled) + ": " + spoiled.reason + "\n";
  if (!box.notices.empty()) text += "\nTo know:\n";
  for (const std::string& notice : box.notices) text += "  " + make_printable(notice) + "\n";
  return text;
}

namespace {

ordered_json write_standing(const BallotBox& box, const VoteTally& tally) {
  ordered_json rows = ordered_json::array();
  for (const TallyRow& row : tally.rows)
    rows.push_back({{"place", row.place},
                    {"design", number_of(box, row.design)},
                    {"name", box.designs[static_cast<std::size_t>(row.design)]},
                    {"score", row.score}});
  return rows;
}

ordered_json write_winners(const BallotBox& box, const VoteTally& tally) {
  ordered_json winners = ordered_json::array();
  for (const int design : tally.winners) winners.push_back(number_of(box, design));
  return winners;
}

}  // namespace

std::string write_tally_json(const BallotBox& box, const VoteTally& tally) {
  ordered_json spoiled = ordered_json::array(), classes = ordered_json::array();
  for (const SpoiledBallot& ballot : box.spoiled)
    spoiled.push_back({{"file", box.files[static_cast<std::size_t>(ballot.file)]},
                       {"line", ballot.line},
                       {"reason", ballot.reason}});
  for (const ClassTally& part : make_class_tallies(box, tally.method)) {
    ordered_json item = {{"name", part.name},
                         {"voters", part.tally ? part.tally->voters : 0},
                         {"blank", part.blank},
                         {"spoiled", part.spoiled}};
    if (part.tally) {
      item["winners"] = write_winners(box, *part.tally);
      item["standing"] = write_standing(box, *part.tally);
    }
    classes.push_back(item);
  }
  ordered_json document = {{"format", "sixtyfold-tally"},
                           {"version", 2},
                           {"files", box.files},
                           {"method", name_of(tally.method)},
                           {"winners", write_winners(box, tally)},
                           {"tie", tally.winners.size() > 1},
                           {"rule", tally.rule + " " + tie_advice},
                           {"voters", tally.voters},
                           {"blank", box.blank_voters()},
                           {"score_unit", tally.score_unit},
                           {"standing", write_standing(box, tally)},
                           {"spoiled", spoiled},
                           {"notices", box.notices}};
  if (!classes.empty()) document["classes"] = classes;
  if (!tally.duels.empty()) {
    document["condorcet_winner"] = tally.condorcet_winner < 0
                                       ? ordered_json()
                                       : ordered_json(number_of(box, tally.condorcet_winner));
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
  const double row_mm = 9, top = 41, left = 62, right = 178;
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
          : "Tie between " + std::to_string(tally.winners.size()) + " designs.";
  const double heading_mm =
      std::min(7.0, 176 / (0.56 * static_cast<double>(std::max<std::size_t>(1, heading.size()))));
  Page page({200, height}, title, verdict);
  page.add_ground(paper_colour);
  page.add_text({12, 15}, heading, {heading_mm, TextAt::start, ink_colour, true});
  const PageText quiet{3.6, TextAt::start, quiet_ink};
  page.add_text({12, 22.5}, shorten(title, 90), quiet);
  page.add_text({12, 28}, count_ballots(box, tally), quiet);
  page.add_text(
      {12, 33},
      "The numbers are " + tally.score_unit + (less_is_better ? ": fewer is better." : "."), quiet);
  for (std::size_t i = 0; i < tally.rows.size(); ++i) {
    const TallyRow& row = tally.rows[i];
    const double y = top + row_mm * static_cast<double>(i);
    const double value = less_is_better ? worst - row.score : row.score;
    const double wide = most > 0 ? (right - left) * value / most : 0;
    const bool wins = row.place == 1;
    const PageText ink{4, TextAt::start, wins ? ink_colour : quiet_ink, wins};
    page.add_text({12, y + 4.6}, std::to_string(row.place) + ".", ink);
    page.add_text({20, y + 4.6}, shorten(label(box, row.design), 20), ink);
    page.add_box({{left, y}, {left + std::max(wide, 0.3), y + 6.4}},
                 {"", 0, wins ? panel_colours[2] : panel_colours[0]}, 1);
    page.add_text({left + wide + 2, y + 4.6}, write_number(row.score), ink);
  }
  return page.to_svg();
}

}  // namespace sixtyfold
