// The lid of an urn: a moulding. One profile in the plane normal to an outline (the lip's for a cap, the mouth's for an
// inset lid) is carried around it, so that wall, clearance and seat are plane geometry and exact all round; in the
// middle it closes with a level panel, on which a round knob stands. Heights are those of the urn: z = 0 is its foot.
#pragma once
#include "modeler/base/result.hpp"
#include "modeler/urn/spec.hpp"
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn {

// What the lid takes from the room below the lip, mm3: clay of lid and gallery below the lip plane, and with a sunk
// lid everything above its seat. 0 for a cap, without a lid, and for a lid that cannot be made. The wall is the fired
// one; usable capacity = brim - this.
double lid_displaced(const Spec&, const Wall&);

}  // namespace kerfkiln::urn
