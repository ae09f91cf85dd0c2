// What OCCT says of a ruled loft. Its headers stay in the .cpp.
#pragma once
#include <vector>

#include "modeler/base/vec.hpp"

namespace kerfkiln::urn::test {

struct RingEdge {
  Vec3 a, middle, b;  // a line where the middle lies on the chord, else the arc through the three
};
struct LoftMeasure {
  double volume = 0, side_area = 0, centroid_z = 0;
};
// Level closed rings, bottom up, edges corresponding; closed flat at both ends.
LoftMeasure ruled_loft(const std::vector<std::vector<RingEdge>>&);

}  // namespace kerfkiln::urn::test
