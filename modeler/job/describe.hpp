// The parameter table of the design file: the only place that names its top-level keys.
#pragma once
#include "modeler/base/parameter.hpp"
#include "modeler/job/design.hpp"

namespace kerfkiln::job {

void describe(Visitor&, Design&);
void describe(Visitor&, const FieldInfo&, Piece&);  // one value, its form chosen by "kind"

}  // namespace kerfkiln::job
