// Millimetres in the text of findings: at most three decimals, locale-independent.
#pragma once
#include <charconv>
#include <cmath>
#include <string>

namespace kerfkiln::urn {

inline std::string shortest(double v) {
  const double rounded = std::round(v * 1000) / 1000;
  char text[64];
  const auto end = std::to_chars(text, text + sizeof text, rounded == 0 ? 0.0 : rounded).ptr;
  return {text, end};
}
inline std::string mm(double v) { return shortest(v) + " mm"; }

}  // namespace kerfkiln::urn
