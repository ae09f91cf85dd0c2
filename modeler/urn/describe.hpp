// The parameter table of an urn: the only place that names its keys.
#pragma once
#include "modeler/base/parameter.hpp"
#include "modeler/urn/spec.hpp"

namespace kerfkiln::urn {

void describe(Visitor&, Spec&);  // the members of the piece, but for "kind"
void describe(Visitor&, ProfilePoint&);

}  // namespace kerfkiln::urn
