// The parameter table of a lid.
#pragma once
#include "modeler/base/parameter.hpp"
#include "modeler/urn/lid_spec.hpp"

namespace kerfkiln::urn {

void describe(Visitor&, LidSpec&);  // its members

}  // namespace kerfkiln::urn
