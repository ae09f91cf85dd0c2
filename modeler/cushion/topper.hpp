// The topper as it lies over the core: the surface it makes, and how long its foam has to be.
#pragma once
#include <vector>

#include "modeler/cushion/edges.hpp"
#include "modeler/cushion/form.hpp"
#include "modeler/cushion/plan.hpp"
#include "modeler/cushion/profile_curve.hpp"
#include "modeler/cushion/skins.hpp"

namespace kerfkiln::cushion {

// The curve parallel to an open chain, away_mm to the left of it: lines and arcs again, exact. The chain turns right
// only, at corners too, where an arc about the corner opens. away_mm >= 0.
plane::Loop parallel(const plane::Loop& chain, double away_mm);

// side_curve with a topper over the top and the side, which ends where the bottom edge begins: over the side and the
// top every point lies topper_mm from the core, measured along the normal. From (bottom.run, 0) to (top.run, height +
// topper).
plane::Loop topped_side_curve(const ProfileCurve& bottom, const ProfileCurve& top, double height_mm, double topper_mm);

// Foam bent round an edge that turns by a quarter, per side of the core (reference 3): a layer whose middle lies
// away_mm outside a profile of length L is L + away_mm pi / 2 long there (Steiner), exact for every profile.
struct Wrapped {
  double core_mm = 0, middle_mm = 0, outer_mm = 0;  // along the edge profile alone
  double side_mm = 0;                               // on the side face below it, to where the bottom edge begins
  double strain = 0;  // of the skin, at the tightest place: (t/2) / (r + t/2); 1 round a sharp edge
};
Wrapped wrapped(const EdgeProfile& top, const EdgeProfile& bottom, double height_mm, double topper_mm);

// Thickness of the topper, 0 for none.
double topper_of(const Skins&);
// Error topper.inner_radius (thicker than the smallest inner radius of the outline; the permitted range is named),
// warning topper.strain (skin stretched by more than half at an edge: wedge or relief cuts). Path "topper/thickness".
Findings check_topper(const plane::Outline& core, const Edges&, const Plan&, double height_mm, double topper_mm);
}  // namespace kerfkiln::cushion
