// What OCCT says of a lid's meridian turned about the axis. Its headers stay in the .cpp.
#pragma once
#include "modeler/plane/outline.hpp"

namespace kerfkiln::urn::test {

struct TurnedSolid {
  double volume = 0, centroid_z = 0, area = 0;
};
// The loop of lines and arcs in (r, z), ends on the axis allowed, as a solid of revolution.
TurnedSolid turned(const plane::Loop&);

}  // namespace kerfkiln::urn::test
