// From a typed cushion to everything the foam bench needs. Pure: same input, same product.
#pragma once
#include "modeler/cushion/spec.hpp"
#include "modeler/material/spec.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

// Findings are part of the product, paths relative to the piece ("layers/0/thickness"). With an error among them the
// product holds what could still be computed and no shapes or parts.
product::Product build(const Spec&, const material::Library&);

}  // namespace kerfkiln::cushion
