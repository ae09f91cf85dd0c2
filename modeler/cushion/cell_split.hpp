// Cuts edges where two of the heights over them cross, so that solids between any two of them have whole facets.
#pragma once
#include <cmath>

#include "modeler/cushion/cells.hpp"

namespace kerfkiln::cushion {

// active: for each triangle, whether its edges are looked at. New vertices stand on the edges they cut, 0.01 mm or more
// from their ends; heights are cleared of each other first.
void split_crossings(Cells&, std::vector<char> active);

// A height that is another one within rounding is made equal to it, one that is merely close keeps a thousandth of a
// millimetre away: surfaces that touched where they should pass would make solids that touch themselves.
inline double clear_of(double z, double other) {
  constexpr double kRounding = 2e-5, kClear = 1e-3;
  const double gap = z - other;
  return std::abs(gap) <= kRounding ? other : std::abs(gap) < kClear ? other + std::copysign(kClear, gap) : z;
}

}  // namespace kerfkiln::cushion
