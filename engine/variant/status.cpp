#include "engine/variant/status.h"

#include <array>

namespace sixtyfold {

namespace {

struct StatusText {
  const char* name;
  const char* sentence;
};

constexpr std::array<StatusText, static_cast<std::size_t>(Status::count_)> texts = {{
    {"ok", "within all limits"},
    {"bad_outline", "the outline is not a simple polygon around its hub"},
    {"hub_lost", "copies collide right at the middle of the panel"},
    {"panels", "the number of panels is outside the limits"},
    {"apart", "the construction falls into several pieces"},
    {"sheet", "the part with its tabs does not fit the sheet"},
    {"joints", "there are more joints than allowed"},
    {"short_joint", "a joint is shorter than allowed"},
    {"angle", "panels meet at an angle outside the limits"},
    {"diameter", "the construction is smaller than wanted"},
    {"openness", "the construction is too closed or too open"},
    {"clearance", "panels that are not joined come closer than the board is thick"},
    {"narrow", "the panel has a tip or neck narrower than allowed, or no room for its windows"},
    {"flexible", "the construction is not rigid"},
    {"weak", "the construction is less stiff than wanted"},
    {"outdone", "it can no longer better what is known of its kind"},
}};

}  // namespace

std::string name_of(Status status) { return texts.at(static_cast<std::size_t>(status)).name; }
std::string describe(Status status) { return texts.at(static_cast<std::size_t>(status)).sentence; }

}  // namespace sixtyfold
