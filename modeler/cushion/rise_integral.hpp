// Integrals of a rise over an outline, holes left out: the part of volumes that edges have no share in.
#pragma once
#include "modeler/cushion/rise.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

// Of rise, x rise, y rise and rise^2; exact under lines but for rounding, under arcs by a rule of high order whose step
// to the next lower one is the error, as a volume.
struct RiseMoments {
  double value = 0, x = 0, y = 0, square = 0;
  double error = 0;
};
RiseMoments rise_moments(const Rise&, const plane::Outline&);

// Where the rise is below -depth: integral of (-rise - depth), and the area. Adaptive, to `tolerance` mm3 in the volume
// and, over a millimetre of height, in the area.
struct RiseBelow {
  double volume = 0, area = 0;
  double error = 0;  // of the volume, mm3
};
RiseBelow rise_below(const Rise&, const plane::Outline&, double depth_mm, double tolerance);

}  // namespace kerfkiln::cushion
