#include "results/files/design_name.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <set>
#include <string_view>

#include "engine/hash.h"

namespace sixtyfold {
namespace {

// Every pair reads the same way in most languages written with Latin letters.
const char* const starts[] = {"b", "d", "f", "g",  "k",  "l",  "m",  "n",  "p",  "r",
                              "s", "t", "v", "br", "dr", "fl", "kr", "pl", "st", "tr"};
const char* const vowels[] = {"a", "e", "i", "o", "u"};
const char* const middles[] = {"l", "m",  "n",  "r",  "s",  "t", "v",
                               "d", "lm", "nd", "rl", "rv", "st"};
const char* const ends[] = {"a", "o", "e", "an", "el", "en", "in", "or", "un", "is"};

// What the syllables above also spell, and no class should vote on: coarse and grim words of
// several languages, rulers, cities, brands. Sorted.
constexpr std::string_view unwanted[] = {
    "baden",  "berlin", "bite",   "boris",  "bravo", "brunel", "dore",  "dove",  "fidel",  "fila",
    "foda",   "fode",   "gore",   "kremel", "lada",  "lenin",  "levis", "lima",  "linden", "loto",
    "marvel", "meta",   "milan",  "moran",  "nara",  "nato",   "nero",  "nuda",  "nude",   "nudo",
    "paris",  "peda",   "pede",   "pedo",   "penis", "pisa",   "puma",  "puta",  "putan",  "pute",
    "putin",  "puto",   "rasis",  "rodin",  "roma",  "rome",   "romel", "sadis", "sado",   "satan",
    "semen",  "sevel",  "stalin", "stasis", "sudan", "suva",   "talin", "tena",  "testis", "tide",
    "titis",  "tito",   "tote",   "toten",  "tumor", "tunis",  "turin", "velis", "visa",
};

// As in splitmix64 (Steele, Lea and Flood 2014).
std::uint64_t mix(std::uint64_t z) {
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
  return z ^ (z >> 31);
}

std::uint64_t hash_shape(const Design& design) {
  Hash hash;
  hash.add(design.symmetry);
  for (const Orbit& orbit : design.orbits) {
    const Panel& panel = orbit.panel;
    const double size = measure_reach(panel);
    if (!(size > 0)) continue;
    for (const Vec2& p : panel.outline_mm) {
      const Vec3 q = panel.frame.to_space(p) * (1000 / size);
      for (int i = 0; i < 3; ++i) hash.add(std::llround(q[i]));
    }
  }
  return mix(hash.value());
}

template <std::size_t count>
std::string take(std::uint64_t& number, const char* const (&choices)[count]) {
  const std::string choice = choices[number % count];
  number /= count;
  return choice;
}

std::string spell_name(std::uint64_t number, int inner_syllables) {
  std::string name = take(number, starts);
  for (int i = 0; i < inner_syllables; ++i) {
    name += take(number, vowels);
    name += take(number, middles);
  }
  name += take(number, ends);
  return name;
}

std::string make_name(std::uint64_t number, int inner_syllables) {
  std::string name = spell_name(number, inner_syllables);
  while (std::binary_search(std::begin(unwanted), std::end(unwanted), name))
    name = spell_name(++number, inner_syllables);
  name[0] = static_cast<char>(name[0] - 'a' + 'A');
  return name;
}

}  // namespace

std::string make_design_name(const Design& design) { return make_name(hash_shape(design), 1); }

std::vector<std::string> find_design_names(const std::vector<Design>& designs) {
  std::vector<std::string> names;
  std::set<std::string> taken;
  for (const Design& design : designs) {
    std::string name = design.name;
    for (int syllables = 1; name.empty(); ++syllables) {
      // Beyond a few syllables the shapes are the same, and so may be their names.
      const std::string made = make_name(hash_shape(design), syllables);
      if (!taken.count(made) || syllables == 5) name = made;
    }
    // Never twice in one list: two of the same shape, or named alike by their makers.
    const std::string base = name;
    for (int number = 2; taken.count(name); ++number) name = base + " " + std::to_string(number);
    taken.insert(name);
    names.push_back(name);
  }
  return names;
}

}  // namespace sixtyfold
