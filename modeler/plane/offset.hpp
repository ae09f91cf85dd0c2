// Exact trimmed parallel curves of line-arc outlines.
#pragma once
#include "modeler/base/result.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::plane {

enum class Join { round, mitre };

// All points of the plane at signed distance at least -distance_mm inside: distance > 0 grows, < 0 shrinks the region.
// The result is line-arc again, correct past the medial axis: it may split into several outlines or vanish (empty
// vector). Properties: (1) every boundary point lies at |distance| from the source, (2) dA/dd = P wherever the
// topology does not change, (3) sides are carried from the segments they come from, arcs made at vertices have side -1
// or, between two segments of one side, that side. Join::mitre keeps opening corners sharp (distance at the corner is
// then larger); corners that turn by more than 168 degrees get an arc all the same.
// Precondition: a simple outline (check_outline). Parts of the result narrower than 0.000 002 mm are left out. Where
// several events coincide within rounding, the curve is taken at a distance that differs by at most 0.000 03 mm.
// Fails with code "offset.failed" naming a place if no consistent loops are found.
// Time n log n for outlines whose parallel curves cross few times, as those of cushions and covers do.
Result<std::vector<Outline>> offset(const Outline&, double distance_mm, Join join = Join::round);

}  // namespace kerfkiln::plane
