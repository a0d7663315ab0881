#include "engine/allowed.h"

#include "engine/text.h"

namespace sixtyfold {

namespace {

std::string add_unit(const std::string& number, const char* unit) {
  return *unit ? number + " " + unit : number;
}

}  // namespace

std::string Allowed::range() const { return add_unit(format("%.10g to %.10g", low, high), unit); }

std::string Allowed::find_fault(double value) const {
  if (holds(value)) return "";
  return std::string(words) + " is " + add_unit(format("%.10g", value), unit) + "; allowed is " +
         range();
}

}  // namespace sixtyfold
