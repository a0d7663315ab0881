#pragma once
// The words that files and commands use for the choices of engine/limits.h and of a search.

#include <string>

#include "engine/joint.h"
#include "engine/limits.h"
#include "search/space/parameter_space.h"

namespace sixtyfold {

/// "long", "short" or "none": the side of the sheet the grain runs along.
std::string name_of(Grain grain);
/// "tab", "slot" or "both".
std::string name_of(JointsBy joints_by);
/// "knife" or "scroll-saw".
std::string name_of(CutTool tool);
/// "off", "on" or "both".
std::string name_of(Windows windows);

/// The inverse of name_of. Throws std::invalid_argument: the word, and the words allowed.
void parse_name(const std::string& word, Grain& grain);
void parse_name(const std::string& word, JointsBy& joints_by);
void parse_name(const std::string& word, CutTool& tool);
void parse_name(const std::string& word, JointKind& kind);
void parse_name(const std::string& word, Windows& windows);

}  // namespace sixtyfold
