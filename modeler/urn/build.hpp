// From a typed urn to everything the clay bench needs. Pure: same input, same product.
#pragma once
#include "modeler/material/spec.hpp"
#include "modeler/product/product.hpp"
#include "modeler/urn/spec.hpp"

namespace kerfkiln::urn {

// Findings are part of the product, paths relative to the piece ("profile/2/half_width"). With an error among them the
// product holds what could still be computed and no shapes or parts.
product::Product build(const Spec&, const material::Library&);

}  // namespace kerfkiln::urn
