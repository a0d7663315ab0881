#include "tools/voting/ballot_json.h"

namespace sixtyfold {

BallotPlaces read_ballot_places(const JsonCursor& sent) {
  BallotPlaces places;
  for (const JsonCursor& item : sent.array(0, most_gallery_designs)) {
    places.emplace_back();
    for (const JsonCursor& number : item.array(1, most_gallery_designs))
      places.back().push_back(static_cast<int>(number.integer(1, largest_gallery_number)));
  }
  return places;
}

}  // namespace sixtyfold
