// The outside as drawn curves, open chains from foot to lip in (distance from the axis, height): arcs and lines.
#pragma once
#include "modeler/plane/outline.hpp"
#include "modeler/urn/form.hpp"
#include "modeler/urn/shrinkage.hpp"

namespace kerfkiln::urn {

// The outline seen from the front (the side), each direction scaled, within `tolerance_mm` of the form's: crowns of the
// flats included, and of a twisted form the farthest that any point of a level section reaches. Tangent where the form
// is smooth, broken where it has corners; the outline of a twisted form is a polyline.
plane::Loop silhouette_chain(const Form&, bool depth, Scale, double tolerance_mm);

// What the plane y = 0 (x = 0) cuts: the silhouette, but for twisted forms.
plane::Loop cut_chain(const Form&, bool depth, Scale, double tolerance_mm);

}  // namespace kerfkiln::urn
