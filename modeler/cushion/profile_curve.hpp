// Edge profiles as drawn curves: arcs and lines exact, other curves fitted by arcs.
#pragma once
#include <string>

#include "modeler/cushion/edge/edge_type.hpp"
#include "modeler/cushion/spec.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

inline constexpr double kCurveFitMm = 0.02;  // what a fitted curve may be off; a felt pen is twenty times as wide

// An open chain in (inset, drop): x the distance inward from the side, y the distance from the face towards the middle
// of the height. It runs from (run, 0) on the face to (0, drop) on the side. Square: run = drop = 0, one point.
struct ProfileCurve {
  double run = 0, drop = 0;
  plane::Loop path;
};
ProfileCurve profile_curve(const EdgeProfile&);

// "round 25", "ellipse 60 x 40", "chamfer 10 x 10", "bullnose 60", "square"
std::string edge_words(const EdgeSpec&, double height_mm);

// The section through the edge of a cushion as seen from the front of a left-hand side: x the inset, z up from the
// underside. From (bottom.run, 0) over the side to (top.run, height).
plane::Loop side_curve(const ProfileCurve& bottom, const ProfileCurve& top, double height_mm);

// The piece of an open chain that rises from z = low to z = high (y is z); the chain must rise monotonically. Arcs are
// cut exactly. Empty if the chain does not reach the band.
plane::Loop between_heights(const plane::Loop& rising, double low, double high);

// An open chain seen in a mirror or walked backwards; bulges follow.
plane::Loop backwards(const plane::Loop& open_chain);
plane::Loop flipped_y(const plane::Loop& open_chain, double y_sum);  // y -> y_sum - y
plane::Loop flipped_x(const plane::Loop& open_chain, double x_sum);  // x -> x_sum - x
// Appends a chain, leaving out points that repeat the one before.
void extend(plane::Loop& chain, const plane::Loop& more);

}  // namespace kerfkiln::cushion
