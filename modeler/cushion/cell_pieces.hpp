// What the solids of cells are made from.
#pragma once
#include "modeler/cushion/cells.hpp"

namespace kerfkiln::cushion {

// Does the core or a layer touch itself: in an edge along which it is closed on both sides, or in a closed vertex whose
// triangles are not one open fan?
bool touches_itself(const Cells&);

}  // namespace kerfkiln::cushion
