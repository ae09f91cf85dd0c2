// One closed solid less another. Corefinement (CGAL) behind plain types, guarded on both sides.
#pragma once
#include "modeler/base/result.hpp"
#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

// Both closed, outward and free of self-intersection; `from` may consist of several shells. Precondition: where they
// meet, they cross or keep clear of each other by 0.01 mm: solids that would touch in an edge are not to be asked for.
// Where they keep clear the first is returned as it is. Fails with "solid.difference" where either mesh is not as
// required or what comes out does not hold what it should.
Result<Mesh> difference(const Mesh& from, const Mesh& less);

}  // namespace kerfkiln::solid
