// From the corners that a maker types to a loop of lines and arcs.
#pragma once
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::plane {

// One corner of a loop. The segment that starts here runs to the next corner with the given bulge and side; the corner
// itself is rounded by an arc tangent to both of its segments.
struct Corner {
  Vec2 at;
  double radius = 0;  // mm, >= 0; 0 leaves the corner sharp
  double bulge = 0;   // -1 ... 1
  int side = -1;
};

// The loop of the corners in their order, each radius exact, corner arcs with side -1. A radius at a corner where the
// segments already run on tangentially has nothing to round and is ignored. Findings, all at once, with paths
// "<corner>/radius" and so on:
//   "outline.corners"   fewer than two corners, or two that are not joined by an arc
//   "outline.number"    a coordinate, radius or bulge that is not finite or out of range
//   "outline.repeated"  a corner closer than the smallest feature to the next one
//   "outline.radius"    a radius that its segments have no room for; the largest that fits is named where both are
//   lines
Result<Loop> rounded(const std::vector<Corner>&);

}  // namespace kerfkiln::plane
