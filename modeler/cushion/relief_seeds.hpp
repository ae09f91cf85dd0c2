// Where the mesh of a risen face wants vertices, from the bounds of the rise's second derivatives.
#pragma once
#include <vector>

#include "modeler/cushion/form.hpp"

namespace kerfkiln::cushion {

// Middles of the leaves of a tree of rectangles over the plan, each halved across the way in which the rise bends more
// until a triangle of its size comes within the deviation of the rise; inside the outline, clear of it by a third of
// the leaf's shorter side.
std::vector<Vec2> rise_seeds(const Form&, double deviation_mm);

}  // namespace kerfkiln::cushion
