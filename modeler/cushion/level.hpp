// Level curves of the form as lines and arcs: outlines at glue lines, scribe lines where an edge begins.
#pragma once
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/form.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

inline constexpr double kLevelFitMm = 0.002;  // of fitted pieces; the promise to the bench is 0.02

// The part of the plan where the top has dropped at most `top_mm` and the bottom at most `bottom_mm`; infinity for a
// face that does not matter. That is the outline less a disc of radius inset(q) about each boundary point q, so its
// boundary is made of parallels of the sides, arcs about corners, and, where a corner arc blends two profiles, the
// envelope of discs of changing radius: parallels and arcs are exact, envelopes are fitted to kLevelFitMm. Sides are
// carried. Empty when nothing is left. Code "level.failed" if no consistent loops are found.
Result<std::vector<plane::Outline>> level_outlines(const Form&, double top_mm, double bottom_mm);

// The section at height z of a form with a crown or contour: arcs whose ends and middles lie on the exact curve, traced
// along the form's mesh; where that does not give simple outlines, a polygon within 0.02 mm. No sides are carried.
Result<std::vector<plane::Outline>> risen_outlines(const Form&, double z_mm);

}  // namespace kerfkiln::cushion
