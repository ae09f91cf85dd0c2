// Dimensioned views for the job sheet, and the dimensions that can be grasped in the picture.
#pragma once
#include <vector>

#include "modeler/cushion/core.hpp"

namespace kerfkiln::cushion {

// The core: "plan", "section-width" (A-A, across at mid depth) and "section-depth" (B-B, front to back at mid width).
std::vector<product::View> views_of(const Core&, const Spec&);
std::vector<product::Handle> handles_of(const Core&, const Spec&);

}  // namespace kerfkiln::cushion
