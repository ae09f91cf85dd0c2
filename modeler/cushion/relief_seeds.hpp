// Where the mesh of a risen face wants vertices, from the bounds of the rise's second derivatives.
#pragma once
#include <vector>

#include "modeler/cushion/form.hpp"

namespace kerfkiln::cushion {

// Middles of the leaves of a quadtree over the plan, each leaf so small that a triangle between neighbours comes within
// the deviation of the rise; inside the outline, clear of it by a third of a leaf.
std::vector<Vec2> rise_seeds(const Form&, double deviation_mm);

}  // namespace kerfkiln::cushion
