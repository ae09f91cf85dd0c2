// The form scaled until the fired urn holds what it must: outer form uniformly, in height or in girth; wall, base and
// the distance of the fill line kept.
//
// Why one root and where. Shrunk back to the drawn size, the balls that the wall is made of become smaller as the form
// grows, so capacity / scale^p (p = 3 uniform, 1 height, 2 girth) rises with the scale. Hence capacity rises strictly,
// and one evaluation at scale k with capacity V bounds the root for the target T by k (T / V)^(1/p). With the neck kept
// this is a good guess instead of a bound, and the bracket is widened until it holds the root.
//
// How fast. To first order in the wall, capacity is a k^p - b k^(p-1), b from the inner areas times wall, base and fill
// distance (Steiner's formula has the rest). Two coarse evaluations fit a and b, the third, a fine one, is the answer
// as a rule; where it is not, bracket and toms748 (Alefeld, Potra and Shi 1995, Boost.Math) find it.
#pragma once
#include <optional>

#include "modeler/urn/inner_integral.hpp"
#include "modeler/urn/shrinkage.hpp"
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn {

struct Solved {
  Spec spec;            // as typed, its profile (and lid) at the solved size
  Scale scale;          // over the typed size; of the body alone where the neck is kept
  double capacity = 0;  // mm3 to the fill line; 0 where nothing was asked
  InnerSums filled;     // between floor and fill line, where there was a target
  double drawn = 0;     // mm3, of the form as typed; 0 where its wall leaves no room
  int evaluations = 0;
  bool asked = false;  // there was a target
  std::optional<Wall> wall;
  Findings findings;  // notes and warnings: "capacity.scaled", "capacity.far", "capacity.unusual"
};

// Within 0.02 mL of the target. Without a target: the wall of the form as drawn. Errors: those of Wall::make,
// "capacity.fill_below_lip", "capacity.unreachable" (with the capacities that can be reached), "capacity.keep" (no
// corner above the belly).
Result<Solved> solve_capacity(const Spec&, const Form&);

// The profile points (and a lid's own sizes) at another scale. keep_from: the point where the neck begins, whose half
// sizes and those above it stay; -1: all are scaled.
Spec scaled_spec(const Spec&, Scale, int keep_from);
// The lowest corner above the widest point that is not the lip; -1: there is none.
int neck_begins(const Spec&);
// Capacity of one wall to the fill line; 0 where the line lies below the floor.
double capacity_to_fill_line(const Wall&, double fill_below_lip);

}  // namespace kerfkiln::urn
