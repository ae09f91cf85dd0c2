// Flat parts at full size: the plan template, the edge gauges and the outlines at the glue lines.
#pragma once
#include <vector>

#include "modeler/cushion/core.hpp"
#include "modeler/cushion/gauge.hpp"

namespace kerfkiln::cushion {

// As sawn: the core's outline; scribe lines where the top and bottom edges begin on their faces; centre lines; station
// marks; names of the sides.
product::FlatPart plan_template(const Core&);
// One for each distinct pair of top and bottom profile, in the order of the sides.
std::vector<product::FlatPart> gauges(const Core&);
std::vector<std::string> gauge_labels(const Core&);  // of these, undrawn
// With a contour: full-size boards of it along the depth and across the width, held on the top along a centre line.
std::vector<product::FlatPart> contour_boards(const Core&);
// With a rise: how high the side stands at each station, edges apart.
product::Table station_table(const Core&);
// One for each glue line whose section is smaller than the core's outline; joints with the whole outline need none.
std::vector<product::FlatPart> layer_outlines(const Core&);

}  // namespace kerfkiln::cushion
