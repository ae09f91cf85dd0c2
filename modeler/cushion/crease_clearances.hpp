// Clearances that practice asks for: foam under a crease's floor, to the rounding of an edge, between creases.
#pragma once
#include <vector>

#include "modeler/cushion/crease_fit.hpp"

namespace kerfkiln::cushion {

// Precondition of both: runs. Fills in the smallest floor; warnings crease.floor and crease.deep; false where the
// crease goes through the foam (error crease.through).
bool check_crease_floor(const Form&, Crease&, Findings&);
void check_crease_edge(const Form&, const Crease&, Findings&);                        // warning crease.edge
void check_crease_spacing(const Form&, const std::vector<FittedCrease>&, Findings&);  // warning crease.spacing

}  // namespace kerfkiln::cushion
