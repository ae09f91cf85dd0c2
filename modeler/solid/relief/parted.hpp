// Gives parts of a solid that touch in an edge or a vertex only their own vertices there.
#pragma once
#include <vector>

#include "modeler/solid/mesh.hpp"

namespace kerfkiln::solid {

// Precondition: every directed side of a triangle is matched by as many sides running the other way. Where more than
// two triangles meet in an edge, those that bound the same wedge of material are joined.
// where: of each vertex, whether parts may touch there; about all others there is one ring of triangles.
Mesh parted(Mesh, const std::vector<char>& where);

}  // namespace kerfkiln::solid
