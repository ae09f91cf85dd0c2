// What creases and pockets leave empty: in a level plane, over a place of the plan, in an upright section. Exact plane
// geometry; where a crease's floor runs through the level plane it ends at the form's level curve
// (a polygon within 0.02 mm where a form has no smooth one).
#pragma once
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/cuts.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {

// A side's pocket from above, run `past_mm` out of the side.
plane::Outline footprint(const Pocket&, double past_mm = 0);

// What is empty at height z. A floor or roof at z itself counts as empty: a glue face that it bares is no joint. May
// reach out of the core. Findings of the booleans and of the level curves.
Result<plane::Region> hollow_at(const Form&, const Cuts&, double z_mm);

// Heights that are empty over a place, ascending, apart from each other.
struct HeightRange {
  double low = 0, high = 0;
};
std::vector<HeightRange> hollow_over(const Form&, const Cuts&, Vec2);

// Where cuts begin and end over a segment: parameters between 0 and 1, ascending. Between neighbouring ones the same
// cuts lie over it, and no outline of a side's pocket has a vertex.
std::vector<double> hollow_breaks(const Cuts&, const plane::Segment&);

// What is empty in the upright plane y = place (across) or x = place; x along the section, y up.
std::vector<plane::Outline> hollow_in(const Form&, const Cuts&, bool across_width, double place);

// Of a side's pocket: the volume over a region of the plan, within the core, between two heights. Breaks at every
// vertex and turn of both outlines, Gauss-Kronrod between: 1e-10 of the pocket.
double side_volume_over(const Pocket&, const plane::Region&, double low_mm, double high_mm, Findings&);

}  // namespace kerfkiln::cushion
