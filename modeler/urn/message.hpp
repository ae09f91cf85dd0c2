// Numbers in the words of urns: no trailing zeros, locale-independent.
#pragma once
#include <charconv>
#include <cmath>
#include <string>

namespace kerfkiln::urn {

inline std::string shortest(double v, int decimals = 3) {
  const double grid = std::pow(10, decimals), rounded = std::round(v * grid) / grid;
  char text[64];
  const auto end = std::to_chars(text, text + sizeof text, rounded == 0 ? 0.0 : rounded).ptr;
  return {text, end};
}
inline std::string mm(double v) { return shortest(v) + " mm"; }

}  // namespace kerfkiln::urn
