#include "results/files/design_name.h"

#include <catch2/catch.hpp>
#include <set>

using namespace sixtyfold;

TEST_CASE("no design is called by a coarse word, a ruler, a city or a brand", "[results][name]") {
  // Of the 13,000 short names 20,000 shapes meet nearly four in five.
  Design design;
  design.orbits.resize(1);
  std::set<std::string> names;
  for (int i = 0; i < 20000; ++i) {
    design.orbits[0].panel.outline_mm = {{0, 0}, {1000, 0}, {100.0 + i % 200, 100.0 + i / 200}};
    names.insert(make_design_name(design));
  }
  CHECK(names.size() > 9000);
  for (const char* unwanted :
       {"Stalin", "Lenin", "Putin", "Penis", "Semen", "Satan", "Puta", "Pute", "Nude", "Pedo",
        "Toten", "Paris", "Berlin", "Milan", "Roma", "Visa", "Puma", "Levis"})
    CHECK_FALSE(names.count(unwanted));
}
