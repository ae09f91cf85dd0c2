// Triangle meshes of the lid and of its gallery: grids of meridian station x place of the outline, closed by
// construction; no point further than `deviation_mm` from the surface it pictures. `out` is overwritten.
#pragma once
#include "modeler/solid/mesh.hpp"
#include "modeler/urn/lid.hpp"

namespace kerfkiln::urn {

void mesh_lid(const Lid&, double deviation_mm, solid::Mesh& out);
// The outer form with everything under the rim's plane filled: what a cavity for a drained lid is made from.
void mesh_lid_form(const Lid&, double deviation_mm, solid::Mesh& out);
// Precondition: lid.gallery.
void mesh_gallery(const Lid&, const Wall&, double deviation_mm, solid::Mesh& out);

}  // namespace kerfkiln::urn
