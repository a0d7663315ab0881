#pragma once
// Four parts drawn for these tests, as an editor saves them.

#include <string>
#include <utility>
#include <vector>

namespace sixtyfold::support {

inline std::vector<std::pair<std::string, std::string>> find_own_parts() {
  const auto page = [](const char* size, const char* path) {
    return std::string("<svg xmlns=\"http://www.w3.org/2000/svg\" ") + size + "><path d=\"" + path +
           "\"/></svg>";
  };
  return {
      {"simple", page("width=\"520mm\" height=\"300mm\" viewBox=\"0 0 520 300\"",
                      "M20 60 L400 20 L500 150 L380 280 L60 240 Z")},
      {"concave", page("width=\"560mm\" height=\"420mm\" viewBox=\"0 0 560 420\"",
                       "M20 40 L160 20 L300 160 L430 30 L540 90 L470 300 L330 400 L240 280 L90 330 "
                       "Z")},
      {"curved",
       page("width=\"640mm\" height=\"360mm\" viewBox=\"0 0 640 360\"",
            "M30 300 C60 120 260 10 420 30 C520 42 600 90 620 150 C560 150 520 190 470 250 "
            "C390 340 200 360 30 300 Z")},
      {"mirror",
       page("width=\"600mm\" height=\"420mm\" viewBox=\"0 0 600 420\"",
            "M300 20 C380 60 420 120 430 190 C480 170 540 190 580 250 C540 330 440 380 300 "
            "400 C160 380 60 330 20 250 C60 190 120 170 170 190 C180 120 220 60 300 20 Z")},
  };
}

}  // namespace sixtyfold::support
