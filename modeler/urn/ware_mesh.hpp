// Triangle meshes of the ware and of its outer form: grids of profile station x section place, closed by construction.
//
// The largest distance of a mesh from the surface it pictures is at most `deviation_mm`; kinks of the inside carry
// vertices. `out` is overwritten and its memory reused, so that an edit costs no allocation.
#pragma once
#include "modeler/solid/mesh.hpp"
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn {

// Outside, lip, inside, floor, foot ring and recess: one closed shell.
void mesh_ware(const Wall&, double deviation_mm, solid::Mesh& out);
// The whole outer form, foot and lip closed flat: what a cavity is made from.
void mesh_form(const Form&, double deviation_mm, solid::Mesh& out);

}  // namespace kerfkiln::urn
