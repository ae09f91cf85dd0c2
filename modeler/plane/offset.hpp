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
// then larger). Fails with code "offset.failed" naming the place if no consistent loops are found.
Result<std::vector<Outline>> offset(const Outline&, double distance_mm, Join join = Join::round);

}  // namespace kerfkiln::plane
