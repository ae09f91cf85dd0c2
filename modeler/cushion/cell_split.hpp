// Cuts edges where two of the heights over them cross, so that solids between any two of them have whole facets.
#pragma once
#include "modeler/cushion/cells.hpp"

namespace kerfkiln::cushion {

// active: for each triangle, whether its edges are looked at. New vertices stand on the edges they cut, 0.01 mm or more
// from their ends; heights closer than 0.001 mm are made equal first.
void split_crossings(Cells&, std::vector<char> active);

}  // namespace kerfkiln::cushion
