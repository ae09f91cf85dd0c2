// Booleans of line-arc regions: in plain arithmetic where boundaries cross cleanly (quick_region.hpp), else CGAL
// circle-segment sets behind plain types, exact predicates on rounded data.
#pragma once
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::plane {

using Region = std::vector<Outline>;  // disjoint outlines, or such that touch at corners; so may an outline's loops

// Refused with the findings of check_outline: loops that cross themselves or each other, or lie outside one another.
Result<Region> united(const Region&, const Region&);
Result<Region> intersected(const Region&, const Region&);
Result<Region> subtracted(const Region&, const Region&);
double area(const Region&);

// Problems of an outline typed or imported by a maker: crossing or touching segments, loops that overlap, wrong
// nesting, segments below the smallest feature, holes outside. Each names coordinates. Empty: the outline is simple.
Findings check_outline(const Outline&);

// Where segments of the outline meet other than at a joint, one place a pair.
struct SelfCrossing {
  struct Segment {
    int loop = 0;  // 0 outer, 1 ... holes
    int index = 0;
  };
  Segment first, second;
  Vec2 at;
};
// Precondition: corners within the limits that check_outline names.
std::vector<SelfCrossing> self_crossings(const Outline&);

// Passes check_outline, but for short segments, which do no harm: fit for the operations above.
bool simple(const Outline&);

}  // namespace kerfkiln::plane
