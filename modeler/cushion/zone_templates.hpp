// Full-size templates of divided layers.
#pragma once
#include <vector>

#include "modeler/cushion/core.hpp"

namespace kerfkiln::cushion {

// One for each layer with zones: the core's outline, the joint lines to be cut, each piece named with its foam, and the
// layer's outline at its glue faces where that is smaller. Centre lines as on the plan template.
std::vector<product::FlatPart> zone_templates(const Core&);

}  // namespace kerfkiln::cushion
