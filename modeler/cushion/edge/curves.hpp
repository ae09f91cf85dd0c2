// The two drop curves the present edge types are made of. A new type may bring its own DropCurve.
#pragma once
#include "modeler/cushion/edge/edge_type.hpp"

namespace kerfkiln::cushion {

// drop(d) = b (1 - sqrt(1 - (1 - d/a)^2)): a quarter of an ellipse, tangent to the side face and to the flat. a, b > 0.
EdgeProfile quarter_ellipse(double a_mm, double b_mm);
// drop(d) = b (1 - d/a). a, b > 0.
EdgeProfile straight(double a_mm, double b_mm);

}  // namespace kerfkiln::cushion
