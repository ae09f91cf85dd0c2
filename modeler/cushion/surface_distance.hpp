// How far a point of a mesh lies from the exact surface.
#pragma once
#include "modeler/cushion/drop.hpp"

namespace kerfkiln::cushion {

// Distance of (p, z) from the sheet, seen in the section through p and the boundary point that rules there; the side
// face counts as part of the sheet. Values at or below `enough` may be returned larger than they are, up to it.
// hit: the sheet's field at p.
double distance_to_sheet(const Form&, Sheet, Vec2 p, double z, double enough, const DropField::Hit& hit);

}  // namespace kerfkiln::cushion
