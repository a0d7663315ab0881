#include "results/files/names.h"

#include <stdexcept>

#include "results/files/json_reader.h"

namespace sixtyfold {

namespace {

template <class Choice, std::size_t count>
void parse_one_of(const std::string& word, const Choice (&choices)[count], Choice& choice) {
  std::string allowed;
  for (std::size_t i = 0; i < count; ++i) {
    const std::string name = name_of(choices[i]);
    if (word == name) {
      choice = choices[i];
      return;
    }
    allowed += (i == 0 ? "" : i + 1 < count ? ", " : " or ") + name;
  }
  throw std::invalid_argument("is " + quote(word) + "; allowed is " + allowed);
}

}  // namespace

std::string name_of(Grain grain) {
  switch (grain) {
    case Grain::along_long_side:
      return "long";
    case Grain::along_short_side:
      return "short";
    case Grain::none:
      break;
  }
  return "none";
}

std::string name_of(JointsBy joints_by) {
  switch (joints_by) {
    case JointsBy::tab:
      return "tab";
    case JointsBy::slot:
      return "slot";
    case JointsBy::both:
      break;
  }
  return "both";
}

std::string name_of(CutTool tool) { return tool == CutTool::knife ? "knife" : "scroll-saw"; }

void parse_name(const std::string& word, Grain& grain) {
  parse_one_of(word, {Grain::along_long_side, Grain::along_short_side, Grain::none}, grain);
}

void parse_name(const std::string& word, JointsBy& joints_by) {
  parse_one_of(word, {JointsBy::tab, JointsBy::slot, JointsBy::both}, joints_by);
}

void parse_name(const std::string& word, CutTool& tool) {
  parse_one_of(word, {CutTool::knife, CutTool::scroll_saw}, tool);
}

std::string name_of(Windows windows) {
  switch (windows) {
    case Windows::off:
      return "off";
    case Windows::on:
      return "on";
    case Windows::both:
      break;
  }
  return "both";
}

void parse_name(const std::string& word, Windows& windows) {
  parse_one_of(word, {Windows::off, Windows::on, Windows::both}, windows);
}

void parse_name(const std::string& word, JointKind& kind) {
  parse_one_of(word, {JointKind::tab, JointKind::edge, JointKind::slot}, kind);
}

}  // namespace sixtyfold
