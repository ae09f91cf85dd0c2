// Numbers in the words of urns: millimetres to a thousandth unless said otherwise, no trailing zeros.
#pragma once
#include <numbers>
#include <string>

#include "modeler/base/number_text.hpp"
#include "modeler/product/lengths.hpp"

namespace kerfkiln::urn {

inline std::string shortest(double v, int decimals = 3) { return trimmed_number(v, decimals); }
// Without its unit, which stands elsewhere; in inches where the job is.
inline std::string bare(const std::string& number) { return product::bare_length(number); }
inline std::string mm(double v) { return shortest(v) + " mm"; }
inline std::string deg(double radians, int decimals = 1) {
  return shortest(radians * 180 / std::numbers::pi, decimals) + " deg";
}

}  // namespace kerfkiln::urn
