// Numbers in the words of urns: millimetres to a thousandth unless said otherwise, no trailing zeros.
#pragma once
#include <string>

#include "modeler/base/number_text.hpp"

namespace kerfkiln::urn {

inline std::string shortest(double v, int decimals = 3) { return trimmed_number(v, decimals); }
inline std::string mm(double v) { return shortest(v) + " mm"; }

}  // namespace kerfkiln::urn
