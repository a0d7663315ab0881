#include "results/votes/ballot_choices.h"

#include <algorithm>
#include <stdexcept>
#include <string>

namespace sixtyfold {

std::vector<TasteChoice> make_choices(const BallotBox& box) {
  const int count = static_cast<int>(box.designs.size());
  std::vector<TasteChoice> choices;
  for (const Ballot& ballot : box.ballots) {
    std::vector<bool> is_behind(static_cast<std::size_t>(count), true);
    TasteChoice choice;
    for (const std::vector<int>& place : ballot.places) {
      for (const int option : place) is_behind[static_cast<std::size_t>(option)] = false;
      for (const int option : place)
        for (int other = 0; other < count; ++other)
          if (is_behind[static_cast<std::size_t>(other)])
            choice.better_worse.push_back({option, other});
    }
    if (choice.better_worse.empty()) continue;
    for (int voter = 0; voter < std::min(ballot.count, most_alike); ++voter)
      choices.push_back(choice);
  }
  return choices;
}

TasteChoice make_choice(const std::vector<int>& picks, const std::vector<int>& rejects,
                        int options) {
  const auto holds = [](const std::vector<int>& list, int option) {
    return std::find(list.begin(), list.end(), option) != list.end();
  };
  for (const std::vector<int>* list : {&picks, &rejects})
    for (const int option : *list)
      if (!(0 <= option && option < options))
        throw std::invalid_argument("names design " + std::to_string(option + 1) +
                                    "; there are 1 to " + std::to_string(options));
  TasteChoice choice;
  for (const int pick : picks) {
    if (holds(rejects, pick))
      throw std::invalid_argument("picks and rejects design " + std::to_string(pick + 1));
    for (int other = 0; other < options; ++other)
      if (rejects.empty() ? !holds(picks, other) : holds(rejects, other))
        choice.better_worse.push_back({pick, other});
  }
  return choice;
}

}  // namespace sixtyfold
